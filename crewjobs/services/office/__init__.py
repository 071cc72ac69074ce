"""Everything the faces can ask for, in one place: each call is one transaction on its own connection.

Screens and commands hold an `Office` and nothing below it. Every method may raise `Refused`.
Each use case is imported by the method that calls it: a command pays only for what it does.
"""

from __future__ import annotations

import getpass
from collections.abc import Sequence
from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.services.clock import DEMO_NOW, Clock, FixedClock, SystemClock, read_moment
from crewjobs.services.office.base import ONLY_SHOWS
from crewjobs.services.office.drafting import Drafting
from crewjobs.services.office.houses import Houses
from crewjobs.services.office.learning import Learning
from crewjobs.services.office.looking import Looking
from crewjobs.services.office.papers import Papers
from crewjobs.services.office.planning import Planning
from crewjobs.services.office.recording import Recording
from crewjobs.services.office.spreadsheets import Spreadsheets
from crewjobs.storage.database import is_there, open_database
from crewjobs.storage.paths import default_path


class Office(Looking, Planning, Houses, Learning, Papers, Recording, Drafting, Spreadsheets):
    """The services on one database under one clock.

    `pretending` shows another moment and writes nothing; `follows` repairs the plan in force after what is recorded.
    """

    @classmethod
    def at(cls, *, database: Path | None = None, pretend: str = "", create: bool = False) -> Office:
        """Open the services on a file (default: the person's own), under the system's clock.

        A demo database keeps the demo's clock. `pretend` is another moment as typed: a demo database is
        then worked at that moment, any other only looked at.

        Raises:
            Refused: the file cannot be opened, or the moment is not one.
        """
        opened = open_database(database or default_path(), create=create)
        demo = opened.is_demo()
        clock: Clock = FixedClock(DEMO_NOW) if demo else SystemClock()
        if pretend:
            with opened.reading() as uow:
                clock = FixedClock(read_moment(pretend, uow.shop().zone, clock.now()))
        return cls(opened, clock, who=_user(), pretending=bool(pretend) and not demo, follows=True)

    @classmethod
    def first_load(cls, paths: Sequence[Path], *, database: Path | None = None, pretend: str = "") -> Office:
        """Open the services to load files; a database is made only once the files could fill it.

        Raises:
            Refused: there is none yet and the files are wrong or without a shop, or as `at`.
        """
        from crewjobs.services.jobs import loading

        path = database or default_path()
        if not is_there(path):
            if pretend:
                raise Refused(ONLY_SHOWS)
            if loading.read(paths).shop is None:
                raise Refused(loading.NO_SHOP)
        return cls.at(database=database, pretend=pretend, create=True)


def _user() -> str:
    """Return who is at the keyboard, for the change log; empty where the system does not know."""
    try:
        name = getpass.getuser()
        name.encode()
    except (OSError, KeyError, ImportError, UnicodeError):  # a name that is no text is none the log could keep
        return ""
    return name
