"""What was typed into a sheet, read and held to the day: times, people, answers, findings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from shlex import quote
from typing import TYPE_CHECKING, Final, TypeVar

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import CrewHours, EveningEntry, HouseEntry, last_open
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import DAY, clock, exists, to_utc, to_wall
from crewjobs.domain.wording import day_words
from crewjobs.files.evening_text import Answer, read_answer, read_clock, read_hours, read_pause, read_people, read_wait
from crewjobs.services.evenings.evening_sheet import TAKES_HOURS, CrewDay, SheetHouse, over_words
from crewjobs.services.ticking import in_working_order
from crewjobs.services.wording import read_line

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

T = TypeVar("T")
NOON: Final = 12 * 60
LONGEST_NIGHT_MIN: Final = 16 * 60
"""What is begun after noon and stopped after midnight takes at most so long; more is a slip of the finger."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """An answer about a task, with the instant it is true for."""

    task: int
    answer: Answer
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedHouse:
    """What was typed for a house; `hours` is None for a sub, and where they are recorded already.

    `instead` are hours recorded already in the place of which `hours` stand.

    Without `sure` its times could not be read: its answers are looked at all the same, so that all faults are named.
    """

    label: str
    job: int
    start: datetime
    stop: datetime
    hours: CrewHours | None
    instead: tuple[CrewHours, ...]
    said: tuple[Said, ...]
    findings: tuple[tuple[str, str], ...]
    sure: bool


def read_houses(
    uow: UnitOfWork, found: CrewDay, entry: EveningEntry, now: datetime
) -> tuple[list[TypedHouse], list[str]]:
    """Return the houses something was typed for, and a sentence for every fault."""
    houses: list[TypedHouse] = []
    faults: list[str] = []
    for typed in entry.houses:
        if typed.empty:
            continue
        reader = _Reader(uow, found, typed, now, again=entry.again)
        house = reader.read()
        faults += reader.faults
        if house is not None:
            houses.append(house)
    faults += [] if faults else _two_places(uow, found, houses)
    return houses, faults


class _Reader:
    """One house; every fault is kept with the house's name before it."""

    def __init__(
        self, uow: UnitOfWork, found: CrewDay, typed: HouseEntry, now: datetime, *, again: bool = False
    ) -> None:
        self.faults: list[str] = []
        self._uow, self._found, self._typed, self._now, self._again = uow, found, typed, now, again
        self._label = f"House {typed.house}"
        self._sheet: SheetHouse | None = next((one for one in found.houses if one.number == typed.house), None)

    def read(self) -> TypedHouse | None:
        """Return the house, None where nothing can be made of it."""
        record = self._record()
        if record is None:
            return None
        if record.job.state is not JobState.BOOKED and not self._only_times(record):
            self._fault(over_words(record.job, hours=self._found.crew.sub is None and self._sheet is not None))
            return None
        answers = self._answers(record)
        findings = tuple(self._findings(record))
        if self._found.crew.sub is not None:
            stretch = self._sub_stretch()
        elif findings and not answers and not self._times_typed() and not self._typed.tasks:
            stretch = self._as_planned()  # seen in passing: who worked there, and for how long, nobody has said yet
        else:
            stretch = self._stretch(record)
        start, stop, hours = stretch or self._as_planned()
        at = {task: self._moment(task, answer, start, stop, sure=stretch is not None) for task, answer in answers}
        typed = {task for task, answer in answers if answer.at is not None}
        done = {task for task, answer in answers if answer.done}
        if self._sheet is not None:
            typed |= _as_planned(record, at, done - typed, self._sheet, start)
        _pull_back(record, at, typed, done, start)
        said = tuple(Said(task=task, answer=answer, at=at[task]) for task, answer in answers)
        return TypedHouse(
            label=self._label,
            job=record.job.number,
            start=start,
            stop=stop,
            hours=hours,
            instead=tuple(self._told(record)) if self._again and hours is not None else (),
            said=said,
            findings=findings,
            sure=stretch is not None,
        )

    def _fault(self, sentence: str) -> None:
        self.faults.append(f"{self._label}: {sentence}")

    def _try(self, read: Callable[[], T], where: str = "") -> T | None:
        try:
            return read()
        except Refused as refused:
            for sentence in refused.sentences:
                self._fault(f"{where}{sentence}")
            return None

    def _record(self) -> JobRecord | None:
        job = self._typed.job
        if self._sheet is None and job is None:
            many = len(self._found.houses)
            there = f"it has {many} house{'s' if many != 1 else ''}" if many else "it has none"
            self._fault(
                f"is not on the sheet of {self._found.crew.name}, {there}: add its job, House {self._typed.house}, job 9."
            )
            return None
        if self._sheet is not None and job is not None and job != self._sheet.record.job.number:
            self._fault(
                f"is job {self._sheet.record.job.number} on the sheet, not job {job}: give another house another number."
            )
            return None
        if self._sheet is not None:
            return self._sheet.record
        return self._try(lambda: self._uow.job(job or 0))

    # Times

    def _stretch(self, record: JobRecord) -> tuple[datetime, datetime, CrewHours | None] | None:
        typed, known = self._typed, self._told(record)
        if known and not self._times_typed():
            return known[0].start, known[-1].stop, None
        was = known[0] if self._again and len(known) == 1 else None
        planned = (
            (was.start, was.stop) if was else (self._sheet.start, self._sheet.end) if self._sheet else (None, None)
        )
        start = self._time("started", typed.start, planned[0])
        pause = (
            self._try(lambda: read_pause(typed.pause), "break: ")
            if typed.pause.strip()
            else was.break_min
            if was
            else None
        )
        waited = self._waited(was)
        people = was.people if was is not None and not typed.people.strip() else self._people()
        so_far = len(self.faults)
        worked = self._try(lambda: read_hours(typed.stop), "stopped: ") if typed.stop.strip() else None
        if len(self.faults) > so_far:
            return None
        # It is read also where it is not known when they started: all faults are told at once.
        stop = self._time("stopped", typed.stop, planned[1]) if worked is None else None
        if start is not None and worked is not None:
            breaks = self._found.break_within(start, start + worked) if pause is None else pause
            stop = start + worked + breaks
        if start is None or stop is None:
            return None
        rest = self._found.break_within(start, stop) if pause is None else pause
        made = self._hours(start, stop, people or 1, rest, waited or (0, ""))
        return made if people is not None and waited is not None else None

    def _times_typed(self) -> bool:
        typed = self._typed
        return any(text.strip() for text in (typed.start, typed.stop, typed.people, typed.pause, typed.wait))

    def _only_times(self, record: JobRecord) -> bool:
        """Return whether times alone are typed, which a job that is over takes, too: of a day it was planned for, or put right."""
        typed = self._typed
        answered = any(text.strip() for text in (*(answer for _, answer in typed.tasks), *typed.found))
        told, planned = self._again and bool(self._told(record)), self._sheet is not None and self._times_typed()
        return not answered and (told or (planned and self._found.crew.sub is None and record.job.state in TAKES_HOURS))

    def _waited(self, was: CrewHours | None) -> tuple[int, str] | None:
        """Return the minutes that the crew waited and what for, None where they could not be read."""
        if not self._typed.wait.strip():
            return (was.wait_min, was.wait_why) if was is not None else (0, "")
        found = self._try(lambda: read_wait(self._typed.wait), "waited: ")
        if found is None:
            return None
        return self._try(lambda: (found[0], read_line(found[1], "what was waited for")), "waited: ")

    def _told(self, record: JobRecord) -> list[CrewHours]:
        zone = self._found.shop.zone
        return sorted(
            (
                one
                for one in record.crew_hours
                if one.crew == self._found.crew.name and to_wall(zone, one.start).date() == self._found.day
            ),
            key=lambda one: one.start,
        )

    def _time(self, what: str, text: str, planned: datetime | None) -> int | None:
        if text.strip():
            return self._try(lambda: read_clock(text), f"{what}: ")
        if planned is None:
            self._fault(f"{what}: when was it? It is not on the sheet, so the plan has no time for it.")
            return None
        return self._found.minute(planned)

    def _people(self) -> int | None:
        there, crew = self._found.people, self._found.crew.name
        if not self._typed.people.strip():
            if there:
                return there
            self._fault(f"nobody of {crew} was there on {day_words(self._found.day)} by what is recorded.")
            return None
        people = self._try(lambda: read_people(self._typed.people), "people: ")
        if people is not None and not 1 <= people <= there:
            self._fault(
                f"people: {people} people; {crew} was {there} on {day_words(self._found.day)}. "
                "If somebody was lent or out, record that first with `crewjobs away`."
            )
            return None
        return people

    def _hours(
        self, start: int, stop: int, people: int, pause: int, waited: tuple[int, str]
    ) -> tuple[datetime, datetime, CrewHours | None] | None:
        found, day = self._found, self._found.day
        if stop <= start and not self._past_midnight(start, stop + DAY):
            self._fault(
                f"stopped: at {clock(start)}, as it started: nobody was there then; write when it stopped, or for how long (8.5 h)."
                if stop == start
                else f"stopped: at {clock(stop)}, before it started at {clock(start)}{self._night_hint(start, stop + DAY)}."
            )
            return None
        stop = stop if start < stop else stop + DAY
        if stop > DAY and not self._past_midnight(start, stop):
            self._fault(f"stopped: {(stop - start) / 60:g} hours from {clock(start)} on run over the end of the day.")
            return None
        if missing := [minute for minute in (start, stop) if not _exists(found.shop.zone, day, minute)]:
            self._fault(f"the clocks skip {clock(missing[0] % DAY)} on {day_words(day)}.")
            return None
        begin, end = to_utc(found.shop.zone, day, start), to_utc(found.shop.zone, day, stop)
        if end > self._now:
            said = "at" if self._typed.stop.strip() else "the planned stop at"
            self._fault(
                f"stopped: {said} {clock(stop % DAY or DAY)}, which has not come yet: it is {to_wall(found.shop.zone, self._now):%H:%M} now; "
                "write when it stopped."
            )
            return None
        made = self._try(
            lambda: CrewHours(
                crew=found.crew.name,
                start=begin,
                stop=end,
                people=people,
                break_min=pause,
                wait_min=waited[0],
                wait_why=waited[1],
            )
        )
        return None if made is None else (begin, end, made)

    def _past_midnight(self, start: int, stop: int) -> bool:
        """Return whether an evening ran on into the next day: begun after noon, no longer than a long night, and over."""
        return _is_night(start, stop) and to_utc(self._found.shop.zone, self._found.day, stop) <= self._now

    def _night_hint(self, start: int, stop: int) -> str:
        """Return how a night past midnight is entered, where the times may be one that is not over on this day."""
        found = self._found
        if not _is_night(start, stop):
            return ""
        eve = found.day - timedelta(days=1)
        if to_utc(found.shop.zone, eve, stop) <= self._now and found.day == to_wall(found.shop.zone, self._now).date():
            command = f"`crewjobs evening {quote(found.crew.name)} {eve}`"
            return f"; a night past midnight is entered for the day on which it began: {command}"
        return "; a night past midnight is entered when it is over"

    def _sub_stretch(self) -> tuple[datetime, datetime, CrewHours | None] | None:
        """Return when a sub was there: nothing is asked, so the plan's hours stand for what has no time of its own."""
        found = self._found
        if self._times_typed():
            self._fault(f"{found.crew.name} is paid by the foot or step: leave its hours and people away.")
            return None
        return self._as_planned()

    def _as_planned(self) -> tuple[datetime, datetime, None]:
        start = self._sheet.start if self._sheet else to_utc(self._found.shop.zone, self._found.day, 0)
        stop = self._sheet.end if self._sheet else self._now
        return min(start, self._now), min(stop, self._now), None

    # Answers

    def _answers(self, record: JobRecord) -> list[tuple[int, Answer]]:
        answers: dict[int, Answer] = {}
        there = {task.number for task in record.tasks}
        for task, text in self._typed.tasks:
            answer = self._try(lambda text=text: read_answer(text), f"task {task}: ")  # type: ignore[misc]
            if answer is None or not (answer.done or answer.far):
                continue
            if task not in there:
                self._fault(
                    f"job {record.job.number} has no task {task}: `crewjobs job {record.job.number}` lists them."
                )
            elif task in answers:
                self._fault(f"task {task} is answered twice.")
            else:
                self._try(lambda because=answer.because: read_line(because, "the reason"), f"task {task}: ")  # type: ignore[misc]
                answers[task] = answer
        return list(answers.items())

    def _moment(self, task: int, answer: Answer, start: datetime, stop: datetime, *, sure: bool) -> datetime:
        if answer.at is None:
            return stop
        found = self._found
        at = to_utc(found.shop.zone, found.day, answer.at)
        if sure and at < start and (later := to_utc(found.shop.zone, found.day, answer.at + DAY)) <= stop:
            at = later  # the evening ran on past midnight, and so did this
        first, last = to_wall(found.shop.zone, start), to_wall(found.shop.zone, stop)
        if sure and found.crew.sub is None and not start <= at <= stop:
            self._fault(
                f"task {task}: {clock(answer.at)} is not between {first:%H:%M} and {last:%H:%M}, when the crew was there."
            )
        elif at > self._now:
            self._fault(f"task {task}: {clock(answer.at)} has not come yet.")
        return at

    def _findings(self, record: JobRecord) -> Iterator[tuple[str, str]]:
        places = {place.casefold(): place for place in ("house", *_places(record))}
        for text in self._typed.found:
            line = self._try(lambda text=text: read_line(text, "the finding"), "found: ")  # type: ignore[misc]
            if not line:
                continue
            ahead, colon, what = line.partition(":")
            place = places.get(ahead.strip().casefold())
            if not colon or place is None:
                yield "house", line
            elif what.strip():
                yield place, what.strip()
            else:
                self._fault(f"found: in {quoted(place)}: say what.")


