"""How estimates are drawn against hours: the jobs done lately, and of the selected one each phase. Targets are ``("job", number)``."""

from __future__ import annotations

from crewjobs.drawing.bars import Compared, compared_bars
from crewjobs.screens.drawing import Line, Piece, Target, beside, filled, heading, paragraph
from crewjobs.screens.words import day
from crewjobs.services.rates.rates_rows import AgainstView, LatelyView

_ROOMY = 100
_LIST = 50
_GAP = 3


def draw_lately(view: LatelyView, width: int, selected: Target | None) -> list[Line]:
    """The list, and of the selected job its phases: beside it where there is room, else below its name."""
    if not view.jobs:
        return [[], *paragraph(view.note, width - 2, "", " ")]
    count = f"{len(view.jobs)} job{'s' * (len(view.jobs) != 1)}"
    note = "jobs before them: `crewjobs rates --job N`" if view.more else "worked last first; Enter opens the job"
    lines = [heading(f"Estimates against hours, {count}", width, note)]
    chosen = next((one for one in view.jobs if ("job", one.job) == selected), view.jobs[0])
    most = max(max(one.estimated_min, one.taken_min) for one in view.jobs)
    if width >= _ROOMY:
        left = [line for one in view.jobs for line in _job(one, _LIST, most)]
        room = width - _LIST - _GAP
        return [*lines, *beside([(left, _LIST), (_phases(chosen, room), room)], _GAP)]
    for one in view.jobs:
        lines += _job(one, width, most)
        if one is chosen:
            lines += [[Piece("  "), *line] for line in _phases(one, width - 2)]
            lines.append([])
    return lines


def _job(one: AgainstView, width: int, most: float) -> list[Line]:
    target = ("job", one.job)
    lines = paragraph(f"{one.job}  {one.title}", width - 2, "strong", target=target)
    lines += paragraph(
        f"worked {day(one.last)}{f', {one.open} tasks left' if one.open else ''}", width - 2, "muted", target=target
    )
    lines += bars((Compared("", one.estimated_min, one.taken_min),), width - 2, most, target)
    return [filled([Piece(" ", "mark", target), *line], width, target) for line in lines]


def _phases(one: AgainstView, width: int) -> list[Line]:
    """By phase in bars, then in words."""
    lines = paragraph(one.sentence, width - 1, "strong")
    rows = tuple(Compared(row.phase, row.estimated_min, row.likely_min) for row in one.phases)
    lines += bars(rows, width - 1)
    for row in one.phases:
        lines += paragraph(
            row.sentence, width - 1, "warn" if row.sure and row.likely_min > row.estimated_min else "", "· "
        )
    for words in one.apart:
        lines += paragraph(words, width - 1, "", "· ")
    return [*lines, *paragraph(one.note, width - 1, "muted")]


def bars(rows: tuple[Compared, ...], width: int, most: float | None = None, target: Target | None = None) -> list[Line]:
    """Two bars a row, the estimate over the hours."""
    lines: list[Line] = []
    for line in compared_bars(rows, width, most):
        name: Line = [Piece(f"{line.name}  " if line.what else line.name, "", target)] if line.name else []
        style = "bar" if line.what.startswith("took") else "rule"
        if line.what:
            name += [
                Piece(f"{line.what}  ", "muted", target),
                Piece(line.bar, style, target),
                Piece(f" {line.hours}", "", target),
            ]
        lines.append(name)
    return lines
