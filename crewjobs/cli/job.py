"""`crewjobs job N`: one job, whole."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, moment, table, wrap
from crewjobs.domain.units import format_area
from crewjobs.domain.wording import upper

if TYPE_CHECKING:
    from crewjobs.services.rows import JobPage, JobRow, MaterialRow, TaskRow

LATEST = 12
"""How many of a job's changes its page shows."""


def arguments(command: ArgumentParser) -> None:
    """Declare the job."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("--all", action="store_true", help="also tasks that are done or not needed")
    command.add_argument(
        "--check-photos", action="store_true", help="read the photos' files and say which have other bytes now"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the job's page."""
    office = open_office(args)
    page = office.job(args.number)
    if args.check_photos:
        page = replace(page, photos=office.check_photos(args.number) or ("no photo is recorded",))
    return emit(args, page, lambda: job_text(page, everything=args.all))


def _left(row: JobRow) -> str:
    return "called off, nothing left to do" if row.state == "called off" else f"{row.hours_left:.1f} h of work left"


def job_text(page: JobPage, *, everything: bool) -> str:
    """Return the job's page as text."""
    row = page.row
    parts = [
        wrap(f"Job {row.number}: {row.title} · {row.state}, {row.phase}"),
        wrap(", ".join(filter(None, (row.customer, page.phone, row.address))), indent="  "),
        *(wrap(line, indent="  ") for line in (*page.ties, *page.site_lines, *page.rooms)),
        "",
        wrap(
            f"{_area(page)}, {row.tasks_done} of {row.tasks_all} tasks done, {_left(row)} "
            f"of {page.hours:.1f} h ± {page.spread:.1f}, {page.man_days:.1f} man-days of 8 h"
            f"{f', {page.pace}' if page.pace else ''} "
            "(hours of one person; book rates are common practice, no source)."
        ),
        *([wrap(f"{upper(page.by_pace)}.")] if page.by_pace else []),
        *([wrap(f"{upper(row.unticked)}: tick what is done, or plan again.")] if row.unticked else []),
        *([wrap(f"Waits for: {row.waits_for}")] if row.waits_for else []),
        *(wrap(f"Not planned: {why}", indent="  ", first="") for why in page.not_planned),
        "",
        *(["Material"] if page.materials else []),
        *(line for material in page.materials for line in _material_lines(material)),
        *([""] if page.materials else []),
        "Hours by phase",
        wrap("; ".join(f"{p.phase} {p.hours:.1f} ± {p.spread:.1f}" for p in page.phases), indent="  "),
        *_spent_lines(page),
        "",
        "Hours by phase and place",
        table(
            ["phase", "where", ">done", ">hours", ">±", "pace"],
            [(c.phase, c.where, f"{c.done}/{c.all}", f"{c.hours:.1f}", f"{c.spread:.1f}", c.pace) for c in page.cells],
            stretch=(1,),
        ),
        "",
        _tasks_text(page.tasks, everything=everything, over=row.state in OVER),
    ]
    if page.cautions:
        parts += [
            "",
            "Cautions",
            "  Local code and licensed trades decide.",
            *(wrap(caution, indent="    ", first="  ! ") for caution in page.cautions),
        ]
    if page.heights:
        parts += ["", "Heights", *(wrap(f"{line}.", indent="    ", first="  ") for line in page.heights)]
    if page.readings:
        parts += ["", "Readings", *(wrap(line, indent="    ", first="  ") for line in page.readings)]
    if page.findings:
        parts += ["", "Found", *(wrap(line, indent="    ", first="  ") for line in page.findings)]
    if page.passed:
        parts += ["", "Holds passed", *(wrap(passed, indent="    ", first="  ") for passed in page.passed)]
    for title, lines in (
        ("Written down with a tick", page.written),
        ("Small visits", page.small_visits),
        ("Walk-throughs", page.walks),
        ("Back to the supplier", page.returns),
        ("Change orders", page.change_orders),
        ("Money", page.money),
        ("Photos now", page.photos),
    ):
        if lines:
            parts += ["", title, *(wrap(line, indent="    ", first="  ") for line in lines)]
    if page.changes:
        parts += ["", "Change log"]
        parts += [wrap(f"{moment(c.at)} {c.what}", indent="    ", first="  ") for c in page.changes[:LATEST]]
        if len(page.changes) > LATEST:
            parts.append("  earlier ones: `crewjobs log`")
    return "\n".join(parts)


def _spent_lines(page: JobPage) -> list[str]:
    """Return what the evenings told: hours by phase beside the estimate, and each crew's day."""
    if not page.crew_hours:
        return []
    told = [f"{p.phase} {p.spent:.1f} of {p.hours:.1f}" for p in page.phases if p.spent]
    told += [f"{page.spent_rest:.1f} on days without a ticked task"] if page.spent_rest else []
    return [
        "",
        "Hours spent so far, of one person",
        *([wrap("; ".join(told), indent="  ")] if told else []),
        wrap(f"({page.hours_note})", indent="  "),
        *(wrap(line, indent="    ", first="  ") for line in page.crew_hours),
    ]


def _area(page: JobPage) -> str:
    return format_area(page.area_ft2, page.units) if page.units == "metric" else f"{page.area_ft2:.0f} ft²"


def _material_lines(row: MaterialRow) -> list[str]:
    here = f"{row.cartons_come} of {row.cartons_ordered} {row.unit} here"
    kind = f" ({row.kind})" if row.kind else ""
    first = wrap(f"{row.name}{kind}: {row.status}; {here}", indent="    ", first="  ")
    asked = (f"{words}: the lead says it, `crewjobs lots`" for words in row.lots_asked)
    return [first, *(wrap(line, indent="      ", first="    ") for line in (*row.orders, *row.lots, *asked))]


OVER = ("called off", "done", "closed")
"""States in which nothing of a job may start any more."""


def _when(task: TaskRow) -> str:
    """Say when a task was done, is planned or may start, in few words; what holds material stands with the material."""
    if task.done_at is not None:
        return f"done {moment(task.done_at)}"
    if task.state == "not needed":
        return "not needed"
    if task.planned:
        return ", ".join(part for part in (task.how_far, task.planned) if part)
    if task.how_far:
        return task.how_far
    if task.after:
        return "after " + ", ".join(str(number) for number in task.after[:3]) + (" …" if len(task.after) > 3 else "")
    return "on hold" if task.hold else "may start"


def _tasks_text(tasks: tuple[TaskRow, ...], *, everything: bool, over: bool) -> str:
    shown = [task for task in tasks if everything or task.state in ("to do", "under way")]
    lines: list[str] = []
    for phase, group in groupby(shown, key=lambda task: task.phase):
        lines += ["", phase.capitalize()] if lines else [phase.capitalize()]
        rows = [
            (
                "✓"
                if task.state == "done"
                else "–"
                if task.state == "not needed"
                else "▸"
                if task.state == "under way"
                else "",
                str(task.number),
                task.title,
                task.where,
                task.quantity,
                f"{task.hours:.1f} h",
                "left undone" if over and task.done_at is None and task.state != "not needed" else _when(task),
            )
            for task in group
        ]
        lines.append(table(["", ">no.", "task", "where", ">size", ">labor", "when"], rows, stretch=(2, 3)))
    if not tasks:
        return (
            "This job has no tasks yet: its rooms and their floors make them (`crewjobs dump`, then `load --replace`)."
        )
    return "\n".join(lines) or "Every task is done."
