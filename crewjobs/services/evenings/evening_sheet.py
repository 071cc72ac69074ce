"""The sheet a crew hands back in the evening: the day's houses and their lines in the page's own order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job, JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wall import Span, clock, to_utc, to_wall, wall_minute
from crewjobs.domain.wording import dated_words, listed, typed, upper
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.paper.lanes import stretches
from crewjobs.paper.model import TaskLine
from crewjobs.services.evenings.how_far import far_of
from crewjobs.services.jobs.known_hours import times_words
from crewjobs.services.jobs.written import words_wanted
from crewjobs.services.pages.crew_houses import CrewHouse, crew_houses
from crewjobs.services.pages.page import MEASURED, WORTH_ASKING_MIN
from crewjobs.services.rows import EveningHouse, EveningLine, EveningSheet
from crewjobs.services.weeks.days_done import DaysDone
from crewjobs.services.weeks.visits import QUARTER_HOUR, Planned, Stretch, planned
from crewjobs.services.wording import hours_words, no_crew, quantity_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetHouse:
    """One house of the page: its job, the planned stretch (UTC), and its tasks in the page's order.

    `starts` and `ends` are when (UTC) the page has each of the tasks start and end there. `came`: nothing recorded says that the
    crew was in another house when it was to begin in this one.
    """

    number: int
    record: JobRecord
    start: datetime
    end: datetime
    tasks: tuple[int, ...]
    starts: Mapping[int, datetime]
    ends: Mapping[int, datetime]
    came: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewDay:
    """A crew's day as it was planned: who is there, its breaks, the houses of its page."""

    shop: Shop
    crew: Crew
    day: date
    people: int
    breaks: tuple[Span, ...]
    revision: int
    houses: tuple[SheetHouse, ...]

    def minute(self, instant: datetime) -> int:
        """Return an instant as wall minutes of the page, counted from the day's midnight."""
        wall = to_wall(self.shop.zone, instant)
        return wall_minute(wall) + 24 * 60 * (wall.date() - self.day).days

    def break_within(self, start: int, stop: int) -> int:
        """Return the minutes of the crew's breaks that lie wholly between two wall minutes."""
        return sum(span.minutes for span in self.breaks if start <= span.start and span.end <= stop)


def crew_day(uow: UnitOfWork, now: datetime, crew: str, day: date) -> CrewDay:
    """Return a crew's day as its printed pages had it; plans made during the day add what they added.

    When it was at each house its page says as it is by now (`crew_houses`): earlier, later, until it was stopped there, or twice.
    What was done before the crew's hours began, which a plan made since then has no more, is of the day as well.

    Raises:
        Refused: there is no such crew, or the day has not come.
    """
    away = uow.away()
    shop = with_parts(uow.shop(), away)
    chosen = next((one for one in shop.crews if one.name.casefold() == crew.strip().casefold()), None)
    if chosen is None:
        raise Refused(no_crew(crew, shop))
    if day > to_wall(shop.zone, now).date():
        raise Refused(f"{dated_words(day)} has not come yet: an evening is entered when the day is over.")
    hours = chosen.hours.on(day)
    begins = to_utc(shop.zone, day, hours[0].start if hours else 0)
    of_day = to_utc(shop.zone, day, 0), to_utc(shop.zone, day + timedelta(days=1), 0)
    every = uow.plans_until(of_day[1], back_to=of_day[0], within=of_day)
    first = max((place for place, plan in enumerate(every) if plan.made_at <= begins), default=0)
    plans, earlier = every[first:], every[:first]
    numbers = {placement.key.job for plan in every for placement in plan.placements}
    records = {number: uow.job(number) for number in sorted(numbers)}
    people = len(present(shop, away, chosen.name, day))
    houses: list[SheetHouse] = []

    def stretches_of(plan: WeekPlan) -> tuple[Stretch, ...]:
        known = tuple(p for p in plan.placements if _all_there(records[p.key.job], p.tasks))
        found = Planned(shop=shop, plan=replace(plan, placements=known), records=records, pins=(), away=away)
        return found.day(chosen.name, day)

    for place, plan in enumerate(plans):
        for stretch in stretches_of(plan):
            _add(houses, stretch, page_order(stretch, shop.zone, people), made_at=plan.made_at if place else None)
    whose = {(p.key.job, task): p.crew for plan in every for p in plan.placements for task in p.tasks}  # by the newest
    for stretch in (stretch for plan in reversed(earlier) for stretch in stretches_of(plan)):
        job = stretch.record.job.number
        early = tuple(
            number
            for number in page_order(stretch, shop.zone, people)
            if _done_on(stretch.record.task(number), of_day) and whose[job, number] == chosen.name
        )
        if early:
            _add(houses, stretch, early, made_at=stretch.end)
    return CrewDay(
        shop=shop,
        crew=chosen,
        day=day,
        people=people,
        breaks=tuple(Span(start=a.end, end=b.start) for a, b in pairwise(hours) if a.end < b.start),
        revision=plans[-1].number if plans else 0,
        houses=tuple(
            one_after_the_other(
                as_on_the_page(houses, _by_now(uow, chosen, day, now), [plan.made_at for plan in plans[1:]])
            )
        ),
    )


