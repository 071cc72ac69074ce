"""Pins: work kept with a crew on a day until it is let go, its day has gone by, or nobody works there any more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, Final, NamedTuple

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobState
from crewjobs.domain.plan import BlockKey, Pin, Unkept, WeekPlan
from crewjobs.domain.tasks import Task
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, listed, upper
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.engines.planning.words import cards_words, skills_words
from crewjobs.services.rows import Done
from crewjobs.services.weeks.plan_faults import why_not_on
from crewjobs.services.weeks.visits import short
from crewjobs.services.wording import at_site, no_crew, task_words

if TYPE_CHECKING:
    from crewjobs.domain.crew import Away, Crew, Shop, Worker
    from crewjobs.domain.job import JobRecord
    from crewjobs.storage.unit_of_work import UnitOfWork


NOT_PLANNED: Final = "Not kept: "
STANDS: Final = "The plan has it there already, "
"""How a sentence begins that holds only as long as the plan stays as it is."""
"""How it begins that a pin's work has no place in the plan."""


def void(pin: Pin, shop: Shop, away: Sequence[Away], now: datetime) -> str:
    """Return why a pin no longer binds: its day has gone by, or nobody works under its name any more; else nothing."""
    if pin.day < to_wall(shop.zone, now).date():
        return "its day has gone by"
    if not any(crew.name == pin.crew for crew in with_parts(shop, away).crews):
        return "nobody works under that name"
    return ""


def void_words(problem: PlanProblem, pins: Sequence[Pin]) -> Iterator[str]:
    """Yield which pins of open work no longer bind, and why: their work is planned like any other."""
    still = {(record.job.number, task.number) for record in problem.jobs for task in record.tasks if task.open}
    for pin in pins:
        why = void(pin, problem.shop, problem.away, problem.now)
        if why and (pin.job, pin.task) in still:
            place = f"{pin.crew} on {day_words(pin.day, problem.today)}"
            yield f"Job {pin.job}: task {pin.task} was pinned to {place}; {why}, it is planned like any other."


def unkept_words(made: WeekPlan, records: Sequence[JobRecord], known: WeekPlan | None = None) -> tuple[str, ...]:
    """Return of which tasks a plan does not keep the pins, why, and where they are; not those the `known` plan was made without.

    What of a job is not kept for one and the same reason is one sentence.
    """
    said = {(p.key.job, task): p.reason for p in (known.placements if known else ()) for task in p.tasks}
    alike: dict[tuple[int, str], list[Unkept]] = {}
    for one in made.unkept:
        marks = ("; pinned", one.pin.crew, day_words(one.pin.day))  # as the reason of its place names it
        if not all(mark in said.get((one.pin.job, one.pin.task), "") for mark in marks):
            alike.setdefault((one.pin.job, one.why), []).append(one)
    by_number = {record.job.number: record for record in records}
    return tuple(_unkept(by_number[job], why, found, made) for (job, why), found in alike.items())


def _unkept(record: JobRecord, why: str, found: Sequence[Unkept], made: WeekPlan) -> str:
    """Return that pins of a job are not kept: of which tasks, why, and where their work is, of several by who begins it when."""
    tasks = [record.task(number) for number in dict.fromkeys(one.pin.task for one in found)]
    named = listed([f"task {task.number} '{short(task.title)}' ({task.where})" for task in tasks], most=3)
    instead = list(dict.fromkeys(one.instead for one in found))
    if len(instead) == 1:
        return f"Job {record.job.number}: {named}: {why}; {instead[0]}"
    numbers = {task.number for task in tasks}
    starts: dict[str, datetime] = {}
    for place in sorted(made.placements, key=lambda place: place.start):
        if place.key.job == record.job.number and numbers & set(place.tasks):
            starts.setdefault(place.crew, place.start)
    zone, now = record.job.site.zone, to_wall(record.job.site.zone, made.made_at)
    by = listed([f"{crew} from {at_site(zone, start, now)} on" for crew, start in starts.items()])
    return f"Job {record.job.number}: {named}: {why}; done by {by}"


