"""What customers were told, and whom to tell a new day: no promise moves silently."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import Told
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import ENDED, LIVE, JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import dated_words, day_words, upper
from crewjobs.engines.planning.roster import with_parts
from crewjobs.services.clock import read_day
from crewjobs.services.findings.hanging import ONLY_IF, finish_hangs
from crewjobs.services.rows import Done, WaitRow
from crewjobs.services.weeks.gone_by import job_behind
from crewjobs.services.weeks.visits import Planned, planned

if TYPE_CHECKING:
    from crewjobs.domain.crew import Away, Shop
    from crewjobs.storage.unit_of_work import UnitOfWork


NO_DAY_TOLD: Final = {False: "told to have no day", True: "told to be called off"}
AGAIN_TOLD: Final = {False: "told last was that there is none", True: "told last was that the job is called off"}
"""By whether it was called off when its customer was told."""


def last_told(record: JobRecord) -> date | None:
    """Return the finish the customer was told last, None where nobody told one, or said since that nobody comes, or that it does not hold."""
    # Once a job is done, who is told that he is not needed is somebody else.
    told = [one for one in record.told if one.finish is not None or record.job.state not in ENDED]
    return max(told, key=lambda one: one.at).finish if told else None


def told_off(record: JobRecord) -> bool:
    """Return whether the last that was said names no day: of a job called off that nobody comes, of one that is done that nobody is
    needed, of a booked one that the day told before does not hold.
    """
    return bool(record.told) and max(record.told, key=lambda told: told.at).finish is None


def told_called_off(record: JobRecord) -> bool:
    """Return whether the last that was said is that the job is called off."""
    return bool(record.told) and max(record.told, key=lambda told: told.at).off


def told_since(record: JobRecord, state: JobState) -> tuple[Told, ...]:
    """Return what was told that still counts in a job of another state: what was said without a day was of the state it had.

    Of one that is taken up again after it was called off it counts: who was told that nobody comes is to be told that somebody does.
    """
    if state is record.job.state or {state, record.job.state} <= ENDED:
        return record.told
    if state in LIVE and record.job.state not in ENDED:
        return record.told
    return tuple(one for one in record.told if one.finish is not None)


def finish_day(found: Planned, record: JobRecord) -> date | None:
    """Return the site's date on which the plan finishes a job, None where some of it has no place."""
    end = found.finish(record)
    return to_wall(record.job.site.zone, end).date() if end else None


def to_tell(found: Planned, record: JobRecord) -> tuple[date, date] | None:
    """Return from which day to which a customer is to be told the finish moves, None where nothing is to be told.

    Against what was told any other day is told. Against the promise alone only a later one is: who was promised the
    work by Friday and has it on Wednesday was kept his promise.
    """
    if record.job.state is not JobState.BOOKED:
        return None
    finish, told = finish_day(found, record), last_told(record)
    known = told or record.job.promised
    if finish is None or known is None or finish == known or (told is None and finish < known):
        return None
    return known, finish


def lost_finish(found: Planned, record: JobRecord) -> date | None:
    """Return the finish the customer of a booked job was told and the plan leaves no place for, some of the work or all; else None."""
    day, number = last_told(record), record.job.number
    left_out = any(left.job == number for left in found.plan.left_out)
    still = record.job.state is JobState.BOOKED and any(task.open for task in record.tasks)
    return day if day is not None and left_out and still and finish_day(found, record) is None else None


def _again(found: Planned, record: JobRecord) -> date | None:
    """Return the finish a booked job has again, of which its customer was told that no day is known; else None."""
    return finish_day(found, record) if record.job.state is JobState.BOOKED and told_off(record) else None


def tell_row(found: Planned, record: JobRecord, now: datetime) -> WaitRow | None:
    """Return the call to make where a job's finish is not on the day the customer knows of, or he knows of none that holds.

    Where work planned to be done by now is not ticked, nobody knows the day to tell: that is said first, and nobody is to be
    called yet. What is all ticked has no day to come.
    """
    moved, lost, again = to_tell(found, record), lost_finish(found, record), _again(found, record)
    job, finish = record.job, again or (moved[1] if moved is not None else None)
    gone = finish is not None and finish < to_wall(job.site.zone, now).date()
    if gone and not any(task.open for task in record.tasks):
        return None
    unsure = finish is not None and (gone or _unsure(found, record, now))
    if finish is None and lost is None:
        return None
    told = max(record.told, key=lambda told: told.at).at if record.told else None
    what, tell = "", f"tell {job.customer.name}"
    hangs = f", {ONLY_IF}" if finish_hangs(record, now) else ""
    if lost is not None:
        placed = any(placement.key.job == job.number for placement in found.plan.placements)
        what = f"finish told for {day_words(lost)}: now {'not all' if placed else 'nothing'} of it has a place"
        tell += f" that {day_words(lost)} does not hold and no day is known yet"
    elif finish is not None and unsure:
        word = "promised" if last_told(record) is None else "told"
        known = (
            f"{word} for {day_words(moved[0])}"
            if moved is not None and not again
            else NO_DAY_TOLD[told_called_off(record)]
        )
        what = f"finish {known}, planned for {day_words(finish)}: work before it is not ticked"
    elif again is not None:
        what = f"finish has a day again, {day_words(again)}{hangs}: {AGAIN_TOLD[told_called_off(record)]}"
    elif moved is not None:
        what = f"finish moves from {day_words(moved[0])} to {day_words(moved[1])}{hangs}"
    return WaitRow(
        job=job.number,
        title=job.title,
        what=what,
        state=WaitState.TO_TELL,
        since=to_wall(job.site.zone, told) if told else None,
        ready_at=None,
        minutes_left=None,
        done=None,
        verified=True,
        holds="",
        call=f"tick what is done, or plan again; then tell {job.customer.name} the day it ends"
        if unsure
        else f"{tell}, then `crewjobs told {job.number}`",
        whom="" if unsure else job.customer.name,
        tick_first=unsure,
    )


