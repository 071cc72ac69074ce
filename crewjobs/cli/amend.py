"""`crewjobs amend N`: change what was agreed."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused

FIELDS = {
    "title": "what the job is called",
    "state": "asked, quoted, booked, done, closed or called off",
    "promised": "the promised last day, such as 2026-03-13; 'none' takes it away",
    "wished": "the wished first day; 'none' takes it away",
    "weight": "how much a broken promise weighs, 1 to 3",
    "blocked": "days nobody may work there, such as '2026-03-09, 2026-03-10'; 'none' takes them away",
}


def arguments(command: ArgumentParser) -> None:
    """Declare the job, its fields and the version they were read at."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    for name, words in FIELDS.items():
        command.add_argument(f"--{name}", help=words)
    command.add_argument("--version-seen", type=int, help="refuse if the job has changed since this version")
    add_json(command)


def run(args: Namespace) -> int:
    """Change the fields given, all of them or none."""
    changes = {name: value for name in FIELDS if (value := getattr(args, name)) is not None}
    if not changes:
        raise Refused(f"nothing to change: give one of {', '.join('--' + name for name in FIELDS)}.")
    for name in ("promised", "wished", "blocked"):
        if not changes.get(name, "day").strip():  # an empty variable of a script must not take a promise away
            raise Refused(f"--{name} is empty: give a day, or 'none' to take it away.")
    office = open_office(args)
    version = args.version_seen if args.version_seen is not None else office.job(args.number).version
    done = office.edit(args.number, version, changes)
    return emit(args, done, lambda: said(done.sentence, done.then))