def _by_now(uow: UnitOfWork, crew: Crew, day: date, now: datetime) -> tuple[CrewHouse, ...]:
    """Return the houses of the crew's page of a day as it is by now; none where nothing is planned."""
    found = planned(uow)
    if found is None:
        return ()
    days = DaysDone(uow, found, day, day, now)
    return crew_houses(found, days, crew, days.day(crew.name, day), day, now)


def as_on_the_page(
    houses: Sequence[SheetHouse], page: Sequence[CrewHouse], made: Sequence[datetime] = ()
) -> list[SheetHouse]:
    """Return the houses with the times the page has of them by now; one the crew comes to twice is two of them.

    Each of the page's is the one of the sheet's with which it shares most work. What the page has no more keeps its times.
    `made` are when plans were made during the day: such a plan has what goes on from then on, and the crew was there before.
    """
    times: dict[int, list[CrewHouse]] = {}
    for one in page:
        job, tasks = one.stretch.record.job.number, {task.number for task in one.stretch.tasks}
        same = [house for house in houses if house.record.job.number == job and tasks & set(house.tasks)]
        if same and one.start < one.end:
            mine = max(same, key=lambda house: len(tasks & set(house.tasks)))
            times.setdefault(mine.number, []).append(one)
    found: list[SheetHouse] = []
    again: list[SheetHouse] = []
    for house in houses:
        first, *more = times.get(house.number, [None])
        for other in more:
            assert other is not None
            left = [number for number in _tasks(other) if number in house.tasks and number not in _tasks(first)]
            if left:
                number = len(houses) + len(again) + 1
                again.append(_with_times(replace(house, number=number, tasks=tuple(left)), other))
                house = replace(house, tasks=tuple(number for number in house.tasks if number not in left))
        if first is not None:
            goes_on = any(house.start < at <= first.start < at + QUARTER_HOUR for at in made)
            house = replace(_with_times(house, first), start=house.start) if goes_on else _with_times(house, first)
        found.append(house)
    return [*found, *again]


def _tasks(house: CrewHouse | None) -> tuple[int, ...]:
    return tuple(task.number for task in house.stretch.tasks) if house is not None else ()


def _with_times(house: SheetHouse, page: CrewHouse) -> SheetHouse:
    """Return a house with when the page has the crew there; where its hours are told they were recorded, and as planned stays."""
    stretch = page.stretch
    start, end = (stretch.start, stretch.end) if page.told else (page.start, page.end)
    starts, ends = {**house.starts, **_starts(stretch)}, {**house.ends, **_ends(stretch)}
    return replace(house, start=start, end=end, starts=starts, ends=ends, came=page.elsewhere is None)


def one_after_the_other(houses: Sequence[SheetHouse]) -> Iterator[SheetHouse]:
    """Yield the houses of a day; where a plan made during it sent the crew on earlier, the one it left ends when it had to leave.

    A house the crew was sent to in the place of another, at the same time, is left as it is: one of the two was not worked at. So
    is one it was recorded in beyond when it was to be at the next.
    """
    for house in houses:
        onward = [
            max(house.start, other.start - _drive(house.record, other.record))
            for other in houses
            if other.came and house.start < other.start < house.end
        ]
        yield replace(house, end=min(onward)) if onward else house


def _drive(one: JobRecord, other: JobRecord) -> timedelta:
    """Return the drive between two houses: none within one, else by way of the shop, as the page has it."""
    here, there = one.job.site, other.job.site
    return timedelta() if here.address == there.address else timedelta(minutes=here.drive_min + there.drive_min)


def _done_on(task: Task, of_day: tuple[datetime, datetime]) -> bool:
    return task.done_at is not None and of_day[0] <= task.done_at < of_day[1]


def _all_there(record: JobRecord, tasks: Sequence[int]) -> bool:
    """Return whether a job still has all the tasks an older plan speaks of."""
    return set(tasks) <= {task.number for task in record.tasks}


def _add(houses: list[SheetHouse], stretch: Stretch, order: tuple[int, ...], *, made_at: datetime | None) -> None:
    """Add a stretch as a house; a plan made during the day (`made_at`) only adds to a house what is new there.

    The house ends when the newest of them says: the crew holds that sheet. One that has nothing to come there only frees what
    is done, or has the rest elsewhere: the end before it stays.
    """
    same = [i for i, house in enumerate(houses) if house.record.job.number == stretch.record.job.number]
    if made_at is not None and same:
        known = {number for i in same for number in houses[i].tasks}
        place = next((i for i in reversed(same) if houses[i].start < stretch.end), same[-1])
        house = houses[place]
        new = tuple(number for number in order if number not in known)
        starts, ends = {**_starts(stretch), **house.starts}, {**_ends(stretch), **house.ends}
        end = stretch.end if stretch.end > max(made_at, house.start) else max(house.end, stretch.end)
        houses[place] = replace(house, tasks=(*house.tasks, *new), end=end, starts=starts, ends=ends)
        return
    house = SheetHouse(
        number=len(houses) + 1,
        record=stretch.record,
        start=stretch.start,
        end=stretch.end,
        tasks=order,
        starts=_starts(stretch),
        ends=_ends(stretch),
    )
    houses.append(house)


