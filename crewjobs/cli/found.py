"""`crewjobs found N PLACE KIND`: what was found and what it holds; with `--way` the way on from it."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.services.rows import Done


def arguments(command: ArgumentParser) -> None:
    """Declare what was found, or the way on."""
    add = command.add_argument
    add("number", type=int, metavar="N", help="the job's number")
    add("place", metavar="PLACE", help="room, stairs or house")
    add("kind", metavar="KIND", help="what it is: suspect asbestos, mold, rot, further layer, wet slab, …")
    add("--what", default="", metavar="WORDS", help="more about it")
    add("--area", default="", metavar="AREA", help="how much of it is seen, such as 12 ft2")
    add("--year", type=int, help="when the layer went in; unknown counts as old")
    add("--photo", action="append", default=[], metavar="FILE", help="a photo; its path and SHA-256 are kept")
    add("--way", default="", metavar="WAY", help="the way on from it, as recording it names them")
    add("--by", action=Named, default="", metavar="NAME", help="who found it, or says so")
    add("--because", default="", metavar="REASON", help="with --way: on what it stands")
    add("--laboratory", action=Named, default="", metavar="NAME", help="with --way: which laboratory")
    add("--sampled", default="", metavar="DAY", help="with --way: the day of the sample")
    add("--sample", default="", metavar="NUMBER", help="with --way: the sample's number")
    add("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record it and say what is held, who is asked, what to check and which ways on there are."""
    done = _record(args)
    return emit(args, done, lambda: said(done.sentence, done.then))


def _record(args: Namespace) -> Done:
    office = open_office(args)
    if not args.way:
        if args.because or args.laboratory or args.sampled or args.sample:
            raise Refused("--because, --laboratory, --sampled and --sample go with --way.")
        return office.found(
            args.number,
            args.place,
            args.kind,
            area=args.area,
            year=args.year,
            words=args.what,
            by=args.by,
            photos=args.photo,
            at=args.at,
        )
    if args.area or args.year or args.what or args.photo:
        raise Refused("--what, --area, --year and --photo are of the finding: record it first, then the way on.")
    return office.way_on(
        args.number,
        args.place,
        args.kind,
        args.way,
        by=args.by,
        because=args.because,
        laboratory=args.laboratory,
        sampled=args.sampled,
        sample=args.sample,
        at=args.at,
    )
