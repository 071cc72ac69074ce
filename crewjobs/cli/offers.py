"""`crewjobs offers CREW`: ready work that fits a crew for the rest of its day."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from shlex import quote
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, wrap

if TYPE_CHECKING:
    from crewjobs.services.rows import OfferRow


def arguments(command: ArgumentParser) -> None:
    """Declare the crew, from when, and where it cannot work."""
    command.add_argument("crew", metavar="CREW", help="the crew's name")
    command.add_argument("--at", default="", metavar="MOMENT", help="from when, in the shop's time (default: now)")
    command.add_argument(
        "--not", type=int, dest="not_at", metavar="N", help="the job whose house it stands at for nothing"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the offers, best first."""
    office = open_office(args)
    rows = office.offers(args.crew, at=args.at, not_at=args.not_at)
    none = "" if rows else office.no_offers(args.crew, at=args.at, not_at=args.not_at)
    return emit(args, {"offers": rows, "none": none}, lambda: offers_text(rows) or wrap(none, indent="  ", first=""))


def offers_text(rows: tuple[OfferRow, ...]) -> str:
    """Return the offers as text, four lines each."""
    return "\n".join(line for row in rows for line in _lines(row))


def _lines(row: OfferRow) -> list[str]:
    hands = f"{row.people} {'person' if row.people == 1 else 'people'}"
    tasks = ", ".join(str(number) for number in row.tasks)
    return [
        wrap(f"{row.arrive:%H:%M}-{row.leave:%H:%M} job {row.job} {row.title}: {row.what}", indent="    ", first=""),
        wrap(f"{row.hours:.1f} h of labor for {hands}, tasks {tasks}", indent="    "),
        wrap(f"→ {row.why}", indent="      ", first="    "),
        wrap(f"{pin_words(row)} puts it into the plan", indent="    "),
    ]


def pin_words(row: OfferRow) -> str:
    """Return the command that pins an offer to its crew and day."""
    tasks = ",".join(str(number) for number in row.tasks)
    return f"`crewjobs pin {row.job} {tasks} {quote(row.crew)} {row.arrive:%Y-%m-%d}`"