def pin(
    uow: UnitOfWork, now: datetime, job: int, tasks: Sequence[int], crew: str, day: date, *, visit: bool = False
) -> Done:
    """Keep the blocks that hold some tasks with a crew on a day; the next plan respects it or says why it cannot.

    Of several tasks, those that are done are passed over. Where they are those of a `visit`, so are blocks that began on
    an earlier day and only go on in it, unless nothing else is left to pin. What is passed over is said.

    Raises:
        Refused: unknown job, task or crew, nothing open among the tasks, a day gone by, one on which
            the crew does not work, the site is closed or the customer has blocked it, or work that the crew as it is
            on that day cannot do.
    """
    found = wanted_pins(uow, now, job, tasks, crew, day, visit=visit)
    for one in found.pins:
        uow.save_pin(one)
    change = uow.commit(found.words, at=now, job=job)
    plan = uow.latest_plan()
    not_planned = unplanned_words(uow.job(job), found.pins, plan) if plan is not None else ()
    stands = stands_words(uow.job(job), found.pins, plan) if plan is not None else ()
    then = (*found.passed_over, *not_planned, *stands, "Plan again to use it.")
    return Done(sentence=f"{upper(found.words)}.", change=change, then=then)


def unplanned_words(record: JobRecord, pins: Sequence[Pin], plan: WeekPlan) -> tuple[str, ...]:
    """Return which pins of a job a plan does not keep since it has no place at all for their work, and why."""
    said = []
    for left in (one for one in plan.left_out if one.job == record.job.number):
        tasks = [pin.task for pin in pins if pin.job == left.job and pin.task in left.tasks]
        if tasks:
            named = listed([task_words(record.task(number)) for number in tasks], most=3, of="tasks")
            said.append(f"{NOT_PLANNED}{named} {'is' if len(tasks) == 1 else 'are'} not planned: {left.why}.")
    return tuple(said)


def stands_words(record: JobRecord, pins: Sequence[Pin], plan: WeekPlan) -> tuple[str, ...]:
    """Return that a plan has all that is pinned with its crew on its day already, and from when; none where it has not."""
    zone = record.job.site.zone
    at = {
        (one.crew, task): one.start for one in plan.placements if one.key.job == record.job.number for task in one.tasks
    }
    starts = [at.get((pin.crew, pin.task)) for pin in pins]
    kept = [s for s, pin in zip(starts, pins, strict=True) if s is not None and to_wall(zone, s).date() == pin.day]
    if not kept or len(kept) < len(pins):
        return ()
    return (f"{STANDS}{at_site(zone, min(kept))}: a pin keeps the crew and the day, not the hour.",)


class WantedPins(NamedTuple):
    """Pins as they are asked for: of each block one, in words, and what was passed over."""

    pins: tuple[Pin, ...]
    words: str
    passed_over: tuple[str, ...]


def wanted_pins(
    uow: UnitOfWork, now: datetime, job: int, tasks: Sequence[int], crew: str, day: date, *, visit: bool = False
) -> WantedPins:
    """Return what `pin` would write, without writing it.

    Raises:
        Refused: as `pin` does.
    """
    record = uow.job(job)
    named = [task for task in (record.task(number) for number in dict.fromkeys(tasks)) if task.open]
    still = [task for task in named if task.started_at is None or not task.crew]
    shop, away, plan = uow.shop(), uow.away(), uow.latest_plan()
    working = with_parts(shop, away)
    chosen = {known.name.casefold(): known for known in working.crews}.get(crew.strip().casefold())
    if chosen is None:
        raise Refused(no_crew(crew, working))
    if not named:
        raise Refused(
            f"nothing to pin: {listed([task_words(record.task(n)) for n in tasks])} of job {job} is done or not needed."
        )
    if record.job.state is not JobState.BOOKED:
        raise Refused(f"job {job} is {record.job.state.value}, not booked: nothing of it is planned.")
    if day < (today := to_wall(shop.zone, now).date()):
        raise Refused(f"{day_words(day, today)} has gone by: pin to today or later.")
    if not still:
        raise Refused(_under_way(named, job))
    if fault := why_not_on(shop, chosen, record, day):
        raise Refused(fault)
    begun = _begun_before(still, job, plan, shop.zone) if visit else []
    pinned = _one_a_block([task for task in still if task not in begun], job, plan)
    whole = _with_their_blocks(record, pinned, plan)
    if fault := lacks(whole, chosen, present(working, away, chosen.name, day), day):
        others = [one for one in working.crews if one.name != chosen.name and one.comes(day)]
        able = [one.name for one in others if not lacks(whole, one, present(working, away, one.name, day), day)]
        raise Refused(f"{fault}{f'; {listed(able)} can do it that day' if able else ''}.")
    passed = [task for task in (record.task(number) for number in dict.fromkeys(tasks)) if not task.open]
    over = [f"Passed over: {listed([task_words(task) for task in passed])}, done or not needed."] if passed else []
    over += [_under_way(rest, job)] if (rest := [task for task in named if task not in still]) else []
    over += (
        [f"Not pinned: {listed([task_words(task) for task in begun])}, which begins on an earlier day."]
        if begun
        else []
    )
    what = f"job {job}: {listed([task_words(task) for task in pinned])} pinned to {chosen.name} on {day_words(day, to_wall(shop.zone, now).date())}"
    pins = tuple(Pin(job=job, task=task.number, crew=chosen.name, day=day) for task in pinned)
    return WantedPins(pins, what, tuple(over))


