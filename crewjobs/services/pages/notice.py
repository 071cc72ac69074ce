"""A customer's notice, built from the plan in force and the job's own facts for the paper to print.

Only this job is looked at, and of it nothing that was noted for the shop alone: see `crewjobs.paper.notice`. Of the other jobs of its
house only that something found is not settled, and what is shut and left off for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import SmallVisit, VisitKind
from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Piece
from crewjobs.domain.house import FixtureKind, Room
from crewjobs.domain.house_ready import ASK_AHEAD_DAYS, ReadyItem
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.material import Method
from crewjobs.domain.plan import LeftOut
from crewjobs.domain.tasks import Phase, ScopeKind, Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wall import QUARTER, clock_name, days_from, to_utc, to_wall, wall_minute
from crewjobs.domain.wording import day_words, listed, moment_words, upper
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import house, is_looking, work_begun
from crewjobs.engines.readiness.others import still_out
from crewjobs.engines.readiness.shut import nobody_in
from crewjobs.paper.notice import CustomerNotice, NoticeDay, ToClear
from crewjobs.services.asked.telling import finish_day, last_told, told_called_off, told_off
from crewjobs.services.calendars.calendar_waits import deliveries
from crewjobs.services.findings.hanging import ALL_HANGS, FOUND_THERE, IF_SETTLED, found_in, hanging, hangs_words
from crewjobs.services.findings.house_told import as_the_house, others_with_findings
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.jobs.known import HAND_OVER, WALK_BEFORE
from crewjobs.services.jobs.site_facts import week_hours
from crewjobs.services.jobs.walks import punch_open
from crewjobs.services.pages.notice_fixtures import fixtures_out, toilets_out
from crewjobs.services.pages.notice_late import without_overdue
from crewjobs.services.pages.notice_no_day import (
    LOOKS,
    PAST,
    SOMEBODY_THERE,
    asked_of_found,
    coming_visits,
    gone_by_words,
    is_finished,
    no_day_why,
    nothing_begun,
    promised_words,
    purpose_words,
    to_ask_words,
    who_words,
)
from crewjobs.services.pages.notice_rooms import Minutes, out_of_use
from crewjobs.services.pages.notice_stands import stands_meanwhile
from crewjobs.services.pages.notice_work import coming_words, together
from crewjobs.services.pages.paper_sheets import paper_of, sheet_of, wall_now
from crewjobs.services.pages.ready_asked import (
    asked_items,
    asked_words,
    item_words,
    leave_off_words,
    ready_why,
    said_yes,
    ways_in,
)
from crewjobs.services.pages.ready_days import ready_day
from crewjobs.services.waiting.around_waits import working_days_before
from crewjobs.services.waiting.licensed_waits import unasked
from crewjobs.services.weeks.at_house import AtHouse
from crewjobs.services.weeks.cut_off import cuts
from crewjobs.services.weeks.gone_by import begins_later, gone_by, job_behind, still_ahead
from crewjobs.services.weeks.under_way import crews_at, from_beginning
from crewjobs.services.weeks.untold import DAYS_COUNT, IF_COUNTED, hang_on, untold
from crewjobs.services.weeks.usable import Times, floored_stairs
from crewjobs.services.weeks.visits import Planned, Stretch, planned

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

CLEARED: Final = (
    "shelves, closets and drawers",
    "lamps, pictures and everything small",
    "curtains off the floor",
    "what breaks or matters to you",
)
"""What is the customer's to move out of a furnished room; common practice, no source."""


