"""Opening the services for a command: which database, which clock."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem
    from crewjobs.screens.app import OfficeFactory
    from crewjobs.screens.draft.beginning import BeginningFactory
    from crewjobs.services.beginning import Beginning
    from crewjobs.services.office import Office


def open_office(args: argparse.Namespace) -> Office:
    """Return the services on the database the command line names, under its clock."""
    from crewjobs.services.office import Office

    return Office.at(database=path_of(args), pretend=getattr(args, "now", ""))


def units_of(args: argparse.Namespace) -> UnitSystem:
    """Return the units of the shop the command line names; feet and inches where there is none."""
    from crewjobs.services.figuring.figure_units import units_at

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
    return show_screens(
        lambda: open_office(args),
        path_of(args),
        getattr(args, "slow_link", None),
        None if hasattr(args, "now") else lambda: _beginning(args),
    )


def _beginning(args: argparse.Namespace) -> Beginning:
    from crewjobs.services.beginning import Beginning

    return Beginning(path_of(args))


def show_screens(
    factory: OfficeFactory,
    database: Path | None,
    slow: bool | None = None,
    beginning: BeginningFactory | None = None,
) -> int:
    """Show the screens over a database, with what this person's screens remember.

    Args:
        factory: builds the office, after the first frame.
        database: whose place is remembered; None is the person's own.
        slow: whether the link is to be spared; None is by the environment.
        beginning: what is offered where there is no shop yet; called like the factory.
    """
    import os

    from crewjobs.screens import link

    slow = link.is_slow(os.environ, slow)
    if slow:
        link.spare(os.environ)  # before Textual is imported
    from crewjobs.screens.app import run
    from crewjobs.services.forms.kept_files import KeptForms
    from crewjobs.services.screen_memory import ScreenMemory

    memory, forms = ScreenMemory.own(database), KeptForms.own(database)
    return run(factory, beginning=beginning, slow=slow, memory=memory, forms=forms)
