"""The odds of the plan in force: the chance of each promise, likely and late finishes.

Odds are answers: nothing is kept, and no plan is changed by them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

import numpy as np

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import chance_words, counted, day_words, listed
from crewjobs.engines.answering.standing import end_of, last_day, promised_jobs
from crewjobs.engines.learning.lateness import Lateness
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.planning.calendars import Axis
from crewjobs.engines.planning.odds import Sampled, sample
from crewjobs.engines.planning.odds_network import network_of
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.services.findings.hanging import finish_hangs
from crewjobs.services.odds.lateness import known_lateness, lateness_words
from crewjobs.services.odds.odds_rows import DriverRow, OddsRow, OddsView
from crewjobs.services.odds.odds_spread import spreads_of, without_done
from crewjobs.services.odds.odds_words import Telling
from crewjobs.services.rates.learned import known
from crewjobs.services.rates.paces import jobs_told
from crewjobs.services.waiting.unmeasured import what_to_do
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.visits import planned
from crewjobs.services.weeks.week import stale_words

if TYPE_CHECKING:
    from crewjobs.services.rows import WeekView
    from crewjobs.storage.unit_of_work import UnitOfWork

SEED: Final = 1
"""The same records give the same odds."""
LIKELY: Final = 0.5
LATE: Final = (0.8, 0.95)
NO_PLAN: Final = "nothing is planned yet: `crewjobs plan` does it."
LATEST: Final = 60
"""So many jobs done or closed tell, beside those under way, how late deliveries and others are nowadays."""
TAKEN_SETTLED: Final = "what was found there is taken as settled by then"
"""Of a job whose days hang on what was found: nobody knows how likely that is, so no chance of it is in the odds."""
STRONGEST: Final = 2
EVERY: Final = 10_000
NOT_LOOKED_AT: Final = (
    "Not looked at: shared tools, small visits in between, waits that may last no longer than so long, and findings nobody has made "
    "yet; so odds are hopeful there."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """The plan in force, sampled; `unticked` are jobs with work that was planned for a day gone by and is not ticked."""

    problem: PlanProblem
    plan: WeekPlan
    stale: str
    axis: Axis
    sampled: Sampled
    telling: Telling
    taken: tuple[str, ...]
    unticked: frozenset[int]

    @property
    def samples(self) -> int:
        """Return how many samples there are."""
        return int(self.sampled.ends.shape[1])

    def ahead(self, job: int) -> bool:
        """Return whether any work of a job lies ahead in the plan."""
        return any(step.job == job for step in self.sampled.network.steps)

    def drivers(self, job: int) -> tuple[DriverRow, ...]:
        """Return what moves a job's finish: the strongest two, and the strongest block and late thing where these are others."""
        every = self.sampled.drivers(job, EVERY)
        blocks = [one for one in every if one.step is not None]
        lates = [one for one in every if one.what.startswith("late ")]
        shown = {*every[:STRONGEST], *blocks[:1], *lates[:1]}
        return self.telling.rows(job, tuple(one for one in every if one in shown))

    def chance(self, record: JobRecord, day: date) -> tuple[float, float]:
        """Return the chance that a job is done on a day of its site or before, and its standard error."""
        slot = self.axis.up(to_utc(record.job.site.zone, day + timedelta(days=1), 0))
        number = record.job.number
        return self.sampled.chance_by(number, slot), self.sampled.chance_error(number, slot)

    def day_of(self, record: JobRecord, chance: float) -> date | None:
        """Return the first day by which a job is done with a chance, None where it lies after the plan's days."""
        slot = self.sampled.finish(record.job.number, chance)
        return last_day(record, self.axis.at(slot)) if slot <= self.axis.slots else None


def odds_view(
    uow: UnitOfWork, now: datetime, job: int | None = None, stop: Callable[[], bool] | None = None
) -> OddsView:
    """Return the odds of every job with a promise, or of one job; `stop` is asked between the steps.

    Raises:
        Refused: nothing is planned yet, of the job that is asked about nothing is left to plan, or it was stopped.
    """
    if job is not None:
        check(uow.job(job))
    found = odds_of(uow, now, stop)
    records = promised_jobs(found.problem)
    if job is not None:
        records = tuple(record for record in found.problem.jobs if record.job.number == job)
    rows = tuple(_row(found, record) for record in records if goes_on(stop))
    return OddsView(
        plan_number=found.plan.number,
        stale=found.stale,
        samples=found.samples,
        error=max((row.error for row in rows if row.error is not None), default=0.0),
        rows=tuple(sorted(rows, key=lambda row: (row.promised or date.max, row.job))),
        taken=found.taken,
    )