def notice(uow: UnitOfWork, now: datetime, job: int, *, paper: str = "") -> CustomerNotice:
    """Return what the customer of a job is to know of the plan as it is.

    Raises:
        Refused: there is no such job, it is over or called off, or its work is done and nothing is left to be told.
    """
    shop, plan = uow.shop(), planned(uow)
    record = as_the_house(uow.job(job), others_with_findings(uow, job), now)
    found = without_overdue(plan, record, now) if plan else None
    visits, over = coming_visits(record, now), record.job.state not in LIVE
    record = _without_open(record) if over else record
    times = found.task_minutes(record) if found else {}
    behind, finished = job_behind(times, record, now), is_finished(record)
    if over and not visits:
        raise Refused(
            f"job {job} is {record.job.state}: no day of it is to come, so there is nothing to give notice of."
        )
    stretches = tuple(stretches_of(found, job, now, crews_at(uow, plan, now))) if found and plan else ()
    first, told = first_day(record, stretches, now), last_told(record)
    little = over or (
        bool(visits)
        and not stretches
        and nothing_begun(record)
        and not any(visit.kind is VisitKind.CARRY_IN for visit in visits)
    )
    clear = () if little or finished else tuple(_to_clear(record, stretches, times, now))
    # Of what has no day any more nobody says when it is finished.
    finish = finish_day(found, record) if found and found is plan and stretches and not behind else None
    ahead = still_ahead(times, record, now)
    cut = cuts(found, record, times, ahead, now)
    counted = hang_on(record, untold(found, record)) if found else frozenset[int]()
    out = tuple(out_of_use(found, record, Minutes(plan=times, ahead=ahead), now, cut, catalogue_of(uow), counted))
    punch = punch_open(record) if finished else ()
    if finished and not (visits or out or punch):
        raise Refused(f"every task of job {job} is done: no work of it is left, so there is nothing to give notice of.")
    told_ready = not finished or visits
    hung = hanging(record, now)
    days = tuple(days_of(record, stretches, visits, hung, counted, behind=bool(behind)))
    ready_by = working_days_before(shop, first, ASK_AHEAD_DAYS) if first and not _begins(times, record, now) else None
    own = _own_days(record, shop.units, ready_by, comes_before(days, first), now) if told_ready and not little else {}
    empty_asked = not (clear or work_begun(record, now) or _begins(times, record, now))
    ways = (
        list(ways_in(record, _carried(record, stretches), ready_by, first, now, dry=empty_asked))
        if told_ready and not little and not finished
        else []
    )
    asked = _asked(record, shop.units, now, little=little, cleared=not empty_asked, own=own) if told_ready else ()
    asked += tuple(way for way, by_itself in ways if not by_itself)
    return CustomerNotice(
        shop_name=shop.name,
        shop_phone=shop.phone,
        customer=record.job.customer.name,
        address=record.job.site.address,
        job=job,
        as_planned=wall_now(shop, now).date(),
        sheet=sheet_of(shop, f"Notice for job {job}", found, now),
        paper=paper_of(shop, paper),
        finish=finish,
        told=told if told is not None and told != finish and not (behind or finished or over) else None,
        told_off=told_called_off(record) and not (finished or over),
        told_none=told_off(record) and finish is not None and not (finished or over),
        days=days,
        finish_hangs=_finish_hangs(times, hung, counted) if finish is not None else "",
        no_day=_no_day(
            record,
            times,
            gone_by(times, record, now) if behind else frozenset(),
            bool(visits),
            now,
            listed_days=bool(days),
            left=found.plan.left_out if found else (),
        ),
        finished=finished,
        punch=punch,
        clear=clear,
        to_clear=CLEARED,
        out=out,
        stands=() if over or finished else tuple(stands_meanwhile(record, ahead)),
        toilets=tuple(toilets_out(found, record, ahead, now, cut)),
        fixtures=tuple(fixtures_out(found, record, ahead, now)),
        ready=asked,
        ready_own=(*own.values(), *(way for way, by_itself in ways if by_itself)) if not finished else (),
        kept=() if little or finished else tuple(_kept(record, shop.units, now)),
        emptied=ReadyItem.EMPTIED in said_yes(record, now),
        ready_by=ready_by if asked else None,
        comes=() if over else tuple(_comes(record, now)),
        changes=tuple(_changes(record, shop, now, little=little or finished)),
        cautions=tuple(_cautions(record, now)),
        house=(*_whose_clock(record, days, now), *(() if little or finished else _house(record))),
    )


def _without_open(record: JobRecord) -> JobRecord:
    """Return the record of a job that is over as its visits find the house: what is open of its work is not done any more."""
    return replace(record, tasks=tuple(replace(t, not_needed=True) if t.open else t for t in record.tasks))


