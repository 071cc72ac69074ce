"""A stage of furniture moves as one drawing, and that drawing in characters."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from itertools import combinations, islice

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.job import Job
from crewjobs.domain.moves import IN_PLACE, Belongs, MovedPiece, MovesPlan, MoveStage, Spot, StageKind, Standing
from crewjobs.domain.units import INCH
from crewjobs.drawing.characters import HATCHES, drawing_text, paint
from crewjobs.drawing.columns import display_width
from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Polygon, Says, Shape, Words, holds
from crewjobs.engines.stages.drawing import drawn, place_words, stage_fills, way_words
from crewjobs.engines.stages.letters import letters
from tests import thorough
from tests.moved_house import DOOR, GARAGE, HALL, STUDY, WINDOW, moved_job, moves_plan
from tests.strategies import jobs

WIDTHS = (120, 80, 40)


def corners(shape: Shape) -> tuple[tuple[int, int], ...]:
    """The outermost points of a shape."""
    if isinstance(shape, Polygon):
        return shape.corners
    if isinstance(shape, Line):
        return (shape.start, shape.end)
    return ((shape.x, shape.y), (shape.x + shape.width, shape.y + shape.depth))


def boxes(drawing: Drawing) -> list[Box]:
    """The pieces' rectangles."""
    return [shape for shape in drawing.shapes if isinstance(shape, Box) and shape.fill is Fill.PIECE]


def marks(drawing: Drawing, width: int) -> set[str]:
    """What stands by itself in the drawing's characters: cut at everything that is no letter."""
    text = "\n".join("".join(run.text for run in row) for row in paint(drawing, width))
    return set("".join(char if char.isalnum() else " " for char in text).split())


@st.composite
def planned(draw: st.DrawFn) -> tuple[Job, MovesPlan]:
    """A job with a plan of one stage: pieces of any size anywhere, also where the house has no room for them now."""
    job = draw(jobs())
    there: list[Spot] = [(room.name, part.name) for room in job.rooms for part in room.sections]
    spots = st.sampled_from([*there, ("container", ""), ("living", "no such part"), IN_PLACE])
    inches = st.integers(0, 200)
    rectangle = st.tuples(inches, inches, st.integers(1, 90), st.integers(1, 60))
    count, first = draw(st.integers(0, 40)), draw(st.sampled_from((0, 0, 20, 24)))
    pieces = tuple(
        MovedPiece(letter=letter, name="piece", belongs=Belongs.FURNITURE, home=IN_PLACE)
        for letter in islice(letters(), first, first + count)
    )
    standing = tuple(
        Standing(piece=number, spot=draw(spots), at=tuple(draw(st.lists(rectangle, max_size=2))))
        for number in range(count)
    )
    worked = tuple(draw(st.lists(st.sampled_from(there), max_size=2, unique=True))) if there else ()
    free = ((draw(spots), (draw(rectangle),)),)
    stage = MoveStage(kind=StageKind.WORK, worked=worked, standing=standing, free=free)
    at = datetime(2026, 3, 1, tzinfo=UTC)
    return job, MovesPlan(at=at, pieces=pieces, stages=(stage,), cost=1, bound=1, proved=False, basis="")


@given(planned(), st.floats(0.5, 3))
@settings(max_examples=thorough.examples(30, 10), deadline=None)
def test_every_shape_lies_on_the_page(given_plan: tuple[Job, MovesPlan], ratio: float) -> None:
    """No corner of any shape or word lies outside the drawing, and all of a tile's shapes lie within their tile."""
    drawing = drawn(*given_plan, 0, ratio=ratio)
    for shape in drawing.shapes:
        tile = drawing.tiles[shape.tile]
        for x, y in corners(shape):
            assert 0 <= x <= drawing.width
            assert 0 <= y <= drawing.depth
            assert tile.x <= x <= tile.x + tile.width
            assert tile.y <= y <= tile.y + tile.depth


@given(planned())
@settings(max_examples=thorough.examples(30, 10), deadline=None)
def test_no_two_pieces_overlap(given_plan: tuple[Job, MovesPlan]) -> None:
    """Rectangles of pieces share no floor, and tiles share none either."""
    drawing = drawn(*given_plan, 0)
    for one, other in (*combinations(boxes(drawing), 2), *combinations(drawing.tiles, 2)):
        apart = one.x + one.width <= other.x or other.x + other.width <= one.x
        assert apart or one.y + one.depth <= other.y or other.y + other.depth <= one.y


@given(planned())
@settings(max_examples=thorough.examples(30, 10), deadline=None)
def test_every_letter_is_found_in_the_characters(given_plan: tuple[Job, MovesPlan]) -> None:
    """At 120, 80 and 40 columns each letter of the legend stands in the drawing by itself, and no line is too wide."""
    drawing = drawn(*given_plan, 0)
    for width in WIDTHS:
        assert {row.letter for row in drawing.legend} <= marks(drawing, width)
        assert max(display_width(line) for line in drawing_text(drawing, width).splitlines()) <= width


