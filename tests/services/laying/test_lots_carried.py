"""Which floors a lot carries together, and how floors are shared out to lots: against every subset, by hand."""

from __future__ import annotations

from itertools import chain, combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.services.laying.lots_carried import carried_words, most_carried, shared_out
from tests import thorough

PLANKS = {"living": frozenset(range(40)), "hall": frozenset(range(38, 60)), "den": frozenset(range(60, 85))}


def test_the_floors_that_share_planks_go_together() -> None:
    """Living takes 40 planks, hall 22 of which two are of living's: 60 together; with 60 a lot carries both, with 59 hall and den."""
    assert most_carried(PLANKS, 60) == ("living", "hall")
    assert most_carried(PLANKS, 59) == ("hall", "den")
    assert most_carried(PLANKS, 20) == ()


def test_floors_are_shared_out_so_that_none_needs_two_lots() -> None:
    """Lot A of 60 takes living and hall, lot B of 25 the den; with one plank fewer there is no way."""
    assert shared_out(PLANKS, {"A": 60, "B": 25}) == {"A": ("living", "hall"), "B": ("den",)}
    assert shared_out(PLANKS, {"A": 60, "B": 24}) is None


@settings(max_examples=thorough.examples(20, 7), deadline=None)
@given(st.lists(st.frozensets(st.integers(0, 30), min_size=1), min_size=1, max_size=6), st.integers(0, 40))
def test_no_other_floors_take_more_of_the_lot(floors: list[frozenset[int]], there: int) -> None:
    """Of all subsets that a lot carries none takes more planks than the one told."""
    planks = {str(number): those for number, those in enumerate(floors)}
    subsets = chain.from_iterable(combinations(floors, size) for size in range(len(floors) + 1))
    counts = [len(frozenset().union(*some)) for some in subsets]
    told = frozenset().union(*(planks[name] for name in most_carried(planks, there)))
    assert len(told) == max(count for count in counts if count <= there)


def test_every_lot_is_told_by_what_it_carries() -> None:
    """Ten and five cartons of ten for fields of 79 and 44: each lot carries one of them, and together they carry all."""
    planks = {"living": frozenset(range(79)), "den": frozenset(range(79, 123))}
    assert [*carried_words({"A": 100, "B": 50}, planks, "plank")] == [
        "lot A alone does not carry it: 100 planks of 123; of the floors it carries living (79 planks)",
        "lot B alone does not carry it: 50 planks of 123; of the floors it carries den (44 planks)",
        "no floor needs two lots: lot A into living and lot B into den",
    ]