def with_chances(uow: UnitOfWork, now: datetime, view: WeekView) -> WeekView:
    """Return a week with the chance beside each promise that has one."""
    if not view.promises:
        return view
    chances = {row.job: row.chance for row in odds_view(uow, now).rows}
    return replace(view, promises=tuple(replace(row, chance=chances.get(row.job)) for row in view.promises))


def goes_on(stop: Callable[[], bool] | None) -> bool:
    """Return that nobody has stopped it.

    Raises:
        Refused: somebody has.
    """
    if stop is not None and stop():
        raise Refused("the odds were not looked at to the end: they are not wanted any more.")
    return True


def odds_of(uow: UnitOfWork, now: datetime, stop: Callable[[], bool] | None = None) -> Odds:
    """Return the plan in force, sampled with each crew's pace as it is known; `stop` is asked between the steps.

    Raises:
        Refused: nothing is planned yet, or it was stopped.
    """
    in_force = planned(uow)
    if in_force is None:
        raise Refused(NO_PLAN)
    problem = problem_of(uow, now)
    goes_on(stop)
    return sampled(uow, now, problem, in_force.plan, in_force.records, stale_words(uow, in_force, now), stop)


def sampled(
    uow: UnitOfWork,
    now: datetime,
    problem: PlanProblem,
    whole: WeekPlan,
    records: Mapping[int, JobRecord],
    stale: str = "",
    stop: Callable[[], bool] | None = None,
) -> Odds:
    """Return any plan, sampled with each crew's pace as it is known; `records` are of the jobs it speaks of.

    Raises:
        Refused: it was stopped.
    """
    found = known(uow, now)
    pace = found.pace
    plan = without_done(whole, records)
    days_gone = frozenset(_unticked(plan, records, now))
    taken_done = sorted({one.key.job for one in plan.placements if one.end <= now} - days_gone)
    late = known_lateness((*uow.ended_jobs(LATEST), *records.values()), now)
    network = network_of(problem, plan, spreads_of(problem, plan, pace, late))
    goes_on(stop)
    return Odds(
        problem=problem,
        plan=whole,
        stale=" ".join(filter(None, (stale, _taken_done_words(taken_done)))),
        axis=network.axis,
        sampled=sample(network.network, np.random.default_rng(SEED)),
        telling=Telling(
            problem=problem,
            keys=network.keys,
            placements={one.key: one for one in plan.placements},
            pace=pace,
            today=problem.today,
        ),
        taken=_taken(pace, jobs_told(found.days), late, problem),
        unticked=days_gone,
    )


def _taken_done_words(jobs: Sequence[int]) -> str:
    """Say which jobs have work that was to be done by this hour of today, so that it is taken as done."""
    if not jobs:
        return ""
    named = listed([f"job {number}" for number in jobs], most=6)
    return f"Work planned to be done by now and not ticked is taken as done ({named}): tick what is, say how far the rest is."


def _unticked(plan: WeekPlan, records: Mapping[int, JobRecord], now: datetime) -> Iterator[int]:
    """Yield the jobs that have blocks left which were planned to end on a day of the site before today."""
    for placed in plan.placements:
        zone = records[placed.key.job].job.site.zone
        if to_wall(zone, placed.end).date() < to_wall(zone, now).date():
            yield placed.key.job


def check(record: JobRecord) -> None:
    """Refuse a job of which nothing is left to be planned."""
    job = record.job
    if job.state in (JobState.DONE, JobState.CLOSED, JobState.CALLED_OFF):
        raise Refused(f"job {job.number} is {job.state.value}: nothing of it is planned.")
    if job.unmeasured:
        raise Refused(f"job {job.number} has no rooms yet, so no tasks; {what_to_do(job)}.")
    if not any(task.open for task in record.tasks):
        raise Refused(f"job {job.number} has nothing left to do: every task is done.")