def _starts(stretch: Stretch) -> dict[int, datetime]:
    starts: dict[int, datetime] = {}
    for piece in stretch.pieces:
        starts[piece.task] = min(piece.start, starts.get(piece.task, piece.start))
    return starts


def _ends(stretch: Stretch) -> dict[int, datetime]:
    ends: dict[int, datetime] = {}
    for piece in stretch.pieces:
        ends[piece.task] = max(piece.end, ends.get(piece.task, piece.end))
    return ends


def page_order(stretch: Stretch, zone: str, people: int) -> tuple[int, ...]:
    """Return the tasks of a stretch as the page prints them, lane by lane where people work apart, each once."""
    lines = [
        TaskLine(
            title="",
            task=piece.task,
            at=to_wall(zone, piece.start).time(),
            until=to_wall(zone, piece.end).time(),
            initials=() if len(piece.people) == people else tuple(str(place) for place in piece.people),
        )
        for piece in stretch.pieces
    ]
    printed = [line.task for part in stretches(lines) for lane in part.lanes for line in lane.tasks]
    return tuple(dict.fromkeys(printed))


def sheet_of(uow: UnitOfWork, now: datetime, crew: str, day: date) -> EveningSheet:
    """Return what is asked of a crew in the evening of a day, in the order of its page.

    Raises:
        Refused: there is no such crew, or the day has not come.
    """
    found = crew_day(uow, now, crew, day)
    return EveningSheet(
        crew=found.crew.name,
        day=day,
        revision=found.revision,
        sub=found.crew.sub is not None,
        houses=tuple(_house(found, house) for house in found.houses),
        break_rule=_break_rule(found) if found.crew.sub is None and found.houses else "",
    )


def _break_rule(found: CrewDay) -> str:
    """Return which break `CrewDay.break_within` takes off, by the clock."""
    times = listed([f"{clock(span.start)}–{clock(span.end)}" for span in found.breaks])
    if not times:
        return "Break left empty: none is taken off, the crew's hours that day have none."
    which = "is taken off where the crew was" if len(found.breaks) == 1 else "are taken off, each where the crew was"
    return f"Break left empty: {times} {which} there before it and after it, else none."


def _house(found: CrewDay, house: SheetHouse) -> EveningHouse:
    zone, job = found.shop.zone, house.record.job
    over = over_words(job, hours=found.crew.sub is None)
    tasks = [house.record.task(number) for number in house.tasks]
    start, stop = to_wall(zone, house.start), to_wall(zone, house.end)
    return EveningHouse(
        house=house.number,
        job=job.number,
        title=job.title,
        address=job.site.address,
        start=f"{start:%H:%M}",
        stop=f"{stop:%H:%M}",
        people=found.people,
        pause=found.break_within(found.minute(house.start), found.minute(house.end)),
        told=tuple(
            times_words(hours, zone)
            for hours in house.record.crew_hours
            if hours.crew == found.crew.name and to_wall(zone, hours.start).date() == found.day
        ),
        lines=tuple(_line(house.record, task, found.shop.units) for task in tasks if not (over and task.open)),
        over=over,
    )


TAKES_HOURS: Final = (JobState.DONE, JobState.CALLED_OFF)
"""Jobs that ended with their day yet to be entered; a closed one has its hours."""


def over_words(job: Job, *, hours: bool) -> str:
    """Return what can be entered of a job that is not booked any more, and what to do for the rest; empty of one that is."""
    if job.state is JobState.BOOKED:
        return ""
    only = "only hours are" if hours and job.state in TAKES_HOURS else "nothing is"
    return (
        f"job {job.number} is {job.state.value}, not booked: {only} recorded on it. "
        f"For what was done or found: {booked_again(job, 'this sheet')}."
    )


def booked_again(job: Job, then: str) -> str:
    """Return how something is recorded on a job that is not booked any more: it is booked for as long as that takes."""
    amend = f"crewjobs amend {job.number} --state"
    return f"`{amend} {JobState.BOOKED.value}`, then {then}, then `{amend} {typed(job.state.value)}`"


def _line(record: JobRecord, task: Task, units: UnitSystem) -> EveningLine:
    measured = task.unit in MEASURED and task.estimate.expected >= WORTH_ASKING_MIN and task.phase is not Phase.HOUSE
    waits = sorted(
        {(link.wait_min, link.name) for link in record.links if link.before == task.number and link.wait_min}
    )
    place = "" if task.where == "house" else f"{upper(task.where)}: "
    return EveningLine(
        task=task.number,
        title=f"{place}{task.title}",
        size=quantity_words(task, units) if measured else "",
        before=far_of(record, task),
        state=task.state,
        wait="; ".join(f"{name} {hours_words(timedelta(minutes=minutes))}" for minutes, name in waits),
        words=words_wanted(task),
    )
