"""How one job is drawn: its head, phases × sections, tasks with what holds them, and beside or below what belongs to it.

Targets are ``("task", number)``, ``("cell", phase, where)`` and ``("material", name)``.
"""

from __future__ import annotations

from crewjobs.domain.units import format_area
from crewjobs.domain.wording import chance_words
from crewjobs.screens.drawing import (
    Line,
    Piece,
    Target,
    beside,
    cell_len,
    filled,
    fit,
    heading,
    paragraph,
    row,
    width_of,
)
from crewjobs.screens.in_keys import in_keys
from crewjobs.screens.words import clock, day, hours, instant
from crewjobs.services.odds.odds_rows import OddsRow
from crewjobs.services.rows import JobPage, MaterialRow, PhaseCell, TaskRow

BOXES = {"done": "[x]", "under way": "[/]", "not needed": "[-]"}
"""The box of a task by its state; an empty one is to do."""

_RAIL = 38
_ROOMY = 110
_PHASE = 16
_CELL = 14
_HOURS = 8
_FINISHED = ("done", "not needed")


def box(state: str) -> str:
    """``[ ]``, ``[/]`` under way, ``[x]`` done, ``[-]`` not needed."""
    return BOXES.get(state, "[ ]")


def draw_page(
    page: JobPage,
    width: int,
    at: str,
    selected: Target | None = None,
    odds: OddsRow | None = None,
    odds_note: str = "",
) -> list[Line]:
    """The whole page of a job; `at` is the time typed for the next ticks, empty for now."""
    lines = _head(page, width, at, _odds(odds, odds_note, width - 2))
    if width >= _ROOMY:
        left = width - _RAIL - 3
        main = [*_grid(page, left), *_chosen_cell(page, left, selected), [], *_tasks(page, left, selected)]
        aside = [*_materials(page, _RAIL), *_facts(page, _RAIL), *_changes(page, _RAIL)]
        return [*lines, [], *beside([(main, left), (aside, _RAIL)], 3)]
    return [
        *lines,
        *_grid(page, width),
        *_chosen_cell(page, width, selected),
        [],
        *_tasks(page, width, selected),
        [],
        *_materials(page, width),
        *_facts(page, width),
        *_changes(page, width),
    ]


def _head(page: JobPage, width: int, at: str, odds: list[Line]) -> list[Line]:
    job = page.row
    name = f"{job.number}  {job.title}"
    # The line above the sheet has room for one line of it.
    lines = paragraph(name, width - 2, "strong", " ") if cell_len(name) + cell_len(job.state) + 4 > width else []
    who = ", ".join(part for part in (job.customer, page.phone, job.address) if part)
    lines += paragraph(who, width - 2, "muted", " ")
    for tie in page.ties:
        lines += paragraph(tie, width - 2, "", " ")
    left = "called off" if job.state == "called off" else f"{hours(job.hours_left)} left"
    done = f"{job.tasks_done} of {job.tasks_all} tasks done, {left}"
    area = format_area(page.area_ft2, page.units) if page.units == "metric" else f"{page.area_ft2:,.0f} ft²"
    labor = f"{hours(page.hours)} ± {hours(page.spread)} in all for {area}"
    labor += f", {page.man_days:.1f} man-days of 8 h" if page.man_days else ""
    labor += f", {page.pace}" if page.pace else ""
    lines += paragraph(f"{done}; {labor}", width - 2, "", " ")
    if page.by_pace:
        lines += paragraph(page.by_pace, width - 2, "muted", " ")
    if job.promised or job.planned_finish:
        promised = f"promised {day(job.promised)}" if job.promised else "no promise"
        planned = f"planned {instant(job.planned_finish)}" if job.planned_finish else "not planned"
        planned = "all ticked" if job.tasks_all and job.tasks_done == job.tasks_all else planned
        planned += f", {job.only_if}" if job.only_if else ""
        planned = job.state if job.state in ("called off", "done", "closed") else planned
        lines += paragraph(
            f"{promised}, {planned}{': late' if job.late else ''}", width - 2, "warn" if job.late else "", " "
        )
    lines += paragraph(job.unticked, width - 2, "warn", " ") if job.unticked else []
    lines += odds
    if job.waits_for:
        lines += paragraph(f"waits for {job.waits_for}", width - 2, "accent", " ")
    for why in page.not_planned:
        lines += paragraph(f"not planned: {why}", width - 2, "warn", " ")
    if at:
        lines += paragraph(f"Ticks and starts count from: {at}", width - 2, "warn", " ! ")
    return lines


