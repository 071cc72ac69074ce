"""How the list of jobs is drawn and ordered. Targets are ``("job", number)`` and ``("order", column)``."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

from crewjobs.screens.drawing import Line, Piece, beside, cell_len, filled, fit, paragraph, wrap
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
        return ("not planned to its end" if row.endless else "") + (", late" if row.late else "")
    if row.unticked:  # its hour says nothing
        return f"{day(row.planned_finish)} {'late' if row.late else 'not ticked'}"
    return f"{instant(row.planned_finish)}{' late' if row.late else ''}"


def _finish_order(row: JobRow) -> tuple[bool, float]:
    value: datetime | None = row.planned_finish
    return (value is None, value.timestamp() if value else 0.0)


NUMBER = Column("job", 5, lambda row: str(row.number), lambda row: row.number)
TITLE = Column("house", 0, lambda row: row.title, lambda row: row.title.casefold())
STATE = Column("state", 9, lambda row: row.state, lambda row: row.state)
DONE = Column("done", 7, lambda row: f"{row.tasks_done}/{row.tasks_all}", lambda row: -_share(row))
HOURS = Column("hours", 8, lambda row: hours(row.hours_left), lambda row: -row.hours_left)
PROMISED = Column("promised", 10, _promised, lambda row: row.promised or _NEVER)
ODDS = Column("odds", 9, lambda _: "", lambda row: row.number)
"""Its words and its order come with the odds."""
FINISH = Column("planned", 22, _finish, _finish_order)

ORDERS = (NUMBER, PROMISED, ODDS, TITLE, STATE, DONE, HOURS, FINISH)
"""The orders that the key steps through."""

NO_ODDS: Mapping[int, float | None] = MappingProxyType({})
NO_WORDS: Mapping[int, str] = MappingProxyType({})
_ROOMY = 100
_GAP = 2


def _share(row: JobRow) -> float:
    return row.tasks_done / row.tasks_all if row.tasks_all else 0.0


def columns_for(width: int) -> tuple[Column, ...]:
    """What fits; the house takes what is left."""
    if width >= _ROOMY:
        return (NUMBER, TITLE, STATE, DONE, HOURS, PROMISED, ODDS, FINISH)
    return (NUMBER, TITLE, STATE, DONE, PROMISED, ODDS)


def ordered(rows: Sequence[JobRow], column: Column, chances: Mapping[int, float | None] = NO_ODDS) -> list[JobRow]:
    """By a column, equal ones by number; by odds the least likely first, those without any last."""
    if column is ODDS:
        known = {job: chance for job, chance in chances.items() if chance is not None}
        return sorted(rows, key=lambda row: (known.get(row.number, 2.0), row.number))
    return sorted(rows, key=lambda row: (column.order(row), row.number))


def matching(rows: Sequence[JobRow], typed: str) -> list[JobRow]:
    """Jobs in which every typed word occurs: number, house, customer, address, state, phase, what they wait for, ties."""
    words = typed.casefold().split()
    if not words:
        return list(rows)
    found = []
    for row in rows:
        text = " ".join(
            (str(row.number), row.title, row.customer, row.address, row.state, row.phase, row.waits_for, row.tie)
        ).casefold()
        if all(word in text for word in words):
            found.append(row)
    return found


def draw_jobs(rows: Sequence[JobRow], width: int, column: Column, odds: Mapping[int, str] = NO_WORDS) -> list[Line]:
    """Two lines a job where there is room, three short ones where there is not; `odds` in words by the job's number."""
    if width < 60:
        return [line for row in rows for line in _short(row, width, odds.get(row.number, ""))]
    columns = columns_for(width)
    fixed = sum(one.width for one in columns) + _GAP * (len(columns) - 1)
    widths = [one.width or max(width - 2 - fixed, 16) for one in columns]
    head: Line = [Piece(" ")]
    for one, size in zip(columns, widths, strict=True):
        here = one.name == column.name
        name = f"{one.name} ▾" if here else one.name
        head += filled([Piece(fit(name, size), "strong" if here else "muted", ("order", one.name))], size + _GAP)
    lines = [filled(head, width), [Piece(" "), Piece("─" * (width - 2), "rule"), Piece(" ")]]
    kinds, sizes = tuple(columns), tuple(widths)
    for row in rows:
        lines += _roomy(row, kinds, sizes, width, odds.get(row.number, ""))
    return lines


