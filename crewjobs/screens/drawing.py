"""Lines of styled text, measured in cells. Pure: everything a sheet shows is drawn with these, for any width.

A piece may belong to a target: something that can be pointed at, selected and acted on. Pieces are text and style
names, never markup, so nothing in what a person typed is ever interpreted.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from typing import NamedTuple

from rich.cells import cell_len, chop_cells, set_cell_size

from crewjobs.screens.in_keys import in_keys

__all__ = [
    "Line",
    "Piece",
    "Target",
    "bar",
    "beside",
    "cell_len",
    "filled",
    "fit",
    "heading",
    "paragraph",
    "row",
    "width_of",
    "wrap",
]

Target = Hashable


class Piece(NamedTuple):
    """Some text in one style. Style names are the sheet's: strong, muted, accent, warn, rule, head, mark; or several."""

    text: str
    style: str = ""
    target: Target | None = None


Line = list[Piece]


def width_of(line: Iterable[Piece]) -> int:
    """Cells the line takes."""
    return sum(cell_len(piece.text) for piece in line)


def fit(text: str, width: int) -> str:
    """The text in at most `width` cells; where it had to be cut it ends in an ellipsis."""
    if cell_len(text) <= width:
        return text
    if width <= 0:
        return ""
    bare = text.rstrip()
    if cell_len(bare) <= width:
        return bare
    return set_cell_size(text, width - 1).rstrip() + "…"


def wrap(text: str, width: int) -> list[str]:
    """The text broken at blanks into lines of at most `width` cells; longer words are broken where they must be."""
    if cell_len(text) <= width:
        return [text] if text else []
    lines: list[str] = []
    current = ""
    for word in text.split():
        joined = f"{current} {word}" if current else word
        if cell_len(joined) <= width:
            current = joined
            continue
        if current:
            lines.append(current)
        *whole, current = chop_cells(word, max(width, 2))
        lines.extend(whole)
    if current:
        lines.append(current)
    return lines


def paragraph(text: str, width: int, style: str = "", lead: str = "", target: Target | None = None) -> list[Line]:
    """Wrapped text behind a lead (``→ ``) that hangs: the lines below start where the first one's text does."""
    indent = cell_len(lead)
    lines = wrap(in_keys(text), max(width - indent, 4))
    return [
        [Piece(f"{lead if number == 0 else ' ' * indent}{part}", style, target)] for number, part in enumerate(lines)
    ]


def filled(line: Line, width: int, target: Target | None = None, style: str = "") -> Line:
    """The line cut or filled to exactly `width` cells; the filling belongs to the target."""
    used = width_of(line)
    if used < width:
        return [*line, Piece(" " * (width - used), style, target)]
    if used == width:
        return line
    kept: Line = []
    room = width
    for piece in line:
        size = cell_len(piece.text)
        if size > room:
            kept.append(piece._replace(text=set_cell_size(fit(piece.text, room), room)))
            break
        kept.append(piece)
        room -= size
        if not room:
            break
    return kept


def row(left: Line, right: Line, width: int, target: Target | None = None) -> Line:
    """Left text, right text against the margin; the left is cut where both do not fit."""
    room = max(width - width_of(right), 0)
    if not right:
        return filled(left, width, target)
    if width_of(left) >= room:
        left = [*filled(left, max(room - 1, 0), target), Piece(" ", "", target)]
    return filled([*filled(left, room, target), *right], width, target)


def beside(columns: Sequence[tuple[list[Line], int]], gap: int = 2) -> list[Line]:
    """Columns side by side, each filled to its own width."""
    height = max((len(lines) for lines, _ in columns), default=0)
    result: list[Line] = []
    for number in range(height):
        line: Line = []
        for index, (lines, width) in enumerate(columns):
            if index:
                line.append(Piece(" " * gap))
            line.extend(filled(lines[number] if number < len(lines) else [], width))
        result.append(line)
    return result


def heading(text: str, width: int, note: str = "") -> Line:
    """A heading with a rule that runs to the margin: ``Not planned ─────``."""
    text = fit(text, width - 2)
    line = [Piece(" "), Piece(text, "head")]
    rest = width - 1 - cell_len(text)
    if note and cell_len(note) + 3 <= rest:
        line.append(Piece(f"  {note}", "muted"))
        rest -= cell_len(note) + 2
    if rest > 2:
        line += [Piece(" "), Piece("─" * (rest - 2), "rule"), Piece(" ")]
    return line


def bar(done: float, width: int, nights: Sequence[float] = (), target: Target | None = None) -> Line:
    """A wait as a tape: ``├━━━━┿━━━╸···┼····┤``. The thick part has run; a cross stands at each midnight.

    Args:
        done: elapsed share, 0..1.
        width: cells, ends included; at least 6.
        nights: where the midnights lie, as shares of the whole wait.
    """
    inner = width - 2
    halves = int(min(max(done, 0.0), 1.0) * inner * 2)
    full, half = divmod(halves, 2)
    cells = ["━"] * full + (["╸"] if half else []) + ["·"] * (inner - full - half)
    if len(nights) * 3 <= inner:
        for night in nights:
            place = int(night * inner)
            if 0 < place < inner:
                cells[place] = "┿" if place < full else "┼"
    run = full + half
    return [
        Piece("├", "rule", target),
        Piece("".join(cells[:run]), "bar", target),
        Piece("".join(cells[run:]), "rule", target),
        Piece("┤", "rule", target),
    ]
