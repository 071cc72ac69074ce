"""How a crew's day on site is drawn: one column, each task a target three lines high that a thumb can hit.

Targets are ``("task", job, number)`` and ``("phase", job, phase, where)``.
"""

from __future__ import annotations

from crewjobs.screens.drawing import Line, Piece, Target, filled, heading, paragraph, row
from crewjobs.screens.widgets.job_page import box
from crewjobs.screens.words import between
from crewjobs.services.rows import SiteDay, SiteHouse, SiteTask

FINISHED = ("done", "not needed")
_COLUMN = 84


def next_task(day: SiteDay) -> SiteTask | None:
    """The first task that may be done now."""
    for house in day.houses:
        for task in house.tasks:
            if task.state not in FINISHED and not task.hold:
                return task
    return None


def draw_day(day: SiteDay, width: int) -> list[Line]:
    """The houses of the day, top to bottom; never wider than one column that the eye can follow."""
    width = min(width, _COLUMN)
    nearest = next_task(day)
    lines: list[Line] = []
    for house in day.houses:
        lines += _house(house, width)
        lines += _tasks(house, width, nearest)
    return lines


def _house(house: SiteHouse, width: int) -> list[Line]:
    lines = [heading(between(house.arrive, house.leave), width, f"job {house.job}")]
    lines += paragraph(house.title, width - 2, "strong", " ")
    lines += paragraph(house.address, width - 2, "muted", " ")
    lines += paragraph("; ".join(house.facts), width - 2, "muted", " ") if house.facts else []
    return lines


def _tasks(house: SiteHouse, width: int, nearest: SiteTask | None) -> list[Line]:
    lines: list[Line] = []
    before: tuple[str, str] | None = None
    for task in house.tasks:
        if (task.phase, task.where) != before:
            before = (task.phase, task.where)
            lines += [[], _group(house, task, width)]
        lines += _task(task, width, task is nearest)
    return [*lines, []]


def _group(house: SiteHouse, task: SiteTask, width: int) -> Line:
    """A phase of a section, with a box that ticks all that is left of it at once."""
    same = [one for one in house.tasks if (one.phase, one.where) == (task.phase, task.where)]
    done = sum(one.state in FINISHED for one in same)
    name = ", ".join(part for part in (task.phase, task.where) if part)
    if done == len(same):
        right: Line = [Piece("[x] all ", "muted")]
    else:
        target: Target = ("phase", house.job, task.phase, task.where)
        right = [
            Piece(f"{done} of {len(same)} ", "muted"),
            Piece(" ", "mark", target),
            Piece("[ ] all ", "strong", target),
        ]
    return row([Piece(" "), Piece(name, "head")], right, width)


def _task(task: SiteTask, width: int, nearest: bool) -> list[Line]:
    """Box and title; where, how much, when; what holds it. At least three lines, the last may be blank."""
    target: Target = ("task", task.job, task.number)
    finished = task.state in FINISHED
    shut = bool(task.hold) and not finished
    style = "muted" if finished else "" if shut else "strong"
    inner = width - 6
    texts = paragraph(task.title, inner - (6 if nearest else 0), style, target=target)
    first: Line = [Piece(f"{box(task.state)} ", style, target), *texts[0]]
    body: list[Line] = [first, *([Piece("    ", "", target), *line] for line in texts[1:])]
    state = task.state if task.state != "to do" else ""
    facts = "  ".join(part for part in (task.time, task.quantity, task.where, state) if part)
    body += [[Piece("    ", "", target), *line] for line in paragraph(facts, inner, "muted", target=target)]
    if shut:
        body += [[Piece("    ", "", target), *line] for line in paragraph(task.hold, inner, "warn", "‖ ", target)]
    if not finished:
        for caution in task.cautions:
            body += [[Piece("    ", "", target), *line] for line in paragraph(caution, inner, "", "! ", target)]
    while len(body) < 3:
        body.append([])
    lines = [filled([Piece(" ", "mark", target), *line], width, target) for line in body]
    if nearest:
        lines[0] = row([Piece(" ", "mark", target), *first], [Piece("next ", "accent", target)], width, target)
    return lines
