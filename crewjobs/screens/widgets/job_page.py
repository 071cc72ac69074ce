"""How one job is drawn: its head, phases × sections, tasks with what holds them, and beside or below what belongs to it.

Targets are ``("task", number)``, ``("cell", phase, where)`` and ``("material", name)``.
"""

from __future__ import annotations

from crewjobs.screens.drawing import Line, Piece, Target, beside, cell_len, filled, fit, heading, paragraph, row
from crewjobs.screens.words import clock, day, hours, instant
from crewjobs.services.rows import JobPage, MaterialRow, PhaseCell, TaskRow

BOXES = {"done": "[x]", "under way": "[/]", "not needed": "[-]"}
"""The box of a task by its state; an empty one is to do."""

_RAIL = 38
_ROOMY = 110
_PHASE = 16
_CELL = 14


def box(state: str) -> str:
    """``[ ]``, ``[/]`` under way, ``[x]`` done, ``[-]`` not needed."""
    return BOXES.get(state, "[ ]")


def draw_page(page: JobPage, width: int, at: str) -> list[Line]:
    """The whole page of a job; `at` is the time typed for the next ticks, empty for now."""
    lines = _head(page, width, at)
    if width >= _ROOMY:
        left = width - _RAIL - 3
        main = [*_grid(page, left), [], *_tasks(page, left)]
        aside = [*_materials(page, _RAIL), *_facts(page, _RAIL), *_changes(page, _RAIL)]
        return [*lines, [], *beside([(main, left), (aside, _RAIL)], 3)]
    return [
        *lines,
        *_grid(page, width),
        [],
        *_tasks(page, width),
        [],
        *_materials(page, width),
        *_facts(page, width),
        *_changes(page, width),
    ]


def _head(page: JobPage, width: int, at: str) -> list[Line]:
    job = page.row
    who = ", ".join(part for part in (job.customer, job.address) if part)
    lines = paragraph(who, width - 2, "muted", " ")
    done = f"{job.tasks_done} of {job.tasks_all} tasks done, {hours(job.hours_left)} left"
    labor = f"{hours(page.hours)} ± {hours(page.spread)} in all for {page.area_ft2:,.0f} ft²"
    lines += paragraph(f"{done}; {labor}", width - 2, "", " ")
    if job.promised or job.planned_finish:
        promised = f"promised {day(job.promised)}" if job.promised else "no promise"
        planned = f"planned {instant(job.planned_finish)}" if job.planned_finish else "not planned"
        lines += paragraph(
            f"{promised}, {planned}{': late' if job.late else ''}", width - 2, "warn" if job.late else "", " "
        )
    if job.waits_for:
        lines += paragraph(f"waits for {job.waits_for}", width - 2, "accent", " ")
    if at:
        lines += paragraph(f"Ticks and starts count from: {at}", width - 2, "warn", " ! ")
    return lines


def _grid(page: JobPage, width: int) -> list[Line]:
    """Phases down, sections across, where all sections fit; else a line or two a phase."""
    if not page.cells:
        return []
    phases = list(dict.fromkeys(cell.phase for cell in page.cells))
    places = list(dict.fromkeys(cell.where for cell in page.cells))
    found = {(cell.phase, cell.where): cell for cell in page.cells}
    lines = [heading("Phases", width, "done of all, hours")]
    if _PHASE + 1 + len(places) * _CELL <= width:
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
    for phase in phases:
        lines.append([Piece(" "), Piece(phase, "strong")])
        for where in places:
            cell = found.get((phase, where))
            if cell is not None:
                target: Target = ("cell", phase, where)
                left: Line = [Piece(" ", "mark", target), Piece(f"  {where or 'house'}", "", target)]
                right: Line = [Piece(f"{_count(cell)}  {hours(cell.hours)} ", "", target)]
                lines.append(row(left, right, width, target))
    return lines


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


