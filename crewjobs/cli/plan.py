"""`crewjobs plan`: plan the weeks ahead, then look for a better plan."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from dataclasses import replace

from crewjobs.cli.looking import TAKES, add_seconds, check_seconds, line, look
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said


def arguments(command: ArgumentParser) -> None:
    """Declare how long to look and the output."""
    add_seconds(command, "plan at once only")
    add_json(command)


def run(args: Namespace) -> int:
    """Plan all booked jobs, pins and work begun stay; what is better still is proposed, not taken."""
    check_seconds(args)
    office, shows = open_office(args), sys.stderr.isatty()

    def show(done: int, of: int, what: str) -> None:
        line(f"{done} of {of} {what:<30.30}" if done < of else "")

    first = not office.is_planned()
    done = office.plan(progress=show if shows else None)
    if args.seconds:
        better = look(office, args.seconds, unseen=done.plan if first else None)
        hint = (TAKES,) if office.proposal_waits() and better.plan else ()
        done = replace(
            done,
            change=better.change,
            plan=better.plan or done.plan,
            then=(*done.then, better.sentence, *better.then, *hint),
        )
    return emit(args, done, lambda: said(done.sentence, done.then))
