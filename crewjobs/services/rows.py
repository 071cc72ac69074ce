"""What screens and commands show: frozen rows, free of storage, with every word ready to print.

Instants are aware wall times of the site (or the shop where there is no site); a face only formats them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from crewjobs.domain.material import CARTONS, METRES, RUNNING_FEET
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.waits import WaitState as WaitState
from crewjobs.domain.wording import chance_words, counted, day_words, listed
from crewjobs.engines.planning.spare import Spare

HOURS_ONLY = "by hours only"
"""Said of an instant that no reading stands behind."""
SPREAD = "spread over each day's tasks by their estimates; nobody wrote them down so"
"""Said wherever hours by phase are shown."""
CALLBACK_HOURS = "hours of a callback: they stay with it and never count in the crew's pace"
"""Said in its place of a callback, whose hours are spread over nothing."""

LOW_ODDS = 0.8
"""A promise of another week is named if its chance is less than this: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitRow:
    """One thing waited for. `done` is the elapsed share 0..1 of a wait that runs by the clock, else None.

    `ready_at` is the site's wall time it is (expected to be) ready, None where nobody can know yet.
    `verified` is False where the instant stands on hours alone or a forecast and a reading decides; `basis` says on which.
    `holds` says what it holds back (``lay rows in living, hall``), `call` whom to ask or what to do next.
    `whom` is who is called about it now, empty where no call settles anything today; `phone` is the customer's, where the
    customer is called and it is known.
    `day_only`: of `since` only the day is known. `tick_first`: before anybody is called, what is done is to be ticked, or
    planned again.
    """

    job: int
    title: str
    what: str
    state: WaitState
    since: datetime | None
    ready_at: datetime | None
    minutes_left: int | None
    done: float | None
    verified: bool
    holds: str
    call: str
    whom: str = ""
    day_only: bool = False
    basis: str = HOURS_ONLY
    tick_first: bool = False
    phone: str = ""

    @property
    def holding(self) -> str:
        """Return what it holds back, in a few words; of what is ready already, what it is for."""
        if not self.holds:
            return ""
        return f"{'for' if self.state is WaitState.READY else 'holds back'} {self.holds}"

    @property
    def call_words(self) -> str:
        """Return `call` with the phone behind the name that is called; empty where nothing is to be done."""
        if not self.phone or not self.call:
            return self.call
        name = f"{self.whom} ({self.phone})"
        return self.call.replace(self.whom, name, 1) if self.whom in self.call else f"{self.call}; {name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRow:
    """One job in the list; `late`: its promised day is before the planned finish, or is over while work is left.

    `unticked_since` is the first day before today on which work was planned to be done that is not ticked, None where all
    is: the planned finish is not to be counted on then. `only_if` is what else the planned finish hangs on, empty where nothing.
    """

    number: int
    title: str
    customer: str
    address: str
    state: str
    phase: str
    tasks_done: int
    tasks_all: int
    hours_left: float
    promised: date | None
    planned_finish: datetime | None
    late: bool
    waits_for: str
    callback_of: int | None = None
    callbacks: tuple[int, ...] = ()
    unticked_since: date | None = None
    only_if: str = ""

    @property
    def unticked(self) -> str:
        """Return since when planned work is not ticked, in a few words; empty where all is."""
        return f"not ticked since {day_words(self.unticked_since)}" if self.unticked_since else ""

    @property
    def endless(self) -> bool:
        """Return whether it is promised and has work left that the plan does not bring to its end."""
        return self.promised is not None and self.planned_finish is None and self.tasks_done < self.tasks_all

    @property
    def tie(self) -> str:
        """Return what ties it to other jobs: ``callback of job 13``, ``called back: job 15``; empty where nothing does."""
        back = ", ".join(str(number) for number in self.callbacks)
        called = f"called back: job{'' if len(self.callbacks) == 1 else 's'} {back}" if back else ""
        return "; ".join(filter(None, (f"callback of job {self.callback_of}" if self.callback_of else "", called)))


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRow:
    """One task. Hours are labor of one person; `hold` is empty when it may start now.

    `how_far` says how far it is while it is under way (``rows 1–9 of 19``), empty where nobody said.

    `after` are the unfinished tasks it waits for: a task that only comes after others is in its order, not in trouble.
    """

    number: int
    phase: str
    stage: int
    where: str
    title: str
    quantity: str
    hours: float
    spread: float
    pace: str
    state: str
    started_at: datetime | None
    done_at: datetime | None
    hold: str
    planned: str
    cautions: tuple[str, ...]
    notes: tuple[str, ...]
    after: tuple[int, ...] = ()
    how_far: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseCell:
    """A phase of a section (or of the house): how many of its tasks are done, their hours, the pace these mean."""

    phase: str
    where: str
    done: int
    all: int
    hours: float
    spread: float
    pace: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseTotal:
    """The labor of one phase of a job, in hours of one person; `spent` is what crew hours so far were spread to it."""

    phase: str
    hours: float
    spread: float
    spent: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialRow:
    """One material or goods line of a job: ordered against come in its `unit`, and its lots in words.

    `cartons_come` are those that can be used; `lots_asked` is what the lead must say about the lots, else empty.
    `orders` are its order lines in words: from whom, ordered and promised when, what is short.
    """

    name: str
    kind: str
    cartons_ordered: float
    cartons_come: float
    lots: tuple[str, ...]
    status: str
    unit: str = CARTONS
    lots_asked: tuple[str, ...] = ()
    orders: tuple[str, ...] = ()

    @property
    def in_lots(self) -> bool:
        """Return whether it comes in lots whose clocks run, as cartons and rolls of the floor do and goods do not."""
        return self.unit in (CARTONS, RUNNING_FEET, METRES)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """One entry of the change log."""

    number: int
    at: datetime
    who: str
    what: str
    undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPage:
    """One job, whole. `cells` is phases × sections; `version` is what an edit must carry.

    `ties` say which job it comes back to, or which came back to it. `hours_note` says how hours spent so far are told.
    `crew_hours` are the evenings' hours in words, `spent_rest` those of days without a ticked task, in hours of one
    person; `findings` are what was found, each with what to check.
    `passed` are holds that were passed with a reason and what was seen then, `written` is what was written with ticks; `terms` is what was agreed, by the field names `edit` takes, as a person would type it.
    """

    row: JobRow
    version: int
    site_lines: tuple[str, ...]
    rooms: tuple[str, ...]
    materials: tuple[MaterialRow, ...]
    cells: tuple[PhaseCell, ...]
    tasks: tuple[TaskRow, ...]
    hours: float
    spread: float
    area_ft2: float
    cautions: tuple[str, ...]
    changes: tuple[ChangeRow, ...]
    pace: str = ""
    units: UnitSystem = "us"
    man_days: float = 0.0
    phases: tuple[PhaseTotal, ...] = ()
    spent_rest: float = 0.0
    crew_hours: tuple[str, ...] = ()
    hours_note: str = SPREAD
    ties: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    """How floors stand by what was read, then the readings, the latest first."""
    heights: tuple[str, ...] = ()
    """What is to be settled about heights before material is ordered."""
    findings: tuple[str, ...] = ()
    passed: tuple[str, ...] = ()
    written: tuple[str, ...] = ()
    terms: Mapping[str, str] = field(default_factory=dict)
    small_visits: tuple[str, ...] = ()
    walks: tuple[str, ...] = ()
    change_orders: tuple[str, ...] = ()
    money: tuple[str, ...] = ()
    returns: tuple[str, ...] = ()
    """What goes back to which supplier, and what went back."""
    not_planned: tuple[str, ...] = ()
    """Why the plan in force has no place for some or all of it: a sentence each, with the tasks where it is a part."""
    photos: tuple[str, ...] = ()
    """Whether each photo's file still has its bytes; only where that was asked."""
    phone: str = ""
    """The customer's; empty where it is not known."""
    by_pace: str = ""
    """What the hours left are by the crews' own pace, or where that is told; empty as long as no hours are known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One stretch of a crew at a site in a day, wall times of the shop.

    `reason` says why it is there; `pinned` and `begun` mark what a new plan keeps, `done` what is all ticked: then `tasks`,
    those of the plan in force, can be none. `owed` are sentences on what people
    still owe to it: a house that has not said yes, a plumber who is late. `recorded` are the hours the crew told of the day
    there, with how far it left what is under way; empty before that. Of a house it was at that the plan in force has there no more,
    `what` is what was ticked or is under way, why it was a dry run, or, with neither hours nor ticks, what the day's plan had.
    `found` is what is not settled in the house, empty for nothing.
    """

    job: int
    title: str
    crew: str
    start: datetime
    end: datetime
    what: str
    tasks: tuple[int, ...]
    reason: str
    pinned: bool
    begun: bool
    owed: tuple[str, ...] = ()
    done: bool = False
    recorded: str = ""
    found: str = ""

    @property
    def warned(self) -> tuple[str, ...]:
        """What is said beside it to be minded first: what is not settled in the house, what people still owe."""
        return (*([self.found] if self.found else ()), *self.owed)


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitSpan:
    """A wait that runs beside the work: acclimating, curing; shop wall times. `ends` today is what matters.

    `unpromised`: its end is the earliest that is usual, and nobody has promised it.
    """

    job: int
    what: str
    start: datetime
    end: datetime
    unpromised: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallVisitRow:
    """A small visit of a day: an hour or two of one person; wall times of the shop. `out`: they are out that day.

    `found` is what is not settled in the house, empty for nothing.
    """

    job: int
    title: str
    kind: str
    who: str
    start: datetime
    end: datetime
    why: str
    done: bool
    out: bool = False
    address: str = ""
    found: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitProposal:
    """When somebody could make a small visit, and the command that records it; `start` is the site's wall time."""

    sentence: str
    job: int
    kind: str
    who: str
    start: datetime
    minutes: int
    command: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekDay:
    """One day: visits by crew, the waits that run or end on it, and the small visits of the lead and others.

    `away` are the people not with their crew that day, such as ``Noor Haddadin out``, after crews' hours recorded for it.
    """

    day: date
    off: tuple[str, ...]
    visits: tuple[Visit, ...]
    waits: tuple[WaitSpan, ...]
    small: tuple[SmallVisitRow, ...] = ()
    away: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOutRow:
    """What is not planned, and why."""

    job: int
    title: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseRow:
    """A promised day against the planned finish.

    `slack_min` are the minutes `crew` could still work there between the two, None where it does not hold; `kept_min`
    how many of them are to be kept, because tasks take longer or shorter than planned, `booked_min` in how many of them
    the plan has the crew at other jobs. `overdue` says that work planned for a day that is over is not ticked, while the
    planned finish would keep the promise: the plan cannot tell then whether it does, and `holds` is not said. `unticked`
    says that such work is not ticked, kept or not: of the planned finish the hour is not to be counted on. `only_if` is what the
    planned finish holds only with, empty for nothing. `chance` is that it holds, where odds were asked for and it has any.
    """

    job: int
    title: str
    promised: date
    finish: datetime | None
    holds: bool
    crew: str = ""
    slack_min: int | None = None
    kept_min: int = 0
    booked_min: int = 0
    overdue: bool = False
    unticked: bool = False
    only_if: str = ""
    chance: float | None = None

    @property
    def word(self) -> str:
        """Return whether it holds, in a word or two; beside a chance that it is the plan that says so."""
        if self.holds:
            return "holds" if self.chance is None else "holds by the plan"
        if self.overdue:
            return "not ticked: tick it or plan again"
        return "not ticked, DOES NOT HOLD" if self.unticked else "DOES NOT HOLD"

    @property
    def tight(self) -> bool:
        """Return whether it holds with less time to spare than is to be kept."""
        return self.slack_min is not None and self.slack_min < self.kept_min

    @property
    def spare_words(self) -> str:
        """Return what it has to spare and what of that should be kept; empty where it does not hold."""
        if self.slack_min is None:
            return ""
        found = Spare(crew=self.crew, slack_min=self.slack_min, booked_min=self.booked_min, kept_min=self.kept_min)
        return found.words


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekView:
    """A week of the plan in force. `stale` is a sentence when facts changed since it was made, else empty.

    Before there is a plan, `days` are those that hold a small visit.

    `warnings` are what the plan does to the people in a house, each with what may be done about it. `ends` is a
    sentence where the week goes on after the plan's end, else empty. `after` is one that says when the next work is planned,
    where nothing is left of the week that runs, such as on a Saturday. `clocks` says which houses of the week keep a clock of their own. `proposed` is the number of a plan that waits to
    be accepted, 0 where none does. `promises` are all there are: a week shows those of `due`.
    """

    monday: date
    crews: tuple[str, ...]
    days: tuple[WeekDay, ...]
    left_out: tuple[LeftOutRow, ...]
    promises: tuple[PromiseRow, ...]
    plan_number: int
    made_at: datetime | None
    stale: str
    warnings: tuple[str, ...] = ()
    ends: str = ""
    clocks: str = ""
    after: str = ""
    proposed: int = 0

    @property
    def due(self) -> tuple[PromiseRow, ...]:
        """Return the promises for a day of this week, and of all others those that do not hold, or hold only with something."""
        sunday = self.monday + timedelta(days=6)
        return tuple(
            row for row in self.promises if self.monday <= row.promised <= sunday or not row.holds or row.only_if
        )

    @property
    def not_due(self) -> str:
        """Return how many promises of other weeks hold, as a sentence; empty for none. Those of low odds are named."""
        rest = [row for row in self.promises if row not in self.due]
        if not rest:
            return ""
        tight = sum(row.tight for row in rest)
        of_them = f", {'it is' if len(rest) == 1 else f'{tight} of them'} tight" if tight else ""
        more = counted(len(rest), "promise for another week holds", "promises for other weeks hold")
        by_plan = " by the plan" if any(row.chance is not None for row in rest) else ""
        low = [
            f"job {row.job} ({_low_words(row.chance)})"
            for row in rest
            if row.chance is not None and row.chance < LOW_ODDS
        ]
        odds = f"; odds under {LOW_ODDS:.0%}".replace("%", " %") + f": {listed(low, most=12)}" if low else ""
        return f"{more}{by_plan}{of_them}{odds}."


