"""`crewjobs what-if`: the plan with something supposed beside the plan without it; nothing is kept."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli import looking
from crewjobs.cli.interrupt import until_interrupted
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, day, emit, moment, table, wrap
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted

if TYPE_CHECKING:
    from crewjobs.services.answers.what_if_rows import WhatIfJob, WhatIfView
    from crewjobs.services.office import Office


def arguments(command: ArgumentParser) -> None:
    """Declare what can be supposed, all of it more than once and together."""
    add = command.add_argument
    add("--off", nargs=2, action="append", default=[], metavar=("CREW", "DAY"), help="a crew or a person off on a day")
    add(
        "--works",
        nargs="+",
        action="append",
        default=[],
        metavar="CREW DAY",
        help="CREW DAY [HOURS]: a crew works on a day it would not, such as Birch sat 8:00-12:00 (default: its usual hours)",
    )
    add(
        "--crew",
        nargs="+",
        action="append",
        default=[],
        metavar="NAME like CREW",
        help="NAME like CREW [from DAY]: one crew more, with the people, hours and floors of another",
    )
    add(
        "--late",
        nargs=3,
        action="append",
        default=[],
        metavar=("JOB", "MATERIAL", "DAY"),
        help="material or goods due another day, later or earlier: 6 'field laminate' wed, or 'wed 10:00', or none",
    )
    add("--job", type=Path, action="append", default=[], metavar="FILE", help="a job more, booked, from its job file")
    add("--book", type=int, action="append", default=[], metavar="JOB", help="a job asked or quoted is booked")
    add(
        "--promise",
        nargs=2,
        action="append",
        default=[],
        metavar=("JOB", "DAY"),
        help="a job promised for another day",
    )
    add(
        "--visit",
        nargs="+",
        action="append",
        default=[],
        metavar="JOB DAY to CREW DAY",
        help="JOB DAY [of CREW] to CREW DAY: a visit of the plan moved, such as 4 tue to Cedar wed",
    )
    add("--without", type=int, action="append", default=[], metavar="JOB", help="a job called off")
    add("--rounds", type=int, default=0, metavar="N", help="look N rounds for better plans, with and without it alike")
    add(
        "--seconds",
        type=float,
        default=None,
        metavar="S",
        help="look S seconds instead, half of them for each plan; 0: both planned at once (default: "
        f"{looking.SECONDS:g}, without --rounds; 0 for --visit alone: told as the plan follows the pins, one after the other)",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Plan with and without it, and print both side by side."""
    from crewjobs.services.answers.what_if_rows import WhatIfAsked

    if args.seconds is None:
        args.seconds = 0.0 if args.rounds or _only_visits(args) else looking.SECONDS
    looking.check_seconds(args)
    office = open_office(args)
    asked = WhatIfAsked(
        off=tuple((who, on) for who, on in args.off),
        works=tuple(_works(words) for words in args.works),
        crews=tuple(_crew(words) for words in args.crew),
        late=tuple((_number(job), material, due) for job, material, due in args.late),
        files=tuple(args.job),
        book=tuple(args.book),
        promises=tuple((_number(job), on) for job, on in args.promise),
        without=tuple(args.without),
        visits=tuple(_visit(office, words) for words in args.visit),
    )
    with until_interrupted() as stop:
        view = office.what_if(asked, rounds=args.rounds, seconds=args.seconds or None, stop=stop)
    return emit(args, view, lambda: what_if_text(view))


def _only_visits(args: Namespace) -> bool:
    others = (args.off, args.works, args.crew, args.late, args.job, args.book, args.promise, args.without)
    return bool(args.visit) and not any(others)


def _works(words: Sequence[str]) -> tuple[str, str, str]:
    if len(words) < 2:
        raise Refused(f"--works {' '.join(words)}: say the crew and the day, such as `--works Birch sat 8:00-12:00`.")
    return words[0], words[1], " ".join(words[2:])


def _crew(words: Sequence[str]) -> tuple[str, str, str]:
    """Return name, crew it is like and day; ``like`` and ``from`` may be left out."""
    plain = [
        word for n, word in enumerate(words) if (n, word.casefold()) not in ((1, "like"), (2, "from"), (3, "from"))
    ]
    if not 2 <= len(plain) <= 3:
        raise Refused(
            f"--crew {' '.join(words)}: write `--crew Elm like Birch from mon`, the day only where it matters."
        )
    return plain[0], plain[1], plain[2] if len(plain) == 3 else ""


def _visit(office: Office, words: Sequence[str]) -> tuple[int, tuple[int, ...], str, date]:
    """Return the tasks of the visit, with the crew and day it is moved to; ``of`` and ``to`` may be left out."""
    from crewjobs.services.answers.moved_visit import moved_visit

    plain = [word for n, word in enumerate(words) if n < 2 or word.casefold() not in ("of", "to")]
    if not 4 <= len(plain) <= 5:
        raise Refused(f"--visit {' '.join(words)}: write `--visit 4 tue to Cedar wed`, job and day, then crew and day.")
    job, on, (crew, to) = _number(plain[0]), office.read_day(plain[1]), plain[-2:]
    office.job(job)  # one that is none is told as that, not as one without a visit
    of, today = plain[2] if len(plain) == 5 else "", office.now().date()
    return moved_visit(office.week(on), job, on, of, crew, office.read_day(to), today)


def _number(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 9:
        raise Refused(f"{quoted(text)} is not a job's number: `crewjobs jobs` lists them.")
    return int(text)


def what_if_text(view: WhatIfView) -> str:
    """Return both plans as text: the sentence, the jobs that change side by side, what moves soon."""
    lines = [wrap(view.sentence, indent="  ", first="")]
    lines += [wrap(f"! {words}", indent="    ", first="  ") for words in view.unkept]
    if view.jobs:
        lines += [
            "",
            table(
                ("job", "title", "ends without", "ends with it", "promised", "without", "with it", ">crew days"),
                _rows(view),
                stretch=(1,),
            ),
        ]
        lines += [wrap(f"! job {row.job}: {why}", indent="    ", first="  ") for row in view.jobs for why in row.why]
    lines += ["", wrap(view.soon, indent="  ", first="")]
    lines += [
        wrap(f"({words})", indent=" ", first="") for words in (view.note, view.at_first, "Nothing was kept.") if words
    ]
    lines += [wrap(view.recording, indent="  ", first="")] if view.recording else []
    return "\n".join(lines)


def _rows(view: WhatIfView) -> list[tuple[str, ...]]:
    rows = [
        (
            str(row.job),
            row.title,
            moment(row.finish) if row.finish else "-",
            moment(row.then) if row.then else "-",
            promised_words(row),
            stand(row.holds),
            stand(row.holds_then),
            f"{row.crew_days} → {row.crew_days_then}",
        )
        for row in view.jobs
    ]
    total = f"{view.crew_days} → {view.crew_days_then}"
    return [*rows, ("all", "", "", "", "", "", "", total)]


def promised_words(row: WhatIfJob) -> str:
    """Return the promised day, both where it moves."""
    days: list[date] = list(dict.fromkeys(filter(None, (row.promised, row.promised_then))))
    return " → ".join(day(one) for one in days)


def stand(holds: bool | None) -> str:
    """Return how a promise stands, in a word."""
    return "" if holds is None else "holds" if holds else "BROKEN"
