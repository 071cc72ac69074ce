"""What is found a second time in a place, after a way on from the first was taken, is recorded and held like the first."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import OnHold
from crewjobs.domain.house_ready import Other
from tests.services.conftest import Shop, kept
from tests.services.findings.test_found_holds import SUSPECT, make_house

shop = kept(make_house)
CLEAR = {"laboratory": "Bay Analysis", "sampled": "2026-03-02", "sample": "7"}
WAYS = [
    (SUSPECT, "", "proven clear", CLEAR, [Other.INSPECTOR, Other.LABORATORY]),
    ("pests", "", "treated", {"by": "Ines Varga"}, [Other.SPECIALIST]),
    ("mold", "20 ft2", "specialist", {"by": "Ines Varga", "because": "clearance of today"}, [Other.SPECIALIST]),
]


@pytest.mark.parametrize("days", [0, 3])
@pytest.mark.parametrize(("kind", "area", "way", "said", "asked"), WAYS)
def test_a_second_finding_is_held_and_its_people_are_asked_anew(shop: Shop, days, kind, area, way, said, asked) -> None:
    """In the same minute as well as days later; who was asked before stays as it was settled."""
    office = shop.office
    office.found(4, "loft", kind, area=area)
    office.way_on(4, "loft", kind, way, **said)
    settled = shop.record().waiting_on
    if days:
        shop.clock.set(f"2026-03-0{2 + days}", "09:00")
    office.found(4, "loft", kind, area=area and "30 ft2", words="more of it by the chimney")
    after = shop.record()
    assert [one.what for one in after.findings][-1] == "more of it by the chimney"
    assert after.waiting_on[: len(settled)] == settled
    assert [(one.who, one.came_at) for one in after.waiting_on[len(settled) :]] == [(who, None) for who in asked]
    held = next(number for number in after.findings[-1].holds if after.task(number).key.template == "lay-glued-vinyl")
    with pytest.raises(OnHold, match=rf"{kind} found in loft .*no way on is taken"):
        office.tick(4, [held])


@pytest.mark.parametrize(("kind", "area", "way", "said", "asked"), WAYS)
def test_the_second_has_a_way_on_of_its_own_and_undo_takes_back_the_second(shop: Shop, kind, area, way, said, asked):
    """The way on settles whom the second asked; undone step by step, the first stands with its way on."""
    office = shop.office
    office.found(4, "loft", kind, area=area)
    office.way_on(4, "loft", kind, way, **said)
    first = shop.record()
    office.found(4, "loft", kind, area=area, words="more of it by the chimney")
    second = shop.record()
    office.way_on(4, "loft", kind, way, **said)
    after = shop.record()
    assert [one.way for one in after.ways_taken] == [way, way]
    assert all(one.came_at is not None for one in after.waiting_on)
    office.undo()
    assert (shop.record().findings, shop.record().waiting_on) == (second.findings, second.waiting_on)
    office.undo()
    undone = shop.record()
    assert (undone.findings, undone.waiting_on) == (first.findings, first.waiting_on)
    assert (undone.ways_taken, undone.tasks) == (first.ways_taken, first.tasks)


def test_somebody_asked_in_the_same_words_by_hand_does_not_refuse_a_finding(shop: Shop) -> None:
    """What people asked for themselves is in the record first; the finding's asking stands beside it."""
    shop.office.ask(4, "specialist", "licensed pest control: what lives in loft")
    shop.office.found(4, "loft", "pests")
    what = [one.what for one in shop.record().waiting_on]
    assert what == ["licensed pest control: what lives in loft", "licensed pest control: what lives in loft (2)"]
