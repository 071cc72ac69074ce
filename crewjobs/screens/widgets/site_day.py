"""How a crew's day on site is drawn: one column, each task a target three lines high that a thumb can hit.

Targets are ``("task", job, number)``, ``("phase", job, phase, where)`` and, where nothing is left to tick, `EVENING`.
"""

from __future__ import annotations

from collections.abc import Sequence

from crewjobs.domain.wording import listed
from crewjobs.screens.drawing import Line, Piece, Target, filled, heading, paragraph, row, width_of
from crewjobs.screens.widgets.job_page import box, cautions_in_short, hold_lines
from crewjobs.screens.words import between
from crewjobs.services.rows import SiteDay, SiteHouse, SiteTask

FINISHED = ("done", "not needed")
EVENING: Target = "evening"
"""The target of a day with nothing left: its sheet is taken in."""
_COLUMN = 84


def is_left(task: SiteTask) -> bool:
    """Whether it is to be ticked on this day still: neither done nor needed no more, nor another day's or crew's by now.

    Of a job that is booked no more nothing is.
    """
    return task.state not in FINISHED and not task.moved and not task.ended


def next_task(day: SiteDay, after: Target | None = None) -> SiteTask | None:
    """The task under way, else the first that may be done now; with `after`, the first behind that one, if there is any."""
    tasks = [task for house in day.houses for task in house.tasks]
    places = [place for place, task in enumerate(tasks) if ("task", task.job, task.number) == after]
    start = places[0] if places else 0
    left = [task for task in (*tasks[start:], *tasks[:start]) if is_left(task)]
    free = [task for task in left if not task.hold and not task.behind]
    return next((task for task in free if task.at_it and not places), free[0] if free else None)


def first_open(day: SiteDay) -> SiteTask | None:
    """The first task that is left, be it on hold."""
    return next((task for house in day.houses for task in house.tasks if is_left(task)), None)


def has_next(day: SiteDay) -> bool:
    """Whether something is left to go on with or to wait for; not where the plan took all that is left, as it is on hold."""
    left = [task for house in day.houses for task in house.tasks if is_left(task)]
    return any(not task.hold or not task.taken for task in left)


def draw_day(day: SiteDay, width: int, selected: Target | None = None) -> list[Line]:
    """The houses of the day, top to bottom; never wider than one column that the eye can follow."""
    width = min(width, _COLUMN)
    nearest = next_task(day)
    lines: list[Line] = [] if has_next(day) else _nothing_left(day, width)
    lines = [*draw_earlier(day, width), *lines]
    for house in day.houses:
        lines += _house(house, width, stuck=not has_next(day))
        lines += _tasks(house, width, nearest, selected)
    return lines


def _so_far(tasks: Sequence[SiteTask]) -> str:
    """``2 of 9 ticked, 6 on hold, 1 moved``; ``2 of 9 ticked, 7 of a job that is called off``."""
    needed = [task for task in tasks if task.state != "not needed"]
    parts = [f"{sum(task.state == 'done' for task in needed)} of {len(needed)} ticked"]
    held = sum(bool(task.hold) and is_left(task) for task in needed)
    moved = sum(bool(task.moved) and not task.ended and task.state not in FINISHED for task in needed)
    parts += [f"{held} on hold"] if held else []
    parts += [f"{moved} moved"] if moved else []
    ended = [task.ended for task in needed if task.ended and task.state not in FINISHED]
    return ", ".join([*parts, *(f"{ended.count(state)} of a job that is {state}" for state in dict.fromkeys(ended))])


def _nothing_left(day: SiteDay, width: int) -> list[Line]:
    """That all is ticked, moved or taken away on hold, and what comes next: a target as high as a task."""
    tasks = [task for house in day.houses for task in house.tasks]
    moved = any((task.moved or task.ended) and task.state not in FINISHED for task in tasks)
    held = any(is_left(task) for task in tasks)
    said = f"{_so_far(tasks)}: nothing else is left." if moved else "All is ticked: nothing of this day is left."
    said = f"{_so_far(tasks)}. r records what clears it. Call the office for other work." if held else said
    taken_in = bool(day.houses) and all(house.recorded for house in day.houses)
    takes = "h takes in its sheet." if _all_ended(tasks) else "h takes in its sheet: hours, what was found."
    sheet = "Its sheet is taken in; h takes what is added to it." if taken_in else takes
    lines = [
        *paragraph(said, width - 6, "warn" if held else "strong", target=EVENING),
        *paragraph(sheet, width - 6, "", target=EVENING),
        [],
    ]
    ticked = all(task.state in FINISHED for task in tasks)
    marks = [f"{box('done')} " if ticked else "‖   " if held else "›   ", *("    " for _ in lines[1:])]
    return [
        filled([Piece(" ", "mark", EVENING), Piece(mark, "", EVENING), *line], width, EVENING)
        for mark, line in zip(marks, lines, strict=True)
    ]


def none_left(tasks: Sequence[SiteTask], job: int, phase: str, where: str) -> str:
    """Say why nothing of a phase of a section is left to tick on a day: it is ticked, its job ended, or another day has the rest."""
    left = [task for task in tasks if (task.job, task.phase, task.where) == (job, phase, where)]
    left = [task for task in left if task.state not in FINISHED]
    if left and left[0].ended:
        return f"What is not ticked of it stays so: the job is {left[0].ended}."
    moved = {task.moved for task in left if task.moved}
    if not moved:
        return "All of it is ticked already."
    return f"What is not ticked of it is {listed(sorted(moved))}: Enter ticks one of them all the same."


