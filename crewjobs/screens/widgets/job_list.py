"""How the list of jobs is drawn and ordered. Targets are ``("job", number)`` and ``("order", column)``."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import NamedTuple

from crewjobs.screens.drawing import Line, Piece, cell_len, filled, fit, paragraph
from crewjobs.screens.words import day, hours, instant
from crewjobs.services.rows import JobRow

_NEVER = date.max


class Column(NamedTuple):
    """A column: its heading, its width in cells, its text, and what it is ordered by."""

    name: str
    width: int
    text: Callable[[JobRow], str]
    order: Callable[[JobRow], object]


def _promised(row: JobRow) -> str:
    return day(row.promised) if row.promised else ""


def _finish(row: JobRow) -> str:
    if row.planned_finish is None:
        return ""
    return f"{instant(row.planned_finish)}{' late' if row.late else ''}"


def _finish_order(row: JobRow) -> tuple[bool, float]:
    value: datetime | None = row.planned_finish
    return (value is None, value.timestamp() if value else 0.0)


NUMBER = Column("job", 5, lambda row: str(row.number), lambda row: row.number)
TITLE = Column("house", 0, lambda row: row.title, lambda row: row.title.casefold())
CUSTOMER = Column("customer", 20, lambda row: row.customer, lambda row: row.customer.casefold())
STATE = Column("state", 7, lambda row: row.state, lambda row: row.state)
DONE = Column("done", 6, lambda row: f"{row.tasks_done}/{row.tasks_all}", lambda row: -_share(row))
HOURS = Column("hours", 7, lambda row: hours(row.hours_left), lambda row: -row.hours_left)
PROMISED = Column("promised", 10, _promised, lambda row: row.promised or _NEVER)
FINISH = Column("planned", 20, _finish, _finish_order)
WAITS = Column("waits for", 0, lambda row: row.waits_for, lambda row: (not row.waits_for, row.waits_for.casefold()))

ORDERS = (NUMBER, PROMISED, TITLE, STATE, DONE, HOURS, FINISH, WAITS)
"""The orders that the key steps through."""


def _share(row: JobRow) -> float:
    return row.tasks_done / row.tasks_all if row.tasks_all else 0.0


def columns_for(width: int) -> tuple[Column, ...]:
    """What fits; `house` and `waits for` share what is left."""
    if width >= 110:
        return (NUMBER, TITLE, STATE, DONE, HOURS, PROMISED, FINISH, WAITS)
    return (NUMBER, TITLE, STATE, DONE, PROMISED, WAITS)


def ordered(rows: Sequence[JobRow], column: Column) -> list[JobRow]:
    """By a column, equal ones by number."""
    return sorted(rows, key=lambda row: (column.order(row), row.number))  # type: ignore[arg-type, return-value]


def matching(rows: Sequence[JobRow], typed: str) -> list[JobRow]:
    """Jobs in which every typed word occurs: number, house, customer, address, state, phase, what they wait for."""
    words = typed.casefold().split()
    if not words:
        return list(rows)
    found = []
    for row in rows:
        text = " ".join(
            (str(row.number), row.title, row.customer, row.address, row.state, row.phase, row.waits_for)
        ).casefold()
        if all(word in text for word in words):
            found.append(row)
    return found


def draw_jobs(rows: Sequence[JobRow], width: int, column: Column) -> list[Line]:
    """A line a job where there is room, three short ones where there is not."""
    if width < 60:
        return _short(rows, width)
    columns = columns_for(width)
    gap = 2
    fixed = sum(one.width + gap for one in columns)
    free = max(width - 1 - fixed, 20)
    widths = [one.width or free // 2 for one in columns]
    head: Line = [Piece(" ")]
    for one, size in zip(columns, widths, strict=True):
        name = f"{one.name} ▾" if one.name == column.name else one.name
        style = "strong" if one.name == column.name else "muted"
        head += filled([Piece(fit(name, size), style, ("order", one.name))], size + gap)
    lines = [filled(head, width), [Piece(" "), Piece("─" * (width - 2), "rule"), Piece(" ")]]
    for row in rows:
        target = ("job", row.number)
        line: Line = [Piece(" ", "mark", target)]
        for one, size in zip(columns, widths, strict=True):
            text = fit(one.text(row), size)
            blank = " " * (size + gap - cell_len(text))
            line.append(Piece(text + blank, _style(one, row), target))
        lines.append(filled(line, width, target))
    return lines


def _style(column: Column, row: JobRow) -> str:
    if column.name in ("job", "house"):
        return "strong" if row.state != "closed" else ""
    if column.name == "planned" and row.late:
        return "warn"
    return "muted" if column.name in ("waits for", "state") else ""


def _short(rows: Sequence[JobRow], width: int) -> list[Line]:
    lines: list[Line] = []
    for row in rows:
        target = ("job", row.number)
        inner = width - 2
        when = f"promised {_promised(row)}" if row.promised else "no promise"
        facts = f"{row.state}, {row.tasks_done}/{row.tasks_all} done, {when}"
        if row.late:
            facts += ", late"
        body = [*paragraph(f"{row.number}  {row.title}", inner, "strong", target=target)]
        body += paragraph(facts, inner, "", target=target)
        if row.waits_for:
            body += paragraph(f"waits: {row.waits_for}", inner, "muted", target=target)
        lines += [filled([Piece(" ", "mark", target), *line], width, target) for line in body]
    return lines
