"""What the cut plan of sheet goods shows: frozen rows, every word ready to print."""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.drawing.shapes import Drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class DropRow:
    """One piece off the roll, numbered as they are cut: for which room, how long and wide, from where on the roll.

    `at_in` and `left_in` are inches from the beginning of the roll and from its left edge, `sentence` all of it in words.
    """

    number: int
    room: str
    section: str
    length: str
    width: str
    length_in: float
    width_in: float
    at_in: float
    left_in: float
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetView:
    """How sheet goods are cut for one room: its drops, where its seams lie, and what is off the roll for all of the material.

    `feet` are running feet, `counted` the same in the words of the shop.
    """

    job: int
    title: str
    material: str
    rooms: tuple[str, ...]
    direction: str
    feet: int
    counted: str
    bound_feet: int
    proved: bool
    sure: str
    drops: tuple[DropRow, ...]
    seams: tuple[str, ...]
    notes: tuple[str, ...]
    taken_as: tuple[str, ...]
    drawing: Drawing
