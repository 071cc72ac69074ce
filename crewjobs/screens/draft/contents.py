"""The contents of a form: its pages with what they are about, where something is wrong, and what can be added."""

from __future__ import annotations

from collections.abc import Iterator, Set
from typing import Final

from crewjobs.screens.drawing import Line, Piece, filled, fit
from crewjobs.services.forms.draft import Draft, Part

ADD: Final = "add"
"""What a line for one more page of a kind is told by."""


def contents(draft: Draft, here: Part, wrong: Set[int], width: int) -> list[Line]:
    """Return a line for each page, and one for each kind of which there can be more."""
    lines: list[Line] = []
    for page in draft.pages:
        parts = [(place, part) for place, part in enumerate(draft.parts) if part.page is page]
        lines += (_line(place, part, part is here, place in wrong, width) for place, part in parts)
        if page.many:
            target = (ADD, page.kind)
            lines.append(
                filled([Piece("   ", "mark", target), Piece(f"+ {page.many}", "accent", target)], width, target)
            )
    return lines


def _line(place: int, part: Part, here: bool, wrong: bool, width: int) -> Line:
    target = ("part", place)
    sign = "!" if wrong else "›" if here else " "
    line = [
        Piece(" ", "mark", target),
        Piece(f"{sign} ", "warn" if wrong else "accent", target),
        Piece(part.page.title, "strong" if here else "", target),
    ]
    name = " ".join(_about(part))
    if name:
        room = width - len(part.page.title) - 5
        line.append(Piece(f"  {fit(name, max(room, 0))}", "muted", target))
    return filled(line, width, target)


def _about(part: Part) -> Iterator[str]:
    if part.name:
        yield part.name
    texts = part.texts
    if part.page.kind == "room" and texts["length"] and texts["width"]:
        yield f"{texts['length']} × {texts['width']}"
    elif part.page.kind == "order" and texts["cartons"]:
        yield f"× {texts['cartons']}"
