"""Furniture: what stands in a room, how much floor it takes, who carries it and what it must keep."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from crewjobs.domain.bounds import (
    HEAVIEST_PIECE_LB,
    LARGEST_PIECE,
    LONGEST_SETTING_UP_MIN,
    MOST_ALIKE,
    MOST_PEOPLE,
    MOST_SLEEPERS,
)
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import exact_length, quoted

ANOTHER_PLACE: Final = 'as a [[room]] without a floor (keeps = "furniture")'
"""How a job file names a place where things may stand meanwhile; the screens tell it as their form has it."""


class Keeps(StrEnum):
    """What may be kept in a room while others are worked."""

    ANYTHING = "anything"
    FURNITURE = "furniture"  # dry but not heated, such as a garage, a covered porch, a container: no planks
    NOTHING = "nothing"  # a bath, or a room the customer keeps for themselves


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Furniture of one kind in a room; what stays is named on paper and never moved.

    Sizes are the floor one takes when it is put by, in 1/4064 inch; `set_down_min` is labor to make one ready to be carried
    and to set it up again. None: as the usual furniture of that name has it. So many as `stack` stand on the floor of one;
    `power` must not be cut (a freezer); `sleeps` is how many people sleep in one; `part` the section of the room it
    stands in, empty where that does not matter.
    """

    name: str
    count: int = 1
    people: int = 1
    stays: bool = False
    length: int | None = None
    width: int | None = None
    weight_lb: float | None = None
    set_down_min: int | None = None
    stack: int | None = None
    power: bool | None = None
    sleeps: int | None = None
    part: str = ""

    def __post_init__(self) -> None:
        where = f"furniture {quoted(self.name)}"
        if not 1 <= self.count <= MOST_ALIKE:
            raise Refused(f"{where}: the count is {self.count}; it is 1 to {MOST_ALIKE}.")
        if not 1 <= self.people <= MOST_PEOPLE:
            raise Refused(f"{where}: one to four people carry a piece, not {self.people}.")
        if (self.length is None) != (self.width is None):
            raise Refused(f"{where}: it has a {'width' if self.length is None else 'length'} alone; give both or none.")
        for what, size in (("length", self.length), ("width", self.width)):
            if size is not None and not 0 < size <= LARGEST_PIECE:
                raise Refused(
                    f"{where}: its {what} is {exact_length(size)}; more than 0, {exact_length(LARGEST_PIECE)} at most."
                )
        if self.weight_lb is not None and not 0 < self.weight_lb <= HEAVIEST_PIECE_LB:
            raise Refused(f"{where}: it weighs {self.weight_lb:g} lb; more than 0, {HEAVIEST_PIECE_LB:g} lb at most.")
        for what, value, most in (
            ("minutes to set it down and up", self.set_down_min, LONGEST_SETTING_UP_MIN),
            ("people who sleep in it", self.sleeps, MOST_SLEEPERS),
        ):
            if value is not None and not 0 <= value <= most:
                raise Refused(f"{where}: {value} {what}; it is 0 to {most}.")
        if self.stack is not None and not 1 <= self.stack <= MOST_ALIKE:
            raise Refused(f"{where}: {self.stack} on the floor of one; it is 1 to {MOST_ALIKE}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualPiece:
    """What a piece of furniture usually is: sizes in 1/4064 inch, labor minutes, pounds."""

    name: str
    length: int
    width: int
    weight_lb: float
    people: int = 1
    set_down_min: int = 0
    stack: int = 1
    power: bool = False
    sleeps: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualFurniture:
    """Usual pieces by name, what usually stands in a room of each kind (name and count), and other words for a piece."""

    pieces: tuple[UsualPiece, ...]
    rooms: tuple[tuple[str, tuple[tuple[str, int], ...]], ...] = ()
    words: tuple[tuple[str, str], ...] = ()

    def piece(self, name: str) -> UsualPiece | None:
        """Return the usual piece of a name, of another word for it, or whose name its last words are."""
        plain = " ".join(name.casefold().split())
        named = {piece.name: piece for piece in self.pieces}
        known = {own.casefold(): piece for own, piece in named.items()}
        known |= {word.casefold(): named[of] for word, of in self.words}
        words = plain.split()
        return next((known[end] for end in (" ".join(words[i:]) for i in range(len(words))) if end in known), None)

    def of_room(self, kind: str) -> tuple[tuple[str, int], ...] | None:
        """Return what usually stands in a kind of room, None for one that is not known."""
        return {own.casefold(): found for own, found in self.rooms}.get(" ".join(kind.casefold().split()))