@lru_cache(maxsize=2048)
def _roomy(row: JobRow, columns: tuple[Column, ...], widths: tuple[int, ...], width: int, odds: str) -> list[Line]:
    """Drawn once: another order or other words to find show the same rows at other places."""
    target = ("job", row.number)
    first: Line = [Piece(" ", "mark", target)]
    titles = wrap(row.title, widths[1]) or [""]
    for one, size in zip(columns, widths, strict=True):
        text = titles[0] if one is TITLE else fit(odds if one is ODDS else one.text(row), size)
        first.append(Piece(text + " " * (size + _GAP - cell_len(text)), _style(one, row), target))
    below = [[Piece(more, "strong", target)] for more in titles[1:]]
    below += _waits_and_who(row, columns, widths, width - 1 - widths[0] - _GAP)
    indent: Line = [Piece(" ", "mark", target), Piece(" " * (widths[0] + _GAP), "", target)]
    lines = [first, *([*indent, *line] for line in below)]
    return [filled(line, width, target) for line in lines]


def _waits_and_who(row: JobRow, columns: Sequence[Column], widths: Sequence[int], room: int) -> list[Line]:
    """Whose house and what it waits for: side by side in a roomy list, else one after the other."""
    target = ("job", row.number)
    waits = f"waits for {row.waits_for}" if row.waits_for else ""
    if FINISH in columns:
        waits = "; ".join(filter(None, (row.unticked, _hangs(row), waits)))
        who = "; ".join(filter(None, (", ".join(filter(None, (row.customer, row.address))), row.tie)))
        left, right = widths[1], room - widths[1] - _GAP - 1
        columns_below = [
            (paragraph(text, size, "muted", target=target), size) for text, size in ((who, left), (waits, right))
        ]
        return [[piece._replace(target=target) for piece in line] for line in beside(columns_below, _GAP)]
    lines: list[Line] = []
    if trouble := _trouble(row):
        lines += paragraph(trouble, room - 1, "warn", target=target)
    words = "; ".join(part for part in (row.customer, row.tie, waits) if part)
    return lines + paragraph(words, room - 1, "muted", target=target)


def _style(column: Column, row: JobRow) -> str:
    if column.name in ("job", "house"):
        return "strong" if row.state != "closed" else ""
    return "warn" if column.name == "planned" and _trouble(row) else ""


def _trouble(row: JobRow) -> str:
    """Why its promise or its planned end is in doubt, in a few words; empty where neither is."""
    late = ""
    if row.late and row.planned_finish is not None:
        late = f"late, planned {_finish(row).removesuffix(' late')}"
    elif row.endless:
        late = _finish(row)
    return "; ".join(filter(None, (late, _hangs(row), row.unticked)))


def _hangs(row: JobRow) -> str:
    """What its planned end hangs on; empty where nothing is known that it does."""
    return f"planned {row.only_if}" if row.only_if else ""


def _short(row: JobRow, width: int, odds: str) -> list[Line]:
    target = ("job", row.number)
    inner = width - 1
    facts = f"{row.state}, {row.tasks_done}/{row.tasks_all} done"
    if row.promised:
        facts += f", by {_promised(row)}" + (f", odds {odds}" if odds else "")
    body = [*paragraph(f"{row.number}  {row.title}", inner, "strong", target=target)]
    body += paragraph(facts, inner, "", target=target)
    if trouble := _trouble(row):
        body += paragraph(trouble, inner, "warn", target=target)
    if row.tie:
        body += paragraph(row.tie, inner, "muted", target=target)
    if row.waits_for:
        body += paragraph(f"waits for {row.waits_for}", inner, "muted", target=target)
    return [filled([Piece(" ", "mark", target), *line], width, target) for line in body]
