"""Floors laid in parts: rows begin where it is worked first, each piece is laid once, with the part it lies in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.house import Opening, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.layout import Direction
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.laying.cut_list import cut_list
from crewjobs.engines.laying.directions import WallReason, WayReason
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.model import Layout
from crewjobs.engines.laying.search import Search
from crewjobs.engines.take_off.floors import (
    HouseFloor,
    basis_of,
    house_floor,
    is_current,
    kept,
    planned_anew,
    rest_of,
    told_again,
)
from crewjobs.engines.take_off.parts import laid_with, parts_of, spots_of, stages_of
from tests.engines.take_off.test_fields import PLANK, _job, _room
from tests.engines.take_off.test_floors import NOON

WINDOW, DOOR = ("den", "window half"), ("den", "door half")


def _den(first: str, **said: object) -> Job:
    """A den 16 by 11 ft in halves, one of them worked first, with a closet that is worked with the second."""
    den = replace(
        _room("den", (0, 0), (16, 0), (16, 11), (0, 11)),
        cuts=(("window half", 8 * FOOT), ("door half", 8 * FOOT)),
        **said,  # type: ignore[arg-type]
    )
    closet = _room("closet", (0, 0), (6, 0), (6, 3), (0, 3))
    opening = Opening(
        between=("den", "closet"), width=30 * INCH, transition=Transition.CONTINUOUS, walls=(2, 1), offsets=(FOOT, FOOT)
    )  # fmt: skip
    halves = [[WINDOW], [DOOR]] if first == "window half" else [[DOOR], [WINDOW]]
    halves[1].append(("closet", ""))
    return replace(_job([den, closet], [opening]), stages=tuple(tuple(stage) for stage in halves))


def _laid(job: Job) -> tuple[HouseFloor, Layout]:
    house = house_floor(job, PLANK)
    return house, Search(house.floor.problem).run(rounds=1)


@pytest.mark.parametrize(
    ("first", "rows", "wall"),
    [
        # The window half lies at the room's near end, left on the plan. Rows along the room come to it first when they run from
        # left to right as one faces the starting wall: facing the top wall left is left, facing the bottom one it is right.
        ("window half", Direction.ALONG, Wall.TOP),
        ("door half", Direction.ALONG, Wall.BOTTOM),
        ("window half", Direction.ACROSS, Wall.LEFT),
        ("door half", Direction.ACROSS, Wall.RIGHT),
    ],
)
def test_rows_begin_where_it_is_worked_first(first: str, rows: Direction, wall: Wall) -> None:
    """Whichever way rows run, what is worked first is come to first; told with that reason."""
    house = house_floor(_den(first, rows=rows), PLANK)
    assert house.directions[0].wall is wall
    assert house.directions[0].why_wall is WallReason.WORKED_FIRST
    assert house.directions[0].way is WayReason.ASKED
    assert parts_of(_den(first), house.fields[0])[0].spot == ("den", first)


def test_rows_run_with_the_line_between_halves_where_no_wall_decides() -> None:
    """A square den: no wall is longer, so rows run along the line the halves are cut by."""
    job = _den("window half")
    square = replace(
        _room("den", (0, 0), (12, 0), (12, 12), (0, 12)), cuts=(("window half", 6 * FOOT), ("door half", 6 * FOOT))
    )
    job = replace(job, rooms=(square,), openings=(), stages=((WINDOW,), (DOOR,)))
    house = house_floor(job, PLANK)
    assert house.directions[0].way is WayReason.PARTS
    assert house.directions[0].wall is Wall.LEFT
    assert house_floor(replace(job, stages=((WINDOW, DOOR),)), PLANK).directions[0].way is not WayReason.PARTS


@pytest.mark.parametrize("rows", [Direction.ALONG, Direction.ACROSS])
def test_every_piece_is_laid_once_with_the_part_it_lies_in(rows: Direction) -> None:
    """Pieces by part: their middles lie there on the plan; the cut list has each once, earlier stages first."""
    job = _den("window half", rows=rows)
    house, layout = _laid(job)
    spots = spots_of(job, house.fields, house.floor, layout)
    frame = house.floor.fields[0].frame
    for piece, spot in zip(layout.pieces, spots, strict=True):
        near, far = house.floor.fields[0].row_at(house.floor.problem.runs[piece.run].row)
        x, _ = frame.back(((piece.left + piece.right) // 2, (near + far) // 2))
        by_eye = WINDOW if x < 8 * FOOT else DOOR if x <= 16 * FOOT else ("closet", "")
        if abs(x - 16 * FOOT) > 5 * INCH:  # in the doorway either is near
            assert spot == by_eye
    stages = stages_of(job, spots)
    runs = cut_list(house.floor, layout, stages)
    assert sorted(piece.number for run in runs for piece in run.pieces) == [*range(len(layout.pieces))]
    assert [run.stage for run in runs] == sorted(run.stage for run in runs)
    assert {run.stage for run in runs} == {1, 2}
    opened = 0
    for run in runs:  # planks are numbered as they are opened, and no rest is used before its plank is cut
        for piece in run.pieces:
            if piece.kept:
                assert piece.plank <= opened
            else:
                opened += 1
                assert piece.plank == opened


def test_nothing_is_laid_before_what_it_goes_on_from() -> None:
    """The closet behind the second half is worked with the first: its rows still come after those it goes on from."""
    job = _den("window half", rows=Direction.ACROSS)
    job = replace(job, stages=((WINDOW, ("closet", "")), (DOOR,)))
    house, layout = _laid(job)
    lies = spots_of(job, house.fields, house.floor, layout)
    stages = stages_of(job, laid_with(house.floor, layout, lies, lambda spot: job.stage_of(*spot)))
    laid: set[int] = set()
    for run in cut_list(house.floor, layout, stages):
        for piece in run.pieces:
            here = layout.pieces[piece.number]
            row = house.floor.problem.runs[here.run].row
            onto = {
                i
                for i, other in enumerate(layout.pieces)
                if house.floor.problem.runs[other.run].row == row - 1
                and other.left < here.right
                and here.left < other.right
            }
            assert not onto or onto & laid
            laid.add(piece.number)
    assert len(laid) == len(layout.pieces)
    assert set(stages.values()) == {1, 2}


def test_a_layout_kept_follows_the_order_of_work_until_it_is_begun() -> None:
    """Another half first: the layout is found anew, unless rows of it lie; then it goes on from the wall it began at."""
    job = _den("window half", rows=Direction.ALONG)
    house, layout = _laid(job)
    one = kept(job, house, layout, NOON)
    turned = _den("door half", rows=Direction.ALONG)
    assert is_current(one, job, PLANK)
    assert not is_current(one, turned, PLANK)
    later = replace(job, stages=(*job.stages[:1], (DOOR,), (("closet", ""),)))
    assert basis_of(later, PLANK) != one.basis
    rest, starts = rest_of(job, house, layout, {}, 0, 3, right=0, far=0)
    found = Search(rest.floor.problem, begin=starts).run(rounds=1)
    begun = replace(one, anew=(planned_anew(found, 0, 3, right=0, far=0),))
    assert is_current(begun, turned, PLANK)
    again = house_floor(turned, PLANK, begun=begun.walls)
    assert again.directions[0].wall is house.directions[0].wall
    assert again.directions[0].why_wall is WallReason.KEPT
    assert told_again(turned, again, begun)[1].pieces == found.pieces
