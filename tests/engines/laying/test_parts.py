"""The parts of the engine, each against the plain way to say the same: joints, pairs, first pieces, stairs, bounds."""

from __future__ import annotations

from itertools import permutations
from random import Random

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH
from crewjobs.engines.laying import bounds
from crewjobs.engines.laying.annealing import Annealing
from crewjobs.engines.laying.first import first_starts, rule_of_thumb
from crewjobs.engines.laying.joints import distance
from crewjobs.engines.laying.layouts import count_planks, faults_between
from crewjobs.engines.laying.model import Kind, Problem, Product, Run
from crewjobs.engines.laying.options import options, split
from crewjobs.engines.laying.pairing import Cut, opened, pack
from crewjobs.engines.laying.search import Search
from crewjobs.engines.laying.stairs import count_stairs
from tests import thorough
from tests.engines.laying.given import floor, inches, product
from tests.engines.laying.rooms import room


def plain(length: int = 48, **rules: int) -> Product:
    """Return a plank in whole inches, cut on whole inches."""
    given = {"kerf": 0, "min_piece": 6, "stagger": 5, "second_row": 2, "step": 1} | rules
    return Product(length=length * INCH, width=5 * INCH, **{name: value * INCH for name, value in given.items()})


def joints(run: Run, start: int, plank: int) -> list[int]:
    """Return all joints of a run, one by one."""
    found, x = [], run.left + start
    while x < run.right:
        found.append(x)
        x += plank
    return found if run.length > plank else []


@given(
    lefts=st.tuples(st.integers(-60, 60), st.integers(-60, 60)),
    lengths=st.tuples(st.integers(10, 300), st.integers(10, 300)),
    starts=st.tuples(st.integers(1, 48), st.integers(1, 48)),
)
def test_the_nearest_joints_are_found(lefts, lengths, starts):
    """The distance of two runs' joints is the least over all pairs of them, None where one run has none."""
    plank = plain()
    one, other = (
        Run(field=0, row=row, left=left * INCH, right=(left + length) * INCH)
        for row, (left, length) in enumerate(zip(lefts, lengths, strict=True))
    )
    first, second = (start * INCH for start in starts)
    if any(run.length > plank.length and start >= run.length for run, start in ((one, first), (other, second))):
        return
    here, there = joints(one, first, plank.length), joints(other, second, plank.length)
    least = min((abs(a - b) for a in here for b in there), default=None)
    assert distance(plank, one, first, other, second) == least


