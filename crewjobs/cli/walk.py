"""`crewjobs walk N before` and `crewjobs walk N after`: the walk-throughs with the customer."""

from __future__ import annotations

from argparse import Action, ArgumentParser, Namespace
from collections.abc import Sequence
from typing import TYPE_CHECKING

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import OnHold, Refused

if TYPE_CHECKING:
    from crewjobs.services.rows import Done


class _Photo(Action):
    """A photo belongs to the damage named before it."""

    def __call__(
        self,
        parser: ArgumentParser,  # noqa: ARG002 - argparse's own signature
        namespace: Namespace,
        values: str | Sequence[object] | None,
        option_string: str | None = None,  # noqa: ARG002
    ) -> None:
        namespace.photos = [*namespace.photos, (len(namespace.damage or []), str(values))]


def arguments(command: ArgumentParser) -> None:
    """Declare what was agreed, seen and left."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument("walk", choices=("before", "after"), metavar="WHEN", help="before (the work) or after (it)")
    command.add_argument("--with", dest="name", required=True, metavar="NAME", help="who of the house walked along")
    command.add_argument("--color", default="", help="before: the color shown")
    command.add_argument("--direction", default="", help="before: which way the rows run")
    command.add_argument("--lot", action=Named, default="", help="before: the lot shown")
    command.add_argument(
        "--damage", action="append", metavar="WHERE: WHAT", help="before: damage already there; may be repeated"
    )
    command.add_argument(
        "--photo", action=_Photo, metavar="FILE", help="before: a photo of the damage named last; its SHA-256 is kept"
    )
    command.add_argument(
        "--punch", action="append", metavar="WHAT", help="after: what is still to be done; may be repeated"
    )
    command.add_argument("--carton-left", action="store_true", help="after: one full carton was left in the house")
    command.add_argument("--care-sheet", action="store_true", help="after: the care sheet was left")
    command.add_argument("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    command.add_argument("--because", default="", metavar="REASON", help="walked although its task is on hold: why")
    command.set_defaults(photos=[])
    add_json(command)


def run(args: Namespace) -> int:
    """Record it and tick its task."""
    try:
        done = _record(args)
    except OnHold as hold:
        last = hold.sentences[-1].removesuffix(".")
        raise Refused([*hold.sentences[:-1], f"{last} with --because."]) from None
    return emit(args, done, lambda: said(done.sentence, done.then))


def _record(args: Namespace) -> Done:
    before = {"--color": args.color, "--direction": args.direction, "--lot": args.lot, "--damage": args.damage}
    before["--photo"] = args.photos
    after = {"--punch": args.punch, "--carton-left": args.carton_left, "--care-sheet": args.care_sheet}
    wrong = [option for option, given in (after if args.walk == "before" else before).items() if given]
    if wrong:
        other = "after" if args.walk == "before" else "before"
        raise Refused(f"{wrong[0]} belongs to the walk-through {other}, not to the one {args.walk}.")
    office = open_office(args)
    if args.walk == "before":
        photos = dict(args.photos)
        if 0 in photos or len(photos) < len(args.photos):
            raise Refused("a photo belongs to the --damage before it, one each: name the damage, then its photo.")
        return office.walk_before(
            args.number,
            args.name,
            color=args.color,
            direction=args.direction,
            lot=args.lot,
            damage=[(text, photos.get(place, "")) for place, text in enumerate(args.damage or [], start=1)],
            at=args.at,
            because=args.because,
        )
    return office.walk_after(
        args.number,
        args.name,
        punch=args.punch or [],
        carton_left=args.carton_left,
        care_sheet=args.care_sheet,
        at=args.at,
        because=args.because,
    )
