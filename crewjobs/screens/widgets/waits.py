"""How what is waited for is drawn: each wait as a tape from the instant it began to the instant it is ready."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.waits import WaitState
from crewjobs.screens.drawing import Line, Piece, Target, bar, cell_len, filled, fit, heading, paragraph, row
from crewjobs.screens.words import MONTHS, clock, instant, share, span
from crewjobs.services.waiting.calls import calls

if TYPE_CHECKING:
    from crewjobs.services.rows import WaitRow

_WIDE = 60
_ROOMY = 100
_NAMED = 3
"""So many people to call are named where there is little room."""
_LATE = (WaitState.NOT_ORDERED, WaitState.LATE, WaitState.NOT_READY, WaitState.NOT_PLANNED)
_CALLS = (WaitState.TO_ASK, WaitState.TO_TELL)
"""What a call settles today: it waits for no instant."""


def draw_waits(rows: Sequence[WaitRow], width: int, selected: Target | None) -> list[Line]:
    """All waits in the order given, worst first; targets are ``("wait", place, job)``."""
    lines: list[Line] = []
    for place, wait in enumerate(rows):
        target = ("wait", place, wait.job)
        drawn = _wide(wait, width, target) if width >= _WIDE else _narrow(wait, width, target, target == selected)
        lines += [filled(line, width, target) for line in drawn]
        lines.append([])
    return lines


def draw_summary(rows: Sequence[WaitRow], width: int) -> list[Line]:
    """``7 waits: 1 not ordered, 2 curing``, above the list, and whom to call today; on a phone the first few of them by name."""
    counts = [(state, sum(wait.state is state for wait in rows)) for state in WaitState]
    parts = ", ".join(f"{count} {state.value}" for state, count in counts if count)
    noun = "thing is" if len(rows) == 1 else "things are"
    title = f"{len(rows)} {noun} waited for" if width >= _WIDE else f"{len(rows)} waits"
    head = heading(title, width, parts if cell_len(parts) + cell_len(title) + 6 <= width else "worst first")
    found = calls(rows)
    if not found:
        return [head]
    words = "; ".join(call.words for call in found)
    if width < _WIDE:
        names, more = [call.name for call in found[:_NAMED]], len(found) - _NAMED
        words = "; ".join(names) + (f" and {more} more" if more > 0 else "")
    return [head, *paragraph(words, width - 2, "strong", " call today  "), []]


def ready(wait: WaitRow) -> str:
    """The instant in words, or that nobody knows it."""
    if wait.tick_first:
        return "tick first"
    if wait.ready_at is None:
        return "call today" if wait.state in _CALLS else "no day known"
    before = {WaitState.DUE: "ready ", WaitState.LATE: "ready ", WaitState.READY: "since "}.get(wait.state, "")
    return f"{before}{instant(wait.ready_at)}"


def left(wait: WaitRow) -> str:
    """What is left by the clock."""
    if wait.state is WaitState.READY:
        return "ready now"
    if wait.minutes_left is None:
        return ""
    if wait.minutes_left < 0:
        return f"{span(-wait.minutes_left)} late"
    return f"{span(wait.minutes_left)} left"


def _state_style(state: WaitState) -> str:
    if state in _LATE:
        return "warn"
    return "strong"


def _nights(start: datetime, end: datetime) -> list[float]:
    whole = (end - start).total_seconds()
    if whole <= 0:
        return []
    midnight = datetime(start.year, start.month, start.day, tzinfo=start.tzinfo) + timedelta(days=1)
    nights: list[float] = []
    while midnight < end and len(nights) < 60:
        nights.append((midnight - start).total_seconds() / whole)
        midnight += timedelta(days=1)
    return nights


def _tape(wait: WaitRow, width: int, target: Target) -> Line:
    if wait.done is None:
        return []
    nights = _nights(wait.since, wait.ready_at) if wait.since and wait.ready_at else []
    return bar(wait.done, width, nights, target)


def _house(wait: WaitRow) -> str:
    return f"{wait.job}  {wait.title}"


def _wide(wait: WaitRow, width: int, target: Target) -> list[Line]:
    """State on the left, the wait in the middle, the instant on the right."""
    right, aside_left = (30, 19) if width >= _ROOMY else (23, 14)
    middle = width - 1 - aside_left - 2 - right
    center: list[Line] = []
    if cell_len(wait.what) + cell_len(_house(wait)) + 3 <= middle:
        gap = " " * (middle - cell_len(wait.what) - cell_len(_house(wait)))
        center.append(
            [Piece(wait.what, "strong", target), Piece(gap, "", target), Piece(_house(wait), "muted", target)]
        )
    else:
        center += paragraph(wait.what, middle, "strong", target=target)
        center += paragraph(_house(wait), middle, "muted", target=target)
    tape = _tape(wait, middle, target)
    if tape:
        center.append(tape)
    if wait.holding:
        center += paragraph(wait.holding, middle, "muted", target=target)
    if wait.call:
        center += paragraph(wait.call_words, middle, "", "→ ", target)
    aside: list[Line] = [[Piece(ready(wait), "accent" if wait.ready_at else "muted", target)]]
    if left(wait):
        aside.append([Piece(left(wait), "strong", target)])
    if not wait.verified:
        aside += paragraph(wait.basis, right, "muted", target=target)
    before: list[Line] = [
        [Piece(" ", "mark", target), Piece(wait.state.value, _state_style(wait.state), target)],
    ]
    if wait.done is not None and wait.state is not WaitState.READY:
        before.append([Piece(" ", "mark", target), Piece(f"{share(wait.done)} gone", "", target)])
    if wait.since is not None:
        before.append([Piece(" ", "mark", target), Piece(_since(wait, wait.since, aside_left), "muted", target)])
    height = max(len(before), len(center), len(aside))
    lines: list[Line] = []
    for number in range(height):
        head = before[number] if number < len(before) else [Piece(" ", "mark", target)]
        body = center[number] if number < len(center) else []
        tail = aside[number] if number < len(aside) else []
        body = [*filled(body, middle, target), Piece("  ", "", target)]
        lines.append([*filled(head, 1 + aside_left, target), *body, *filled(tail, right, target)])
    return lines


def _since(wait: WaitRow, value: datetime, width: int) -> str:
    """When it began, or for what is late, when it was due."""
    word = "due" if wait.state is WaitState.LATE else "from"
    date_words = f"{word} {value.day} {MONTHS[value.month - 1]}"
    for text in (date_words,) if wait.day_only else (f"{date_words} {clock(value)}", date_words):
        if len(text) < width:
            return text
    return ""


def _narrow(wait: WaitRow, width: int, target: Target, unfolded: bool) -> list[Line]:
    """Short lines for a phone: what is held back on one line; the selected one says all of it, and the house."""
    inner = width - 1
    mark = Piece(" ", "mark", target)
    lines: list[Line] = [
        row(
            [mark, Piece(wait.state.value, _state_style(wait.state), target)],
            [Piece(ready(wait), "accent" if wait.ready_at else "muted", target)],
            width,
            target,
        )
    ]
    body: list[Line] = []
    body += paragraph(f"{wait.job}  {wait.what}", inner, "strong", target=target)
    if unfolded:
        body += paragraph(wait.title, inner, "muted", target=target)
    remaining = left(wait)
    if wait.done is not None:
        tail = f" {remaining}"
        body.append([*_tape(wait, max(inner - cell_len(tail), 8), target), Piece(tail, "", target)])
    elif remaining:
        body.append([Piece(remaining, "", target)])
    if not wait.verified:
        body += paragraph(wait.basis, inner, "muted", target=target)
    if wait.holding:
        body += paragraph(wait.holding if unfolded else fit(wait.holding, inner), inner, "muted", target=target)
    if wait.call:
        body += paragraph(wait.call_words, inner, "", "→ ", target)
    lines += [[mark, *line] for line in body]
    return lines