def _odds(odds: OddsRow | None, note: str, width: int) -> list[Line]:
    """The chance of its promise and the days it is likely done by, then what moves them most."""
    if odds is None:
        return paragraph(note, width, "muted", " ")
    if odds.note:
        return paragraph(f"no odds: it {odds.note}", width, "warn", " ")
    chance = f"odds {chance_words(odds.chance)}: " if odds.chance is not None else ""
    lines = paragraph(f"{chance}{odds.days.partition('; ')[2] or odds.days}", width, "", " ")
    if odds.drivers:
        lines += paragraph(f"moved most by {odds.drivers[0].words}; c says more", width, "muted", " ")
    return lines


def _grid(page: JobPage, width: int) -> list[Line]:
    """Phases down, sections across, where all sections fit; else each phase with its sections one after the other."""
    if not page.cells:
        return []
    phases = list(dict.fromkeys(cell.phase for cell in page.cells))
    places = list(dict.fromkeys(cell.where for cell in page.cells))
    lines = [heading("Phases", width, "done of all, hours")]
    if _PHASE + 2 + len(places) * _CELL > width:
        return lines + [line for phase in phases for line in _flow(page, phase, width)]
    found = {(cell.phase, cell.where): cell for cell in page.cells}
    head: Line = [Piece(" " * (_PHASE + 1))]
    for where in places:
        head += filled([Piece(" "), Piece(fit(where or "house", _CELL - 2), "muted")], _CELL)
    lines.append(head)
    for phase in phases:
        line: Line = [Piece(" "), *filled([Piece(fit(phase, _PHASE - 2))], _PHASE)]
        for where in places:
            line += _cell(found.get((phase, where)), _CELL)
        lines.append(line)
    return lines


def _flow(page: JobPage, phase: str, width: int) -> list[Line]:
    """One phase: its sections in reading order, as many on a line as fit."""
    labor = hours(sum(cell.hours for cell in page.cells if cell.phase == phase))
    indent = _PHASE + _HOURS + 1 if width >= 60 else 3
    lines: list[Line] = [[Piece(f" {phase}", "strong")]]
    if indent == 3:
        lines = [[*lines[0], Piece(f"  {labor}", "muted")], []]
    else:
        lines = [[*filled(lines[0], _PHASE), Piece(f"{labor:>{_HOURS - 1}}", "muted")]]
    for cell in (one for one in page.cells if one.phase == phase):
        target: Target = ("cell", cell.phase, cell.where)
        style = "muted" if cell.done == cell.all else ""
        text = fit(f"{cell.where or 'house'} {_count(cell)}", width - indent - 3)
        if width_of(lines[-1]) > indent and width_of(lines[-1]) + cell_len(text) + 3 > width:
            lines.append([])
        lines[-1] = filled(lines[-1], max(indent, width_of(lines[-1])))
        lines[-1] = [*lines[-1], Piece(" ", "mark", target), Piece(text, style, target), Piece("  ")]
    return lines


def _chosen_cell(page: JobPage, width: int, selected: Target | None) -> list[Line]:
    """What the selected phase of a section takes, and what Enter does with it."""
    cell = next((one for one in page.cells if ("cell", one.phase, one.where) == selected), None)
    if cell is None:
        return []
    name = ", ".join(dict.fromkeys((cell.phase, cell.where or "house")))
    facts = [f"{hours(cell.hours)} ± {hours(cell.spread)}", cell.pace]
    if cell.done < cell.all:
        facts.append(f"Enter ticks the {cell.all - cell.done} left")
    return paragraph(f"{name}: {', '.join(part for part in facts if part)}", width - 2, "accent", " ")