@given(jobs(), st.sampled_from(WIDTHS))
@settings(max_examples=thorough.examples(20, 7), deadline=None)
def test_a_house_without_a_plan_shows_all_furniture(job: Job, width: int) -> None:
    """Without stages every piece of the job has a letter in its room, what stays too."""
    drawing = drawn(job, None, 0)
    assert len(drawing.legend) == sum(len(room.furniture) for room in job.rooms)
    assert {row.letter for row in drawing.legend} <= marks(drawing, width)


def test_letters_are_no_figures() -> None:
    """Marks differ, go on after Z, and none can be read as one or nought."""
    found = [*islice(letters(), 700)]
    assert len(set(found)) == 700
    assert found[0] == "A"
    assert not set("".join(found)) & set("IO")


@pytest.mark.parametrize(
    ("stage", "expected"),
    [
        (0, {WINDOW: Fill.LATER, DOOR: Fill.LATER, GARAGE: Fill.UNUSED}),
        (1, {WINDOW: Fill.WORKED, DOOR: Fill.LATER, GARAGE: Fill.KEPT, STUDY: Fill.LATER, ("bath", ""): Fill.UNUSED}),
        (2, {WINDOW: Fill.LAID, DOOR: Fill.WORKED, HALL: Fill.WORKED}),
        (3, {WINDOW: Fill.LAID, DOOR: Fill.LAID, STUDY: Fill.WORKED}),
        (4, {STUDY: Fill.LAID, GARAGE: Fill.UNUSED}),
    ],
)
def test_each_section_has_its_state(stage: int, expected: dict[Spot, Fill]) -> None:
    """Worked now, laid before, worked later, keeping things or not used, stage by stage."""
    fills = stage_fills(moved_job(), moves_plan(), stage)
    assert {spot: fills[spot] for spot in expected} == expected


def test_a_glued_floor_cures_in_the_stage_after() -> None:
    """Where the floor is glued nobody walks on it in the next stage, nor while it is waited for; a floating one is laid."""
    job, plan = moved_job(), moves_plan()
    glued = replace(plan, stages=(*plan.stages[:4], MoveStage(kind=StageKind.WAIT), plan.stages[4]))
    assert stage_fills(job, glued, 4)[STUDY] is Fill.CURES
    assert stage_fills(job, glued, 4)[DOOR] is Fill.LAID
    assert stage_fills(job, glued, 5)[STUDY] is Fill.LAID


def test_what_is_known_better_outranks_the_plan() -> None:
    """A state that facts give is drawn in place of the planned one."""
    drawing = drawn(moved_job(), moves_plan(), 1, states={DOOR: Fill.CURES})
    assert Fill.CURES in drawing.fills


def test_rooms_that_matter_are_drawn() -> None:
    """The bath holds nothing and is left out; hall, living, study and garage are there, the study with its missing corner."""
    drawing = drawn(moved_job(), moves_plan(), 1)
    assert [tile.name for tile in drawing.tiles] == ["living", "hall", "study", "garage"]
    (study,) = (s for s in drawing.shapes if isinstance(s, Polygon) and drawing.tiles[s.tile].name == "study")
    assert len(study.corners) == 6


def test_one_scale_for_all_rooms() -> None:
    """A foot is as long in every room: tiles keep the inches of their rooms."""
    inner = {tile.name: tile.inner[2:] for tile in drawn(moved_job(), moves_plan(), 1).tiles}
    assert inner == {"living": (222, 158), "hall": (160, 56), "study": (132, 120), "garage": (240, 132)}


def test_openings_say_where_they_lead_and_never_north() -> None:
    """Each opening of a room is a label below it with its steps."""
    said = [w.text for w in drawn(moved_job(), moves_plan(), 1).shapes if isinstance(w, Words)]
    assert {"to hall", "to outside", "to garage, 2 steps", "stays: upright piano"} <= set(said)
    assert not any("north" in text for text in said)


def test_states_differ_without_color() -> None:
    """Every state that a section can have is another character."""
    states = [fill for fill in Fill if fill not in (Fill.PIECE, Fill.WHOLE, Fill.CUT, Fill.CUT_ALONE, Fill.CUT_ONWARD)]
    assert len({HATCHES[fill] for fill in states}) == len(states)


def test_a_piece_stands_where_the_plan_says() -> None:
    """The second armchair's rectangle is the plan's, moved to the corner of its section."""
    drawing = drawn(moved_job(), moves_plan(), 1)
    living = drawing.tiles[0]
    found = {(box.x - living.inner[0], box.y - living.inner[1]) for box in boxes(drawing) if box.tile == 0}
    assert {(111, 0), (111 + 34, 0), (111, 34), (111 + 48, 34)} == found


