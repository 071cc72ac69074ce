"""`crewjobs when 400 ft2 click vinyl`: when a floor that somebody asks for could be laid; nothing is kept."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap

if TYPE_CHECKING:
    from crewjobs.services.answers.what_if_rows import WhenAnswer, WhenView


def arguments(command: ArgumentParser) -> None:
    """Declare the floor, and what is known of the house."""
    add = command.add_argument
    add("words", nargs="+", metavar="AREA FLOOR", help="such as 400 ft2 click vinyl, or 37 m2 laminate")
    add("--drive", type=int, default=20, metavar="MIN", help="minutes from the shop to the house (default: 20)")
    house = command.add_mutually_exclusive_group()
    house.add_argument("--furnished", action="store_true", help="people live there with their furniture (the default)")
    house.add_argument("--empty", action="store_true", help="the house is empty")
    add(
        "--removes",
        action="append",
        default=[],
        metavar="COVERING",
        help="what comes up, top layer first; more than once for more layers (default: nothing)",
    )
    add("--ready", default="", metavar="DAY", help="from which morning the material can be there (default: tomorrow)")
    add("--crew", action=Named, default="", metavar="CREW", help="with this crew (default: the one it is best with)")
    add("--built", type=int, metavar="YEAR", help="year of the house and its floors (default: after 1980)")
    add_json(command)


def run(args: Namespace) -> int:
    """Print both answers."""
    view = open_office(args).when(
        " ".join(args.words),
        drive_min=args.drive,
        furnished=not args.empty,
        removes=args.removes,
        ready=args.ready,
        crew=args.crew,
        built=args.built,
    )
    return emit(args, view, lambda: when_text(view))


def when_text(view: WhenView) -> str:
    """Return both answers as text, with what was taken for true."""
    lines = [*_answer(view.soonest), _paragraph(view.soonest.others)]
    if view.undisturbed is None:
        lines += ["", _paragraph(f"Without moving anything planned it fits nowhere: {view.why_not}.")]
    elif view.undisturbed != view.soonest:
        lines += ["", *_answer(view.undisturbed, "Without moving anything planned: ")]
    lines += ["", "Taken for true, since nobody has measured:"]
    return "\n".join([*lines, *(wrap(one, indent="    ", first="  - ") for one in view.assumed), "(Nothing was kept.)"])


def _answer(answer: WhenAnswer, head: str = "") -> list[str]:
    """Return one answer: in a sentence, then day by day, then what fixes its finish."""
    visits = [wrap(visit.words, indent="      ", first="    ") for visit in answer.visits]
    return [_paragraph(f"{head}{answer.sentence}"), *visits, *([_paragraph(answer.because)] if answer.because else [])]


def _paragraph(words: str) -> str:
    return wrap(words, indent="  ", first="")
