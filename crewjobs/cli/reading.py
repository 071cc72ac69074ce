"""`crewjobs reading N KIND VALUES…`: the air of a room, a logger's file, boards, subfloor, slab or surface as read."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.services.rows import Done


VALUES_ANYWHERE = True
"""Values may stand behind the options too: ``reading 4 air --room den 70F 40%``."""


def arguments(command: ArgumentParser) -> None:
    """Declare what was read, where, and with what."""
    add = command.add_argument
    add("number", type=int, metavar="N", help="the job's number")
    add(
        "kind",
        metavar="KIND",
        help="air, boards, subfloor, surface, slab-rh, slab-vapor, slab-ph or flatness (under 10 ft of straightedge)",
    )
    add(
        "values",
        nargs="*",
        default=[],
        metavar="VALUE",
        help="of air a temperature and a humidity (70F 40%%); of all else one value for each board, place, hole or dish",
    )
    add("--room", action=Named, default="", help="in which room (air without it: the whole house)")
    add("--material", action=Named, default="", help="whose boards, where the job has several kinds of wood")
    add("--hours", default="", metavar="H", help="how long the probes were in their holes, or the dishes exposed")
    add("--file", type=Path, metavar="CSV", help="air as a logger wrote it, instead of values")
    add("--zone", action=Named, default="", help="whose wall times the logger's are (default: the site's)")
    add("--unit", default="", choices=["F", "C"], help="where the logger's heading does not say it, or says it wrong")
    add("--at", default="", metavar="MOMENT", help="when it was read, in the site's time (default: now)")
    add("--by", action=Named, default="", metavar="NAME", help="who read it")
    add("--with", dest="meter", action=Named, default="", metavar="METER", help="with what")
    add_json(command)


def run(args: Namespace) -> int:
    """Record the reading and say what it changes."""
    done = _record(args)
    return emit(args, done, lambda: said(done.sentence, done.then))


def _record(args: Namespace) -> Done:
    from crewjobs.services.readings.readings import AIR, read_kind

    office, air = open_office(args), read_kind(args.kind) == AIR
    if not air and (args.file or args.zone or args.unit):
        raise Refused(f"--file, --zone and --unit are of a logger of the air, not of {args.kind}.")
    if air and (args.material or args.hours):
        raise Refused("--material and --hours are of boards and slabs, not of the air.")
    if not air:
        return office.read_floor(
            args.number,
            args.kind,
            args.values,
            room=args.room,
            material=args.material,
            hours=args.hours,
            at=args.at,
            by=args.by,
            meter=args.meter,
        )
    if args.file is None:
        if args.zone or args.unit:
            raise Refused("--zone and --unit are of a logger's file: give it with --file.")
        return office.read_air(args.number, args.values, room=args.room, at=args.at, by=args.by, meter=args.meter)
    if args.values or args.at or args.meter:
        raise Refused("a logger's file says what was read and when: leave the values, --at and --with out.")
    return office.read_logger(args.number, args.file, room=args.room, zone=args.zone, unit=args.unit, by=args.by)
