"""`crewjobs jobs`: the list."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, day, emit, moment, table, wrap

if TYPE_CHECKING:
    from crewjobs.services.rows import JobRow


def arguments(command: ArgumentParser) -> None:
    """Declare how far back the list goes."""
    command.add_argument("--all", action="store_true", help="also jobs that are done, closed or called off")
    add_json(command)


def run(args: Namespace) -> int:
    """Print the list."""
    rows = open_office(args).jobs(everything=args.all)
    return emit(args, {"jobs": rows}, lambda: jobs_text(rows))


def _end(row: JobRow) -> str:
    """Return the planned end; of what is promised and not planned to its end, that.

    Of a job with planned work that is not ticked the day alone: its hour says nothing.
    """
    if row.unticked and row.planned_finish:
        return f"{day(row.planned_finish)} NOT TICKED{', LATE' if row.late else ''}"
    end = moment(row.planned_finish) if row.planned_finish else "none" if row.endless else ""
    return f"{end} LATE" if row.late else end


def jobs_text(rows: tuple[JobRow, ...]) -> str:
    """Return the list as text."""
    if not rows:
        return "No open jobs: `crewjobs load FILE` brings one in."
    listed = table(
        [">job", "house", "customer", "state", ">done", ">hours left", "promised", "planned end"],
        [
            (
                str(row.number),
                row.title,
                row.customer,
                f"{row.state}, {row.phase}" if row.phase else row.state,
                f"{row.tasks_done}/{row.tasks_all}",
                f"{row.hours_left:.0f}",
                day(row.promised) if row.promised else "",
                _end(row),
            )
            for row in rows
        ],
        stretch=(1, 2),
    )
    tied = [wrap(f"job {row.number}: {row.tie}", indent="    ") for row in rows if row.tie]
    unticked = [wrap(f"job {row.number}: {row.unticked}", indent="    ") for row in rows if row.unticked]
    hang = [wrap(f"job {row.number}: planned end {row.only_if}", indent="    ") for row in rows if row.only_if]
    waits = [wrap(f"job {row.number} waits for {row.waits_for}", indent="    ") for row in rows if row.waits_for]
    return "\n".join(
        [
            listed,
            *(["", *unticked] if unticked else []),
            *(["", *hang] if hang else []),
            *(["", *waits] if waits else []),
            *(["", *tied] if tied else []),
        ]
    )