@given(length=st.integers(25, 200), least=st.integers(1, 12))
def test_first_pieces_are_all_that_leave_none_too_short(length: int, least: int):
    """Every first piece on the grid is offered exactly if it and what follows from it keep the shortest piece."""
    plank = plain(24, min_piece=least)
    offered = {one.start // INCH: one for one in options(plank, length * INCH)}
    for start in range(1, 25):
        rest = length - start
        end = rest % 24 or 24
        assert (start in offered) == (start >= least and end >= least and rest >= end)
        if start in offered:
            assert split(plank, length * INCH, start * INCH) == (rest // 24 - (rest % 24 == 0), end * INCH)
            assert offered[start].start + offered[start].full * plank.length + offered[start].end == length * INCH


@given(
    ends=st.lists(st.integers(3, 23), max_size=6),
    starts=st.lists(st.integers(3, 23), max_size=6),
    kerf=st.integers(0, 1),
)
@settings(max_examples=thorough.examples(60, 20))
def test_no_pairing_has_more_pairs_or_more_to_spare(ends: list[int], starts: list[int], kerf: int):
    """As many ends and starts share a plank as in a largest matching, and none with as many has a larger smallest rest."""
    plank = plain(24, kerf=kerf, min_piece=3)
    cuts = [Cut(i, Kind.END, end * INCH) for i, end in enumerate(ends)]
    cuts += [Cut(i, Kind.START, start * INCH) for i, start in enumerate(starts)]
    bins = pack(plank, cuts, parts={})
    graph = nx.Graph()
    pairs = [(i, j) for i, e in enumerate(ends) for j, s in enumerate(starts) if e + s + kerf <= 24]
    graph.add_edges_from((("e", i), ("s", j)) for i, j in pairs)
    matching = len(nx.max_weight_matching(graph, maxcardinality=True))
    assert opened(bins) == len(ends) + len(starts) - matching
    shared = [one for one in bins if len(one.cuts) == 2]
    assert len(shared) == matching
    if matching > 0 and len(ends) <= 4 and len(starts) <= 4:
        rests = [
            min(24 - kerf - e[i] - s[i] for i in range(matching))
            for e in permutations(ends, matching)
            for s in permutations(starts, matching)
        ]
        assert min(one.room for one in shared) == max(rests) * INCH


def test_stairs_are_three_equal_shifts():
    """Four rows whose joints move on by 10 in each are a stair, also over a plank's end; one row out of step and it is none."""
    plank = plain(min_piece=1)
    runs = tuple(Run(field=0, row=row, left=0, right=200 * INCH) for row in range(4))
    problem = Problem(product=plank, runs=runs)
    assert count_stairs(problem, [start * INCH for start in (10, 20, 30, 40)]) == 1
    assert count_stairs(problem, [start * INCH for start in (30, 40, 2, 12)]) == 1
    assert count_stairs(problem, [start * INCH for start in (10, 20, 30, 45)]) == 0


@pytest.mark.parametrize("seed", thorough.of(range(5), (1,)))
def test_bounds_lie_in_order_below_what_is_found(seed: int):
    """Material bounds no higher than prices do, prices no higher than the count, and the count no higher than any layout."""
    random = Random(seed)
    made = floor(product(), room(random, 90, "den"))
    problem = made.problem
    low, middle = bounds.by_material(problem), bounds.by_prices(problem)
    high = bounds.by_counting(problem, effort=0.5).bound
    assert low <= middle <= high
    starts = first_starts(problem)
    if faults_between(problem, starts) == 0:
        assert high <= count_planks(problem, starts)
    thumb = rule_of_thumb(problem)
    assert not thumb.kept or high <= thumb.planks


@given(seed=st.integers(0, 10**6))
@settings(max_examples=thorough.examples(15, 5), deadline=None)
def test_the_annealing_keeps_its_books(seed: int):
    """After any number of moves the failure kept from move to move is the one counted anew, and where it is zero the pairing has
    the planks aimed at."""
    random = Random(seed)
    made = floor(product(random.choice([36, 48]), 7), room(random, 60, "den"))
    problem = made.problem
    annealing = Annealing(problem, seed=seed)
    annealing.aim(bounds.by_material(problem) + random.randint(0, 4))
    annealing.cycle(6, lambda: False)
    kept = annealing.G.copy()
    annealing.aim(annealing.target)
    assert (kept == annealing.G).all()
    if annealing.failure() == 0:
        assert count_planks(problem, annealing.starts(), annealing.parts()) <= annealing.target
    assert (annealing.too_near() == 0) == (faults_between(problem, annealing.starts()) == 0)


@pytest.mark.parametrize("length", [inches(48) + 1, inches(60.3), inches(1220 / 25.4 * 3)])
def test_lengths_off_the_grid_are_cut_exactly(length: int):
    """Whatever a run measures, first pieces on the grid and the piece at the other wall make it up to the unit."""
    plank = Product(length=inches(1220 / 25.4), width=inches(7), min_piece=inches(10))
    for one in options(plank, length):
        assert one.start + one.full * plank.length + one.end == length


def test_a_run_no_cut_can_make_is_refused():
    """Where every cut leaves a piece under the minimum, the sentence names the row and what would be possible."""
    plank = Product(length=inches(48.1), width=inches(7), min_piece=inches(24.05), stagger=inches(7), kerf=0)
    runs = (Run(field=0, row=3, left=0, right=inches(48.1) + 1),)
    with pytest.raises(Refused, match="row 4"):
        Search(Problem(product=plank, runs=runs))
