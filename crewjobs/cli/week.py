"""`crewjobs week`: the plan of a week, days down."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, moment, terminal_width, wrap
from crewjobs.cli.printing import day as on
from crewjobs.domain.wording import chance_words, day_words

if TYPE_CHECKING:
    from datetime import datetime

    from crewjobs.services.rows import PromiseRow, WeekDay, WeekView


def arguments(command: ArgumentParser) -> None:
    """Declare which week."""
    command.add_argument("day", nargs="?", default="", metavar="DATE", help="any day of the week (default: this week)")
    command.add_argument(
        "--odds", action="store_true", help="with the chance beside each promise (`crewjobs odds` says more)"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the week."""
    office = open_office(args)
    view = office.week(office.read_day(args.day) if args.day else None, odds=args.odds)
    return emit(args, view, lambda: week_text(view))


def week_text(view: WeekView) -> str:
    """Return the week as text: a day, its crews, the waits that run beside them."""
    head = f"Week of {view.monday:%a %d %b %Y}"
    if not view.plan_number:
        none = wrap(f"{head}: nothing is planned yet; `crewjobs plan` does it.", indent="  ", first="")
        return "\n".join([none, *(line for day in view.days for line in ("", *_day(day)))])
    made = f" · plan {view.plan_number}, made {moment(view.made_at)}" if view.made_at else ""
    lines = [wrap(head + made, indent="  ", first="")]
    if view.stale:
        lines.append(wrap(f"! {view.stale}", indent="  ", first=""))
    if view.proposed:
        lines.append(wrap(f"Plan {view.proposed} is proposed: `crewjobs proposal` says what it saves.", indent="  "))
    if view.after:
        lines.append(wrap(view.after, indent="  ", first=""))
    if view.ends:
        lines.append(wrap(f"! {view.ends}", indent="  ", first=""))
    if view.clocks:
        lines.append(wrap(f"! {view.clocks}", indent="  ", first=""))
    for day in view.days:
        if day.visits or day.waits or day.off or day.small or day.away:
            lines += ["", *_day(day)]
    if view.warnings:
        lines += ["", "Before the start", *(wrap(warning, indent="    ", first="  ! ") for warning in view.warnings)]
    if view.left_out:
        lines += ["", "Not planned"]
        lines += [wrap(f"job {row.job} {row.title}: {row.why}", indent="    ", first="  ") for row in view.left_out]
    if view.promises:
        lines += ["", "Promises"]
        for row in view.due:
            finish = f"planned end {_end(row, row.finish)}" if row.finish else "not planned to its end"
            finish += f", {row.only_if}" if row.only_if else ""
            text = f"job {row.job} {row.title}: promised {on(row.promised)}, {finish}: {row.word}"
            text += f", odds {chance_words(row.chance)}" if row.chance is not None else ""
            text += f", {row.spare_words}" if row.spare_words else ""
            lines.append(wrap(text, indent="    ", first="  "))
        if view.not_due:
            lines.append(wrap(view.not_due, indent="    ", first="  "))
        if not all(row.holds for row in view.promises):
            lines.append(
                wrap("`crewjobs why` says which promises clash, and what can be done.", indent="    ", first="  ")
            )
    return "\n".join(lines)


def _end(row: PromiseRow, finish: datetime) -> str:
    """Return a planned end; of a job with planned work that is not ticked the day alone: its hour says nothing."""
    return on(finish.date()) if row.unticked else moment(finish)


def _day(day: WeekDay) -> list[str]:
    lines = [f"{day.day:%A %d %B}" + (f"   off: {', '.join(day.off)}" if day.off else "")]
    lines += [wrap(words, indent=" " * 11, first="  ! ") for words in day.away]
    for visit in day.visits:
        marks = "".join(
            f" ({mark})" for mark, on in (("pinned", visit.pinned), ("begun", visit.begun), ("done", visit.done)) if on
        )
        times = f"{visit.start:%H:%M}" + (f"-{visit.end:%H:%M}" if visit.end > visit.start else "")
        text = f"{visit.crew:<8} {times:<11}  job {visit.job} {visit.title}: {visit.what}{marks}"
        lines.append(wrap(text, indent=" " * (25 if terminal_width() >= 70 else 6), first="  "))
        if visit.reason:
            lines.append(wrap(visit.reason, indent=" " * (25 if terminal_width() >= 70 else 6)))
        if visit.recorded:
            lines.append(wrap(f"recorded: {visit.recorded}", indent=" " * (25 if terminal_width() >= 70 else 6)))
        indent = " " * (27 if terminal_width() >= 70 else 8)
        lines += [wrap(owed, indent=indent, first=f"{indent[:-2]}! ") for owed in visit.warned]
    for small in day.small:
        why = f" ({small.why})" if small.why else ""
        where = f", {small.address}" if small.address else ""
        made = " (done)" if small.done else f" ({small.who} is out that day: a new time)" if small.out else ""
        text = f"{small.who} {small.start:%H:%M}-{small.end:%H:%M}  job {small.job} {small.title}{where}: {small.kind}{why}{made}"
        lines.append(wrap(text, indent=" " * 11, first="  · "))
        lines += [wrap(small.found, indent=" " * 13, first=" " * 11 + "! ")] if small.found else []
    for wait in day.waits:
        ends = f"ends {wait.end:%H:%M}" if wait.end.date() == day.day else f"until {moment(wait.end)}"
        if wait.unpromised:
            ends = f"expected {day_words(wait.end.date())} at the earliest, promised by nobody"
        lines.append(wrap(f"waits: job {wait.job} {wait.what}, {ends}", indent=" " * 11, first="  ~ "))
    return lines
