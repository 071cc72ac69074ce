"""How a week is drawn: days down and crews across where there is room, day by day where there is not.

Beside each day stands a rail of the waits: which begin, run through and end on it. Targets are ``("day", date)`` and
``("visit", date, place in the day)``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import NamedTuple

from crewjobs.domain.wording import chance_words, listed
from crewjobs.screens.drawing import Line, Piece, Target, beside, cell_len, filled, fit, heading, paragraph
from crewjobs.screens.words import between, clock, day, instant
from crewjobs.services.odds.odds_rows import OddsRow, OddsView
from crewjobs.services.rows import PromiseRow, Visit, WaitSpan, WeekDay, WeekView

_DAY = 12
"""Cells of a day: its mark, ``Mon 30 Nov``, a blank."""
_CREW = 17
_RAIL = 27
_GAP = 2
_RUNS = 2
"""The place of a wait that only runs through a day, behind those that end and those that begin."""
_DAYS = 24
"""The least room in which a promise's days still read well beside its word and odds."""


def draw_week(
    view: WeekView, width: int, now: datetime | None, odds: OddsView | None = None, odds_note: str = ""
) -> list[Line]:
    """The whole sheet of the week, with the chance beside each promise as far as it is known."""
    today = now.date() if now else None
    lines = [] if _within(view, today) else [[Piece(" "), *line] for line in _notes(view, width)]
    rail = _RAIL if width >= _DAY + len(view.crews) * (_CREW + _GAP) + _RAIL + _GAP else 0
    room = width - 1 - _DAY - rail - (_GAP if rail else 0)
    columns = (room // len(view.crews)) - _GAP if view.crews else 0
    if rail and columns >= _CREW:
        lines += _across(view, width, columns, rail, today)
    else:
        for one in view.days:
            if one.day == today and _within(view, today):
                lines += _with_today(_notes(view, width), one.day)
            lines += _down(view, one, width, today)
    lines += _below(view, width, {row.job: row for row in odds.rows} if odds is not None else {}, odds_note)
    return lines


def draw_small(view: WeekView, width: int) -> list[Line]:
    """The small visits of a week that has no plan, and who is not with their crew."""
    lines: list[Line] = []
    for one in view.days:
        small = _small(one, width, 0)
        lines += [[], [Piece(f" {day(one.day)}", "head")], *small] if small else []
    return lines


def _within(view: WeekView, today: date | None) -> bool:
    """Whether today is a later day of the week than its first: then it is what is looked at first, and the head is above."""
    return any(one.day == today for one in view.days[1:])


def _with_today(lines: list[Line], today: date) -> list[Line]:
    """Lines that stand above today and belong to it, so that they come into sight with it."""
    return [[Piece(" ", "mark", ("day", today)), *line] for line in lines]


def _notes(view: WeekView, width: int) -> list[Line]:
    """What has to be known of the plan before it is read, a cell less wide."""
    lines: list[Line] = []
    if view.stale:
        lines += paragraph(view.stale, width - 3, "warn", "! ")
    if view.proposed:
        lines += paragraph(f"Plan {view.proposed} is proposed: x says what it saves", width - 3, "accent", "")
    if view.after:
        lines += paragraph(f"{view.after} ] goes there.", width - 3, "accent", "")
    if view.ends:
        lines += paragraph(view.ends, width - 3, "warn", "! ")
    if view.clocks:
        lines += paragraph(view.clocks, width - 3, "warn", "! ")
    return lines


# Days down, crews across


def _across(view: WeekView, width: int, column: int, rail: int, today: date | None) -> list[Line]:
    names: Line = [Piece(" "), Piece(" " * (1 + _DAY))]
    for crew in view.crews:
        names += filled([Piece(fit(crew, column), "strong")], column + _GAP)
    names.append(Piece("waits", "muted"))
    lines = [names]
    first = next((one for one in view.days if one.waits), None)
    for one in view.days:
        lines.append([Piece(" "), Piece("─" * (width - 2), "rule"), Piece(" ")])
        if one.day == today and _within(view, today):
            lines += _with_today([*_notes(view, width), names[1:]], one.day)
        if not one.visits and not one.waits and set(view.crews) <= set(one.off):
            (name,) = _day_cell(one, None)
            lines.append([*name, Piece("   "), Piece("nobody works", "muted")])
            lines += _small(one, width, 1 + _DAY)
            continue
        cells = [(_day_cell(one, today), _DAY + 1 - _GAP)]
        cells += [(_crew_cell(one, crew, column), column) for crew in view.crews]
        cells.append((_rail(one, rail, in_full=one is first), rail))
        lines += beside(cells, _GAP)
        lines += _small(one, width, 1 + _DAY)
    return lines


def _small(one: WeekDay, width: int, indent: int) -> list[Line]:
    """Who is not with their crew that day; then small visits, the lead's own and those of others, a person a line."""
    lines: list[Line] = []
    if one.away:
        lines += [
            [Piece(" " * indent), *line] for line in paragraph(", ".join(one.away), width - indent - 2, "warn", " ! ")
        ]
    for who in dict.fromkeys(visit.who for visit in one.small):
        parts = []
        for visit in (visit for visit in one.small if visit.who == who):
            done = " (done)" if visit.done else " (out that day: a new time)" if visit.out else ""
            where = f" at {visit.address.partition(',')[0]}" if visit.address else ""
            parts.append(f"{between(visit.start, visit.end)} {visit.job} {visit.kind}{where}{done}")
        room = width - indent - 2
        lines += [[Piece(" " * indent), *line] for line in paragraph(", ".join(parts), room, "", f" {who}  ")]
        there = dict.fromkeys(f"{visit.job} {visit.found}" for visit in one.small if visit.who == who and visit.found)
        for words in there:
            lines += [[Piece(" " * indent), *line] for line in paragraph(words, room, "warn", " ! ")]
    return lines


def _day_cell(one: WeekDay, today: date | None) -> list[Line]:
    target: Target = ("day", one.day)
    width = _DAY + 1 - _GAP
    lines = [[Piece(" ", "mark", target), Piece(day(one.day), "strong", target)]]
    if one.day == today:
        lines.append([Piece(" ", "mark", target), Piece("today", "accent", target)])
    return [filled(line, width, target) for line in lines]


def _crew_cell(one: WeekDay, crew: str, width: int) -> list[Line]:
    lines: list[Line] = []
    for place, visit in enumerate(one.visits):
        if visit.crew == crew:
            lines += [[]] if lines else []
            lines += _visit(visit, ("visit", one.day, place), width)
    if not lines:
        lines.append([Piece(" "), Piece("off" if crew in one.off else "·", "muted")])
    return lines


def _marks(visit: Visit) -> str:
    return ", ".join(
        word for word, so in (("done", visit.done), ("begun", visit.begun), ("pinned", visit.pinned)) if so
    )


def _visit(visit: Visit, target: Target, width: int) -> list[Line]:
    """Times and job number; title; what is done there. Each line begins with the cell that marks the selection."""
    inner = width - 1
    head: Line = [Piece(between(visit.start, visit.end), "accent", target), Piece(f"  {visit.job}", "strong", target)]
    marks = _marks(visit)
    above = [head]
    if marks and sum(cell_len(piece.text) for piece in head) + 1 + cell_len(marks) <= inner:
        head.append(Piece(f" {marks}", "muted", target))
    elif marks:
        above += paragraph(marks, inner, "muted", target=target)
    body = [*above, *paragraph(visit.title, inner, "strong", target=target)]
    body += paragraph(visit.what, inner, "", target=target)
    body += [line for owed in visit.warned for line in paragraph(owed, inner, "warn", "! ", target)]
    return [filled([Piece(" ", "mark", target), *line], width, target) for line in body]


def _rail(one: WeekDay, width: int, *, in_full: bool) -> list[Line]:
    """What ends and begins that day; what only runs through is named in full once a week, then by its job."""
    lines: list[Line] = []
    waits = _beside(one)
    for wait in waits:
        if in_full or wait.order != _RUNS:
            lines += _wait_lines(wait, width)
    return [*lines, *_run_on(waits, width)] if not in_full else lines


def _run_on(waits: Sequence[_Beside], width: int) -> list[Line]:
    jobs = sorted({int(wait.what.partition(" ")[0]) for wait in waits if wait.order == _RUNS})
    if not jobs:
        return []
    words = f"{listed([str(job) for job in jobs], most=9)} {'run' if len(jobs) > 1 else 'runs'} on"
    return [[Piece("│ ", "bar"), *line] for line in paragraph(words, width - 2, "muted")]


class _Beside(NamedTuple):
    """A wait on one day: its glyph on the rail, what it is, how it stands that day."""

    order: int
    glyph: str
    what: str
    words: str
    style: str


def _beside(one: WeekDay) -> list[_Beside]:
    """The waits of a day; those that end stand first, since at that instant work may begin."""
    return sorted((_on(one.day, span) for span in one.waits), key=lambda wait: wait.order)


def _on(value: date, span: WaitSpan) -> _Beside:
    what = f"{span.job} {span.what}"
    if span.unpromised:
        ends = span.end.date() == value
        words = f"expected {'today' if ends else day(span.end.date())} at the earliest, promised by nobody"
        return _Beside(1 if ends else _RUNS, "│", what, words, "muted")
    if span.end.date() == value:
        return _Beside(0, "┴", what, f"ends {clock(span.end)}", "accent")
    if span.start.date() == value:
        return _Beside(1, "┬", what, f"begins {clock(span.start)}", "muted")
    return _Beside(_RUNS, "│", what, f"runs to {instant(span.end)}", "muted")


def _wait_lines(wait: _Beside, width: int) -> list[Line]:
    """What it is and how it stands, on one line if both fit, with the rail running down on the left."""
    together = cell_len(wait.what) + cell_len(wait.words) + 4 <= width
    texts = [[Piece(f"{wait.what}  "), Piece(wait.words, wait.style)]] if together else []
    if not together and wait.order == _RUNS:
        texts += paragraph(f"{wait.what}, {wait.words.removeprefix('runs ')}", width - 2)
    elif not together:
        texts += paragraph(wait.what, width - 2)
        texts += paragraph(wait.words, width - 2, wait.style)
    below = " " if wait.glyph == "┴" else "│"
    return [[Piece(f"{below if number else wait.glyph} ", "bar"), *line] for number, line in enumerate(texts)]


# Day by day


def _down(view: WeekView, one: WeekDay, width: int, today: date | None) -> list[Line]:
    target: Target = ("day", one.day)
    title = f"{day(one.day)}, today" if one.day == today else day(one.day)
    head: Line = [Piece(" ", "mark", target), Piece(title, "head", target)]
    rest = width - 2 - cell_len(title)
    lines: list[Line] = [
        [*head, Piece(" ", "", target), Piece("─" * max(rest - 1, 0), "rule", target), Piece(" ", "", target)]
    ]
    roomy = width >= 60
    for crew in view.crews:
        mine = [(place, visit) for place, visit in enumerate(one.visits) if visit.crew == crew]
        for number, (place, visit) in enumerate(mine):
            lines += _told(visit, ("visit", one.day, place), crew if number == 0 or not roomy else "", width, roomy)
    idle = [crew for crew in view.crews if not any(visit.crew == crew for visit in one.visits)]
    off = [crew for crew in idle if crew in one.off]
    free = [crew for crew in idle if crew not in one.off]
    idle_words = [f"off: {', '.join(off)}"] if off else []
    if free and view.plan_number:
        idle_words.append(f"no visit: {', '.join(free)}")
    if idle_words:
        lines += paragraph("; ".join(idle_words), width - 2, "muted", " ")
    lines += _small(one, width, 0)
    first = one is next((day_ for day_ in view.days if day_.waits), None)
    return [*lines, *([Piece(" "), *line] for line in _rail(one, width - 1, in_full=first))]


def _told(visit: Visit, target: Target, crew: str, width: int, roomy: bool) -> list[Line]:
    marks = _marks(visit)
    times = Piece(between(visit.start, visit.end), "accent", target)
    note = [Piece(f"  {marks}", "muted", target)] if marks else []
    job = f"{visit.job} {visit.title}"
    if roomy:
        left = 9
        inner = width - 1 - left - 13
        body = [*paragraph(job, inner, "strong", target=target), *paragraph(visit.what, inner, "", target=target)]
        body += [line for owed in visit.warned for line in paragraph(owed, inner, "warn", "! ", target)]
        first: Line = [
            Piece(f"{fit(crew, left - 1):<{left}}", "", target),
            Piece(f"{times.text}  ", "accent", target),
            *body[0],
        ]
        if note and cell_len("".join(piece.text for piece in first)) + cell_len(note[0].text) + 1 <= width:
            first += note
        lines = [first, *([Piece(" " * (left + 13), "", target), *line] for line in body[1:])]
    else:
        lines = [[Piece(f"{crew}  ", "", target), times, *note]]
        lines += paragraph(job, width - 1, "strong", "  ", target)
        lines += paragraph(visit.what, width - 1, "", "  ", target)
        lines += [line for owed in visit.warned for line in paragraph(owed, width - 1, "warn", "  ! ", target)]
    return [filled([Piece(" ", "mark", target), *line], width, target) for line in lines]


# Below the days


def _below(view: WeekView, width: int, odds: Mapping[int, OddsRow], odds_note: str) -> list[Line]:
    view = _with_chances(view, odds)
    half = (width - 4) // 2 if width >= 100 else width
    left: list[Line] = []
    right: list[Line] = []
    first: list[Line] = []
    if view.warnings:
        first = [[], heading("Before the start", width)]
        for warning in view.warnings:
            first += paragraph(warning, width - 2, "warn", " ! ")
    if view.left_out:
        left.append(heading("Not planned", half))
        for item in view.left_out:
            left += paragraph(f"{item.job}  {item.title}", half - 2, "strong", " ")
            left += paragraph(item.why, half - 2, "", " ")
    if view.promises:
        right.append(heading("Promises", half))
        for promise in view.due:
            right += paragraph(f"{promise.job}  {promise.title}", half - 2, "strong", " ")
            right += _promise(promise, half)
            why_not = _why_no_odds(odds.get(promise.job), view)
            right += paragraph(why_not, half - 2, "warn", " ")
        right += paragraph(odds_note, half - 2, "muted", " ")
        if view.not_due:
            right += paragraph(view.not_due, half - 2, "muted", " ")
        if not all(promise.holds for promise in view.promises):
            right += paragraph("y says which promises clash, and what can be done", half - 2, "muted", " ")
    if half != width:
        return [*first, [], *beside([(left, half), (right, half)], 4)] if left or right else first
    return [*first, [], *left, *([[]] if left and right else []), *right]


def _promise(promise: PromiseRow, width: int) -> list[Line]:
    """Whether it holds, with which chance, and its days; these on lines of their own where too little room is left."""
    word, style = (f"{promise.word}, but tight", "warn") if promise.tight else (promise.word.lower(), "warn")
    style = "accent" if promise.holds and not promise.tight else style
    chance = f", odds {chance_words(promise.chance)}" if promise.chance is not None else ""
    finish = "no finish planned"
    if promise.finish:  # of planned work that is not ticked the hour says nothing
        finish = f"planned {day(promise.finish) if promise.unticked else instant(promise.finish)}"
    finish += f", {promise.only_if}" if promise.only_if else ""
    spare = f"; {promise.spare_words.replace('tight: ', '')}" if promise.spare_words else ""
    days = f"promised {day(promise.promised)}, {finish}{spare}"
    left = width - 5 - cell_len(word) - cell_len(chance)
    if left >= _DAYS:
        first, *rest = paragraph(days, left, "", "")
        return [[Piece(f" {word}", style), Piece(f"{chance}: "), *first], *([Piece(" "), *line] for line in rest)]
    lines = paragraph(word, width - 2, style, " ")
    if chance and sum(cell_len(piece.text) for piece in lines[-1]) + cell_len(chance) <= width - 1:
        lines[-1].append(Piece(chance))
    elif chance:
        lines.append([Piece(f" {chance.removeprefix(', ')}")])
    return [*lines, *paragraph(days, width - 2, "", " ")]


def _with_chances(view: WeekView, odds: Mapping[int, OddsRow]) -> WeekView:
    chances = {job: row.chance for job, row in odds.items()}
    return replace(view, promises=tuple(replace(row, chance=chances.get(row.job)) for row in view.promises))


def _why_no_odds(row: OddsRow | None, view: WeekView) -> str:
    """Why a promise has no odds, where that is not said among what is not planned."""
    if row is None or row.chance is not None or any(item.job == row.job for item in view.left_out):
        return ""
    return f"no odds: it {row.note}"
