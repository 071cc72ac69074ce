"""The tools crews share: which tasks need them for the plan, where one was last for the truck list, and where it goes on to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.planning.tools import shared
from crewjobs.services.ticking import time_for
from crewjobs.services.weeks.visits import Planned, Stretch
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.domain.crew import SharedTool, Shop
    from crewjobs.storage.unit_of_work import UnitOfWork

NO_DRIVE: Final = "nobody has a drive for it: agree who brings it"
STILL_THERE: Final = timedelta(days=4)
"""Over a weekend a tool waits where it was; after longer it is looked for in the shop. Common practice, no source."""


def tool_needs(uow: UnitOfWork, shop: Shop, records: Iterable[JobRecord]) -> dict[tuple[int, int], frozenset[str]]:
    """Return which of the shop's shared tools open tasks (job, task) need, by the templates in force."""
    if not shop.tools:
        return {}
    from crewjobs.services.jobs.catalogues import catalogue_of

    catalogue = catalogue_of(uow)
    found = {
        (record.job.number, task.number): _tools(shop, catalogue, task)
        for record in records
        for task in record.tasks
        if task.open
    }
    return {key: tools for key, tools in found.items() if tools}


def _tools(shop: Shop, catalogue: Catalogue, task: Task) -> frozenset[str]:
    template = catalogue.template(task.key.template)
    return shared(shop, template.load) if template else frozenset()


def last_at(found: Planned, stretches: Sequence[Stretch], catalogue: Catalogue, now: datetime) -> Mapping[str, str]:
    """Return, by the tool's name, where a shared tool is before a crew's day first needs it, if that is a house.

    That is the last house where work with it had begun by then, by what is ticked or else by the plan, over however many nights
    that goes on; a crew that leaves before the tool is free there is told when it needs it and whether somebody comes from there:
    the plan has no drive for a tool alone. Of a tool the shop has several of nobody can say which one that is.
    """
    said: dict[str, str] = {}
    for tool in found.shop.tools:
        needs = min(_starts_with(found, tool, stretches, catalogue), key=lambda one: one[0], default=None)
        if tool.count > 1 or needs is None:
            continue
        first = needs[0]
        held = [one for one in _held(found, tool, catalogue) if one.since < first and not _its_own(found, one, needs)]
        last = max(held, key=lambda one: (one.since, one.until, one.job), default=None)
        if last is not None and first - last.until <= STILL_THERE:
            said[tool.name] = _where(found, last, needs, stretches, now)
    return said


@dataclass(frozen=True, slots=True, kw_only=True)
class GoesOn:
    """What a crew is told of a shared tool that it used last at a job: `along` where it takes it with it when it leaves there."""

    job: int
    words: str
    along: bool


def goes_on(
    found: Planned, crew: str, stretches: Sequence[Stretch], catalogue: Catalogue, day: date
) -> Mapping[str, GoesOn]:
    """Return, by the tool's name, what becomes of a shared tool after a crew's day has used it for the last time at a house.

    Whoever leaves with it takes it along to the shop, or to the crew that needs it where its own way leads there in time. Of a
    crew that needs it before that the page says so: somebody is to bring it. Nothing where the tool is needed next at the same
    house, where the crew itself goes on with it that day, or where who needs it comes by first.
    """
    said: dict[str, GoesOn] = {}
    for tool in found.shop.tools:
        uses = max(_starts_with(found, tool, stretches, catalogue), key=lambda one: one[0], default=None)
        if tool.count > 1 or uses is None:
            continue
        job = uses[1].record.job.number
        held = list(_held(found, tool, catalogue))
        own = [one for one in held if (one.job, one.crew) == (job, crew) and _date(found, one.since) <= day]
        last = max(own, key=lambda one: (one.until, one.since), default=None)
        if last is None or _date(found, last.until) > day:
            continue  # it is used there on another day too
        later = [one for one in held if not one.ticked and one not in own and one.since > last.since]
        then = min(later, key=lambda one: (one.since, one.job), default=None)
        if (told := _goes_on(found, last, then)) is not None:
            said[tool.name] = told
    return said


def _goes_on(found: Planned, last: _Held, then: _Held | None) -> GoesOn | None:
    if then is None:
        return GoesOn(job=last.job, words="take it along to the shop", along=True)
    day = _date(found, then.since)
    there = [one for one in found.day(then.crew, day) if one.start <= then.since] if _is_crew(found, then.crew) else []
    same_day = (then.crew, day) == (last.crew, _date(found, last.until))
    if then.job == last.job or same_day or any(one.record.job.number == last.job for one in there):
        return None
    who = f"{then.crew} needs it" if then.crew and then.crew != last.crew else "it is needed"
    needed = f"{who} {at_site(found.shop.zone, then.since)}"
    job = f"job {then.job}, {found.records[then.job].job.site.address}"
    if not there or _by_the_shop(found, last, there):
        return GoesOn(job=last.job, words=f"take it along to the shop: {needed}, at {job}", along=True)
    if _comes_over(found, last, then.since, there[-1]):
        return GoesOn(job=last.job, words=f"take it along to {job}: {needed}", along=True)
    return GoesOn(job=last.job, words=f"{needed}, at {job}; {NO_DRIVE}", along=False)


def _date(found: Planned, instant: datetime) -> date:
    return to_wall(found.shop.zone, instant).date()


def _is_crew(found: Planned, name: str) -> bool:
    return any(crew.name == name for crew in found.shop.crews)


