"""Callbacks: what is to be put right on a finished job, booked as a small job of its own that is tied to it.

It has work agreed in words and no floor, so it is planned, printed and ticked as any job is, and the old job keeps its
hours and its pace. What lies in the rooms is the floor that was laid then.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Set
from dataclasses import replace
from datetime import date, datetime
from math import isfinite
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import Walk
from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, WHOLE_HOUSE, WayTaken
from crewjobs.domain.job import Job, JobRecord, JobState
from crewjobs.domain.reach import cut_off
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, upper
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork
from crewjobs.engines.readiness.found import way_taken, ways_of
from crewjobs.services.clock import read_day
from crewjobs.services.findings.asked_together import asked_too
from crewjobs.services.findings.comes_along import left_there
from crewjobs.services.findings.found_holds import behind_words, held_anew
from crewjobs.services.findings.found_told import there_words
from crewjobs.services.findings.same_house import carried, named_in, places_of, same_finding, same_house
from crewjobs.services.jobs.as_it_lies import first_of_its_house, room_as_it_lies, stairs_as_they_lie, with_the_ways
from crewjobs.services.jobs.loading import fresh_record
from crewjobs.services.rows import Done
from crewjobs.services.wording import LONGEST_LINE, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

USUAL_HOURS: Final = "2"
"""Of one person, where nobody says how long it takes: common practice, no source."""
_HOUSE: Final = "house"
_TITLE: Final = "Callback: "
_HOURS: Final = re.compile(r"(\d{1,4}(?:[.,]\d{1,4})?)\s*(?:h|hours?)?", re.IGNORECASE)


def book(
    uow: UnitOfWork,
    catalogue: Catalogue,
    now: datetime,
    number: int,
    what: str,
    *,
    where: str = "",
    hours: str = "",
    people: int = 1,
    wished: str = "",
    promised: str = "",
) -> Done:
    """Book a callback of a finished job: a small job with one entry of work, tied to the old one.

    `where` is a room or stairs of the old job, empty or ``house`` the house as a whole; `hours` are labor of one
    person as typed (empty: two), `people` how many it takes at once.

    Raises:
        Refused: unknown job or place, a job that is not finished, nothing said, hours or people out of reach, or a
            day that is none.
    """
    record = uow.job(number)
    if not record.finished:
        raise Refused(_not_finished(record))
    place = _place(record.job, where)
    today = to_wall(record.job.site.zone, now).date()
    entry = ExtraWork(
        what=read_line(what, "what is to be done"),
        place=place,
        minutes=_minutes(hours),
        people=people,
        needs=_kept_carton(record, place),
    )
    whole = first_of_its_house(uow, record)
    record = _with_the_house(uow, record, whole)
    small = _small_job(record, uow.next_number(), entry, today)
    through = with_the_ways(whole, small)
    shut = _nobody_through(record, through, place, now)
    job = replace(
        through if shut else small,
        wished=read_day(wished, today) if wished else None,
        promised=read_day(promised, today) if promised else None,
    )
    small_record = _with_what_is_there(record, fresh_record(job, catalogue), catalogue, now, shut)
    small_record = asked_too(small_record, [uow.job(one) for one in (number, *same_house(uow, number))], now)
    uow.add_job(small_record)
    what_was_done = f"job {job.number}: callback of job {number}, {record.job.title}; {place or _HOUSE}: {entry.title}"
    return Done(
        sentence=upper(what_was_done) + ".",
        change=uow.commit(what_was_done, at=now, job=job.number),
        then=(
            *there_words(small_record, now),
            *_held_words(small_record, now),
            "Its hours never count in the crew's pace.",
            f"`crewjobs ready {job.number} --asked NAME --all` says that somebody is there; `crewjobs plan` finds its day.",
        ),
    )


def _with_the_house(uow: UnitOfWork, record: JobRecord, whole: JobRecord) -> JobRecord:
    """Return a job with what was found in the places of its `whole` house in the other jobs that come back to each other, all that was seen of it."""
    names = places_of(record.job) | places_of(whole.job)
    found, ways = list(record.findings), list(record.ways_taken)
    for number in same_house(uow, record.job.number):
        other = uow.job(number)
        for one in other.findings:
            same = [n for n, known in enumerate(found) if same_finding(known, one)]
            for n in same:
                if (one.area_ft2 or 0.0) > (found[n].area_ft2 or 0.0):
                    found[n] = replace(found[n], area_ft2=one.area_ft2, what=one.what)
            if not same and (own := named_in(names, one.place)):
                ways += [replace(way, place=own) for way in ways_of(other, one)]
                found.append(replace(one, place=own))
    return replace(record, findings=tuple(found), ways_taken=tuple(ways))


def _held_words(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what of a callback is on hold for what is not settled there, and where one comes to it only through that."""
    for finding in record.findings:
        held = finding.holds if way_taken(record, finding, now) is None else ()
        if held:
            works = listed([task_words(record.task(number)) for number in held], most=6)
            yield f"On hold by {finding.kind} in {finding.place}, until a way on is taken: {works}."
            yield from behind_words(record, finding)


