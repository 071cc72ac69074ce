"""Opening the services for a command: which database, which clock."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem
    from crewjobs.services.beginning import Beginning
    from crewjobs.services.office import Office


def open_office(args: argparse.Namespace) -> Office:
    """Return the services on the database the command line names, under its clock."""
    from crewjobs.services.office import Office

    return Office.at(database=path_of(args), pretend=getattr(args, "now", ""))


def units_of(args: argparse.Namespace) -> UnitSystem:
    """Return the units of the shop the command line names; feet and inches where there is none."""
    from crewjobs.services.figure_units import units_at

    return units_at(path_of(args))


def path_of(args: argparse.Namespace) -> Path | None:
    """Return the database named with --db, None for the person's own."""
    named = getattr(args, "db", None)
    return Path(named) if named is not None else None


def open_screens(args: argparse.Namespace) -> int:
    """Open the screens; they paint first and open the database after."""
    import sys

    from crewjobs.domain.errors import Refused

    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Refused("the screens need a terminal; `crewjobs waiting` and `crewjobs week` print as text.")
    from crewjobs.screens.app import run

    return run(lambda: open_office(args), beginning=None if hasattr(args, "now") else lambda: _beginning(args))


def _beginning(args: argparse.Namespace) -> Beginning:
    from crewjobs.services.beginning import Beginning

    return Beginning(path_of(args))