def _count(cell: PhaseCell) -> str:
    return "done" if cell.done == cell.all else f"{cell.done}/{cell.all}"


def _cell(cell: PhaseCell | None, width: int) -> Line:
    if cell is None:
        return [Piece(" ·".ljust(width), "rule")]
    style = "muted" if cell.done == cell.all else "strong" if cell.done else ""
    target: Target = ("cell", cell.phase, cell.where)
    text = _count(cell) if cell.done == cell.all else f"{_count(cell)}  {hours(cell.hours)}"
    pieces = [Piece(" ", "mark", target), Piece(fit(text, width - 3), style, target)]
    return [*filled(pieces, width - 1, target), Piece(" ")]


def _tasks(page: JobPage, width: int, selected: Target | None) -> list[Line]:
    """In the order of work; where the house is done in stages, each stage under its own heading."""
    lines = [heading("Tasks", width, "in the order of work")]
    if not page.tasks:
        return [
            *lines,
            *paragraph(
                "This job has no tasks yet: e writes its rooms and their floors, which make them.",
                width - 2,
                "muted",
                " ",
            ),
        ]
    stages = max(task.stage for task in page.tasks)
    before = 0
    for task in page.tasks:
        if stages > 1 and task.stage != before:
            before = task.stage
            name = f"stage {task.stage} of {stages}" if task.stage else "the whole house"
            lines.append([Piece(" "), Piece(name, "head")])
        lines += _task(task, width, ("task", task.number) == selected)
    return lines


def _task(task: TaskRow, width: int, unfolded: bool) -> list[Line]:
    """What and how much; what holds it; the selected one also says its cautions and notes."""
    target: Target = ("task", task.number)
    open_still = task.state not in _FINISHED
    shut = bool(task.hold) and open_still
    style = "" if shut else "strong" if open_still else "muted"
    roomy = width >= 60
    left: Line = [Piece(" ", "mark", target), Piece(f"{box(task.state)} {task.number:>2} ", style, target)]
    if roomy:
        left.append(Piece(f"{fit(task.phase, _PHASE - 2):<{_PHASE - 1}}", "muted", target))
    what = f"{task.title}, {task.where}" if task.where not in ("", "house") else task.title
    when = task.done_at if task.state == "done" else None
    right = [Piece(f"{instant(when)} ", "muted", target)] if when and roomy else []
    texts = paragraph(what, width - width_of(left) - width_of(right) - 2, style, target=target)
    indent = width_of(left)
    lines = [row([*left, *texts[0]], right, width, target)]
    below = list(texts[1:])
    room = width - indent - 1
    if open_still or not roomy:
        below += paragraph(_details(task, roomy, unfolded), room, "muted", "", target)
    if shut:
        below += hold_lines(task.hold, room, target, whole=unfolded or roomy)
    if unfolded:
        below += [line for caution in task.cautions for line in paragraph(caution, room, "", "! ", target)]
        below += [line for note in task.notes for line in paragraph(note, room, "muted", "", target)]
    elif task.cautions and open_still and not roomy:
        below += paragraph(cautions_in_short(task.cautions), room, "muted", "", target)
    margin = Piece(" " * (indent - 1), "", target)
    lines += [filled([Piece(" ", "mark", target), margin, *line], width, target) for line in below]
    return lines


def hold_lines(hold: str, width: int, target: Target, *, whole: bool) -> list[Line]:
    """``‖`` and what holds it; on a narrow screen one line until it is selected."""
    lines = paragraph(hold, width - 2, "", "", target)
    if not whole and len(lines) > 1:
        lines = [[Piece(fit(in_keys(hold), width - 2), "", target)]]
    return [[Piece("  " if number else "‖ ", "warn", target), *line] for number, line in enumerate(lines)]


