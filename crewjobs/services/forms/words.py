"""Words that fit what is being typed: zones, what may lie on a floor, fixtures, usual furniture with its size."""

from __future__ import annotations

import re
from collections.abc import Iterator

from crewjobs.domain.house import Covering, FixtureKind
from crewjobs.domain.units import UnitSystem, format_length
from crewjobs.services.forms.texts import Kind
from crewjobs.services.zones import zones_like

_LAST = re.compile(r"(.*[,;]\s*|)(\d+\s+|)([^,;]*)", re.DOTALL)
"""What stands before the last entry of a list, its count, and the entry as far as it is typed."""


def fitting(kind: Kind, text: str, units: UnitSystem, most: int) -> tuple[tuple[str, str], ...]:
    """Return what could be meant: words to show, and the whole line with them in it; nothing where it is typed already."""
    if kind is Kind.ZONE:
        found = zones_like(text, most)
        return () if found == (text,) else tuple((name, name) for name in found)
    split = _LAST.fullmatch(text)
    typed = " ".join(split[3].split()).casefold() if split else ""
    if split is None or not typed:
        return ()
    known = tuple(_known(kind, units))
    if any(word == typed for word, _ in known):
        return ()
    begin = [entry for entry in known if any(part.startswith(typed) for part in _tails(entry[0]))]
    return tuple((shown, f"{split[1]}{split[2]}{word}") for word, shown in begin[:most])


def _tails(word: str) -> list[str]:
    """Return a name from each of its words on: ``queen bed`` is found by ``bed``, too."""
    words = word.casefold().split()
    return [" ".join(words[first:]) for first in range(len(words))]


def _known(kind: Kind, units: UnitSystem) -> Iterator[tuple[str, str]]:
    """Yield each word that may stand in a list, and how it is shown."""
    if kind is Kind.LAYERS:
        yield from ((one.value, one.value) for one in Covering)
    elif kind is Kind.COUNTS:
        yield from ((one.value, one.value) for one in FixtureKind)
    elif kind is Kind.FURNITURE:
        from crewjobs.files.usual_furniture import usual_furniture

        usual = usual_furniture()
        for piece in usual.pieces:
            size = f"{format_length(piece.length, units)} × {format_length(piece.width, units)}"
            yield piece.name, f"{piece.name}, {size}"
        for room, pieces in usual.rooms:
            yield (
                f"usual {room}",
                f"usual {room}: {', '.join(name if count == 1 else f'{count} {name}' for name, count in pieces)}",
            )