def _low_words(chance: float) -> str:
    """Return a chance under `LOW_ODDS`, also where both round to one figure."""
    return "just under" if round(chance * 100) >= LOW_ODDS * 100 else chance_words(chance)


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteTask:
    """One line of On site: a task of the crew's day; `how_far` says how far it is while it is under way.

    `hold` is why it may not begin; `behind` that nothing holds it but another task of the same visit, which comes first.
    `taken` says that a plan of the day had it here, and the plan in force has not; `moved` where that has it instead. On the
    page of a day gone by neither is said, for it may have been done all the same: `by_now` then says where the plan has it.
    `time` is when the plan of the day has it begun, ``07:15`` or ``was 07:15``, `until` when it has it done on that day,
    or when a part of it was last said to be left, where that is later. `time` of what is under way is since when the crew is at
    it, by the plans of the day or as recorded; `at_it` that this was recorded on that very day. `not_yet` is what was said of it
    on a later day than the page's, by which it was not done on that one. `ended` is what its job is (``called off``), where
    that is booked no more: then nothing of it is ticked.
    """

    job: int
    number: int
    title: str
    where: str
    phase: str
    quantity: str
    state: str
    time: str
    hold: str
    cautions: tuple[str, ...]
    how_far: str = ""
    behind: bool = False
    taken: bool = False
    moved: str = ""
    by_now: str = ""
    until: str = ""
    at_it: bool = False
    not_yet: str = ""
    ended: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteHouse:
    """One house of the crew's day with its tasks in order; `found` is what demolition uncovered that holds work there.

    `earlier` says what of the days before is not ticked there; empty where nothing is. `recorded` are the hours the crew told of
    the day there, with how far it left what is under way; empty before its sheet is taken in.
    """

    job: int
    title: str
    address: str
    arrive: datetime
    leave: datetime
    facts: tuple[str, ...]
    tasks: tuple[SiteTask, ...]
    found: tuple[str, ...] = ()
    earlier: str = ""
    recorded: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteUnticked:
    """How many tasks planned for days before a crew's day are not ticked, since which day; `own` is the crew's first such day."""

    tasks: int
    since: date
    own: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteDay:
    """One crew's day on site; `earlier` says of other houses what of the crew's days before is not ticked.

    `recorded` says what is known of a day gone by of which the plan has no house; empty else.
    `unticked` is that, and what its houses say of the same, in short; None where nothing is.
    """

    crew: str
    day: date
    houses: tuple[SiteHouse, ...]
    earlier: tuple[str, ...] = ()
    recorded: tuple[str, ...] = ()
    unticked: SiteUnticked | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningLine:
    """One line of the sheet to be answered in the evening, by the task's number.

    `size` is what it is asked how far of (``215 ft²``), empty where only done or not is asked; `before` how far it was;
    `wait` what starts with it and how long, so that the time it was done is worth writing down. `words` are what is written with its
    tick, empty where a tick alone is taken.
    """

    task: int
    title: str
    size: str
    before: str
    state: str
    wait: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningHouse:
    """One house of the sheet. Times and the break are the plan's, wall times of the shop; `told` is recorded already.

    `over` says of a job that is not booked any more what can still be entered: of its lines only what is finished is there.
    """

    house: int
    job: int
    title: str
    address: str
    start: str
    stop: str
    people: int
    pause: int
    told: tuple[str, ...]
    lines: tuple[EveningLine, ...]
    over: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EveningSheet:
    """A crew's printed day as it is typed back, in its own order. Of a sub no hours are asked.

    `break_rule` says which break is taken off where none is typed.
    """

    crew: str
    day: date
    revision: int
    sub: bool
    houses: tuple[EveningHouse, ...]
    break_rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What an action did, in one sentence, and the change it made (for undo; 0: nothing is other than before).

    `then` are follow-up sentences. `plan` is the number of the plan it made: one that followed, was made anew, accepted or only proposed.
    """

    sentence: str
    change: int
    then: tuple[str, ...] = ()
    plan: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveRow:
    """Work of a job that a proposal moves; site times, None where it had or would have no place.

    `told` says that the customer was told a finish.
    """

    job: int
    title: str
    what: str
    was_crew: str
    was: datetime | None
    crew: str
    now: datetime | None
    told: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposalView:
    """A plan that waits to be accepted, against the plan in force; `changed` counts the changes since it was made."""

    number: int
    made_at: datetime
    in_force: int
    saves: tuple[str, ...]
    moves: tuple[MoveRow, ...]
    changed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateRow:
    """One task template: minutes of one person per unit (low, likely, high) and the pace they mean."""

    key: str
    phase: str
    title: str
    minutes: str
    pace: str
    people: int
    overridden: bool
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferRow:
    """Ready work that fits a crew that cannot work where it was sent; wall times of the shop.

    `hours` are labor of one person, `people` who is with the crew that day. `fetch` is what must come from the shop;
    its drive and loading are in `arrive`. `why` says what speaks for it.
    """

    crew: str
    job: int
    title: str
    tasks: tuple[int, ...]
    what: str
    hours: float
    people: int
    arrive: datetime
    leave: datetime
    fetch: tuple[str, ...]
    why: str
