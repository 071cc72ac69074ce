"""The first day that can be promised with a chance, given everything planned: of a job in the plan, or of one nobody booked yet.

Answers only: nothing is kept, and no plan is changed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.material import OrderLine
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import chance_words, day_words, listed, upper
from crewjobs.engines.answering.standing import end_of, last_day
from crewjobs.engines.answering.when import fits
from crewjobs.engines.planning.improve import repaired_cost
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.goods import goods_clock
from crewjobs.services.clock import read_day
from crewjobs.services.odds.odds import NO_PLAN, TAKEN_SETTLED, Odds, check, goes_on, hangs, no_odds, odds_of, sampled
from crewjobs.services.odds.odds_rows import PromiseView
from crewjobs.services.weeks.plan_problem import problem_of

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

ODDS: Final = (50.0, 99.0)
"""A promise less likely than not is none, and of the last percent so many samples say too little."""
HINT: Final = " `--ready DAY` answers as if it were there on a day."
OPENS_MIN: Final = 8 * 60
"""A truck comes in the morning: when the shop opens, at eight where it has no hours that day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """The plan with the job in it, sampled; `supposed` says what of it is not so yet, and `moved` are jobs that move for it."""

    found: Odds
    supposed: str = ""
    not_booked: bool = False
    to_come: str = ""
    moved: tuple[int, ...] = ()


def promise_view(
    uow: UnitOfWork, now: datetime, job: int, odds: float, ready: str = "", stop: Callable[[], bool] | None = None
) -> PromiseView:
    """Return the first day that holds for a job with a chance of `odds` percent, given everything planned.

    A job that is asked or quoted is placed beside all that is planned, as if it were booked and what is not ordered for it were
    there on the day `ready` (as typed; empty: tomorrow).

    Raises:
        Refused: odds that are none, a job that is over, or one that is not, or cannot be, planned to its end; or it was stopped.
    """
    low, high = ODDS
    if not low <= odds <= high:
        raise Refused(f"odds of {odds:g} %: a promise is asked for with {low:g} to {high:g}.")
    record = uow.job(job)
    check(record)
    asked = (
        _supposed(uow, now, record, ready, stop) if _is_open(record) or ready else _Asked(found=odds_of(uow, now, stop))
    )
    found = asked.found
    record = next(one for one in found.problem.jobs if one.job.number == job)
    if why := no_odds(found, record):
        missing = "" if ready or not _with_material(record, now, found.problem.today, now)[1] else HINT
        raise Refused(f"job {job} {why}{missing}")
    planned_end = end_of(found.plan, job)
    day = found.day_of(record, odds / 100)
    if day is None or planned_end is None:
        last = day_words(to_wall(record.job.site.zone, found.axis.end).date(), found.problem.today)
        raise Refused(f"job {job} is not done with {odds:g} % within the days the plan looks at, which end {last}.")
    (chance, error), (before, _) = found.chance(record, day), found.chance(record, day - timedelta(days=1))
    promised = record.job.promised
    view = PromiseView(
        job=job,
        title=record.job.title,
        odds=odds,
        day=day,
        chance=chance,
        error=error,
        before=before,
        planned=last_day(record, planned_end),
        promised=promised,
        promised_chance=found.chance(record, promised)[0] if promised is not None else None,
        stale=found.stale,
        samples=found.samples,
        sentences=(),
        drivers=found.drivers(job),
        taken=found.taken,
        supposed=asked.supposed,
        not_booked=asked.not_booked,
        moved=asked.moved,
    )
    return _with_sentences(view, found.problem.today, asked, hung=hangs(found, record))


# -- a job that is not in the plan


def _is_open(record: JobRecord) -> bool:
    """Return whether nobody has said yes to a job yet."""
    return record.job.state in (JobState.ASKED, JobState.QUOTED)