def test_what_no_longer_fits_is_listed() -> None:
    """Where a room was measured smaller since, a piece is not drawn through the wall: its letter stands below the room."""
    plan = moves_plan()
    far = replace(plan.stages[1].standing[0], at=((230, 0, 84, 36),))
    stage = replace(plan.stages[1], standing=(far, *plan.stages[1].standing[1:]))
    drawing = drawn(moved_job(), replace(plan, stages=(stage,)), 0)
    notes = [w.text for w in drawing.shapes if isinstance(w, Words) and w.says is Says.NOTE]
    assert "also here: A" in notes


def test_ways_of_things_that_take_no_floor() -> None:
    """Cartons come from the truck and are laid; a door comes off its hinges and goes back."""
    cartons = MovedPiece(letter="A", name="cartons", belongs=Belongs.CARTONS, home=IN_PLACE)
    door = replace(cartons, belongs=Belongs.DOOR)
    assert way_words(cartons, IN_PLACE, DOOR) == ("the truck", "living, door half")
    assert way_words(cartons, DOOR, IN_PLACE) == ("living, door half", "laid")
    assert way_words(door, GARAGE, IN_PLACE) == ("garage", "its hinges")
    assert place_words(HALL) == "hall"


def test_few_lines_make_a_smaller_drawing() -> None:
    """With fewer lines to stand in, the drawing is smaller and keeps every letter."""
    drawing = drawn(moved_job(), moves_plan(), 2)
    tall, flat = paint(drawing, 76), paint(drawing, 76, 20)
    assert len(flat) < len(tall)
    assert {row.letter for row in drawing.legend} <= marks(drawing, 76)


def test_nothing_stands_in_the_missing_corner() -> None:
    """A rectangle in the corner that an L of a room has not is no place in it, nor one that a wall runs through."""
    ring = ((0, 0), (132, 0), (132, 72), (84, 72), (84, 120), (0, 120))
    assert holds(ring, (0, 72, 84, 48))
    assert holds(ring, (84, 0, 48, 72))
    assert not holds(ring, (90, 80, 20, 20))
    assert not holds(ring, (70, 60, 30, 30))
    assert not holds(((0, 0), (100, 0), (0, 100)), (10, 10, 60, 60))


def test_a_floor_cures_for_as_many_stages_as_are_said() -> None:
    """With two stages of cure a section is kept off for two stages after its own, and no longer; home, all is laid.

    What a plan has things stand on has cured by then, since it was found by what was ticked.
    """
    job, plan = moved_job(), moves_plan()
    assert stage_fills(job, plan, 2, {WINDOW: 2})[WINDOW] is Fill.LAID
    off = [replace(one, standing=tuple(s for s in one.standing if s.spot != WINDOW)) for one in plan.stages]
    plan = replace(plan, stages=tuple(off))
    cures = {WINDOW: 2}
    assert [stage_fills(job, plan, stage, cures)[WINDOW] for stage in range(5)] == [
        Fill.LATER,
        Fill.WORKED,
        Fill.CURES,
        Fill.CURES,
        Fill.LAID,
    ]
    assert stage_fills(job, plan, 2, {WINDOW: 1})[WINDOW] is Fill.CURES
    assert stage_fills(job, plan, 3, {WINDOW: 1})[WINDOW] is Fill.LAID


@pytest.mark.parametrize("width", WIDTHS)
def test_letters_of_narrow_pieces_do_not_touch(width: int) -> None:
    """Doors and rows of cartons stand close: each keeps a letter of its own, none is read together with the next."""
    plan = moves_plan()
    narrow = tuple((8 * n, 0, 8, 60) for n in range(12))
    pieces = tuple(
        MovedPiece(letter=letter, name="door", belongs=Belongs.DOOR, home=IN_PLACE)
        for letter in islice(letters(), len(narrow))
    )
    standing = tuple(Standing(piece=n, spot=GARAGE, at=(at,)) for n, at in enumerate(narrow))
    stage = MoveStage(kind=StageKind.WORK, worked=(WINDOW,), standing=standing)
    drawing = drawn(moved_job(), replace(plan, pieces=pieces, stages=(stage,)), 0)
    assert set(islice(letters(), len(narrow))) <= marks(drawing, width)


def test_a_mark_of_two_letters_stays_within_its_room() -> None:
    """A small piece against the wall, of any width and depth, whose mark is as wide as the piece: it is drawn at any width."""
    plan, job = moves_plan(), moved_job()
    wide = _wide_of(job)
    for size in range(8, 44, 4):
        piece = MovedPiece(letter="AB", name="box", belongs=Belongs.FURNITURE, home=IN_PLACE)
        standing = Standing(piece=0, spot=GARAGE, at=((wide - size, 0, size, size),))
        stage = MoveStage(kind=StageKind.WORK, worked=(WINDOW,), standing=(standing,))
        drawing = drawn(job, replace(plan, pieces=(piece,), stages=(stage,)), 0)
        for width in range(24, 132, 4):
            assert "AB" in marks(drawing, width)


def _wide_of(job: Job) -> int:
    return job.room(GARAGE[0]).outline.size[0] // INCH
