"""Furniture as a job file spells it: a piece with its size where it is not the usual one, or all that usually stands in a room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Piece
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed
from crewjobs.files.usual_furniture import usual_furniture
from crewjobs.files.values import length_text, read_two_lengths


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceTable:
    """A piece as its table spells it, or with `usual` all that usually stands in a room of a kind."""

    name: str | None = None
    usual: str | None = None
    count: int = 1
    people: int | None = None
    stays: bool = False
    size: tuple[int, int] | None = None
    lb: float | None = None
    set_down: int | None = None
    stack: int | None = None
    power: bool | None = None
    sleeps: int | None = None
    section: str = ""

    def value(self) -> tuple[Piece, ...]:
        """Return the pieces.

        Raises:
            Refused: it has no name, or the kind of room is not known.
        """
        if self.usual is not None:
            return self._usual(self.usual)
        if self.name is None:
            raise Refused('a piece of furniture needs its name, such as "sofa", or { usual = "bedroom" }.')
        known = usual_furniture().piece(self.name)
        people = self.people or (known.people if known is not None else 1)
        length, width = self.size or (None, None)
        return (
            Piece(
                name=self.name,
                count=self.count,
                people=people,
                stays=self.stays,
                length=length,
                width=width,
                weight_lb=self.lb,
                set_down_min=self.set_down,
                stack=self.stack,
                power=self.power,
                sleeps=self.sleeps,
                part=self.section,
            ),
        )

    def _usual(self, kind: str) -> tuple[Piece, ...]:
        usual = usual_furniture()
        found = usual.of_room(kind)
        if found is None:
            raise Refused(
                f"usual furniture of {quoted(kind)} is not known: "
                f"there is {listed([quoted(room) for room, _ in usual.rooms], most=20)}."
            )
        people = {piece.name: piece.people for piece in usual.pieces}
        return tuple(
            Piece(name=name, count=count, people=people[name], part=self.section, stays=self.stays)
            for name, count in found
        )


def pieces_of(tables: Sequence[PieceTable]) -> tuple[Piece, ...]:
    """Return all the pieces of a room's furniture, alike ones of one entry together."""
    return tuple(piece for table in tables for piece in table.value())


def piece_data(piece: Piece) -> object:
    """Return a piece as its table spells it: its name alone where all else is as usual."""
    known = usual_furniture().piece(piece.name)
    usual_people = known.people if known is not None else 1
    size = None
    if piece.length is not None and piece.width is not None:
        size = f"{length_text(piece.length)} x {length_text(piece.width)}"
    table = {
        "name": str(piece.name),
        "count": piece.count if piece.count != 1 else None,
        "people": piece.people if piece.people != usual_people else None,
        "stays": piece.stays or None,
        "size": size,
        "lb": piece.weight_lb,
        "set_down": piece.set_down_min,
        "stack": piece.stack,
        "power": piece.power,
        "sleeps": piece.sleeps,
        "section": piece.part or None,
    }
    given = {key: value for key, value in table.items() if value is not None}
    return given["name"] if len(given) == 1 else given


def read_piece_size(value: object, _: object) -> tuple[int, int]:
    """Return the floor a piece takes from text such as ``84 in x 36 in``."""
    return read_two_lengths(value, 'the floor a piece takes: write length x width, such as "84 in x 36 in"')