def _supposed(uow: UnitOfWork, now: datetime, record: JobRecord, ready: str, stop: Callable[[], bool] | None) -> _Asked:
    """Return the plan in force with a job placed in it as if it were booked and its material had a day."""
    number, shop, in_force = record.job.number, uow.shop(), uow.latest_plan()
    if in_force is None:
        raise Refused(NO_PLAN)
    today = to_wall(shop.zone, now).date()
    day = read_day(ready, today) if ready.strip() else today + timedelta(days=1)
    if day < today:
        raise Refused(f"{day_words(day, today)} has gone by: say from when the material can be there.")
    spans = shop.hours.on(day)
    there = max(now, to_utc(shop.zone, day, spans[0].start if spans else OPENS_MIN))
    as_if, brought = _with_material(record, now, today, there)
    if ready.strip() and not brought:
        raise Refused(f"everything for job {number} is here or has its day: leave --ready away.")
    as_if = replace(as_if, job=replace(as_if.job, state=JobState.BOOKED))
    others = tuple(one for one in uow.live_jobs() if one.job.number != number)
    known = replace(
        in_force,
        placements=tuple(one for one in in_force.placements if one.key.job != number),
        left_out=tuple(one for one in in_force.left_out if one.job != number),
    )
    plan, _ = repaired_cost(problem_of(uow, now, others), known)
    problem = problem_of(uow, now, (*others, as_if))
    goes_on(stop)
    found = fits(problem, plan, number)
    goes_on(stop)
    fit = found.undisturbed or found.soonest
    if fit is None:
        raise Refused(f"job {number} fits nowhere in the plan: {found.why_not.rstrip('.')}.")
    said = ["were booked"] if _is_open(record) else []
    if brought:
        said.append(f"{listed(brought, most=4)} were there {day_words(day, today)}")
    odds = sampled(uow, now, problem, fit.plan, {one.job.number: one for one in problem.jobs}, stop=stop)
    to_come = f"{listed(brought, most=4)}, there by {day_words(day, today)}" if brought else ""
    return _Asked(
        found=odds, supposed=" and ".join(said), not_booked=_is_open(record), to_come=to_come, moved=fit.moved
    )


def _with_material(record: JobRecord, now: datetime, today: date, there: datetime) -> tuple[JobRecord, list[str]]:
    """Return a job with a day for what has none yet, and what that is."""
    job, brought = record.job, []
    orders = list(job.orders)
    for material in job.materials:
        clock = material_clock(record, material, now)
        if not _has_no_day(clock.state, clock.due):
            continue
        brought.append(material.name)
        mine = [line for line in orders if line.material == material.name] or [
            OrderLine(material=material.name, cartons=1)
        ]
        orders = [line for line in orders if line.material != material.name]
        orders += [replace(line, ordered=line.ordered or today, due=there, special=False) for line in mine]
    goods = []
    for line in job.goods:
        of_line = goods_clock(record, line, now)
        if _has_no_day(of_line.state, of_line.due):
            brought.append(line.name)
            line = replace(line, ordered=line.ordered or today, due=there)
        goods.append(line)
    words = tuple(word for word in record.new_dates if word.line not in brought)
    return replace(record, job=replace(job, orders=tuple(orders), goods=tuple(goods)), new_dates=words), brought


def _has_no_day(state: WaitState, due: datetime | None) -> bool:
    return state in (WaitState.NOT_ORDERED, WaitState.LATE) or (state is WaitState.DUE and due is None)


# -- in words


def _short_of(chance: float, odds: float) -> str:
    """Return a chance that is less than what was asked for, also where both round to one figure."""
    return f"just under {odds:g} %" if round(chance * 100) >= odds else chance_words(chance)


def _with_sentences(view: PromiseView, today: date, asked: _Asked, *, hung: bool) -> PromiseView:
    as_if = f", as if {'it ' if asked.supposed.startswith('were') else ''}{asked.supposed}" if asked.supposed else ""
    sentences = [
        f"Job {view.job} {view.title}: {day_words(view.day, today)} is the first day that holds with {view.odds:g} %, given "
        f"everything planned{as_if}: {chance_words(view.chance)}, the day before {_short_of(view.before, view.odds)}.",
        f"The plan {'would have' if asked.supposed else 'has'} it done {day_words(view.planned, today)}.",
    ]
    if asked.moved:
        jobs = listed([f"job {number}" for number in asked.moved], most=6)
        sentences.append(
            f"It only fits so if {jobs} {'moves' if len(asked.moved) == 1 else 'move'}; no promise is lost by that."
        )
    if view.promised is not None and view.promised_chance is not None:
        chance = view.promised_chance
        words = _short_of(chance, view.odds) if chance < view.odds / 100 else chance_words(chance)
        sentences.append(f"Promised is {day_words(view.promised, today)}: {words}.")
    if hung:
        sentences.append(f"{upper(TAKEN_SETTLED)}: the day holds only if it is, so promise it with that.")
    if view.promised != view.day:
        booked = " --state booked" if asked.not_booked else ""
        sentences.append(
            f"`crewjobs amend {view.job}{booked} --promised {view.day.isoformat()}` promises that day; nothing was kept."
        )
        if asked.to_come:
            sentences.append(f"Order first: {asked.to_come}.")
    return replace(view, sentences=tuple(sentences))
