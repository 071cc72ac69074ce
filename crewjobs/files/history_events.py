"""What may happen in a history file: one small value for each kind, as its table spells it.

Moments inside an event (`until`, `due`, `promised`, `start`) are kept as they were written: the use case that records
the event reads them in the site's own time, as it reads what people type.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from crewjobs.domain.goods import Goods
from crewjobs.domain.house_ready import Other, ReadyItem


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskName:
    """A task as people name it: the key of its template, and where (``living, window half``; empty is the house)."""

    template: str
    where: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """Cartons of one lot that came; `in_rooms` if they went into the conditioned rooms at once."""

    material: str
    cartons: int
    lot: str = "A"
    in_rooms: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MovedIn:
    """A lot that was carried into the conditioned rooms; its clock starts."""

    material: str
    lot: str = "A"


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """A lot counted and looked at before the first carton was opened."""

    material: str
    lot: str
    cartons: int
    damaged: int = 0
    color_differs: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LotsSaid:
    """The lead's word on which lot goes where: ``A`` or ``A=living,hall``."""

    material: str
    lots: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodsArrival:
    """Goods of an order line that came."""

    goods: Goods
    count: int
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WentBack:
    """Cartons that went back to their supplier."""

    material: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BackOrdered:
    """Word of the supplier: what has not come is promised for `due`, or ``none``. `line` as the order line is called."""

    line: str
    due: str
    because: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Somebody of the house was asked whether it will be ready."""

    of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """Items answered yes; no items means all of them. `asked` names who was asked with it."""

    asked: str = ""
    by: str = ""
    items: tuple[ReadyItem, ...] = ()
    since: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotReady:
    """Items answered no, and until when."""

    items: tuple[ReadyItem, ...]
    by: str = ""
    until: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryRunMade:
    """A crew sent to a house that was not ready."""

    crew: str
    because: str
    item: ReadyItem
    until: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingAsked:
    """Something asked of somebody else; `holds` are the tasks that wait for it."""

    who: Other
    what: str
    promised: str = ""
    holds: tuple[TaskName, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingNamed:
    """Something waited for that was asked for again, or that came."""

    who: Other
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HowFarSaid:
    """How far a task is: so many of so many."""

    task: TaskName
    done: float
    whole: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursWorked:
    """A crew's hours at the house that day: wall times, people, the break in minutes, and what was waited (``45 min truck``)."""

    crew: str
    start: str
    stop: str
    people: int
    break_min: int = 0
    waited: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkBefore:
    """The walk-through before the work; `damage` is what was there already, such as ``hall: dent in the base``."""

    name: str
    color: str = ""
    direction: str = ""
    lot: str = ""
    damage: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkAfter:
    """The walk-through after the work, with the punch list."""

    name: str
    punch: tuple[str, ...] = ()
    carton_left: bool = False
    care_sheet: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyNoted:
    """One of the three facts of money: ``deposit``, ``asked`` or ``received``."""

    fact: str
    amount: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeOrdered:
    """A change order asked for, or agreed with somebody."""

    what: str
    amount: str
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPlanned:
    """A small visit somebody will make."""

    kind: str
    who: str
    start: str
    minutes: int = 60
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitMade:
    """A small visit that was made."""

    kind: str
    who: str
    minutes: int = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class CalledBack:
    """What is to be put right on a finished job, booked as a callback; the next free number is its own."""

    what: str
    where: str = ""
    hours: str = ""
    people: int = 1
    wished: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayEntered:
    """A person not with their crew on a day: out, or to another crew."""

    worker: str
    day: date
    to: str = ""
    because: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The customer was told a day of the finish."""

    finish: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """A job of earlier times, closed: what is open in it is ticked with the reason, then it is closed."""

    because: str