def _by_the_shop(found: Planned, last: _Held, stretches: Sequence[Stretch]) -> bool:
    """Return whether the crew that has a tool is back in the shop with it before another leaves there for its `stretches` of a day."""
    if not _is_crew(found, last.crew):
        return False
    first, day = min(stretches, key=lambda one: one.start), _date(found, last.until)
    if _date(found, first.start) > day:
        return True
    out = [one for one in found.day(last.crew, day) if one.end >= last.until]
    if not out:
        return False
    end = max(out, key=lambda one: one.end)
    back = end.end + timedelta(minutes=end.record.job.site.drive_min)
    return back <= first.start - timedelta(minutes=first.record.job.site.drive_min)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """A house that has a tool: since work with it begins (UTC), nights included; `until` is when that ends, as ticked or planned.

    `ticked`: somebody said that it was done; `begun`: that, or that it has begun.
    """

    job: int
    crew: str
    since: datetime
    until: datetime
    ticked: bool = False
    begun: bool = False


def _its_own(found: Planned, held: _Held, needs: tuple[datetime, Stretch]) -> bool:
    """Return whether the work with a tool is the crew's own of that day: it brings the tool for that."""
    first, stretch = needs
    zone = found.shop.zone
    same_day = to_wall(zone, held.since).date() == to_wall(zone, first).date()
    return same_day and (held.job, held.crew) == (stretch.record.job.number, stretch.crew)


def _where(
    found: Planned, last: _Held, needs: tuple[datetime, Stretch], stretches: Sequence[Stretch], now: datetime
) -> str:
    """Return where a tool is when a crew leaves for its day, and how it comes to the house that `needs` it first, and when."""
    first, there = needs
    job = f"job {last.job}, {found.records[last.job].job.site.address}"
    until = at_site(found.shop.zone, last.until)
    used = f"used there until {until}"
    if not last.ticked and last.until <= now:
        used = f"by the plan {used}, which nobody ticked"
    if last.job == there.record.job.number:
        return f"not to load: {'' if last.begun else 'by the plan '}it is there already, at {job}"
    if any(one.record.job.number == last.job and one.start < there.start for one in stretches):
        return f"not to load: take it along from {job}"
    by_shop = _by_the_shop(found, last, stretches)
    came = None if by_shop else _comes_over(found, last, first, there)
    brought = NO_DRIVE
    if came:
        brought = f"{last.crew} comes over at {at_site(found.shop.zone, came)}: agree that it is brought along"
    if last.until > min(one.start for one in stretches):
        needed = f"not to load before leaving: needed from {at_site(found.shop.zone, first)}"
        return f"{needed}; at {job}, {used}; {brought}"
    if not by_shop:
        return f"at {job}, {used}; {brought}"
    on = day_words(_date(found, last.until))
    if last.until <= now:
        return f"at {job}, {used}; {last.crew} was to take it along to the shop on {on}: see whether it is there"
    return f"at {job}, {used}; {last.crew} takes it along to the shop on {on}"


def _comes_over(found: Planned, last: _Held, first: datetime, there: Stretch) -> datetime | None:
    """Return when the crew that has a tool drives with it straight to the house that needs it, in time; None where it does not."""
    day = to_wall(found.shop.zone, first).date()
    if last.crew not in {crew.name for crew in found.shop.crews} or last.crew == there.crew:
        return None
    after = min(
        (one for one in found.day(last.crew, day) if one.start >= last.until), key=lambda s: s.start, default=None
    )
    if after is None or after.record.job.number != there.record.job.number or after.start > first:
        return None
    return after.start


def _starts_with(
    found: Planned, tool: SharedTool, stretches: Sequence[Stretch], catalogue: Catalogue
) -> Iterator[tuple[datetime, Stretch]]:
    """Yield when and at which house work with a tool begins in a crew's day, task by task."""
    for stretch in stretches:
        for piece in stretch.pieces:
            if tool.name in _tools(found.shop, catalogue, stretch.record.task(piece.task)):
                yield piece.start, stretch


def _held(found: Planned, tool: SharedTool, catalogue: Catalogue) -> Iterator[_Held]:
    """Yield the houses that have a tool, task by task: what is done or begun counts too where no plan has it any more."""
    for record in found.records.values():
        needing = [
            task for task in record.tasks if not task.not_needed and tool.name in _tools(found.shop, catalogue, task)
        ]
        times = found.task_minutes(record) if needing else {}
        for task in needing:
            placed, minutes = found.placement(record.job.number, task.number), times.get(task.number)
            crew = task.crew or (placed.crew if placed else "")
            if task.done_at is not None:
                since = _began(task, task.done_at, minutes)
                yield _Held(job=record.job.number, crew=crew, since=since, until=task.done_at, ticked=True, begun=True)
            elif placed is not None and minutes is not None:
                since = min(minutes[0], task.started_at or minutes[0])
                begun = task.started_at is not None
                yield _Held(job=record.job.number, crew=crew, since=since, until=placed.end, begun=begun)
            elif task.started_at is not None:
                yield _Held(job=record.job.number, crew=crew, since=task.started_at, until=task.started_at, begun=True)


def _began(task: Task, done: datetime, minutes: tuple[datetime, datetime] | None) -> datetime:
    """Return when work on a task began that is done: as said, else as planned, else by the time it takes."""
    if task.started_at is not None and task.started_at < done:
        return task.started_at
    if minutes is not None and minutes[0] < done:
        return minutes[0]
    return done - time_for(task)