def _is_night(start: int, stop: int) -> bool:
    """Return whether wall minutes may be an evening that ran on: begun after noon, and no longer than a long night."""
    return start >= NOON and stop - start <= LONGEST_NIGHT_MIN


def _exists(zone: str, day: date, minute: int) -> bool:
    days, minute = divmod(minute, DAY)
    return exists(zone, day + timedelta(days=days), minute)


def _earliest(record: JobRecord, task: int, start: datetime) -> datetime:
    """Return when a task can have been done at the earliest: not before the crew came, nor while a part of it was left."""
    far = last_open(record.how_far, task)
    return start if far is None else max(start, far.at)


def _pull_back(record: JobRecord, at: dict[int, datetime], typed: set[int], done: set[int], start: datetime) -> None:
    """Let what comes before a task whose time was typed be done by then: times left away are no later than that."""
    settled = set(typed)
    for number in reversed(in_working_order(record, list(at))):
        for link in record.links:
            if link.before != number or number in typed or number not in done or link.after not in settled:
                continue
            by = max(_earliest(record, number, start), at[link.after] - timedelta(minutes=link.wait_min))
            if by < at[number]:
                at[number] = by
                settled.add(number)


def _as_planned(
    record: JobRecord, at: dict[int, datetime], done: set[int], sheet: SheetHouse, start: datetime
) -> set[int]:
    """Let what the page has dry or cure between two tasks of it do so from its planned time on, begun as late as the crew.

    Both are done and both times were left away: these are as planned. A wait that goes on after the visit counts from its
    end all the same, so that nothing is taken for dry too soon. Returns the tasks that have their planned times.
    """
    late, settled = start - sheet.start, set[int]()
    for link in record.links:
        if link.wait_min and {link.before, link.after} <= done and link.before in sheet.ends:
            by = max(_earliest(record, link.before, start), sheet.ends[link.before] + late)
            at[link.before] = min(at[link.before], by)
            settled.add(link.before)
    return settled


