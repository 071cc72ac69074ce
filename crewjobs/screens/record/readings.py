"""What a meter showed: the air of a room, a logger's file, boards, subfloor, slab, a floor's surface."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.screens.ask_text import WHEN
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import NOT_YET
from crewjobs.screens.record.form import Blank, Filled, Form, Note, Pick, Press
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem

_AIR = "air"
_NO_ROOM = "none: the house, or the only one it can be"
_KINDS = (
    ("Air of a room", _AIR),
    ("Boards, moisture", "boards"),
    ("Wood subfloor, moisture", "subfloor"),
    ("Surface of a floor, temperature", "surface"),
    ("Slab, humidity in holes", "slab rh"),
    ("Slab, dishes", "slab vapor"),
    ("Slab, pH", "slab ph"),
    ("Flatness, under 10 ft of straightedge", "flatness"),
)

_HOLDS_AIR = "it holds the air; for other readings write the values."
_NOT_OF_AIR = "Hours and boards belong to other readings than the air: leave it empty."
_FILE_SAYS = "A logger's file says what was read and when: leave it empty."
_MENDED = (
    NOT_YET,
    ("cannot be: it is|could be read then", "values"),
    ("^there is no wood", "material"),
    ("has no room of which", "kind"),
)
"""What is refused of a reading has in its sentence, and the line that mends it."""


def reading(about: About) -> Form:
    """What was read, where, with what."""
    return Form(
        f"A reading, job {about.number}",
        (
            Pick("kind", "What was read", _KINDS, _AIR),
            Blank("values", "Values", "air: 70F 40%; else one for each board, hole or dish", check=checks.whatever),
            Pick(
                "room",
                "Room",
                ((_NO_ROOM, ""), *((room, room) for room in about.picks.rooms)),
                about.place,
                needed=False,
            ),
            Blank("material", "Whose boards", "only where the job has several kinds of wood"),
            Blank("hours", "Hours", "probes in their holes, dishes exposed"),
            Blank("file", "Logger's file", "instead of values: its path", check=checks.whatever),
            Blank("at", "When", WHEN, check=checks.moment),
            Blank("by", "Who read it"),
            Blank("meter", "With what"),
            Note("A reading says what was found. What is laid on it the lead decides."),
        ),
        (Press("save", "Record", save=lambda office, filled: _read(office, about, filled)),),
        _faults,
        at="values",
        mended=_MENDED,
    )


def _faults(filled: Filled, units: UnitSystem) -> list[str]:
    """Return what is wrong with values and hours of that kind of reading, and which lines belong to other readings."""
    kind = filled["kind"]
    if not kind:
        return []
    if kind != _AIR:
        other = [f"file: {_HOLDS_AIR}"] if filled["file"] else []
        return [*checks.reading(kind, _values(filled), filled["hours"], units), *other]
    other = [f"{key}: {_NOT_OF_AIR}" for key in ("material", "hours") if filled[key]]
    if filled["file"]:
        return [*other, *(f"{key}: {_FILE_SAYS}" for key in ("values", "at", "meter") if filled[key])]
    return [*checks.reading(kind, _values(filled), "", units), *other]


def _values(filled: Filled) -> list[str]:
    return filled["values"].split()


def _read(office: OfficeFace, about: About, filled: Filled) -> Done:
    """Record it."""
    kind, values = filled["kind"], _values(filled)
    if kind != _AIR:
        more = {key: filled[key] for key in ("room", "material", "hours", "at", "by", "meter") if filled[key]}
        return office.read_floor(about.number, kind, values, **more)
    if not filled["file"]:
        more = {key: filled[key] for key in ("room", "at", "by", "meter") if filled[key]}
        return office.read_air(about.number, values, **more)
    more = {key: filled[key] for key in ("room", "by") if filled[key]}
    return office.read_logger(about.number, Path(filled["file"]), **more)