# -- one job


def no_odds(found: Odds, record: JobRecord) -> str:
    """Return why a job has no odds, after its number; empty where it has."""
    number = record.job.number
    if record.job.state is not JobState.BOOKED:
        return f"is {record.job.state.value}, not booked, so it is in no plan."
    left = [one.why for one in found.plan.left_out if one.job == number]
    if left:
        return f"is not planned to its end: {left[0].rstrip('.')}."
    if not any(placed.key.job == number for placed in found.plan.placements):
        return "is not in the plan: `crewjobs plan` plans it."
    if number in found.unticked or not found.ahead(number):
        return "has work that was planned to be done by now and is not ticked: tick what is done, or `crewjobs plan`."
    return ""


def hangs(found: Odds, record: JobRecord) -> bool:
    """Return whether a job's days, and so its odds, hold only if something found is settled by then."""
    return finish_hangs(record, found.problem.now)


def _row(found: Odds, record: JobRecord) -> OddsRow:
    job, today = record.job, found.problem.today
    note = no_odds(found, record)
    end = end_of(found.plan, job.number) if not note else None
    head = f"job {job.number} {job.title}"
    told = f"{head}: promised {day_words(job.promised, today)}" if job.promised is not None else head
    chance, error = found.chance(record, job.promised) if job.promised is not None and not note else (None, None)
    likely, by_80, by_95 = ((found.day_of(record, one) if not note else None) for one in (LIKELY, *LATE))
    planned_day = last_day(record, end) if end is not None else None
    if note:
        sentence, days = f"{told}; it {note}", ""
    else:
        sentence = (
            f"{told}, holds with a chance of {chance_words(chance)}"
            if chance is not None
            else f"{told}: nothing is promised"
        )
        first, second = (f"{one * 100:.0f} %" for one in LATE)
        until = day_words(to_wall(job.site.zone, found.axis.end).date(), today)
        words = [
            f"by {day_words(day, today)}" if day is not None else f"only after {until}"
            for day in (likely, by_80, by_95)
        ]
        plan = f"planned {day_words(planned_day, today)}; " if planned_day is not None else ""
        days = f"{plan}likely done {words[0].removeprefix('by ')}, with {first} {words[1]}, with {second} {words[2]}"
        days += f"; {TAKEN_SETTLED}" if hangs(found, record) else ""
    return OddsRow(
        job=job.number,
        title=job.title,
        promised=job.promised,
        planned=planned_day,
        chance=chance,
        error=error,
        likely=likely,
        by_80=by_80,
        by_95=by_95,
        drivers=found.drivers(job.number) if not note else (),
        note=note,
        sentence=sentence,
        days=days,
    )


# -- what odds stand on


def _taken(pace: Pace, jobs: int, late: Lateness, problem: PlanProblem) -> tuple[str, ...]:
    """Return what odds stand on, in sentences."""
    if jobs:
        crews = sorted({crew for crew, _ in pace.jobs})
        times = f"Times are by each crew's own pace as far as hours are known ({listed(crews, most=6)}: {counted(jobs, 'job')}), else the book's"
    else:
        times = "No hours of crews are known yet, so times are the book's"
    subs = [crew.name for crew in problem.shop.crews if crew.sub is not None]
    of_subs = f" Of {listed(subs)}, paid by the foot, only the estimates' own spread is taken." if subs else ""
    return (
        f"{times}, with how sure it is, how jobs differ ({pace.scales.job * 100:.0f} %) and how tasks of one do "
        f"({pace.scales.within * 100:.0f} %).{of_subs}",
        lateness_words(late),
        "Every crew keeps its order of work; what takes longer moves the rest to the right inside hours, to no other crew. "
        + NOT_LOOKED_AT,
        *_settled_words(problem),
    )


def _settled_words(problem: PlanProblem) -> Iterator[str]:
    """Yield that findings are taken as settled, and of which jobs."""
    booked = (record for record in problem.jobs if record.job.state is JobState.BOOKED)
    if jobs := [f"job {record.job.number}" for record in booked if finish_hangs(record, problem.now)]:
        yield f"What was found and is not settled ({listed(jobs, most=6)}) is taken as settled by the day the plan has for it."