def stretches_of(found: Planned, job: int, now: datetime, at: Mapping[str, AtHouse] | None = None) -> Iterator[Stretch]:
    """Yield the stretches of all crews at one job that are still to come or under way, by their start.

    Of a crew that is at a house (`at`, by crew) that is from when it came there.
    """
    zone = found.shop.zone
    placed = [placement for placement in found.plan.placements if placement.key.job == job]
    if not placed:
        return
    today, last = to_wall(zone, now).date(), to_wall(zone, max(p.end for p in placed)).date()
    crews = [crew.name for crew in found.shop.crews if any(p.crew == crew.name for p in placed)]
    stretches = [
        stretch
        for day in days_from(today, max(0, (last - today).days + 1))
        for crew in crews
        for stretch in from_beginning(at.get(crew) if at and day == today else None, found.day(crew, day), now)
        if stretch.record.job.number == job and stretch.end > now
    ]
    yield from sorted(stretches, key=lambda stretch: (stretch.start, stretch.crew))


def first_day(record: JobRecord, stretches: Sequence[Stretch], now: datetime) -> date | None:
    """Return the site's date on which cartons or a crew come next by the plan, for which the house must be ready.

    None where the house is asked nothing any more: work has begun there, and no answer since says no.
    """
    if work_begun(record, now) and not house(record, now).missing:
        return None
    coming = [
        s.start
        for s in stretches
        if any(not is_looking(task) and task.open and not task.started_at for task in s.tasks)
    ]
    return to_wall(record.job.site.zone, min(coming)).date() if coming else None


def comes_before(days: Sequence[NoticeDay], first: date | None) -> NoticeDay | None:
    """Return who comes before cartons or a crew do: to look, to read or to take a sample; None where nobody does."""
    return days[0] if days and first is not None and days[0].day < first else None


def _no_day(
    record: JobRecord,
    times: Times,
    late: frozenset[int],
    visited: bool,
    now: datetime,
    *,
    listed_days: bool,
    left: Sequence[LeftOut],
) -> str:
    """Return that the floor, or what is left of it, has no day and why; empty where all of it has, or nothing is to be said.

    Of what is `late` the planned time is gone by, and nobody ticked it.
    """
    open_work = [task for task in record.tasks if task.open and not is_looking(task)]
    if record.job.state not in LIVE or not open_work:
        return ""
    without = [task for task in open_work if task.number not in times]
    begun = not nothing_begun(record) or len(without) < len(open_work)
    if begun and not without:
        return gone_by_words(record, late) if begins_later(times, record, now) else PAST
    why = no_day_why(record, now, {task.number for task in without}, left)
    if not begun and not why and not visited:
        return ""
    at_work = work_begun(record, now)  # cartons in the house are none of it
    rest = listed_days and (at_work or len(without) < len(open_work))
    what = "The rest of our work" if rest else "What is left of our work" if at_work else "Your floor"
    return f"{what} has no day yet{f': {why}' if why else ''}. We tell you as soon as it has a day."


def days_of(
    record: JobRecord,
    stretches: Sequence[Stretch],
    visits: Sequence[SmallVisit],
    hung: frozenset[int] = frozenset(),
    counted: frozenset[int] = frozenset(),
    *,
    behind: bool,
) -> list[NoticeDay]:
    """Return the comings in their order; of two crews of which one comes while the other is there one line is made.

    Where the job is `behind`, nobody is invited to walk through the finished work: it may not be finished that day. Of the tasks
    `hung` it is said that they hang on what was found, of those `counted` that they hang on work nobody has told of.
    """
    zone = record.job.site.zone
    work = [
        _coming(
            zone,
            s.start,
            s.end,
            upper(coming_words(s.tasks)),
            with_you=_with_you(s.tasks, behind=behind),
            hangs=" ".join(filter(None, (hangs_words(s.tasks, hung), _counts(s.tasks, counted)))),
        )
        for s in stretches
    ]
    small = [
        _coming(
            zone,
            visit.start,
            visit.start + timedelta(minutes=visit.minutes),
            f"{upper(visit.kind.value)}: one of us, for about {visit.minutes} min",
            with_you=visit.kind is VisitKind.WALK_THROUGH,
            looks=LOOKS.get(visit.kind, ""),
        )
        for visit in visits
    ]
    return sorted((*together(work), *small), key=lambda one: (one.day, one.start, one.what))


