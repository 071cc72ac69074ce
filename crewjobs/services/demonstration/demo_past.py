"""The demo's past told to the use cases people tell theirs to, each event at the moment it happened."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.files.history_file import EVENTS
from crewjobs.services import ticking
from crewjobs.services.asked import house_ready, telling, waiting_on
from crewjobs.services.evenings import evening, how_far
from crewjobs.services.jobs import amending, callbacks, money, walks
from crewjobs.services.materials import lots, materials, ordered, returns
from crewjobs.services.people import away, small_visits

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.files import history_events as events
    from crewjobs.files.history_file import Happened
    from crewjobs.storage.unit_of_work import UnitOfWork


def tell(uow: UnitOfWork, happened: Happened, catalogue: Catalogue) -> None:
    """Tell one thing that happened to the use case that records it.

    Raises:
        Refused: the use case refuses it, or it names a task that is not there.
    """
    if happened.started or happened.ticked:
        _work(uow, happened)
    elif happened.crew_hours is not None:
        _hours(uow, happened, happened.crew_hours, catalogue)
    elif happened.callback is not None:
        _callback(uow, happened, happened.callback, catalogue)
    elif happened.change_order is not None:
        _change_order(uow, happened, happened.change_order, catalogue)
    else:
        name = next(name for name in EVENTS if getattr(happened, name))
        _TOLD[name](uow, happened, getattr(happened, name))


def _work(uow: UnitOfWork, happened: Happened) -> None:
    record = uow.job(happened.job)
    if happened.ticked:
        ticking.tick(uow, happened.at, happened.job, _numbers(record, happened.ticked), because=happened.because)
    for number in _numbers(record, happened.started):
        ticking.start(uow, happened.at, happened.job, number, crew=happened.crew)


def _hours(uow: UnitOfWork, happened: Happened, said: events.HoursWorked, catalogue: Catalogue) -> None:
    house = HouseEntry(
        house=1,
        job=happened.job,
        start=said.start,
        stop=said.stop,
        people=str(said.people),
        pause=f"{said.break_min} min",
        wait=said.waited,
    )
    day = to_wall(uow.job(happened.job).job.site.zone, happened.at).date()
    evening.enter(uow, catalogue, happened.at, said.crew, day, EveningEntry(houses=(house,)), ask=False)


def _callback(uow: UnitOfWork, happened: Happened, said: events.CalledBack, catalogue: Catalogue) -> None:
    callbacks.book(
        uow,
        catalogue,
        happened.at,
        happened.job,
        said.what,
        where=said.where,
        hours=said.hours,
        people=said.people,
        wished=said.wished,
    )


def _arrived(uow: UnitOfWork, happened: Happened, came: events.Arrival) -> None:
    materials.arrived(uow, happened.at, happened.job, came.material, came.cartons, lot=came.lot, in_rooms=came.in_rooms)


def _moved_in(uow: UnitOfWork, happened: Happened, moved: events.MovedIn) -> None:
    carried = [t.number for t in uow.job(happened.job).tasks if is_carry_in(t) and t.where == moved.material]
    ticking.tick(uow, happened.at, happened.job, carried, because=happened.because)


def _checked(uow: UnitOfWork, happened: Happened, found: events.Checked) -> None:
    lots.check_lot(
        uow,
        happened.at,
        happened.job,
        found.material,
        found.lot,
        found.cartons,
        damaged=found.damaged,
        color_differs=found.color_differs,
    )


def _lots(uow: UnitOfWork, happened: Happened, said: events.LotsSaid) -> None:
    lots.lots(uow, happened.at, happened.job, said.material, said.lots, because=happened.because)


def _goods(uow: UnitOfWork, happened: Happened, came: events.GoodsArrival) -> None:
    line = f"{came.goods} ({came.place})" if came.place else str(came.goods)
    materials.arrived(uow, happened.at, happened.job, line, came.count)


def _back_ordered(uow: UnitOfWork, happened: Happened, word: events.BackOrdered) -> None:
    ordered.back_ordered(uow, happened.at, happened.job, word.line, word.due, word.because)


def _asked(uow: UnitOfWork, happened: Happened, asked: events.Asked) -> None:
    house_ready.ask_ready(uow, happened.at, happened.job, asked.of)


def _ready(uow: UnitOfWork, happened: Happened, said: events.Ready) -> None:
    answers = house_ready.Answers(ready=said.items or tuple(ReadyItem), by=said.by, since=said.since)
    house_ready.record_ready(uow, happened.at, happened.job, asked=said.asked, answers=answers)


def _not_ready(uow: UnitOfWork, happened: Happened, said: events.NotReady) -> None:
    answers = house_ready.Answers(not_ready=said.items, by=said.by, until=said.until)
    house_ready.record_ready(uow, happened.at, happened.job, answers=answers)


def _dry_run(uow: UnitOfWork, happened: Happened, run: events.DryRunMade) -> None:
    house_ready.dry_run(uow, happened.at, happened.job, run.crew, run.because, item=run.item.value, until=run.until)


def _waiting_on(uow: UnitOfWork, happened: Happened, asked: events.WaitingAsked) -> None:
    holds = _numbers(uow.job(happened.job), asked.holds)
    waiting_on.ask(uow, happened.at, happened.job, asked.who.value, asked.what, promised=asked.promised, holds=holds)


def _chased(uow: UnitOfWork, happened: Happened, named: events.WaitingNamed) -> None:
    waiting_on.chase(uow, happened.at, happened.job, named.who.value, what=named.what)


def _came(uow: UnitOfWork, happened: Happened, named: events.WaitingNamed) -> None:
    waiting_on.came(uow, happened.at, happened.job, named.who.value, what=named.what)


def _how_far(uow: UnitOfWork, happened: Happened, said: events.HowFarSaid) -> None:
    (number,) = _numbers(uow.job(happened.job), [said.task])
    text = f"{said.done:g}/{said.whole:g} {said.unit}"
    how_far.how_far(uow, happened.at, happened.job, number, text, because=happened.because)


def _walk_before(uow: UnitOfWork, happened: Happened, walk: events.WalkBefore) -> None:
    walks.before(
        uow,
        happened.at,
        happened.job,
        walk.name,
        color=walk.color,
        direction=walk.direction,
        lot=walk.lot,
        damage=[(text, "") for text in walk.damage],
        because=happened.because,
    )


def _walk_after(uow: UnitOfWork, happened: Happened, walk: events.WalkAfter) -> None:
    walks.after(
        uow,
        happened.at,
        happened.job,
        walk.name,
        punch=walk.punch,
        carton_left=walk.carton_left,
        care_sheet=walk.care_sheet,
        because=happened.because,
    )


def _money(uow: UnitOfWork, happened: Happened, noted: events.MoneyNoted) -> None:
    money.record(uow, happened.at, happened.job, noted.fact, noted.amount)


def _change_order(uow: UnitOfWork, happened: Happened, order: events.ChangeOrdered, catalogue: Catalogue) -> None:
    at, asked = happened.at, not order.by
    money.agreed(uow, catalogue, at, happened.job, order.what, order.amount, by=order.by, only_asked=asked)


def _visit(uow: UnitOfWork, happened: Happened, visit: events.VisitPlanned) -> None:
    small_visits.plan(
        uow,
        happened.at,
        happened.job,
        visit.kind,
        at=visit.start,
        who=visit.who,
        minutes=visit.minutes,
        because=visit.why,
    )


def _visited(uow: UnitOfWork, happened: Happened, visit: events.VisitMade) -> None:
    small_visits.done(uow, happened.at, happened.job, visit.kind, who=visit.who, minutes=visit.minutes)


def _away(uow: UnitOfWork, happened: Happened, entered: events.AwayEntered) -> None:
    away.away(uow, happened.at, entered.worker, entered.day, to=entered.to, because=entered.because)


def _told(uow: UnitOfWork, happened: Happened, told: events.Told) -> None:
    telling.told(uow, happened.at, happened.job, told.finish.isoformat())


def _went_back(uow: UnitOfWork, happened: Happened, back: events.WentBack) -> None:
    returns.returned(uow, happened.at, happened.job, back.material, back.count)


def _closed(uow: UnitOfWork, happened: Happened, closed: events.Closed) -> None:
    """Tick what is open in working order and close the job, in the two changes a person would make."""
    record = uow.job(happened.job)
    numbers = ticking.in_working_order(record, [task.number for task in record.tasks if task.open])
    ticking.tick(uow, happened.at, happened.job, numbers, because=closed.because)
    now = uow.job(happened.job)
    amending.edit(uow, happened.at, happened.job, now.version, {"state": JobState.CLOSED.value})


_Told = Callable[["UnitOfWork", "Happened", Any], None]
_TOLD: Final[dict[str, _Told]] = {
    "arrived": _arrived,
    "moved_in": _moved_in,
    "checked": _checked,
    "lots": _lots,
    "goods": _goods,
    "back_ordered": _back_ordered,
    "asked": _asked,
    "ready": _ready,
    "not_ready": _not_ready,
    "dry_run": _dry_run,
    "waiting_on": _waiting_on,
    "chased": _chased,
    "came": _came,
    "how_far": _how_far,
    "walk_before": _walk_before,
    "walk_after": _walk_after,
    "money": _money,
    "visit": _visit,
    "visited": _visited,
    "away": _away,
    "told": _told,
    "went_back": _went_back,
    "closed": _closed,
}


def _numbers(record: JobRecord, names: Iterable[events.TaskName]) -> list[int]:
    numbers = []
    for name in names:
        where = name.where or "house"
        found = [t.number for t in record.tasks if t.key.template == name.template and t.where == where and t.open]
        if not found:
            raise Refused(f"job {record.job.number} has no open task '{name.template}' in '{where}'.")
        numbers += found
    return numbers