def told(uow: UnitOfWork, now: datetime, job: int, day: str = "") -> Done:
    """Record the day of the finish that the customer was told; none typed means the plan's.

    Where the plan has no place any more for what was told, none typed means that the day told before does not hold.

    Raises:
        Refused: unknown job, no day typed and none in the plan, or one that nobody knows as what was to be done before it is
            not ticked, not a day, or one gone by.
    """
    before = uow.job(job)
    today = to_wall(before.job.site.zone, now).date()
    found = None if day.strip() else planned(uow, [before])
    lost = lost_finish(found, before) if found is not None else None
    if lost is not None:
        uow.save_job(before, replace(before, told=_with(before, Told(at=now, finish=None))))
        what = (
            f"job {job}: {before.job.customer.name} told that {day_words(lost)} does not hold and no day is known yet"
        )
        return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job))
    finish = read_day(day, today) if day.strip() else _planned_day(found, before, now)
    if finish < today:
        raise Refused(f"{dated_words(finish)} has gone by: tell a day to come.")
    uow.save_job(before, replace(before, told=_with(before, Told(at=now, finish=finish))))
    what = f"job {job}: {before.job.customer.name} told that it is finished {day_words(finish)}"
    then: tuple[str, ...] = (f"It holds {ONLY_IF}: tell it with that.",) if finish_hangs(before, now) else ()
    if before.job.promised and finish > before.job.promised:
        promised = day_words(before.job.promised)
        then += (
            f"The promise of {promised} stays as it is: `crewjobs amend {job} --promised {finish}` if the new day is agreed.",
        )
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=then)


def _with(record: JobRecord, told: Told) -> tuple[Told, ...]:
    """Return what a customer was told, with what he is told now; said again at the same instant it is put right."""
    return (*(one for one in record.told if one.at != told.at), told)


def _planned_day(found: Planned | None, record: JobRecord, now: datetime) -> date:
    """Return the day on which the plan finishes a job, where it can be told.

    Raises:
        Refused: it does not finish it, or work planned to be done by now is not ticked, as the waiting list says of it.
    """
    finish = finish_day(found, record) if found else None
    number, today = record.job.number, to_wall(record.job.site.zone, now).date()
    if found is None or finish is None:
        raise Refused(f"the plan in force does not finish job {number}: say the day that was told, such as fri.")
    first = (
        f"tick what is done or plan again first, or say the day that was told, such as `crewjobs told {number} fri`."
    )
    if finish < today:
        raise Refused(f"the plan in force finishes job {number} {day_words(finish, today)}, which has gone by: {first}")
    if _unsure(found, record, now):
        raise Refused(
            f"the plan in force finishes job {number} {day_words(finish, today)}, but work before it is not ticked: {first}"
        )
    return finish


def _unsure(found: Planned, record: JobRecord, now: datetime) -> bool:
    """Return whether nobody knows by the plan when a job ends: what was to be done by now is not ticked."""
    return bool(job_behind(found.task_minutes(record), record, now))


def moved_words(
    shop: Shop, away: Sequence[Away], records: Sequence[JobRecord], before: WeekPlan | None, after: WeekPlan
) -> tuple[str, ...]:
    """Return every job whose finish is on another day in a new plan than in the one before, or that none moved.

    A finish that hangs on what was found when the plan was made is told with that.
    A job the plan before had no finish for is held against what its customer was told, else promised.
    """
    if before is None:
        return ()
    known = {record.job.number: record for record in records}
    whole = with_parts(shop, away)
    old, new = _finishes(whole, known, before), _finishes(whole, known, after)
    old = {number: _as_planned(before, known[number], end) for number, end in old.items()}
    said = []
    for number, record in known.items():
        was, now = old[number], new[number]
        if was == now or not any(task.open for task in record.tasks) or record.job.state is not JobState.BOOKED:
            continue
        hangs = f", {ONLY_IF}" if finish_hangs(record, after.made_at) else ""
        if was is None:
            told, promised = last_told(record), record.job.promised
            day = told or promised
            if now is not None and day is not None and now > day:
                word = "told" if told else "promised"
                said.append(f"Job {number}: has a finish again, {day_words(now)}{hangs}; {word} was {day_words(day)}.")
        elif now is None:
            said.append(f"Job {number}: its finish was {day_words(was)}; now not all of it has a place.")
        else:
            said.append(f"Job {number}: finish moves from {day_words(was)} to {day_words(now)}{hangs}.")
    return tuple(said) or ("No job's finish moves to another day.",)


def _as_planned(plan: WeekPlan, record: JobRecord, end: date | None) -> date | None:
    """Return the day a plan finished a job on when it was made, where by the crews' hours of now it would be a later one."""
    if end is None:
        return None
    last = max(placed.end for placed in plan.placements if placed.key.job == record.job.number)
    return min(end, to_wall(record.job.site.zone, last).date())


def _finishes(shop: Shop, records: Mapping[int, JobRecord], plan: WeekPlan) -> dict[int, date | None]:
    found = Planned(shop=shop, plan=plan, records=records, pins=())
    return {number: finish_day(found, record) for number, record in records.items()}
