"""An invented house with people in it, and furniture stages for it made by hand: what drawings and pages are tested with."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.moves import (
    IN_PLACE,
    Belongs,
    Carried,
    MovedPiece,
    MovesPlan,
    MoveStage,
    Spot,
    StageKind,
    Standing,
)
from crewjobs.files.job_file import read_job

JOB = """
number = 21
title = "Living room in halves, study and hall"
state = "booked"
stages = [["living: window half"], ["living: door half", "hall"], ["study"]]
[customer]
name = "Odalys Brandt"
[site]
address = "14 Mill Lane, Marrow Bend"
year_built = 1987
zone = "America/Chicago"
hours = { mon-fri = "7:00-17:00" }
[[room]]
name = "living"
length = "18' 6"
width = "13' 2"
sections = [{ name = "window half", length = "9' 3" }, { name = "door half" }]
layers = ["carpet"]
floor = "harbor plank"
furniture = [
  { name = "sofa", people = 2, section = "window half" },
  { name = "bookcase", people = 2, section = "window half" },
  { name = "armchair", count = 2, section = "door half" },
  { name = "low table", section = "door half" },
  { name = "upright piano", people = 4, stays = true },
]
[[room]]
name = "hall"
length = "13' 4"
width = "4' 8"
layers = ["carpet"]
floor = "harbor plank"
furniture = ["hall bench"]
[[room]]
name = "study"
corners = [["0", "0"], ["11'", "0"], ["11'", "6'"], ["7'", "6'"], ["7'", "10'"], ["0", "10'"]]
layers = ["carpet"]
floor = "mist sheet"
furniture = [{ name = "desk", people = 2 }]
[[room]]
name = "garage"
length = "20'"
width = "11'"
keeps = "furniture"
[[room]]
name = "bath"
length = "8'"
width = "5'"
keeps = "nothing"
[[opening]]
between = ["living", "hall"]
width = "60 in"
door = false
transition = "continuous"
[[opening]]
between = ["hall", "outside"]
width = "36 in"
door = false
transition = "threshold"
[[opening]]
between = ["hall", "study"]
width = "30 in"
[[opening]]
between = ["hall", "garage"]
width = "32 in"
steps = 2
[[opening]]
between = ["hall", "bath"]
width = "28 in"
[[material]]
name = "harbor plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.6 ft2"
[[material]]
name = "mist sheet"
kind = "sheet vinyl"
roll = "12 ft"
"""

WINDOW, DOOR = ("living", "window half"), ("living", "door half")
HALL, STUDY, GARAGE = ("hall", ""), ("study", ""), ("garage", "")
_PIECES = (
    ("sofa", Belongs.FURNITURE, WINDOW, 2, ((84, 36),)),
    ("bookcase", Belongs.FURNITURE, WINDOW, 2, ((36, 12),)),
    ("2 armchairs", Belongs.FURNITURE, DOOR, 1, ((34, 34), (34, 34))),
    ("low table", Belongs.FURNITURE, DOOR, 1, ((48, 24),)),
    ("hall bench", Belongs.FURNITURE, HALL, 1, ((48, 16),)),
    ("desk", Belongs.FURNITURE, STUDY, 2, ((60, 30),)),
    ("14 cartons of harbor plank", Belongs.CARTONS, IN_PLACE, 1, ((48, 30),)),
)
_STAND: tuple[tuple[StageKind, tuple[Spot, ...], tuple[Spot, ...]], ...] = (
    (StageKind.CARRY_IN, (), (WINDOW, WINDOW, DOOR, DOOR, HALL, STUDY, DOOR)),
    (StageKind.WORK, (WINDOW,), (GARAGE, GARAGE, DOOR, DOOR, HALL, STUDY, DOOR)),
    (StageKind.WORK, (DOOR, HALL), (WINDOW, WINDOW, WINDOW, GARAGE, GARAGE, STUDY, WINDOW)),
    (StageKind.WORK, (STUDY,), (WINDOW, WINDOW, DOOR, DOOR, HALL, GARAGE, IN_PLACE)),
    (StageKind.HOME, (), (WINDOW, WINDOW, DOOR, DOOR, HALL, STUDY, IN_PLACE)),
)
_WIDE = {WINDOW: 111, DOOR: 111, HALL: 160, STUDY: 84, GARAGE: 240}


def moved_job() -> Job:
    """A living room in halves, a hall and an L of a study to be floored; a garage keeps furniture, a bath nothing."""
    return read_job(JOB, "moved house")


def moves_plan() -> MovesPlan:
    """Carry-in, three moves, everything home; nothing stands on anything, and what is worked is empty."""
    pieces = tuple(
        MovedPiece(letter=letter, name=name, belongs=belongs, home=home, people=people, covers=covers)
        for letter, (name, belongs, home, people, covers) in zip("ABCDEFG", _PIECES, strict=True)
    )
    stages: list[MoveStage] = []
    before: tuple[Spot, ...] = tuple(piece.home for piece in pieces)
    for kind, worked, spots in _STAND:
        carried = tuple(
            Carried(piece=number, start=start, to=to, minutes=4.5 * pieces[number].people)
            for number, (start, to) in enumerate(zip(before, spots, strict=True))
            if start != to
        )
        walked = ((HALL, ((0, 0, 32, 56),)),) if kind is StageKind.WORK and HALL not in worked else ()
        stages.append(
            MoveStage(kind=kind, worked=worked, carried=carried, standing=_standing(pieces, spots), free=walked)
        )
        before = spots
    down = replace(stages[2].carried[0], down=True)
    stages[2] = replace(stages[2], carried=(down, *stages[2].carried[1:]))
    return MovesPlan(
        at=datetime(2026, 3, 1, 18, 0, tzinfo=UTC),
        pieces=pieces,
        stages=tuple(stages),
        cost=420.0,
        bound=420.0,
        proved=True,
        basis="as measured",
        taken_as=("The armchairs are taken as 34 in × 34 in each: nothing was said of their size.",),
    )


def moved_record() -> JobRecord:
    """The job with its stages in force, nothing done yet."""
    return JobRecord(job=moved_job(), moves=(moves_plan(),))


def _standing(pieces: tuple[MovedPiece, ...], spots: tuple[Spot, ...]) -> tuple[Standing, ...]:
    """Set pieces side by side in rows from the far corner of each section, a way of 32 in free at its near end in a hall."""
    ends: dict[Spot, tuple[int, int, int]] = {}
    found: list[Standing] = []
    for number, (piece, spot) in enumerate(zip(pieces, spots, strict=True)):
        if spot == IN_PLACE:
            continue
        at: list[tuple[int, int, int, int]] = []
        for width, depth in piece.covers:
            x, y, high = ends.get(spot, (40 if spot == HALL else 0, 0, 0))
            if x + width > _WIDE[spot]:
                x, y, high = 0, y + high, 0
            at.append((x, y, width, depth))
            ends[spot] = (x + width, y, max(high, depth))
        found.append(Standing(piece=number, spot=spot, at=tuple(at)))
    return tuple(found)
