"""Floors of planks drawn: which floor, how its rows run and why, every row to scale, then the cut list."""

from __future__ import annotations

from itertools import groupby

from crewjobs.screens.drawing import Line, Piece, Target, cell_len, filled, heading, paragraph
from crewjobs.services.laying.layout_rows import LayoutsView, LayoutView, key_of, paint_rows

_STYLES = {"wall": "rule", "hatch": "muted", "letter": "strong", "words": "muted"}
_WIDEST = 120
FINDS = "p lays it out."


def draw_floors(view: LayoutsView, width: int, selected: Target | None) -> list[Line]:
    """Lines for a sheet so wide; each floor is the target ``("floor", number)``."""
    lines: list[Line] = []
    for sentence in view.missing:
        lines += paragraph(f"{sentence[:1].upper()}{sentence[1:]} {FINDS}", width - 2, "warn", " ! ")
    if not view.floors:
        return lines or [[], *paragraph("No floor of this job is laid.", width - 2, "", " ")]
    number = floor_of(view, selected)
    floor = view.floors[number]
    if len(view.floors) > 1:
        lines += _strip(view, number, width)
    return [*lines, *_floor(floor, width)]


def floor_of(view: LayoutsView, selected: Target | None) -> int:
    """The floor that is selected, else the first."""
    number = selected[1] if isinstance(selected, tuple) and selected[0] == "floor" else 0
    return number if isinstance(number, int) and number < len(view.floors) else 0


def _strip(view: LayoutsView, shown: int, width: int) -> list[Line]:
    """The floors in a row, as many to a line as fit; the one shown is marked."""
    lines: list[Line] = [[Piece(" ")]]
    used = 1
    for number, one in enumerate(view.floors):
        label = " + ".join(one.rooms)
        text = f"[{label}]" if number == shown else f" {label} "
        if used + cell_len(text) > width and used > 1:
            lines.append([Piece(" ")])
            used = 1
        lines[-1].append(Piece(text, "accent" if number == shown else "", ("floor", number)))
        used += cell_len(text)
    return [filled(line, width) for line in lines]


def _floor(floor: LayoutView, width: int) -> list[Line]:
    room = width - 2
    rows = floor.drawn_rows
    lines: list[Line] = [
        *paragraph(f"{floor.material}: {floor.counts}", room, "strong", " "),
        *paragraph(f"{floor.direction[:1].upper()}{floor.direction[1:]}.", room, "", " "),
    ]
    for sentence in floor.lines:
        lines += paragraph(sentence, room, "", " ")
    if rows:
        lines.append([])
        lines += [
            [Piece(" "), *(Piece(run.text, _STYLES.get(run.kind, "")) for run in row)]
            for row in paint_rows(rows, min(room, _WIDEST))
        ]
        lines += [[Piece(f" {key_of(rows)}", "muted")], [], heading("Cut list", width)]
    lines += paragraph(floor.first, room, "muted", " ") if floor.first else []
    for place, group in groupby(floor.rows, key=lambda row: row.place):
        if place:
            lines += paragraph(f"{place[:1].upper()}{place[1:]}", room, "strong", " ")
        for row in group:
            lines += paragraph(row.line, width - 1, "", f" {row.row:>3} ")
            for piece in row.pieces:
                for words in piece.cut_outs:
                    lines += paragraph(f"{piece.named}: {words}", width - 1, "muted", "     - ")
    for note in (*floor.notes, *floor.taken_as):
        lines += paragraph(f"{note[:1].upper()}{note[1:]}", room, "muted", " · ")
    return lines
