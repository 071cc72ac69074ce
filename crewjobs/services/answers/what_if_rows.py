"""What `what-if` and `when` are asked and show: frozen rows, every word ready to print. Instants are wall times of the site."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from crewjobs.domain.wording import listed
from crewjobs.services.rows import MoveRow


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfAsked:
    """What is supposed, as typed. All of it holds at once.

    `off` are crews or people with a day; `works` crews with a day and hours (empty: their usual ones); `crews` the
    name of one more, the crew it is like, and the day it comes (empty: at once); `late` jobs with a material or goods
    and the day they are due; `files` job files; `book` jobs asked or quoted; `promises` jobs with a day; `without` jobs
    called off; `visits` jobs with the tasks of one visit, and the crew and day it is moved to.
    """

    off: tuple[tuple[str, str], ...] = ()
    works: tuple[tuple[str, str, str], ...] = ()
    crews: tuple[tuple[str, str, str], ...] = ()
    late: tuple[tuple[int, str, str], ...] = ()
    files: tuple[Path, ...] = ()
    book: tuple[int, ...] = ()
    promises: tuple[tuple[int, str], ...] = ()
    without: tuple[int, ...] = ()
    visits: tuple[tuple[int, tuple[int, ...], str, date], ...] = ()

    @property
    def only_visits(self) -> bool:
        """Return whether nothing but visits moved is supposed: pins, which the plan in force follows once recorded."""
        return bool(self.visits) and self == WhatIfAsked(visits=self.visits)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfJob:
    """A job that changes. `finish` is how it ends without what is supposed, `then` with it; None where it has no finish.

    `holds` and `holds_then` are None where nothing is promised; crew days count the days of each crew at the house.
    `why` says what of it would be left out.
    """

    job: int
    title: str
    finish: datetime | None
    then: datetime | None
    promised: date | None
    promised_then: date | None
    holds: bool | None
    holds_then: bool | None
    crew_days: int
    crew_days_then: int
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfView:
    """Two plans side by side, neither of them kept. `sentence` says it in one; `jobs` are those that change.

    `won` and `lost` are jobs whose promises are kept only with, and only without what is supposed; `late_both` those
    broken either way. `moves` are the pieces of work that move in the next two weeks, `soon` says how many; where only visits
    are moved, all that move, as the plan in force follows once they are pinned. `unkept` says which pins of the visits moved
    the plan with them does not keep, and why. `rounds` is how many rounds of search each plan had, None where seconds were given. `note` is empty or says what
    the first plan is; `commands` record what is supposed, as far as a command does; `by_hand` says how the rest is.
    `at_first` says which jobs end otherwise than told as soon as the commands are given in their order, since the plan in
    force follows them and is not planned anew, or how much work moves where only that is another; empty where all is as told.
    """

    sentence: str
    supposed: tuple[str, ...]
    jobs: tuple[WhatIfJob, ...]
    won: tuple[int, ...]
    lost: tuple[int, ...]
    late_both: tuple[int, ...]
    moves: tuple[MoveRow, ...]
    soon: str
    crew_days: int
    crew_days_then: int
    rounds: int | None
    note: str
    commands: tuple[str, ...] = ()
    by_hand: str = ""
    unkept: tuple[str, ...] = ()
    at_first: str = ""

    @property
    def recording(self) -> str:
        """Return the sentences on how to record what is supposed; empty where nothing does."""
        named = listed([f"`{command}`" for command in self.commands], most=9)
        records = f"{named} {'records it' if len(self.commands) == 1 else 'record it, in this order'}." if named else ""
        return " ".join(filter(None, (records, self.by_hand)))


@dataclass(frozen=True, slots=True, kw_only=True)
class WhenVisit:
    """A crew at the house on one day, from its first to its last minute of work there; `what` says what it does.

    `words` are all of it as it stands on a wall: ``Thu 12 Mar 07:30-15:30 Birch: demolition (room)``.
    """

    crew: str
    start: datetime
    end: datetime
    what: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WhenAnswer:
    """When a floor could be laid: `start` and `finish` of the work in the house, wall times of the shop.

    `in_rooms_by` is when the material must lie in the rooms, `carry_in` when it would be carried in. `sentence` says
    all of it in one, `visits` day by day: between them it acclimates or cures, or the crew is elsewhere. `because` says
    what fixes the finish, `others` what it does to other jobs; `moves` are the jobs that move.
    """

    start: datetime
    finish: datetime
    crews: tuple[str, ...]
    carry_in: datetime | None
    in_rooms_by: datetime | None
    visits: tuple[WhenVisit, ...]
    sentence: str
    because: str
    others: str
    moves: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WhenView:
    """When a floor of some area could be taken on: as soon as it can be, and without moving anything planned.

    `undisturbed` is None where it fits nowhere beside what is planned; the two are equal where nothing need move.
    """

    asked: str
    assumed: tuple[str, ...]
    soonest: WhenAnswer
    undisturbed: WhenAnswer | None
    why_not: str
