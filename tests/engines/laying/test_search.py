"""The search: layouts that can be laid, as few planks as the judges say, and never more than the rule of thumb."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH
from crewjobs.engines.laying import bounds, search
from crewjobs.engines.laying.first import rule_of_thumb
from crewjobs.engines.laying.floors import Laid, floor_of
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.model import Layout, Offcut, Problem, Product, Profile, Run, Status
from crewjobs.engines.laying.patterns import turned
from crewjobs.engines.laying.search import Search
from tests import thorough
from tests.engines.laying.checker import Piece, faults
from tests.engines.laying.cutting_stock import fewest
from tests.engines.laying.given import field, floor, inches, product, rectangle
from tests.engines.laying.instances import judged, read_instance, room_of, rules_of
from tests.engines.laying.rooms import room

DATA = Path(__file__).parents[2] / "data/laying"
FILES = sorted(DATA.glob("*.json"))
FEW = 6
"""Rounds in which small floors are done."""


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_reference_rooms_take_their_published_minimum(path: Path):
    """Both rooms are laid with the published fewest planks, which is proved (tests/data/laying, `expected`)."""
    read = read_instance(path)
    layout = Search(read.floor.problem).run(rounds=FEW)
    assert layout.planks == read.expected["min_planks"]
    assert layout.status is Status.PROVED
    assert judged(read.floor, layout) == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_runs_and_rips_are_those_of_the_file(path: Path):
    """From the outline alone the same first row is chosen and the same runs follow as the file lists."""
    read = read_instance(path)
    rows = read.floor.fields[0]
    own = floor_of(read.floor.problem.product, [Laid(field=rows.field)])
    assert own.fields[0].rips.widths == rows.rips.widths
    assert list(own.problem.runs) == read.given_runs


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_judge_accepts_the_witness_and_sees_faults(path: Path):
    """The file's own layout has no fault; with a piece left out, shortened, or taken from another's plank it has."""
    read = read_instance(path)
    rooms, rules = [room_of(rows) for rows in read.floor.fields], rules_of(read.floor.problem.product)
    pieces = [Piece(**one) for one in read.witness]
    planks = read.expected["min_planks"]
    assert faults(rooms, rules, pieces, planks) == []
    first = pieces[0]
    for wrong in (
        pieces[1:],
        [Piece(first.run, first.row, first.kind, first.x_from, first.x_to - 1, first.plank), *pieces[1:]],
        [Piece(first.run, first.row, first.kind, first.x_from, first.x_to, pieces[1].plank), *pieces[1:]],
    ):
        assert faults(rooms, rules, wrong, planks)


@given(seed=st.integers(0, 10**6), length=st.sampled_from([36, 48, 60, 72.5]), wall=st.sampled_from(list(Wall)))
@settings(max_examples=thorough.examples(8, 4), deadline=None)
def test_layouts_of_random_rooms_can_be_laid(seed: int, length: float, wall: Wall):
    """Whatever the room, every layout told is without fault, never worse than the one before, above the bound and the first no
    worse than the rule of thumb where that keeps the rules."""
    random = Random(seed)
    plank = product(length, random.choice([5, 7, 9]), min_piece=random.choice([8, 10]))
    made = floor(plank, room(random, random.uniform(50, 150), "den"), wall=wall)
    told: list[Layout] = []
    layout = Search(made.problem, seed=seed).run(rounds=2, found=told.append)
    assert told[-1] == layout
    for one in told:
        assert judged(made, one) == []
        assert one.bound <= one.planks
        assert (one.status is Status.PROVED) == (one.bound == one.planks)
    assert all(after.planks <= before.planks for before, after in pairwise(told))
    thumb = rule_of_thumb(made.problem)
    assert not thumb.kept or told[0].planks <= thumb.planks


def _tiny(seed: int, *, click: bool = True) -> tuple[Problem, dict[str, int]]:
    """Return a few runs on whole inches, cut on whole inches, so that the judge can look at every piece."""
    random = Random(seed)
    length = random.choice([20, 24, 30])
    kerf = random.choice([0, 1])
    least = random.choice([4, 6])
    stagger, second = random.choice([3, 5]), random.choice([0, 1, 2, 6])
    plank = Product(
        length=length * INCH,
        width=5 * INCH,
        kerf=kerf * INCH,
        min_piece=least * INCH,
        stagger=stagger * INCH,
        second_row=second * INCH,
        step=INCH,
        profile=Profile.CLICK if click else Profile.NONE,
    )
    wide = random.randint(length + 1, 2 * length + 8)
    runs: list[tuple[int, int, int]] = []
    for row in range(random.choice([3, 4])):
        if random.random() < 0.3:
            runs += [(row, 0, random.randint(5, length)), (row, length + 8, length + 8 + random.randint(5, length))]
        else:
            runs.append((row, random.choice([0, 0, 3]), wide))
    problem = Problem(
        product=plank,
        runs=tuple(Run(field=0, row=row, left=left * INCH, right=right * INCH) for row, left, right in runs),
    )
    limits = {"length": length, "kerf": kerf, "least": least, "stagger": stagger, "second": second}
    return problem, limits


@pytest.mark.parametrize("seed", thorough.of(range(24), (0, 3, 4, 5, 7, 8)))
def test_small_floors_take_what_a_general_cutting_stock_model_says(seed: int):
    """On small floors the planks are the minimum of a model with every piece, plank and joint in it, and the bounds below it."""
    problem, limits = _tiny(seed)
    runs = [(run.row, run.left // INCH, run.right // INCH) for run in problem.runs]
    exact = fewest(runs, click=True, most=2 * len(runs), **limits)
    if exact is None:
        with pytest.raises(Refused, match="joints"):
            Search(problem).run(rounds=FEW)
        return
    layout = Search(problem).run(rounds=12)
    assert layout.planks == exact
    assert bounds.by_material(problem) <= bounds.by_prices(problem) <= exact
    assert bounds.by_counting(problem, effort=5.0).bound <= exact


@pytest.mark.parametrize("seed", thorough.of(range(12), (1, 2, 3, 6, 8, 9)))
def test_offcuts_at_hand_are_used_as_well_as_they_can_be(seed: int):
    """With offcuts at hand the new planks are the minimum of the model in which they are planks that cost nothing."""
    problem, limits = _tiny(100 + seed)
    random = Random(seed)
    at_hand = [(random.randint(6, limits["length"] - 2), random.random() < 0.6) for _ in range(random.randint(1, 3))]
    offcuts = tuple(Offcut(label="rest", length=length * INCH, starts=starts) for length, starts in at_hand)
    problem = replace(problem, offcuts=offcuts)
    runs = [(run.row, run.left // INCH, run.right // INCH) for run in problem.runs]
    exact = fewest(runs, click=True, most=2 * len(runs), offcuts=at_hand, **limits)
    if exact is None:
        with pytest.raises(Refused, match="joints"):
            Search(problem).run(rounds=FEW)
        return
    layout = Search(problem).run(rounds=12)
    assert layout.planks == exact
    assert bounds.by_material(problem) <= bounds.by_prices(problem) <= exact
    assert bounds.by_counting(problem, effort=5.0).bound <= exact


@pytest.mark.parametrize("seed", thorough.of(range(8), 5))
def test_square_ends_never_take_less_than_the_model_says(seed: int):
    """With square ends the bound is below the exact minimum, and the layout not under it nor above the click layout's."""
    problem, limits = _tiny(seed, click=False)
    runs = [(run.row, run.left // INCH, run.right // INCH) for run in problem.runs]
    exact = fewest(runs, click=False, most=2 * len(runs), **limits)
    assert exact is not None
    layout = Search(problem).run(rounds=FEW)
    assert layout.bound <= exact <= layout.planks


@settings(max_examples=thorough.examples(400, 40), deadline=None)
@given(st.lists(st.integers(min_value=10, max_value=48), min_size=1, max_size=9))
def test_pieces_from_wall_to_wall_take_no_fewer_than_their_bound(lengths: list[int]):
    """Against every way to put so few pieces together (a plank takes them with a cut of 1/8 in each)."""
    plank = product(48, 7)
    runs = tuple(Run(field=0, row=row, left=0, right=inches(length)) for row, length in enumerate(lengths))
    sizes = sorted((8 * length + 1 for length in lengths), reverse=True)

    def fits(at: int, rooms: list[int], most: int) -> bool:
        if at == len(sizes):
            return True
        for number in range(len(rooms)):
            if rooms[number] >= sizes[at] and rooms[number] not in rooms[:number]:
                rooms[number] -= sizes[at]
                if fits(at + 1, rooms, most):
                    return True
                rooms[number] += sizes[at]
        if len(rooms) < most:
            rooms.append(48 * 8 + 1 - sizes[at])
            if fits(at + 1, rooms, most):
                return True
            rooms.pop()
        return False

    least = next(most for most in range(1, len(sizes) + 1) if fits(0, [], most))
    problem = Problem(product=plank, runs=runs)
    assert bounds.by_material(problem) <= least
    assert bounds.by_whole_pieces(problem) <= least
    layout = Search(problem).run(rounds=1)
    assert layout.planks >= least >= layout.bound


def test_the_same_seed_and_rounds_give_the_same_layout():
    """The search depends on nothing but the problem, the seed and the number of rounds."""
    made = floor(product(), rectangle(171.5, 100))
    once, again = (Search(made.problem, seed=3).run(rounds=3) for _ in range(2))
    assert once == again


def test_a_search_that_is_stopped_at_once_has_a_layout():
    """Stopped before its first round the search still returns a layout that can be laid."""
    made = floor(product(), room(Random(5), 300, "den"))
    layout = Search(made.problem).run(stop=lambda: True)
    assert judged(made, layout) == []


def test_without_the_solver_layouts_are_found_all_the_same(monkeypatch: pytest.MonkeyPatch):
    """Where the solver is not installed bounds by prices and the annealing do."""
    monkeypatch.setattr(search, "available", lambda: False)
    monkeypatch.setattr(bounds, "library", None)
    made = floor(product(), room(Random(8), 200, "den"))
    layout = Search(made.problem).run(rounds=4)
    assert judged(made, layout) == []
    assert layout.planks <= rule_of_thumb(made.problem).planks


def test_the_engine_loads_nothing_heavy_until_it_is_used():
    """Importing the doors of the engine loads neither numpy nor shapely nor the solver."""
    doors = "search, floors, cut_list, replanning, fixtures, directions, tiles, patterns, mixed_lengths"
    code = f"from crewjobs.engines.laying import {doors}; import sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert {"numpy", "shapely", "ortools"}.isdisjoint(done.stdout.split())


def test_fields_of_one_product_share_planks():
    """Two fields laid together can be laid, and take no more planks than the two apart."""
    plank = product()
    one, other = rectangle(100, 70, "den"), rectangle(121, 49, "hall")
    together = floor(plank, one, other)
    layout = Search(together.problem).run(rounds=FEW)
    assert judged(together, layout) == []
    apart = sum(Search(floor(plank, each).problem).run(rounds=FEW).planks for each in (one, other))
    assert layout.planks <= apart


def test_angled_and_diagonal_floors_can_be_laid():
    """Slanted walls, and a floor turned by 45°, are covered without gap or overlap."""
    for shape in (field([(0, 0), (120, 0), (160, 60), (160, 110), (0, 130)]), turned(rectangle(110, 90))):
        made = floor(product(), shape)
        assert judged(made, Search(made.problem).run(rounds=2)) == []


def test_more_forgiving_cuts_cost_no_plank():
    """Rounds after the proof keep the planks; the smallest rest, the stairs and the joints never get worse."""
    made = floor(product(), rectangle(171.5, 120))
    told: list[Layout] = []
    layout = Search(made.problem).run(rounds=14, found=told.append)
    fewest_planks = [one for one in told if one.planks == layout.planks]
    ranks = [(-one.stairs, min(one.spare or 0, 2 * INCH), one.stagger or 0) for one in fewest_planks]
    assert ranks == sorted(ranks)
    assert layout.stairs == 0
    assert judged(made, layout) == []


def test_no_stagger_that_no_start_can_keep_is_promised():
    """Joints farther apart than half a plank, or pieces longer than that, are refused with what is possible."""
    with pytest.raises(Refused, match="is the most"):
        product(48, 7, stagger=25)
    with pytest.raises(Refused, match="is the most"):
        product(48, 7, min_piece=25)
    with pytest.raises(Refused, match="carton"):
        Product(length=inches(48), width=inches(7), per_carton=0)


@pytest.mark.parametrize("stagger", [24, 23.5])
def test_joints_half_a_plank_apart_meet_those_of_every_other_row(stagger: float):
    """Both ways from a joint lead at most 48 - 2 x stagger past it two rows on: nearer than 2 in is refused, at once and by name."""
    plank = product(48, 7, stagger=stagger)
    runs = tuple(Run(field=0, row=row, left=0, right=inches(200)) for row in range(3))
    with pytest.raises(Refused, match=r"an H pattern\); 1' 11\" is the most"):
        Search(Problem(product=plank, runs=runs)).run(rounds=1)
    assert Search(Problem(product=plank, runs=runs[:2])).run(rounds=1).planks
    most = replace(plank, stagger=inches(23))
    assert Search(Problem(product=most, runs=runs)).run(rounds=3).second >= inches(2)


def test_rows_that_allow_one_joint_only_are_refused():
    """Two rows just over a plank long, whose only joints cannot lie apart, have no layout: one sentence says what can change."""
    plank = product(48, 7, min_piece=24, stagger=8)
    runs = tuple(Run(field=0, row=row, left=0, right=inches(49)) for row in range(2))
    with pytest.raises(Refused, match='rows 1 and 2 come at most 1" apart') as refused:
        Search(Problem(product=plank, runs=runs)).run(rounds=1)
    assert len(refused.value.sentences) == 1
    nearer = replace(plank, stagger=inches(1))
    assert Search(Problem(product=nearer, runs=runs)).run(rounds=1).planks == 4
