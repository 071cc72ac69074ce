"""The houses of a crew's page: those of the plan in force, and what the crew was sent to that day and the plan has elsewhere by now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import day_words
from crewjobs.services.evenings.how_far import far_of
from crewjobs.services.jobs.known_hours import recorded_on
from crewjobs.services.weeks.at_house import at_house, since_there
from crewjobs.services.weeks.been_today import Seen
from crewjobs.services.weeks.days_done import Taken, within
from crewjobs.services.weeks.visits import Stretch

if TYPE_CHECKING:
    from crewjobs.domain.crew import Crew
    from crewjobs.domain.tasks import Task
    from crewjobs.engines.planning.layout import TaskTime
    from crewjobs.services.weeks.days_done import DaysDone
    from crewjobs.services.weeks.visits import Planned

NO_PLACE: Final = "the plan has no place for it now: call the office"


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewHouse:
    """A house of a crew's page: its stretch, with what of it the plan has elsewhere by now.

    `taken` says by task where that is, and `later` are those pieces of it that have no time of their own on the page any more.
    `goes_on`: by the plan in force there is work to do. `recorded` are the crew's hours there that day, told once for a job.
    `start` and `end` (UTC) are when the crew was there as far as that is known, else as planned. `gone`: the day is over.
    `stands` is its stretch by the plan in force with what is done, None where that has nothing there. `stopped` (UTC) is when the
    last of what plans took from the house was stopped (`Taken`) while the crew was there: the house ends then. `elsewhere` (UTC) is
    until when the crew was seen in the house before, where it had not come to this one by its planned start: that stays as planned.
    `unsent`: on the day that runs all its work was taken before the crew was to begin there, and it told no hours: it has no time.
    """

    stretch: Stretch
    stands: Stretch | None
    start: datetime
    end: datetime
    goes_on: bool
    gone: bool
    taken: Mapping[int, str] = field(default_factory=dict)
    later: tuple[TaskTime, ...] = ()
    recorded: str = ""
    told: bool = False
    stopped: datetime | None = None
    elsewhere: datetime | None = None
    unsent: bool = False

    @property
    def left(self) -> bool:
        """Return whether the crew left the house since its work there was taken."""
        return self.stopped is not None and not self.goes_on

    @property
    def own(self) -> tuple[Task, ...]:
        """Return the tasks that stand on the page as planned for the day: all of them once it is over."""
        return tuple(task for task in self.stretch.tasks if self.gone or task.number not in self.taken)

    @property
    def to_do(self) -> tuple[Task, ...]:
        """Return its tasks without those the plan has elsewhere by now."""
        return tuple(task for task in self.stretch.tasks if task.number not in self.taken)

    @property
    def waiting(self) -> tuple[Task, ...]:
        """Return the tasks of which it is told what people owe to them: where none is left today, why the crew was stopped."""
        if self.to_do or self.gone:
            return self.to_do
        later = dict.fromkeys(piece.task for piece in self.later)
        return (*self.stretch.tasks, *(self.stretch.record.task(number) for number in later))


def crew_houses(
    found: Planned, days: DaysDone, crew: Crew, stands: Sequence[Stretch], day: date, now: datetime
) -> tuple[CrewHouse, ...]:
    """Return the houses of a crew's page for a day, in order; `stands` are its stretches by the plan in force (`DaysDone.day`).

    What plans of the day had there and the plan in force has not keeps its time up to when the crew was stopped, where it is done
    with the house or the day is over; where it goes on there it has none. Of a day to come nothing was taken.

    Raises:
        Refused: there is no such crew.
    """
    today = to_wall(found.shop.zone, now).date()
    gone = day < today
    houses = [as_planned(one, gone=gone, since=found.plan.made_at) for one in stands]
    if day > today:
        return tuple(houses)
    if day == today:
        at = at_house(found, days, crew.name, now)
        since = [since_there(at, stands, place, now) for place in range(len(stands))]
        houses = [replace(one, start=there or one.start) for one, there in zip(houses, since, strict=True)]
    for one in days.taken(crew.name, day):
        words = _words(found, one.record, one.piece.task, crew.name, day)
        _add(houses, crew.name, one._replace(piece=_that_day(found, crew, one.piece, day)), words, gone=gone)
    houses.sort(key=lambda one: one.stretch.start)
    houses = [_as_stopped(one, found.shop.zone, day) for one in _as_seen(houses, days.seen(day), crew.name, day)]
    cut = [_within_day(houses, place) for place in range(len(houses))]
    return tuple(_with_hours(cut, place, crew.name, day) for place in range(len(cut)))


def over_today(houses: Sequence[CrewHouse]) -> bool:
    """Return whether a crew has no more to do on a day that runs, and it did not end as planned: its hours are told, or work was taken."""
    return any(one.taken or one.told for one in houses) and not any(one.goes_on or one.gone for one in houses)


def moved_words(
    found: Planned,
    record: JobRecord,
    task: int,
    times: Mapping[int, tuple[datetime, datetime]],
    crew: str,
    day: date,
) -> str:
    """Return where the plan in force has what it took from a crew's day: ``moved to Cedar, Tue 3 Mar``; empty: nowhere."""
    if record.job.state is not JobState.BOOKED:
        return f"the job is {record.job.state.value}"
    placed = found.placement(record.job.number, task)
    if placed is None or task not in times:
        return ""
    when = to_wall(found.shop.zone, times[task][0])
    to = [placed.crew] if placed.crew != crew else []
    to += [day_words(when.date(), day)] if when.date() != day else []
    return f"moved to {', '.join(to)}" if to else ""


