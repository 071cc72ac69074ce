"""One crew's day plan, built from the plan in force and today's facts for the paper to print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from crewjobs.domain.crew import Crew, Worker
from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Driver, Phase, Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wall import Span as Hours
from crewjobs.domain.wall import hour_words, to_wall
from crewjobs.domain.wording import listed, moment_words, upper
from crewjobs.engines.planning.layout import TaskTime
from crewjobs.engines.readiness.clocks import counted_by_lots, material_clock
from crewjobs.engines.readiness.goods import goods_for
from crewjobs.engines.readiness.holds import HoldKind, holds, is_carry_in
from crewjobs.engines.readiness.lots import places_of
from crewjobs.paper.model import (
    Caution,
    DayPlan,
    Drive,
    EntryNote,
    House,
    HouseFact,
    HouseLayout,
    HowFar,
    LeadOnly,
    LoadItem,
    Person,
    Sheet,
    Span,
    TaskKind,
    TaskLine,
    initials,
)
from crewjobs.services.findings.air import notes_told, title_told
from crewjobs.services.findings.found_told import house_cautions, shut_places, task_cautions
from crewjobs.services.findings.house_told import as_the_house, elsewhere_cautions, told_there
from crewjobs.services.findings.kept_out import kept_out_words
from crewjobs.services.findings.lifted_first import lifted_first_words, nothing_on_it_words
from crewjobs.services.jobs.heights import height_notes
from crewjobs.services.jobs.jobs import quantity_words
from crewjobs.services.jobs.known import (
    APPLIANCES_OUT,
    AROUND_OBSTACLES,
    GAS_APPLIANCES_OUT,
    HAND_OVER,
    LAYING,
    PLUMBED_APPLIANCES_OUT,
    PROTECTION_DOWN,
    READINGS,
)
from crewjobs.services.jobs.site_facts import site_facts
from crewjobs.services.jobs.written import WRITTEN, written_facts
from crewjobs.services.materials.lots import lot_notes
from crewjobs.services.pages.behind import before_its_day
from crewjobs.services.pages.crew_houses import CrewHouse, over_today
from crewjobs.services.pages.day_recorded import made_since
from crewjobs.services.pages.page_agreed import agreed_facts
from crewjobs.services.pages.page_layouts import layouts_on, rows_of, stale_layouts
from crewjobs.services.pages.page_load import load_items
from crewjobs.services.pages.page_moves import stages_on
from crewjobs.services.pages.page_waits import waits_today
from crewjobs.services.pages.plain_words import on_paper
from crewjobs.services.people.away import away_words
from crewjobs.services.people.day_hours import single_day_words
from crewjobs.services.readings.reading_notes import reading_notes
from crewjobs.services.ticking import hold_words
from crewjobs.services.waiting.held_work import others_hold, owed_to
from crewjobs.services.weeks.lead_closed import closed_at, tonight_words
from crewjobs.services.weeks.shared_tools import GoesOn, goes_on, last_at
from crewjobs.services.weeks.untold import untold_words
from crewjobs.services.weeks.usable import Times
from crewjobs.services.weeks.visits import QUARTER_HOUR, Planned, Stretch
from crewjobs.services.wording import hours_words, told_of

MEASURED = frozenset({Driver.AREA, Driver.PERIMETER, Driver.STEPS})
"""Drivers of tasks that are asked in the evening how far they got, where they are big enough to stop halfway."""
WORTH_ASKING_MIN = 45
IDLE = timedelta(minutes=60)
NOT_TODAY, NOT_TICKED = "NOT TODAY", "NOT TICKED"
"""What stands before where the plan has work by now that it took from a day: while that runs, and once it is over."""


def build_day_plan(
    found: Planned,
    catalogue: Catalogue,
    crew: Crew,
    houses: Sequence[CrewHouse],
    day: date,
    now: datetime,
    *,
    lead_copy: bool,
    paper: str,
    recorded: Sequence[str] = (),
) -> DayPlan:
    """Return what a crew's page for a day says: its `houses` of the day (`crew_houses`).

    `recorded` is what the page tells first (`page_words`). Of a day gone by whose plan was made anew since, and of today where the
    crew has no more to do, when the crew was to leave and be back, what it was to load and how long to stay is not told.
    """
    stretches = [one.stretch for one in houses]
    shop = found.shop
    there = found.present(crew.name, day)
    marks = initials([worker.name for worker in there])
    lunch = _lunch(crew.hours.on(day))
    gone = day < to_wall(shop.zone, now).date()
    anew = (gone and made_since(found, day)) or over_today(houses)
    on = {} if gone or anew else goes_on(found, crew.name, stretches, catalogue, day)
    drives = () if anew else tuple(_drives(found, houses, lunch))
    lunch = _after_drive(found, lunch, drives, stretches)
    if anew or (lunch and not (drives and drives[0].start <= lunch.start and lunch.end <= drives[-1].end)):
        lunch = None  # the crew is not out over lunch
    return DayPlan(
        shop_name=shop.name,
        shop_phone=shop.phone,
        crew_name=crew.name,
        people=tuple(
            Person(name=w.name, initials=m, lead=w.lead, note=_lent(found, crew.name, w.name, day, gone=gone))
            for w, m in zip(there, marks, strict=True)
        ),
        day=day,
        sheet=Sheet(
            name=f"{crew.name} {day:%a} {day.day} {day:%b}",
            plan=found.plan.number,
            printed_at=to_wall(shop.zone, now).replace(tzinfo=None),
        ),
        paper="a4" if (paper or shop.paper) == "a4" else "letter",
        start=drives[0].start if drives else None,
        start_place="shop" if drives else "",
        back_by=drives[-1].end if drives else None,
        lunch=lunch,
        drives=drives,
        notes=(*recorded, *_day_notes(found, crew, day, houses, lunch, gone=gone, told=bool(recorded))),
        load=() if anew else _load(found, houses, catalogue, crew, now, on),
        truck_list=crew.truck if stretches or not gone else (),
        waits=waits_today(found, crew.name, stretches, day, now),
        cautions=_cautions(found, stretches, catalogue, now),
        houses=tuple(
            _house(found, house, number, catalogue, marks, lunch, now, anew=anew, along=_along(houses, number, on))
            for number, house in enumerate(houses, 1)
        ),
        lead_only=_lead_only(stretches) if lead_copy else None,
    )


def _lent(found: Planned, crew: str, worker: str, day: date, *, gone: bool) -> str:
    """Return from which crew somebody works with this one that day, empty for its own people; of a day `gone` by as it was."""
    origin = next((one.crew for one in found.away if (one.worker, one.to, one.day) == (worker, crew, day)), "")
    whole = any(one.name == crew and not one.only for one in found.shop.crews)
    return f"lent by {origin} {'that day' if gone else 'today'}" if origin and whole else ""


def _wall(found: Planned, instant: datetime) -> time:
    return to_wall(found.shop.zone, instant).time().replace(tzinfo=None)


def _load(
    found: Planned,
    houses: Sequence[CrewHouse],
    catalogue: Catalogue,
    crew: Crew,
    now: datetime,
    on: Mapping[str, GoesOn],
) -> tuple[LoadItem, ...]:
    """Return what the day takes, without what is not for today any more; `on` says where shared tools go on to."""
    here = [(number, one, {task.number for task in one.own}) for number, one in enumerate(houses, start=1)]
    stretches = {
        number: replace(one.stretch, pieces=tuple(piece for piece in one.stretch.pieces if piece.task in own))
        for number, one, own in here
        if own
    }
    taken = tuple(stretches.values())
    last = dict(last_at(found, taken, catalogue, now))
    for tool, told in on.items():
        last[tool] = "; then ".join(filter(None, (last.get(tool, ""), told.words)))
    return load_items(taken, catalogue, found.shop.units, crew.truck, last, tuple(stretches))


def _along(houses: Sequence[CrewHouse], number: int, on: Mapping[str, GoesOn]) -> tuple[str, ...]:
    """Return which shared tools a crew takes along from a house of its page: where it leaves that house for the last time."""
    jobs = [house.stretch.record.job.number for house in houses]
    job = jobs[number - 1]
    if job in jobs[number:]:
        return ()
    return tuple(f"{upper(tool)}: {told.words}" for tool, told in on.items() if told.along and told.job == job)


def _drives(found: Planned, houses: Sequence[CrewHouse], lunch: Span | None) -> Iterator[Drive]:
    """Yield the legs of the day: from the shop, between houses (lunch first where both fit), back to the shop.

    None to a house whose work was done and has no time of its own between the others, or to which the crew had not come. From a
    house that it told it had left it comes back by the shop, where it was until then, if there is time for that.
    """
    before: tuple[datetime, str, int] | None = None
    left: int | None = None
    for number, house in enumerate(houses, start=1):
        if house.start == house.end or house.elsewhere is not None:
            continue
        minutes, job = house.stretch.record.job.site.drive_min, house.stretch.record.job.number
        if before is not None and left == job:
            if house.start < before[0] + 2 * timedelta(minutes=minutes):  # no time for the way: it stayed
                before = (house.end, f"House {number}", minutes)
                continue
            back = before[0] + timedelta(minutes=minutes)
            yield Drive(start=_wall(found, before[0]), end=_wall(found, back), what=f"{before[1]} to shop")
            before = None
        left = job if house.told else None
        if before is None:
            leave, origin, leg = house.start - timedelta(minutes=minutes), "Shop", timedelta(minutes=minutes)
        else:
            leave, origin = before[0], before[1]
            leg = min(timedelta(minutes=before[2] + minutes), house.start - leave)
            leave = _after_lunch(found, leave, leg, house.start, lunch)
        yield Drive(start=_wall(found, leave), end=_wall(found, leave + leg), what=f"{origin} to House {number}")
        before = (house.end, f"House {number}", minutes)
    if before is not None:
        back = before[0] + timedelta(minutes=before[2])
        yield Drive(start=_wall(found, before[0]), end=_wall(found, back), what=f"{before[1]} to shop")


def _after_lunch(found: Planned, leave: datetime, leg: timedelta, arrive_by: datetime, lunch: Span | None) -> datetime:
    """Return when a leg starts: after lunch where it would run into it and there is time for both."""
    if lunch is None or not (_wall(found, leave) < lunch.end and _wall(found, leave + leg) > lunch.start):
        return leave
    wall = to_wall(found.shop.zone, leave)
    rested = datetime.combine(wall.date(), lunch.end, wall.tzinfo)
    return rested if rested + leg <= arrive_by else leave


def _after_drive(
    found: Planned, lunch: Span | None, drives: Sequence[Drive], stretches: Sequence[Stretch]
) -> Span | None:
    """Return lunch, eaten on arrival where the drive runs into it and cannot wait until after."""
    if lunch is None:
        return None
    for leg in drives:
        if leg.start < lunch.end and leg.end > lunch.start:
            length = _minutes(lunch.end) - _minutes(lunch.start)
            starts = [*(_wall(found, s.start) for s in stretches), *(other.start for other in drives)]
            next_work = min((_minutes(at) for at in starts if at >= leg.end), default=24 * 60)
            end = min(_minutes(leg.end) + length, next_work)
            return Span(start=leg.end, end=time(end // 60, end % 60)) if end > _minutes(leg.end) else None
    return lunch


def _minutes(wall: time) -> int:
    return wall.hour * 60 + wall.minute


def _lunch(hours: Sequence[Hours]) -> Span | None:
    """Return the longest gap between the crew's hours of a day."""
    gaps = [(after.start - before.end, before.end, after.start) for before, after in pairwise(hours)]
    if not gaps:
        return None
    _, start, end = max(gaps)
    return Span(start=time(start // 60, start % 60), end=time(end // 60, end % 60))


def _day_notes(
    found: Planned, crew: Crew, day: date, houses: Sequence[CrewHouse], lunch: Span | None, *, gone: bool, told: bool
) -> Iterator[str]:
    """Yield who is out and what else is to be known of a day; what is to be done about it not of one gone by."""
    if (words := single_day_words(crew, day, gone=gone)) and day not in found.shop.holidays:
        yield words
    yield from away_words(found.shop, found.away, crew.name, day, gone=gone)
    yield from _small_visits(found, crew, day)
    yield from _not_come(found, houses)
    if gone:
        return
    if not houses:
        off = day in found.shop.holidays or not crew.comes(day)
        nothing = "No more is planned for this crew today." if told else "Nothing is planned for this crew today."
        yield f"{crew.name} is off today." if off and not told else nothing
        return
    yield from _taken_since(houses)
    if over_today(houses):
        yield "No more is planned for this crew today."
        return
    yield from _on_no_line(found.present(crew.name, day), [one.stretch for one in houses])
    for before, after in pairwise([one for one in houses if one.elsewhere is None and not one.unsent]):
        one, other = before.stretch.record.job, after.stretch.record.job
        drive = timedelta(minutes=one.site.drive_min + other.site.drive_min)
        if one.number == other.number:
            drive = timedelta()
        free = after.start - before.end - drive
        if free >= IDLE and not (lunch and free <= IDLE * 1.5 and _wall(found, before.end) <= lunch.start):
            yield f"{_wall(found, before.end):%H:%M} to {_wall(found, after.start):%H:%M}: nothing planned, ask the shop."


def _not_come(found: Planned, houses: Sequence[CrewHouse]) -> Iterator[str]:
    """Yield to which houses the crew had not come when it was to begin there, and until when it was recorded in the one before."""
    for number, one in enumerate(houses, start=1):
        if one.elsewhere is not None:
            planned, until = _wall(found, one.stretch.start), _wall(found, one.elsewhere)
            yield f"House {number} was planned from {planned:%H:%M}: by what is recorded the crew was in the house before until {until:%H:%M}."


def _taken_since(houses: Sequence[CrewHouse]) -> Iterator[str]:
    """Yield what the marks of work mean that the plan took from a day that runs."""
    if any(one.taken for one in houses):
        yield f"What is marked {NOT_TODAY} was planned for today when the day began: a plan made since has it elsewhere."
    planned = [
        str(number)
        for number, one in enumerate(houses, start=1)
        if one.taken and not (one.goes_on or one.told or one.unsent)
    ]
    if planned:
        yield f"{'House' if len(planned) == 1 else 'Houses'} {listed(planned)}: times by the plans of today, no hours are recorded."


def _on_no_line(there: Sequence[Worker], stretches: Sequence[Stretch]) -> Iterator[str]:
    """Yield who is there and stands on no line of the page: the plan was made with fewer people."""
    pieces = [piece for stretch in stretches for piece in stretch.pieces]
    most = max(len(piece.people) for piece in pieces)
    busy = {place for piece in pieces for place in piece.people}
    names = [worker.name for place, worker in enumerate(there) if place not in busy]
    if names:
        people = f"{most} {'person' if most == 1 else 'people'}"
        stand = "stands" if len(names) == 1 else "stand"
        yield (
            f"{listed(names)} {stand} on no line: no work of today is planned with more than {people} at once. "
            "Plan again if somebody came since; else the lead says where they help."
        )


def _small_visits(found: Planned, crew: Crew, day: date) -> Iterator[str]:
    """Yield who of the crew makes a small visit that day, where and for what."""
    names = {worker.name for worker in (*crew.workers, *found.present(crew.name, day))}
    for booked in found.small:
        visit = booked.visit
        if visit.who in names and to_wall(found.shop.zone, visit.start).date() == day:
            why = f" ({visit.why})" if visit.why else ""
            yield f"{_wall(found, visit.start):%H:%M} {visit.who} at job {booked.job}: {visit.kind}{why}"


def _cautions(found: Planned, stretches: Sequence[Stretch], catalogue: Catalogue, now: datetime) -> tuple[Caution, ...]:
    """Return the day's cautions in the order to act in; one said for several houses is said once, and names them where
    it is not said for all.
    """
    houses: dict[tuple[int, str, str], list[int]] = {}
    for number, stretch in enumerate(stretches, start=1):
        others = found.others.get(stretch.record.job.number, ())
        record = as_the_house(stretch.record, others, now)  # what is off for it stays off, whichever job knows of it
        said = [caution for task in stretch.tasks for caution in task_cautions(record, task, catalogue, now)]
        elsewhere = elsewhere_cautions(stretch.record, others, catalogue, now)
        for caution in (*said, *house_cautions(record, catalogue, now), *elsewhere):
            at = houses.setdefault((caution.order, caution.key, caution.said), [])
            if number not in at:
                at.append(number)
    return tuple(
        Caution(text=text, houses=tuple(at) if len(at) < len(stretches) else ())
        for (_, _, text), at in sorted(houses.items())
    )


def _house(
    found: Planned,
    house: CrewHouse,
    number: int,
    catalogue: Catalogue,
    marks: Sequence[str],
    lunch: Span | None,
    now: datetime,
    *,
    anew: bool,
    along: Sequence[str],
) -> House:
    stretch, own = house.stretch, house.own
    job = stretch.record.job
    agreed = agreed_facts(stretch.record, own, found.shop.units, now)
    layouts = layouts_on(stretch.record, own, found.shop.units, _over_by(found, stretch))
    return House(
        number=number,
        job=job.number,
        customer=job.customer.name,
        address=job.site.address,
        phone=job.customer.phone,
        work=_work(stretch),
        arrive=_wall(found, house.start),
        leave=_wall(found, house.end),
        not_today=house.unsent,
        hours="" if anew or not (house.goes_on or own) or house.told else _hours(found, house, len(marks), lunch),
        facts=(
            *_trucks(found, stretch, now),
            *(HouseFact(label=label, text=text) for label, text in site_facts(stretch.record, now, stretch.start)),
            *(HouseFact(label=WRITTEN, text=text) for text in written_facts(stretch.record, now)),
            *agreed,
            *(HouseFact(label="Cut list", text=text) for text in stale_layouts(stretch.record, own)),
            *((HouseFact(label="Recorded", text=house.recorded),) if house.recorded else ()),
        ),
        owed=(
            *_not_ticked(found, stretch, now),
            *_untold(found, house, now),
            *owed_to(stretch.record, house.waiting, now),
        ),
        found=told_there(found, stretch.record, catalogue, now),
        asks_hours=not _by_a_sub(found, stretch) and (house.goes_on or not house.told),
        stages=stages_on(stretch.record, own, now, catalogue),
        layouts=layouts,
        tasks=tuple(_lines(found, house, catalogue, marks, now, layouts)),
        moved_anyway=tuple(_moved_anyway(own)),
        floor_notes=(*along, *_floor_notes(found, house, now)),
    )


def _not_ticked(found: Planned, stretch: Stretch, now: datetime) -> tuple[str, ...]:
    """Return what of the days before is not ticked at a house, first of what the crew asks there; not on a page of a day gone by."""
    day = to_wall(found.shop.zone, stretch.start).date()
    said = before_its_day(found, stretch.record, now, day)
    return (said,) if said else ()


def _untold(found: Planned, house: CrewHouse, now: datetime) -> Iterator[str]:
    """Yield what of the house's work the plan counts as worked on though nobody said so: its times here hang on that."""
    day = to_wall(found.shop.zone, house.stretch.start).date()
    return untold_words(found, house.stretch.record, house.to_do, now, day)


def _over_by(found: Planned, stretch: Stretch) -> frozenset[int]:
    """Return the tasks of a job that are over by the plan when a crew comes to it, each by its own minutes.

    A block of the plan may run on into this day with half a room laid the day before.
    """
    minutes = found.task_minutes(stretch.record)
    return frozenset(task for task, (_, end) in minutes.items() if end <= stretch.start)


def _work(stretch: Stretch) -> str:
    job = stretch.record.job
    rooms = list(dict.fromkeys(task.key.scope.name for task in stretch.tasks if task.key.scope.name))
    named = [name for name in rooms if any(room.name == name for room in job.rooms)]
    floors = list(dict.fromkeys(job.room(name).floor for name in named if job.room(name).floor))
    kinds = [f"{job.material(floor).name} ({job.material(floor).kind.value})" for floor in floors if floor]
    return f"{job.title}: {listed(kinds)}" if kinds else job.title


def _hours(found: Planned, house: CrewHouse, people: int, lunch: Span | None) -> str:
    """Return clock hours and people-hours, each called what it is; of a sub no people-hours are asked."""
    stretch, clock = house.stretch, house.end - house.start
    arrive, leave = _wall(found, house.start), _wall(found, house.end)
    rest = timedelta()
    if lunch and arrive <= lunch.start and leave >= lunch.end:
        rest = timedelta(hours=lunch.end.hour - lunch.start.hour, minutes=lunch.end.minute - lunch.start.minute)
    labor = sum(((p.end - p.start) * len(p.people) for p in stretch.pieces), timedelta())
    less = f", {hours_words(rest)} of it lunch" if rest else ""
    if _by_a_sub(found, stretch):
        return f"{hours_words(clock)} by the clock{less}"
    return (
        f"{hours_words(clock)} by the clock{less}; {people} {'person' if people == 1 else 'people'}, "
        f"{hours_words(labor)} of work in people-hours"
    )


def _by_a_sub(found: Planned, stretch: Stretch) -> bool:
    return any(crew.sub is not None for crew in found.shop.crews if crew.name == stretch.crew)


def _trucks(found: Planned, stretch: Stretch, now: datetime) -> Iterator[HouseFact]:
    """Yield what suppliers' trucks bring to the house on this visit: cartons for the rooms, goods its work needs."""
    record = stretch.record
    for task in stretch.tasks:
        name = task.key.scope.name
        if not is_carry_in(task) or not task.open or any(lot.material == name for lot in record.lots):
            continue
        material = record.job.material(name)
        clock = material_clock(record, material, stretch.start)
        due = _due(found, clock.due, stretch, now)
        check = "measure the roll, then into the rooms" if material.is_sheet else "count them, then into the rooms"
        yield HouseFact(label="Truck", text=f"{material.counted(round(task.quantity))} of {name}{due}; {check}")
    lines = {clock.line.name: clock for task in stretch.tasks for clock in goods_for(record, task, stretch.start)}
    for name, goods in lines.items():
        due = _due(found, goods.due, stretch, now)
        yield HouseFact(label="Truck", text=f"{goods.line.counted(goods.missing)} of {name}{due}; count them")


def _due(found: Planned, due: datetime | None, stretch: Stretch, now: datetime) -> str:
    """Return when a truck is due: by the clock on the page's own day, else with its day, and what of it nobody said."""
    if due is None:
        return ""
    wall, day = to_wall(found.shop.zone, due), to_wall(found.shop.zone, stretch.start).date()
    when = f"{wall:%H:%M}" if wall.date() == day else moment_words(wall)
    return f", due {when}" + (", nobody has said it came" if due <= now and wall.date() < day else "")


def _lines(
    found: Planned,
    house: CrewHouse,
    catalogue: Catalogue,
    marks: Sequence[str],
    now: datetime,
    layouts: Sequence[HouseLayout],
) -> Iterator[TaskLine]:
    stretch = house.stretch
    parts = [piece.task for piece in stretch.pieces]
    minutes = found.task_minutes(stretch.record)
    noted: set[str] = set()
    for i, piece in enumerate(stretch.pieces):
        task = stretch.record.task(piece.task)
        if task.number in house.taken and not house.gone:
            yield _taken_line(found, house, piece, catalogue, marks, now)
            continue
        first, last = piece.task not in parts[:i], piece.task not in parts[i + 1 :]
        goes_on = "" if first and piece.part == 1 else ", goes on"
        unsaid = task.key.template not in noted and piece.part == 1
        notes = notes_told(stretch.record, task, catalogue, now) if unsaid else ()
        noted.add(task.key.template)
        shop = found.shop
        here = (
            (
                *reading_notes(stretch.record, task, shop.wood_target, shop.units),
                *height_notes(stretch.record, task, shop.units),
                *kept_out_words(stretch.record, catalogue, task, now),
                *lifted_first_words(stretch.record, task),
                *nothing_on_it_words(stretch.record, task, now),
            )
            if piece.part == 1
            else ()
        )
        moved = house.taken.get(task.number, "")
        told = latest(stretch.record.how_far, task.number) is not None  # on that day or since: not before it
        ends = last and (bool(moved) or not _goes_on(task, piece, minutes))
        yield TaskLine(
            task=task.number,
            title=title_told(stretch.record, task, catalogue, now) + goes_on,
            kind=_kind(stretch.record, task, first=first, ends=ends),
            at=_wall(found, piece.start),
            until=_wall(found, piece.end),
            initials=() if len(piece.people) == len(marks) else _marks(marks, piece.people),
            place="" if task.where == "house" else upper(task.where),
            notes=tuple(on_paper(note) for note in (*here, *notes)),
            wait_note=_wait_note(stretch.record, task) if ends else "",
            hold=f"{upper(moved)}." if moved else _hold(stretch.record, task, piece, now, found.shop.units),
            hold_tag=NOT_TICKED if moved else "",
            how_far=_how_far(stretch.record, task, found, layouts) if last and not (moved and told) else None,
            done=task.done_at is not None,
            stands=_stands(stretch.record, task) if last else "",
            with_rows=task.open and not moved and _before_its_rows(stretch.record, task, piece, minutes),
        )
    for piece in house.later:
        if piece.task not in parts:
            yield replace(_taken_line(found, house, piece, catalogue, marks, now), at=None, until=None)
            parts.append(piece.task)


def _taken_line(
    found: Planned, house: CrewHouse, piece: TaskTime, catalogue: Catalogue, marks: Sequence[str], now: datetime
) -> TaskLine:
    """Return the line of work that is not this day's any more: no tips and blanks of its own, but a box, for it may have been done."""
    record, task = house.stretch.record, house.stretch.record.task(piece.task)
    return TaskLine(
        task=task.number,
        title=title_told(record, task, catalogue, now) + ("" if piece.part == 1 else ", goes on"),
        at=_wall(found, piece.start),
        until=_wall(found, piece.end),
        initials=() if len(piece.people) == len(marks) else _marks(marks, piece.people),
        place="" if task.where == "house" else upper(task.where),
        hold=f"{upper(house.taken[task.number])}.",
        hold_tag=NOT_TICKED if house.gone else NOT_TODAY,
    )


def _marks(marks: Sequence[str], places: Sequence[int]) -> tuple[str, ...]:
    """Return the initials of those on a task; who went away since the plan was made is missing by "?"."""
    return tuple(marks[i] if i < len(marks) else "?" for i in places)


def _kind(record: JobRecord, task: Task, *, first: bool, ends: bool) -> TaskKind:
    """Return what a line of a task is marked as: what is moved or read where it begins, a wait that starts where it `ends`."""
    if task.unit in (Driver.PIECES, Driver.CARRYING):
        return "move" if first else "task"
    if task.key.template in READINGS:
        return "reading" if first else "task"
    return "wait starts" if ends and _wait_note(record, task) else "task"


def _goes_on(task: Task, piece: TaskTime, minutes: Times) -> bool:
    """Return whether an open task has more to do after the last stretch of it on a page, whose end may be by the quarter hour."""
    return task.open and task.number in minutes and minutes[task.number][1] - piece.end >= QUARTER_HOUR


def _before_its_rows(record: JobRecord, task: Task, piece: TaskTime, minutes: Times) -> bool:
    """Return whether cuts that are made as the rows reach them stand in the plan before those rows begin.

    In a room laid in parts these are the rows of the last one: the plan has the cuts after all others.
    """
    if task.key.template != AROUND_OBSTACLES:
        return False
    begin: dict[str, datetime] = {}
    for rows in record.tasks:
        scope = rows.key.scope
        if rows.key.template in LAYING and rows.open and scope.name == task.key.scope.name and rows.number in minutes:
            begin[scope.part] = min(minutes[rows.number][0], begin.get(scope.part, minutes[rows.number][0]))
    return bool(begin) and piece.start < max(begin.values())


def _wait_note(record: JobRecord, task: Task) -> str:
    """Return the waits that the task starts in this job, shortest first."""
    mine = [link for link in record.links if link.before == task.number]
    waits = {(link.wait_min, link.name) for link in mine if link.wait_min}
    said = [f"{name} {hours_words(timedelta(minutes=minutes))}" for minutes, name in sorted(waits)]
    most = min((link.most_min for link in mine if link.most_min is not None), default=None)
    if most is not None:
        said.append(f"no longer than {hours_words(timedelta(minutes=most))}: the label decides")
    return "; ".join(said)


def _stands(record: JobRecord, task: Task) -> str:
    """Return since when and until when the waits stand that a done task started, shortest first; empty where it started none."""
    mine = [link for link in record.links if link.before == task.number and link.wait_min]
    mine = [link for link in mine if not counted_by_lots(link, record.task(link.after))]
    if task.done_at is None or not mine:
        return ""
    zone = record.job.site.zone
    start = to_wall(zone, task.done_at)
    ends = dict(sorted({(link.wait_min, link.name) for link in mine}))
    said = []
    for minutes, name in ends.items():
        end = to_wall(zone, task.done_at + timedelta(minutes=minutes))
        until = hour_words(end) if end.date() == start.date() else moment_words(end)
        said.append(f"{name}, until {until} by the clock")
    return f"started {hour_words(start)}, {'; '.join(said)}"


def _hold(record: JobRecord, task: Task, piece: TaskTime, now: datetime, units: UnitSystem) -> str:
    """Return what still holds the task at its planned start; what the plan does before it is no hold.

    The house is said once at its head, and so are others who have promised to be there before. What was found is said there
    of all it holds, and at every line of it again: it is planned for when a way on is likely, and only one that is taken opens it.
    """
    if not task.open:
        return ""
    found = [
        hold
        for hold in holds(record, task, piece.start)
        if hold.kind in (HoldKind.DEW, HoldKind.LEVEL, HoldKind.FOUND)
        or (hold.kind is not HoldKind.BEFORE and hold.until is not None and hold.until > piece.start)
    ]
    said = [told_of(record.job, on_paper(hold_words(found, record.job.site.zone)), units)] if found else []
    others = others_hold(record, task, now, piece.start)
    return f"{upper('; '.join([*said, others] if others else said))}." if said or others else ""


def _how_far(record: JobRecord, task: Task, found: Planned, layouts: Sequence[HouseLayout]) -> HowFar | None:
    said = latest(record.how_far, task.number)
    if said is not None and task.open:  # asked on in the unit people counted
        done = f"{said.done:g} {said.unit}"
        return HowFar(total=f"{said.whole:g}", unit=said.unit, unit_first=said.unit == "rows", before=done)
    if task.unit not in MEASURED or task.estimate.expected < WORTH_ASKING_MIN or task.phase is Phase.HOUSE:
        return None
    if (rows := rows_of(record, layouts, task)) > 1:
        return HowFar(total=str(rows), unit="rows", unit_first=True)
    total, _, unit = quantity_words(task, found.shop.units).partition(" ")
    return HowFar(total=total, unit=unit)


def _moved_anyway(tasks: Sequence[Task]) -> Iterator[str]:
    for task in tasks:
        if task.key.template == GAS_APPLIANCES_OUT:
            yield f"Gas range or dryer ({task.where}): not our work, moved only after the licensed person is done"
        elif task.key.template == APPLIANCES_OUT:
            yield f"Appliances ({task.where}): not our work, moved so that the floor can be laid"
        elif task.key.template == PLUMBED_APPLIANCES_OUT:
            yield f"Dishwasher or washer ({task.where}): not our work, moved so that the floor can be laid"


def _floor_notes(found: Planned, house: CrewHouse, now: datetime) -> Iterator[str]:
    stretch, tasks = house.stretch, house.own
    places = {task.key.scope.name for task in tasks}
    for room in stretch.record.job.rooms:
        stays = [piece.name for piece in room.furniture if piece.stays]
        if stays and room.name in places:
            yield f"Stays where it is, never moved: {listed(stays)} ({room.name})"
    yield from lot_notes(stretch.record, tasks)
    if any(task.key.template == HAND_OVER for task in tasks):
        laid = [m for m in stretch.record.job.materials if places_of(stretch.record.job, m.name)]
        if any(not material.is_sheet for material in laid):
            yield "One full carton stays in the house, its lot written on it"
        if any(material.is_sheet for material in laid):
            yield "The largest offcuts stay in the house, rolled, their run number on them"
    elif any(task.stage > 0 or task.key.template == PROTECTION_DOWN for task in stretch.tasks) or _protected(stretch):
        shut = shut_places(stretch.record, now)
        lead = closed_at(stretch.record, found.task_minutes(stretch.record), stretch.end)
        if shut:
            yield f"Tonight: cords up, blades away, way clear; {listed(shut)}: shut, air handler stays off, nothing swept, no shop vacuum"
        elif lead:
            yield f"Tonight: vacuumed, cords up, blades away, way clear; {tonight_words(lead)}"
        else:
            yield "Tonight: vacuumed, cords up, blades away, way clear; plastic off the grille, then fan on"


def _protected(stretch: Stretch) -> bool:
    """Return whether the protection of a house was down, as ticked, before a crew leaves it: the night finds it so."""
    return any(
        task.key.template == PROTECTION_DOWN and task.done_at is not None and task.done_at <= stretch.end
        for task in stretch.record.tasks
    )


def _lead_only(stretches: Iterable[Stretch]) -> LeadOnly:
    return LeadOnly(
        entry_notes=tuple(
            EntryNote(house=number, text=stretch.record.job.site.entry_notes)
            for number, stretch in enumerate(stretches, start=1)
            if stretch.record.job.site.entry_notes
        )
    )
