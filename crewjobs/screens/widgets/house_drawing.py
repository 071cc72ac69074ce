"""A job's rooms drawn: the stages on top, then the house as it stands in one of them, with what is carried.

At least 100 columns have the carries beside the house, fewer below it.
"""

from __future__ import annotations

from crewjobs.drawing.characters import key, paint
from crewjobs.drawing.shapes import Drawing
from crewjobs.screens.drawing import Line, Piece, Target, beside, cell_len, filled, heading, paragraph
from crewjobs.services.moving.rooms_rows import RoomsView, StageRow

BESIDE = 100
"""Columns from which the carries stand beside the house."""
_ASIDE, _LEAST_LINES, _GAP = 42, 20, 2
_STYLES = {"wall": "rule", "hatch": "muted", "letter": "strong", "room": "strong", "words": "muted"}
FINDS = "p finds them; e says what stands in a room."
SAYS = "e says what stands in a room."
ONE_BY_ONE = (
    "Each room by itself, all to one scale: how they lie to each other and in which wall a door is, is not known."
)


def draw_rooms(view: RoomsView, width: int, height: int, selected: Target | None) -> list[Line]:
    """Lines for a sheet of so many cells; each stage is the target ``("stage", number)``."""
    room = width - 2
    lines: list[Line] = []
    if view.stale:
        lines += paragraph(view.stale, room, "warn", " ! ")
    if not view.stages:
        how = FINDS if any(one.furniture for one in view.rooms) else SAYS
        lines += paragraph(f"{view.headline} {how}", room, "strong", " ")
        return [*lines, *_pair(view.drawing, _of_rooms(view, _side(width)), width, height - len(lines) - 1)]
    stage = stage_of(view, selected)
    if width >= BESIDE:
        lines += paragraph(view.headline, room, "", " ")
    lines += _strip(view, stage, width)
    lines += paragraph(stage.sentence, room, "strong", " ")
    lines += _pair(stage.drawing, draw_stage(stage, _side(width)), width, height - len(lines) - 1)
    if width < BESIDE:
        lines += [[], heading("All stages", width), *paragraph(view.headline, room, "", " ")]
    for words in view.taken_as:
        lines += paragraph(words, room, "muted", " · ")
    return lines


def stage_of(view: RoomsView, selected: Target | None) -> StageRow:
    """The stage that is selected, else the one the job is at."""
    number = selected[1] if isinstance(selected, tuple) and selected[0] == "stage" else view.here
    return view.stages[number if isinstance(number, int) and number < len(view.stages) else view.here]


def draw_stage(stage: StageRow, width: int) -> list[Line]:
    """All carries of a stage in their order, then what stands where."""
    lines = [heading("Carried, in this order", width)]
    if not stage.carries:
        lines += paragraph("Nothing.", width - 2, "", " ")
    for carry in stage.carries:
        lead = f" {carry.number:>2} "
        minutes = f", {carry.minutes} min" if carry.minutes else ""
        lines += paragraph(f"{carry.words}{minutes}", width - 1, "", lead)
    lines += [[], heading("Then stands", width)]
    for place in stage.standing:
        lines += paragraph(f"{place.place}: {', '.join(place.pieces)}", width - 2, "", " ")
    return lines


def _side(width: int) -> int:
    return _ASIDE if width >= BESIDE else width


def _strip(view: RoomsView, stage: StageRow, width: int) -> list[Line]:
    """The stages in a row, as many to a line as fit; the one shown is marked, the one the job is at has a dot."""
    lines: list[Line] = [[Piece(" ")]]
    used = 1
    for one in view.stages:
        target = ("stage", one.number)
        label = f"{'•' if one.here else ''}{one.label}"
        text = f"[{label}]" if one is stage else f" {label} "
        if used + cell_len(text) > width and used > 1:
            lines.append([Piece(" ")])
            used = 1
        lines[-1].append(Piece(text, "accent" if one is stage else "", target))
        used += cell_len(text)
    return [filled(line, width) for line in lines]


def _pair(drawing: Drawing, aside: list[Line], width: int, height: int) -> list[Line]:
    """The house beside or above what belongs to it."""
    if width >= BESIDE:
        wide = width - _ASIDE - _GAP
        return beside([(_house(drawing, wide, height), wide), (aside, _ASIDE)], _GAP)
    return [*_house(drawing, width, height), [], *aside]


def _house(drawing: Drawing, width: int, height: int) -> list[Line]:
    room = width - 2
    legend = key(drawing, room)
    painted = paint(drawing, room, max(height - len(legend), _LEAST_LINES))
    lines: list[Line] = [[Piece(" "), *(Piece(run.text, _STYLES.get(run.kind, "")) for run in row)] for row in painted]
    lines += [[Piece(f" {words}", "muted")] for words in legend]
    return lines + paragraph(ONE_BY_ONE, room, "muted", " ")


def _of_rooms(view: RoomsView, width: int) -> list[Line]:
    """Each room with its sections by state and its furniture by letter, as it is now."""
    lines = [heading("Rooms", width)]
    letters = [f"{row.letter} {f'{row.count} × ' if row.count > 1 else ''}{row.name}" for row in view.drawing.legend]
    places = [row.where for row in view.drawing.legend]
    for room in view.rooms:
        lines += paragraph(f"{room.name}, {room.size}", width - 2, "strong", " ")
        states = [f"{one.name}: {one.state}" if one.name else one.state for one in room.sections]
        lines += paragraph(", ".join(filter(None, (*states, room.keeps))), width - 2, "muted", "   ")
        there = [
            letter
            for letter, place in zip(letters, places, strict=True)
            if place == room.name or place in {f"{room.name}, {one.name}" for one in room.sections}
        ]
        lines += paragraph(", ".join(there), width - 2, "", "   ")
    return lines