def _nobody_through(record: JobRecord, small: Job, place: str, now: datetime) -> frozenset[str]:
    """Return the places nobody goes into for what was found there, where one comes to the callback's place only through them.

    For the house as a whole all of them. Empty where another way leads there.
    """
    shut = {one.place for one in record.findings if one.kind in NOBODY_IN and way_taken(record, one, now) is None}
    shut -= {WHOLE_HOUSE}
    return frozenset(shut) if not place or place in cut_off(small, shut - {place}) else frozenset()


def _with_what_is_there(
    old: JobRecord, new: JobRecord, catalogue: Catalogue, now: datetime, shut: Set[str]
) -> JobRecord:
    """Return a callback's job with what was found where it goes and is there still, undecided or left under the floor: it holds there.

    `shut` are the places nobody goes into through which one comes to it.
    """
    kinds, place = {kind.key: kind for kind in catalogue.findings}, new.job.work[0].place
    own = places_of(new.job) if not place else {place, WHOLE_HOUSE}
    found, ways = list[Finding](), list[WayTaken]()
    for finding in old.findings:
        kind, taken = kinds.get(finding.kind), way_taken(old, finding, now)
        way = kind.way(taken.way) if kind is not None and taken is not None else None
        there = finding.place in own or (finding.kind in NOBODY_IN and finding.place in shut)
        left = way is not None and way.leaves and finding.kind in NOBODY_IN
        if kind is None or not there or (taken is not None and not left):
            continue
        found.append(carried(finding))
        ways += left_there(kind, old, finding)
    return held_anew(replace(new, findings=tuple(found), ways_taken=tuple(ways)), catalogue)


def _small_job(record: JobRecord, number: int, entry: ExtraWork, today: date) -> Job:
    """Return the job of a callback: the old one's house and customer, the place of its work as it lies now."""
    old, place = record.job, entry.place
    return Job(
        number=number,
        title=_title(old),
        customer=old.customer,
        site=old.site,
        callback_of=old.number,
        blocked=frozenset(day for day in old.blocked if day >= today),
        rooms=tuple(room_as_it_lies(record, room) for room in old.rooms if place in ("", room.name)),
        stairs=tuple(stairs_as_they_lie(record, flight) for flight in old.stairs if place in ("", flight.name)),
        work=(entry,),
    )


def _not_finished(record: JobRecord) -> str:
    job, still = record.job, sum(task.open for task in record.tasks)
    if job.state is JobState.CALLED_OFF:
        return f"job {job.number} is called off: there is nothing to come back to."
    if job.state is not JobState.BOOKED:
        return f"job {job.number} is {job.state}: a callback belongs to a job that was finished."
    return (
        f"job {job.number} is not finished, {still} of its tasks {'is' if still == 1 else 'are'} open: "
        f"what is to be put right there is a punch list item (`crewjobs walk {job.number} after --punch …`)."
    )


def _place(job: Job, where: str) -> str:
    """Return a room's or stairs' own name for what was typed, empty for the house."""
    typed = where.strip()
    if typed.casefold() in ("", _HOUSE):
        return ""
    names = [*(room.name for room in job.rooms), *(flight.name for flight in job.stairs)]
    for name in (*filter(typed.__eq__, names), *(name for name in names if name.casefold() == typed.casefold())):
        return name
    there = f"{listed(names, most=9)}, or 'house'" if names else "only 'house'"
    raise Refused(f"job {job.number} has no room or stairs {quoted(typed)}: it has {there}.")


def _minutes(hours: str) -> int:
    """Return labor minutes of one person for hours as typed."""
    found = _HOURS.fullmatch(hours.strip() or USUAL_HOURS)
    labor = float(found[1].replace(",", ".")) * 60 if found else float("nan")
    if not isfinite(labor) or not 0 < round(labor) <= MOST_WORK_MIN:
        raise Refused(
            f"{quoted(hours.strip())} is no time for a callback: more than 0 hours of one person, "
            f"{MOST_WORK_MIN // 60} at most, such as 1.5."
        )
    return round(labor)


def _title(old: Job) -> str:
    """Return the callback's title, which names the old job; a long one is cut."""
    tail = f" (job {old.number})"
    name = old.title.removeprefix(_TITLE)
    most = LONGEST_LINE - len(_TITLE) - len(tail)
    return _TITLE + (name if len(name) <= most else name[: most - 1].rstrip() + "…") + tail


def _kept_carton(record: JobRecord, place: str) -> str:
    """Return the carton that was left in the house for this floor, with its lot where only one came; else empty."""
    floors = [room.floor for room in record.job.rooms if room.name == place]
    floors += [flight.floor for flight in record.job.stairs if flight.name == place]
    left = any(walk.walk is Walk.AFTER and walk.carton_left for walk in record.walks)
    if not left or len(record.job.materials) != 1 or floors != [record.job.materials[0].name]:
        return ""
    name = record.job.materials[0].name
    lots = list(dict.fromkeys(lot.name for lot in record.lots if lot.material == name))
    return f"the carton of {name} kept in the house" + (f", lot {lots[0]}" if len(lots) == 1 else "")