def _tasks(page: JobPage, width: int) -> list[Line]:
    if not page.tasks:
        return [*heading_only("Tasks", width), *paragraph("This job has no tasks yet.", width - 2, "muted", " ")]
    lines = heading_only("Tasks", width)
    before = ""
    for task in page.tasks:
        if task.phase != before:
            before = task.phase
            lines.append([Piece(" "), Piece(task.phase, "head")])
        lines += _task(task, width)
    return lines


def heading_only(text: str, width: int) -> list[Line]:
    """A heading as a list of one line."""
    return [heading(text, width)]


def _task(task: TaskRow, width: int) -> list[Line]:
    target: Target = ("task", task.number)
    shut = bool(task.hold) and task.state == "to do"
    style = "muted" if task.state in ("done", "not needed") else "" if shut else "strong"
    left: Line = [Piece(" ", "mark", target), Piece(f"{box(task.state)} {task.number:>2} ", style, target)]
    what = f"{task.title}, {task.where}" if task.where else task.title
    right = _aside(task, width)
    inner = width - 8 - (cell_len(right) + 2 if right else 0)
    texts = paragraph(what, inner, style, target=target)
    lines = [row([*left, *texts[0]], [Piece(f"{right} ", "muted", target)] if right else [], width, target)]
    below = list(texts[1:])
    room = width - 9
    if width < 60:
        below += paragraph(
            ", ".join(part for part in (task.quantity, hours(task.hours)) if part), room, "muted", "", target
        )
    if task.planned and task.state not in ("done", "not needed"):
        below += paragraph(f"planned {task.planned}", room, "muted", "", target)
    if shut:
        below += paragraph(task.hold, room, "warn", "‖ ", target)
    if task.state != "done":
        for caution in task.cautions:
            below += paragraph(caution, room, "", "! ", target)
    for note in task.notes:
        below += paragraph(note, room, "muted", "", target)
    indent = Piece(" " * 7, "", target)
    lines += [filled([Piece(" ", "mark", target), indent, *line], width, target) for line in below]
    return lines


def _aside(task: TaskRow, width: int) -> str:
    """What stands at the right of a task: when it was done, else how much it is."""
    if width < 60:
        return ""
    if task.state == "done" and task.done_at:
        return f"done {instant(task.done_at)}"
    if task.state == "under way" and task.started_at:
        return f"under way since {clock(task.started_at)}"
    labor = f"{hours(task.hours)} ± {hours(task.spread)}"
    return "   ".join(part for part in (task.quantity, labor) if part)


def _materials(page: JobPage, width: int) -> list[Line]:
    if not page.materials:
        return []
    lines = heading_only("Material", width)
    for material in page.materials:
        lines += _material(material, width)
    return [*lines, []]


def _material(material: MaterialRow, width: int) -> list[Line]:
    target: Target = ("material", material.name)
    count = f"{material.cartons_come} of {material.cartons_ordered} cartons, {material.status}"
    body = paragraph(material.name, width - 2, "strong", target=target)
    body += paragraph(count, width - 2, "" if material.cartons_come >= material.cartons_ordered else "warn", "", target)
    for lot in material.lots:
        body += paragraph(lot, width - 2, "muted", target=target)
    return [filled([Piece(" ", "mark", target), *line], width, target) for line in body]


def _facts(page: JobPage, width: int) -> list[Line]:
    lines: list[Line] = []
    for title, texts, lead in (
        ("Cautions", page.cautions, " ! "),
        ("Site", page.site_lines, " "),
        ("Rooms", page.rooms, " "),
    ):
        if texts:
            lines += heading_only(title, width)
            for text in texts:
                lines += paragraph(text, width - 1, "", lead)
            lines.append([])
    return lines


def _changes(page: JobPage, width: int) -> list[Line]:
    lines = heading_only("Change log", width)
    if not page.changes:
        return [*lines, *paragraph("Nothing was changed yet.", width - 2, "muted", " ")]
    for change in page.changes:
        who = f" {change.who}" if change.who else ""
        undone = " (undone)" if change.undone else ""
        lines += paragraph(f"{instant(change.at)}{who}{undone}", width - 2, "muted", " ")
        lines += paragraph(change.what, width - 2, "", " ")
    return lines