def _counts(tasks: Sequence[Task], counted: frozenset[int]) -> str:
    return DAYS_COUNT if any(task.number in counted for task in tasks) else ""


def _finish_hangs(times: Times, hung: frozenset[int], counted: frozenset[int]) -> str:
    """Return on what the day hangs on which a job ends; empty where nothing of it does."""
    ifs = ((IF_SETTLED, hung), (IF_COUNTED, counted))
    return " and ".join(words for words, numbers in ifs if numbers & times.keys())


def _coming(
    zone: str, start: datetime, end: datetime, what: str, *, with_you: bool, looks: str = "", hangs: str = ""
) -> NoticeDay:
    """Return a coming by the quarter hour around it, at the site's wall."""
    begin, over = to_wall(zone, start), to_wall(zone, end)
    late = -(-wall_minute(over) // QUARTER) * QUARTER % (24 * 60)
    early = wall_minute(begin) // QUARTER * QUARTER
    return NoticeDay(
        day=begin.date(),
        start=begin.time().replace(hour=early // 60, minute=early % 60, second=0, tzinfo=None),
        end=over.time().replace(hour=late // 60, minute=late % 60, second=0, tzinfo=None),
        what=what,
        with_you=with_you,
        looks=looks,
        hangs=hangs,
    )


def _with_you(tasks: Sequence[Task], *, behind: bool) -> bool:
    walks = (WALK_BEFORE,) if behind else (WALK_BEFORE, HAND_OVER)
    return any(task.key.template in walks and task.open for task in tasks)


def _begins(times: Times, record: JobRecord, now: datetime) -> bool:
    """Return whether by the plan work in the house has begun, ticked or not."""
    return any(
        task.number in times and times[task.number][0] <= now and not is_looking(task) and not is_carry_in(task)
        for task in record.tasks
    )


def _to_clear(record: JobRecord, stretches: Sequence[Stretch], times: Times, now: datetime) -> Iterator[ToClear]:
    """Yield the furnished rooms in which no work has begun, or should have, each with the evening before anything comes into it.

    One evening for one room: before its cartons are carried in, where they lie there first, else before work begins.
    """
    zone, shut, found = record.job.site.zone, nobody_in(record, now), found_in(record, now)
    hang = hanging(record, now)
    for room in record.job.rooms:
        if room.name in shut:
            continue  # nobody goes in to clear it
        tasks = [task for task in record.tasks if _in_room(task, room) and not is_looking(task) and not task.not_needed]
        begun = any(
            task.started_at or task.done_at or (task.number in times and times[task.number][0] <= now) for task in tasks
        )
        if room.floor is None or begun or not (room.furniture or record.job.site.occupied) or not tasks:
            continue
        carried = {t.number for t in record.tasks if is_carry_in(t) and t.open and t.key.scope.name == room.floor}
        if room.name in found:
            carried = set()  # what is carried in goes to the other rooms, until what was found here is settled
        carries = [piece.start for s in stretches for piece in s.pieces if piece.task in carried]
        carries += [v.start for v in record.small_visits if v.kind is VisitKind.CARRY_IN and carried and not v.done_at]
        numbers = {task.number for task in tasks}
        works = [piece.start for s in stretches for piece in s.pieces if piece.task in numbers]
        first = min((to_wall(zone, start).date() for start in (*carries, *works)), default=None)
        cartons = min((to_wall(zone, start).date() for start in carries), default=None)
        begins = {
            piece.task
            for s in stretches
            for piece in s.pieces
            if piece.task in numbers | carried and to_wall(zone, piece.start).date() == first
        }
        ours = tuple(_piece_words(piece) for piece in room.furniture if not piece.stays)
        yield ToClear(
            room=room.name,
            by=first - timedelta(days=1) if first else None,
            we_move=ours,
            cartons=cartons if cartons == first else None,
            found=FOUND_THERE if room.name in found else ALL_HANGS if begins and begins <= hang else "",
        )


def _in_room(task: Task, room: Room) -> bool:
    return task.key.scope.kind in (ScopeKind.ROOM, ScopeKind.SECTION) and task.key.scope.name == room.name


def _piece_words(piece: Piece) -> str:
    return f"{piece.count} × {piece.name}" if piece.count > 1 else piece.name


def _carried(record: JobRecord, stretches: Sequence[Stretch]) -> dict[int, date]:
    """Return the site's date on which the material of each open carrying in comes into the house, of those that have one."""
    zone, found = record.job.site.zone, dict[int, date]()
    carries = {task.number for task in record.tasks if is_carry_in(task) and task.open}
    visits = [v.start for v in record.small_visits if v.kind is VisitKind.CARRY_IN and not v.done_at]
    if visits:
        found = dict.fromkeys(carries, to_wall(zone, min(visits)).date())
    for piece in (piece for stretch in stretches for piece in stretch.pieces if piece.task in carries):
        day = to_wall(zone, piece.start).date()
        found[piece.task] = min(day, found.get(piece.task, day))
    return found


def _asked(
    record: JobRecord,
    units: UnitSystem,
    now: datetime,
    *,
    little: bool,
    cleared: bool,
    own: Mapping[ReadyItem, str],
) -> tuple[str, ...]:
    """Return what must be there when we come; rooms that we work in already are not asked to be emptied."""
    if little or is_finished(record):
        return (SOMEBODY_THERE,)
    return tuple(_ready(record, units, now, cleared=cleared, own=own))


def _own_days(
    record: JobRecord, units: UnitSystem, ready_by: date | None, before: NoticeDay | None, now: datetime
) -> dict[ReadyItem, str]:
    """Return what must be there by a day of its own: what is known to be ready only later, and a key where somebody comes `before`.

    Rooms to clear are told with days of their own.
    """
    found, zone = dict[ReadyItem, str](), record.job.site.zone
    for item in asked_items(record, now):
        if item is ReadyItem.EMPTIED or item in said_yes(record, now):
            continue
        days = []
        known = ready_day(record, item, now)
        if known is not None and (ready_by is None or to_wall(zone, known.at).date() > ready_by):
            days.append(known.words(zone))
        if item is ReadyItem.KEY and before is not None and (ready_by is None or before.day <= ready_by):
            days.append(f"for the first time on {day_words(before.day)}")
        if days:
            why = ready_why(record, item, units, now)
            found[item] = f"{upper(asked_words(item))}: {'; '.join((*days, *([why] if why else [])))}"
    return found


def _ready(
    record: JobRecord, units: UnitSystem, now: datetime, *, cleared: bool, own: Mapping[ReadyItem, str]
) -> Iterator[str]:
    """Yield what must be there, item by item as it is asked; where it matters why.

    With `cleared` the rooms to clear are told with days of their own, and no second day is named for them here; nor for
    what has a day of its `own`.
    """
    for item in asked_items(record, now):
        if (cleared and item is ReadyItem.EMPTIED) or item in said_yes(record, now) or item in own:
            continue
        yield item_words(record, item, units, now)


def _kept(record: JobRecord, units: UnitSystem, now: datetime) -> Iterator[str]:
    """Yield what the customer answered yes to; that the rooms are emptied is told with them."""
    for item in asked_items(record, now):
        if item in said_yes(record, now) and item is not ReadyItem.EMPTIED:
            yield item_words(record, item, units, now)


def _comes(record: JobRecord, now: datetime) -> Iterator[str]:
    zone = record.job.site.zone
    for one in sorted(deliveries(record, now), key=lambda one: one.at):
        at = to_wall(zone, one.at)
        when = day_words(at.date()) if one.all_day else moment_words(at)
        yield f"{when}: {one.summary.removesuffix(' due')}, as the supplier promised it"


def _changes(record: JobRecord, shop: Shop, now: datetime, *, little: bool) -> Iterator[str]:
    """Yield what could move a day; of others who are waited for who they are and what is theirs to do: what was noted of them stays in the shop.

    Where `little` is told of the work, of them only who is asked about what was found.
    """
    still = {task.number for task in record.tasks if task.open}
    for waits in asked_of_found(record, now, still) if little else still_out(record, now):
        asked = to_ask_words(waits) or f"we wait for {who_words(waits.who)}"
        yield upper(f"{asked}{purpose_words(record, waits)}{promised_words(record, waits, now)}")
    if little:
        yield _tells(shop)
        return
    for who, what in dict.fromkeys((who, what) for _, who, what in unasked(record)):
        yield f"We have yet to ask {who_words(who)} ({what}); no day is promised yet"
    if any(True for _ in deliveries(record, now)):
        yield "A delivery that comes late"
    if any(task.open and task.phase is Phase.DEMOLITION for task in record.tasks) and any(
        room.layers for room in record.job.rooms
    ):
        yield "What shows under the old floor once it is out; extra work is agreed with you first"
    yield "What lies, cures or dries in your house takes its hours; a reading or a look can add a day"
    yield _tells(shop)


def _tells(shop: Shop) -> str:
    phone = f" ({shop.phone})" if shop.phone else ""
    return f"{shop.name}{phone} tells you of a change before that day. Please tell us of any on your side"


def _cautions(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what the people of the house mind: what to leave alone and who decides. Sources as in the catalogue's cautions."""
    job = record.job
    if off := leave_off_words(record, now):
        yield off
    laid = [
        room for room in job.rooms if room.floor and any(_in_room(task, room) and task.open for task in record.tasks)
    ]
    old = [room.name for room in laid if any(layer.suspect for layer in room.layers)]
    if old:
        yield (
            f"Old floor in {listed(old, most=6, of='rooms')} may hold asbestos (put in up to 1980, or nobody knows when): please do not "
            "lift, break, sand or sweep it. Nobody disturbs it until an accredited inspector's sample is answered; "
            "removal is for trained, licensed people."
        )
    if job.site.lead_rule and any(room.painted_trim for room in laid):
        yield (
            "In a house built before 1978, or of a year nobody knows, painted trim may hold lead: children and pets stay "
            "out of the rooms we work in. The certified renovator and local rules decide how it is worked."
        )
    if flights := [flight.name for flight, _ in floored_stairs(record)]:
        yield (
            f"{upper(listed(flights, most=6))}: closed at both ends while treads are loose or glue sets, nights too. Another way "
            "out and to the bathroom, or nights elsewhere, is agreed with you before we begin there: please call us."
        )
    if any(room.has(kind) for room in laid for kind in (FixtureKind.GAS_RANGE, FixtureKind.GAS_DRYER)):
        yield (
            "Gas is shut, disconnected and reconnected by a licensed person only. Smell gas: everyone out, no switches, "
            "call the gas company from outside."
        )
    if any(job.material(room.floor).method is Method.GLUED for room in laid if room.floor):
        yield "Adhesive is spread: its label says about flames, pilot lights and airing; ask us for it."


def _whose_clock(record: JobRecord, days: Sequence[NoticeDay], now: datetime) -> Iterator[str]:
    """Yield by which clock a page is that tells days of a house with its own, now or on any of them."""
    zone = record.job.site.zone
    noons = [to_utc(zone, one.day, 12 * 60) for one in days]
    names = dict.fromkeys(filter(None, (clock_name(to_wall(zone, at)) for at in (now, *noons))))
    yield from (f"All hours on this page are {name}, but for when it was printed" for name in names)


def _house(record: JobRecord) -> Iterator[str]:
    site = record.job.site
    if site.pets:
        yield "Please keep your pets out of the rooms we work in"
    yield "We unload close to the door: please keep a place free for the truck"
    if site.elevator is not None:
        yield f"The elevator is booked for us: {week_hours(site.elevator)}"
    if site.hours is not None:
        yield f"We work at your house {week_hours(site.hours)}"
    ahead = sorted(record.job.blocked)
    if ahead:
        yield f"We do not come on {listed([day_words(day) for day in ahead], most=6, of='days')}, as you asked"