def as_planned(stretch: Stretch, *, gone: bool, since: datetime) -> CrewHouse:
    """Return a stretch of the plan in force, made at an instant (`since`), as a house of the page.

    It goes on where that plan has open work there: not where it took all that was to come when it was made.
    """
    goes_on = not gone and any(piece.end > since and stretch.record.task(piece.task).open for piece in stretch.pieces)
    return CrewHouse(stretch=stretch, stands=stretch, start=stretch.start, end=stretch.end, goes_on=goes_on, gone=gone)


def _words(found: Planned, record: JobRecord, task: int, crew: str, day: date) -> str:
    """Return how far a task is that was taken from a day, and where the plan has it."""
    moved = moved_words(found, record, task, found.task_minutes(record), crew, day) or NO_PLACE
    far = far_of(record, record.task(task))
    return f"{far}, the rest {moved}" if far and moved != NO_PLACE else "; ".join(filter(None, (far, moved)))


def _that_day(found: Planned, crew: Crew, piece: TaskTime, day: date) -> TaskTime:
    """Return a piece as it is within a day: a block that began on an earlier one goes on with the crew's hours."""
    hours = crew.hours.on(day)
    begins = to_utc(found.shop.zone, day, hours[0].start if hours else 0)
    return replace(piece, start=max(piece.start, min(begins, piece.end)))


def _add(houses: list[CrewHouse], crew: str, taken: Taken, words: str, *, gone: bool) -> None:
    """Add a piece that was taken to its house, the one nearest by its time; else as a house of its own."""
    record, piece, at = taken
    same = [place for place, one in enumerate(houses) if one.stretch.record.job.number == record.job.number]
    going = [place for place in same if houses[place].goes_on]
    if going:
        house = houses[going[-1]]
        houses[going[-1]] = replace(house, taken={**house.taken, piece.task: words}, later=(*house.later, piece))
        return
    if not same:
        stretch = Stretch(record=record, crew=crew, pieces=(piece,))
        house = CrewHouse(stretch=stretch, stands=None, start=stretch.start, end=stretch.end, goes_on=False, gone=gone)
        houses.append(replace(house, taken={piece.task: words}, stopped=at))
        return
    place = min(same, key=lambda at: abs(houses[at].stretch.start - piece.start))
    house = houses[place]
    pieces = sorted((*house.stretch.pieces, piece), key=lambda one: (one.start, one.end > one.start, one.people))
    houses[place] = replace(
        house,
        stretch=(stretch := replace(house.stretch, pieces=tuple(pieces))),
        start=stretch.start,
        end=stretch.end,
        taken={**house.taken, piece.task: words},
        stopped=max((one for one in (house.stopped, at) if one is not None), default=None),
    )


