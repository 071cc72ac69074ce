"""Sections named by other tables of a job file: in stages, where rows start, and where openings lead.

They are spelled as the place is told, ``living: window half``, or as a table, ``{ room = "living", section = "window half" }``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from cattrs import Converter

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import USUAL_THROAT, Opening, Room, Transition
from crewjobs.domain.units import quoted
from crewjobs.files.faults import At
from crewjobs.files.job_text import part_text
from crewjobs.files.tables import Length
from crewjobs.files.values import LARGEST, LINE, nearest, read_text, read_whole, shown

_THROAT: Final = Length(USUAL_THROAT)


@dataclass(frozen=True, slots=True, kw_only=True)
class StagePart:
    """A section of a stage, spelled as a table."""

    room: str
    section: str = ""


Named = str | StagePart
Spot = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningTable:
    """An opening as its table spells it."""

    between: tuple[Named, Named]
    width: int
    door: bool = True
    transition: Transition = Transition.T_MOLD
    rated: bool = False
    distance: Length | None = None
    steps: int = 0
    walls: tuple[int, int] = (0, 0)
    offsets: tuple[int, int] = (0, 0)
    throat: Length = _THROAT
    which: str = ""
    gap: Length | None = None

    def value(self) -> Opening:
        """Return the opening; a section spelled in the place of a room is found later, when rooms are known."""
        ends = [(end.room, end.section) if isinstance(end, StagePart) else (end, "") for end in self.between]
        return Opening(
            between=(ends[0][0], ends[1][0]),
            parts=(ends[0][1], ends[1][1]),
            width=self.width,
            door=self.door,
            transition=self.transition,
            rated=self.rated,
            distance=self.distance,
            steps=self.steps,
            walls=self.walls,
            offsets=self.offsets,
            throat=self.throat,
            which=self.which,
            gap=self.gap,
        )


def read_between(made: Converter, value: object) -> tuple[Named, Named]:
    """Return the two ends of an opening."""
    if not isinstance(value, list) or len(value) != 2:
        raise Refused(
            f'{shown(value)} does not name two rooms: write between = ["hall", "bath"] or ["hall", "outside"].'
        )
    one, other = (_named(made, end) for end in value)
    return one, other


def read_walls(value: object, _: object) -> tuple[int, int]:
    """Return the walls an opening is in, one of each room it joins; 0 for outside, or where it is not known."""
    if not isinstance(value, list) or len(value) != 2:
        raise Refused(
            'walls are one for each of the two sides, in the order of between, such as walls = [2, 0] with offsets = ["2\'", "0"], '
            "counted along each room's corners (0: outside, or not known)."
        )
    return read_whole(value[0], 0, LARGEST), read_whole(value[1], 0, LARGEST)


def _named(made: Converter, value: object) -> Named:
    if isinstance(value, dict):
        part: StagePart = made.structure(value, StagePart)
        return part
    return read_text(value, 2 * LINE + 2, empty=False)


def led(openings: Sequence[Opening], rooms: Sequence[Room]) -> tuple[Opening, ...]:
    """Return the openings with ``living: window half`` as the room living and its section."""
    known = known_parts([(room.name, part.name) for room in rooms for part in room.sections])
    found = []
    for opening in openings:
        one, other = (
            (name, part) if part else known.get(name, (name, ""))
            for name, part in zip(opening.between, opening.parts, strict=True)
        )
        found.append(replace(opening, between=(one[0], other[0]), parts=(one[1], other[1])))
    return tuple(found)


def known_parts(parts: Sequence[Spot]) -> dict[str, Spot]:
    """Return sections by how a job file spells them; a room's own name comes before a section spelled alike."""
    return {part_text(*part): part for part in parts} | {room: (room, "") for room, _ in parts}


def staged(
    stages: Sequence[Sequence[Named]], rooms: Sequence[Room], key: str = "stages"
) -> tuple[tuple[Spot, ...], ...]:
    """Return the stages with each part as room and section; it may be spelled as the place is.

    Raises:
        Refused: with every part that no room has.
    """
    known = {part_text(room.name, part.name): (room.name, part.name) for room in rooms for part in room.sections}
    faults: list[str] = []
    found: list[tuple[Spot, ...]] = []
    for stage in stages:
        parts: list[Spot] = []
        for part in stage:
            if isinstance(part, StagePart):
                parts.append((part.room, part.section))
            elif part in known:
                parts.append(known[part])
            else:
                near = nearest(part, list(known))
                hint = f"did you mean {quoted(near)}?" if near else f"there are {', '.join(map(quoted, known))}."
                faults.append(f"{quoted(part)} is no section of this job; {hint}")
        found.append(tuple(parts))
    if faults:
        raise At(key, Refused(faults))
    return tuple(found)


def started(starts: Sequence[Named], rooms: Sequence[Room]) -> tuple[Spot, ...]:
    """Return where rows may begin, each as room and section.

    Raises:
        Refused: with every place that no room has.
    """
    return staged([starts], rooms, "starts")[0]


def stages_hook(made: Converter) -> Any:
    """Return the reader of the key `stages`."""

    def read(value: object, _: object) -> tuple[tuple[Named, ...], ...]:
        if not isinstance(value, list) or not all(isinstance(stage, list) for stage in value):
            raise Refused(
                'stages are lists of rooms and sections, such as [["living: window half"], ["hall", "bath"]].'
            )
        return tuple(tuple(_staged_part(made, part) for part in stage) for stage in value)

    return read


def starts_hook(made: Converter) -> Any:
    """Return the reader of the key `starts`."""

    def read(value: object, _: object) -> tuple[Named, ...]:
        if not isinstance(value, list):
            raise Refused('starts is a list of rooms and sections, such as ["living: window half"].')
        return tuple(_staged_part(made, part) for part in value)

    return read


def _staged_part(made: Converter, part: object) -> Named:
    if isinstance(part, dict):
        found: StagePart = made.structure(part, StagePart)
        return found
    return read_text(part, 2 * LINE + 2)