def cautions_in_short(cautions: tuple[str, ...]) -> str:
    """``! 2 cautions``: select the task to read them."""
    return f"! {len(cautions)} caution{'s' if len(cautions) > 1 else ''}"


def _details(task: TaskRow, roomy: bool, unfolded: bool) -> str:
    """How much it is, how it stands and when it is planned, on one line where that fits."""
    labor = f"{hours(task.hours)} ± {hours(task.spread)}" if roomy else hours(task.hours)
    parts = [task.quantity, labor] if roomy else [task.phase, task.quantity, labor]
    if unfolded:
        parts.append(task.pace)
    if task.state == "under way":
        parts.append(f"under way since {clock(task.started_at)}" if task.started_at else "under way")
        parts.append(task.how_far)
    elif task.planned and task.state not in _FINISHED and (roomy or unfolded):
        parts.append(f"planned {task.planned}")
    return ", ".join(part for part in parts if part)


def _materials(page: JobPage, width: int) -> list[Line]:
    if not page.materials:
        return []
    lines = [heading("Material", width)]
    for material in page.materials:
        lines += _material(material, width)
    return [*lines, []]


def _material(material: MaterialRow, width: int) -> list[Line]:
    target: Target = ("material", material.name)
    count = f"{material.cartons_come} of {material.cartons_ordered} {material.unit}"
    body = paragraph(material.name, width - 2, "strong", target=target)
    style = "" if material.cartons_come >= material.cartons_ordered else "warn"
    body += paragraph(f"{count}, {material.status}" if material.status else count, width - 2, style, target=target)
    for order in material.orders:
        body += paragraph(order, width - 2, "muted", target=target)
    for lot in material.lots:
        body += paragraph(lot, width - 2, "muted", target=target)
    for asked in material.lots_asked:
        body += paragraph(f"{asked}: press l", width - 2, "warn", target=target)
    return [filled([Piece(" ", "mark", target), *line], width, target) for line in body]


_WHO_DECIDES = ("Local code and licensed trades decide.",)


def _facts(page: JobPage, width: int) -> list[Line]:
    lines: list[Line] = []
    for title, texts, lead in (
        ("Site", page.site_lines, " "),
        ("Rooms", page.rooms, " "),
        ("Cautions", (*page.cautions, *_WHO_DECIDES[: len(page.cautions)]), " ! "),
        ("Heights", tuple(f"{line}." for line in page.heights), " "),
        ("Readings", page.readings, " "),
        ("Found", page.findings, " "),
        ("Hours so far", _spent_lines(page), " "),
        ("Holds passed", page.passed, " ‖ "),
        ("Written down with a tick", page.written, "   "),
        ("Small visits", page.small_visits, " "),
        ("Walk-throughs", page.walks, " "),
        ("Back to the supplier", page.returns, " "),
        ("Change orders", page.change_orders, " "),
        ("Money", page.money, " "),
    ):
        if texts:
            lines += [heading(title, width)]
            for text in texts:
                lines += paragraph(text, width - 1, "", lead)
            lines.append([])
    return lines


def _spent_lines(page: JobPage) -> tuple[str, ...]:
    """Hours spent by phase beside the estimate, how they came about, and each crew's day."""
    if not page.crew_hours:
        return ()
    told = [f"{p.phase}: {hours(p.spent)} of {hours(p.hours)}" for p in page.phases if p.spent]
    told += [f"{hours(page.spent_rest)} on days without a ticked task"] if page.spent_rest else []
    return (*told, f"({page.hours_note})", *page.crew_hours)


def _changes(page: JobPage, width: int) -> list[Line]:
    lines = [heading("Change log", width)]
    if not page.changes:
        return [*lines, *paragraph("Nothing was changed yet.", width - 2, "muted", " ")]
    for change in page.changes:
        who = f" {change.who}" if change.who else ""
        undone = " (undone)" if change.undone else ""
        lines += paragraph(f"{instant(change.at)}{who}{undone}", width - 2, "muted", " ")
        lines += paragraph(change.what.removeprefix(f"job {page.row.number}: "), width - 2, "", " ")
    return lines
