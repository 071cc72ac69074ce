"""`crewjobs log`: every change, newest first."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap
from crewjobs.domain.errors import Refused


def arguments(command: ArgumentParser) -> None:
    """Declare how many changes."""
    command.add_argument("--most", type=int, default=40, metavar="COUNT", help="how many (default: 40)")
    add_json(command)


def run(args: Namespace) -> int:
    """Print the changes."""
    if args.most < 1:
        raise Refused(f"--most {args.most} shows nothing: give how many changes to print, 1 or more.")
    rows = open_office(args).changes(args.most)

    def text() -> str:
        lines = [
            wrap(
                f"{row.number:>5}  {row.at:%a %d %b %Y %H:%M}  {row.who or 'somebody'}: {row.what}"
                + (" (taken back)" if row.undone else ""),
                indent=" " * 7,
                first="",
            )
            for row in rows
        ]
        return "\n".join(lines) or "Nothing has been changed yet."

    return emit(args, {"changes": rows}, text)