def _under_way(tasks: Sequence[Task], job: int) -> str:
    """Return that tasks go on with who began them, and how another crew takes one over."""
    first, names = tasks[0], listed(list(dict.fromkeys(task.crew for task in tasks)))
    return (
        f"Not pinned: {listed([task_words(task) for task in tasks])}, under way with {names}, goes on there; "
        f"`crewjobs how-far {job} {first.number} HOW-FAR --crew CREW` hands it to another crew."
    )


def _begun_before(tasks: Sequence[Task], job: int, plan: WeekPlan | None, zone: str) -> list[Task]:
    """Return the tasks of a visit whose blocks begin on an earlier day than the last of them."""
    placed = [p for p in plan.placements if p.key.job == job] if plan is not None else []
    days = {number: to_wall(zone, p.start).date() for p in placed for number in p.tasks}
    day = max((days[task.number] for task in tasks if task.number in days), default=None)
    return [task for task in tasks if day is not None and days.get(task.number, day) != day]


def _one_a_block(tasks: Sequence[Task], job: int, plan: WeekPlan | None) -> list[Task]:
    """Return one task of each block; without a plan every task is its own."""
    if plan is None:
        return list(tasks)
    keys = {number: p.key for p in plan.placements if p.key.job == job for number in p.tasks}
    blocks: dict[BlockKey | int, Task] = {}
    for task in tasks:
        blocks.setdefault(keys.get(task.number, task.number), task)
    return list(blocks.values())


def _with_their_blocks(record: JobRecord, tasks: Sequence[Task], plan: WeekPlan | None) -> list[Task]:
    """Return tasks, each followed by what a plan does with it in one go; not what has begun: its crew goes on with it."""
    placed = [p.tasks for p in plan.placements if p.key.job == record.job.number] if plan is not None else []
    numbers = [
        number for task in tasks for number in (task.number, *(n for p in placed if task.number in p for n in p))
    ]
    found = [record.task(number) for number in dict.fromkeys(numbers)]
    return [task for task in found if task.open and task.started_at is None]


def lacks(tasks: Sequence[Task], crew: Crew, there: Sequence[Worker], day: date | None = None) -> str:
    """Return what a crew lacks for tasks with those who are there (on a day), empty if nothing."""
    on = f" on {day_words(day)}" if day is not None else ""
    for task in tasks:
        if task.skill is not None and task.skill not in crew.skills:
            needs = skills_words(frozenset({task.skill}))
            return f"{task_words(task)} takes a crew that {needs}: {crew.name} is none"
        if task.card and not any(task.card in worker.cards for worker in there):
            holders = [worker.name for worker in crew.workers if task.card in worker.cards]
            one = len(holders) == 1
            out = f"{listed(holders)}, who {'has' if one else 'have'} it, {'is' if one else 'are'} not there that day"
            who = out if holders else f"nobody in {crew.name} has it"
            return f"{task_words(task)} needs somebody with the card {cards_words([task.card])}: {who}"
        if task.least_people > len(there):
            has = f"{crew.name} has {len(there) or 'nobody'}{on}"
            return f"{task_words(task)} takes {counted(task.least_people, 'person', 'people')}: {has}"
    return ""


def unpin(uow: UnitOfWork, now: datetime, job: int, tasks: Sequence[int]) -> Done:
    """Let the planner move the blocks of some tasks again.

    Raises:
        Refused: unknown job or task, or none of them is pinned.
    """
    record = uow.job(job)
    asked = [record.task(number) for number in dict.fromkeys(tasks)]
    known = {pin.task for pin in uow.pins() if pin.job == job}
    pinned = [task for task in asked if task.number in known]
    if not pinned:
        raise Refused(f"{listed([task_words(task) for task in asked])} of job {job} is not pinned.")
    for task in pinned:
        uow.drop_pin(job, task.number)
    what = f"job {job}: {listed([task_words(task) for task in pinned])} no longer pinned"
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=("Plan again to use it.",))