def draw_earlier(day: SiteDay, width: int) -> list[Line]:
    """What of the days before the crew did not tick at houses that are not among the day's."""
    width = min(width, _COLUMN)
    lines = [line for words in day.earlier for line in paragraph(words, width - 4, "warn", " ! ")]
    return [*lines, []] if lines else []


def _house(house: SiteHouse, width: int, *, stuck: bool) -> list[Line]:
    lines = [heading(_when(house), width, f"job {house.job}")]
    lines += paragraph(house.title, width - 2, "strong", " ")
    lines += paragraph(house.address, width - 2, "muted", " ")
    lines += paragraph("; ".join(house.facts), width - 2, "muted", " ") if house.facts else []
    if any(task.taken for task in house.tasks) and not stuck:
        lines += paragraph(f"Of this day's page {_so_far(house.tasks)}.", width - 4, "warn", " ‖ ")
    if house.earlier:
        lines += paragraph(f"{house.earlier[:1].upper()}{house.earlier[1:]}", width - 4, "warn", " ! ")
    if house.recorded:
        lines += paragraph(f"Recorded: {house.recorded}.", width - 4, "strong", " ")
    for words in house.found:
        lines += paragraph(words, width - 4, "warn", " ! ")
    return lines


def _when(house: SiteHouse) -> str:
    """From when to when, as the plan has it; of a house that the plan took from the day, what became of it."""
    if not all(task.taken for task in house.tasks):
        return between(house.arrive, house.leave)
    if _all_ended(house.tasks):
        return house.tasks[0].ended
    return "on hold" if any(not task.moved for task in house.tasks) else "not today"


def _all_ended(tasks: Sequence[SiteTask]) -> bool:
    """Whether all is of jobs that are booked no more."""
    return bool(tasks) and all(task.ended for task in tasks)


def _tasks(house: SiteHouse, width: int, nearest: SiteTask | None, selected: Target | None) -> list[Line]:
    """In the order of work, each task under the phase and place that are its own.

    A group that is met first and has more than one task gets the box that ticks it whole.
    """
    lines: list[Line] = []
    seen: set[tuple[str, str]] = set()
    before = ("", "")
    for task in house.tasks:
        group = [one for one in house.tasks if (one.phase, one.where) == (task.phase, task.where)]
        first = (task.phase, task.where) not in seen
        seen.add((task.phase, task.where))
        if first and len(group) > 1:
            lines += [[], *_group(house, task, group, width)]
        elif (task.phase, task.where) != before:
            name = group_name(task.phase, task.where)
            lines += [[], *paragraph(name, width - 2, "head", " ")]
        before = (task.phase, task.where)
        lines += _task(task, width, task is nearest, ("task", task.job, task.number) == selected)
    return [*lines, []]


def group_name(phase: str, where: str) -> str:
    """How a phase of a section is called: ``subfloor prep, dining``."""
    return ", ".join(dict.fromkeys(part for part in (phase, where) if part))


def _group(house: SiteHouse, task: SiteTask, group: list[SiteTask], width: int) -> list[Line]:
    """A phase of a section, with a box that ticks all that is left of it at once."""
    done = sum(one.state in FINISHED for one in group)
    name = group_name(task.phase, task.where)
    if not any(is_left(one) for one in group):
        rest = f"job {task.ended}" if task.ended else "rest moved"
        right: Line = [Piece("[x] all " if done == len(group) else f"{done}/{len(group)}, {rest} ", "muted")]
    else:
        target: Target = ("phase", house.job, task.phase, task.where)
        right = [
            Piece(f"{done}/{len(group)} ", "muted"),
            Piece(" ", "mark", target),
            Piece("[ ] all ", "strong", target),
        ]
    *above, last = paragraph(name, width - width_of(right) - 1, "head", " ")
    return [*above, row(last, right, width)]


def _task(task: SiteTask, width: int, nearest: bool, unfolded: bool) -> list[Line]:
    """Box and title; when, how much, where; what holds it. At least three lines, the last may be blank."""
    target: Target = ("task", task.job, task.number)
    open_still = task.state not in FINISHED
    shut = bool(task.hold) and open_still
    elsewhere = (task.moved or task.by_now) if open_still else ""
    style = "" if shut else "strong" if open_still else "muted"
    inner = width - 6
    texts = paragraph(task.title, inner - (6 if nearest else 0), style, target=target)
    head: Line = [Piece(" ", "mark", target), Piece(f"{box(task.state)} ", style, target), *texts[0]]
    below = list(texts[1:])
    state = task.state if task.state != "to do" else ""
    where = task.where if task.where != "house" else ""
    state = f"{state}, {task.how_far}" if task.how_far and state else task.how_far or state
    facts = "  ".join(part for part in (task.time, task.quantity, where, state) if part)
    below += paragraph(facts, inner, "muted", target=target)
    below += paragraph(elsewhere, inner - 2, "warn", "› ", target) if elsewhere else []
    if shut:
        below += hold_lines(task.hold, inner, target, whole=unfolded)
    if unfolded and open_still:
        below += [line for caution in task.cautions for line in paragraph(caution, inner, "", "! ", target)]
    elif task.cautions and open_still:
        below += paragraph(cautions_in_short(task.cautions), inner, "muted", target=target)
    while len(below) < 2:
        below.append([])
    margin = Piece("    ", "", target)
    lines = [row(head, [Piece("next ", "accent", target)] if nearest else [], width, target)]
    lines += [filled([Piece(" ", "mark", target), margin, *line], width, target) for line in below]
    return lines