def _as_seen(houses: Sequence[CrewHouse], seen: Seen, crew: str, day: date) -> Iterator[CrewHouse]:
    """Yield the houses with what is recorded beside their plans: to which the crew had not come, and until when it was in another."""
    jobs = [one.stretch.record.job.number for one in houses]
    away = [seen.elsewhere(job, crew, one.stretch.start) for job, one in zip(jobs, houses, strict=True)]
    for place, one in enumerate(houses):
        last, ends = seen.last(jobs[place], crew), min(one.end, one.stopped or one.end)
        if away[place] is not None:
            yield replace(one, elsewhere=away[place])
        elif last is None or not one.start < last or last <= ends or recorded_on(one.stretch.record, crew, day):
            yield one
        elif any(away[at] is None and houses[at].start <= last for at in range(place + 1, len(houses))):
            yield one  # it was at another house since, and came back
        else:
            stopped = max(one.stopped, last) if one.stopped is not None else None
            yield replace(one, end=max(one.end, last), stopped=stopped)


def _as_stopped(house: CrewHouse, zone: str, day: date) -> CrewHouse:
    """Return a house with when its crew was stopped: not where its work was taken before it came, or once it was to be over."""
    at, stretch = house.stopped, house.stretch
    untouched = at is not None and at <= stretch.start and house.stands is None and not house.gone
    if untouched and not recorded_on(stretch.record, stretch.crew, day) and house.end <= stretch.end:
        return replace(house, stopped=None, end=house.start, unsent=True)
    there = at is not None and to_wall(zone, at).date() == day and stretch.start < at and house.elsewhere is None
    return house if there and at is not None and (at < stretch.end or at == house.end) else replace(house, stopped=None)


def _within_day(houses: Sequence[CrewHouse], place: int) -> CrewHouse:
    """Return a house whose taken work has the time there is: until the crew was stopped, and beside the other houses.

    Nobody is at two at once. Where it was stopped the house ends at that hour, be it some time before it leaves for another.
    """
    house = houses[place]
    if not house.taken or house.goes_on or house.elsewhere is not None or house.unsent:
        return house
    drive = house.stretch.record.job.site.drive_min
    before, after = (
        [one for one in some if one.elsewhere is None and not one.unsent]
        for some in (houses[:place], houses[place + 1 :])
    )
    left = max((one.end for one in before if not one.taken or one.goes_on), default=None)
    until = min(
        (one.stretch.start - timedelta(minutes=drive + one.stretch.record.job.site.drive_min) for one in after),
        default=None,
    )
    own = [piece.end for piece in house.stretch.pieces if piece.task not in house.taken]
    if house.stopped is not None:
        until = max([house.stopped, *own])
    stays = tuple(
        piece
        for piece in house.stretch.pieces
        if piece.task not in house.taken
        or ((left is None or left < piece.end) and (until is None or piece.start < until))
    )
    gone = tuple(piece for piece in house.stretch.pieces if piece not in stays)
    stretch = within(replace(house.stretch, pieces=stays or gone[:1]), left, until)
    later = gone if stays else gone[1:]
    end = stretch.end
    if house.stopped is not None and until is not None:  # it was there until then, whatever had begun by then
        end = max(end, min(until, house.end))
    return replace(house, stretch=stretch, start=stretch.start, end=end, later=later)


def _with_hours(houses: Sequence[CrewHouse], place: int, crew: str, day: date) -> CrewHouse:
    """Return a house with what its crew recorded there that day; on the day itself its hours stand in the place of planned ones."""
    house = houses[place]
    record = house.stretch.record
    same = [one for one, other in enumerate(houses) if other.stretch.record.job.number == record.job.number]
    words = recorded_on(record, crew, day)
    if not words:
        return house
    told = replace(house, told=True, recorded=words if place == same[0] else "")
    if house.gone or house.goes_on or sum(not houses[one].goes_on for one in same) > 1:
        return told
    zone = record.job.site.zone
    hours = [one for one in record.crew_hours if one.crew == crew and to_wall(zone, one.start).date() == day]
    return replace(told, start=min(one.start for one in hours), end=max(one.stop for one in hours))