def _places(record: JobRecord) -> Iterator[str]:
    for room in record.job.rooms:
        yield room.name
        yield from (f"{room.name}, {section.name}" for section in room.sections if len(room.sections) > 1)
    yield from (stairs.name for stairs in record.job.stairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class _There:
    label: str
    hours: CrewHours


def _two_places(uow: UnitOfWork, found: CrewDay, houses: Sequence[TypedHouse]) -> list[str]:
    """Return a sentence where more people were at houses at one time than the crew has that day."""
    there = [_There(label=house.label, hours=house.hours) for house in houses if house.hours is not None]
    instead = {(house.job, hours) for house in houses for hours in house.instead}
    for record in uow.live_jobs():
        there += [
            _There(label=f"job {record.job.number} (recorded already)", hours=hours)
            for hours in record.crew_hours
            if hours.crew == found.crew.name
            and (record.job.number, hours) not in instead
            and abs(to_wall(found.shop.zone, hours.start).date() - found.day) <= timedelta(days=1)
        ]
    for one in sorted(there, key=lambda one: one.hours.start):
        at_once = [other for other in there if other.hours.start <= one.hours.start < other.hours.stop]
        people = sum(other.hours.people for other in at_once)
        if len(at_once) > 1 and people > found.people and any(other.label.startswith("House") for other in at_once):
            names = " and ".join(sorted(other.label for other in at_once))
            when = to_wall(found.shop.zone, one.hours.start)
            return [
                f"{names}: {people} people of {found.crew.name} at once at {when:%H:%M}, and it was {found.people} that day: "
                "nobody is in two places."
            ]
    return []
