"""A season of the demo shop with hidden true paces, its promises made in three ways: ``python -m tests.benchmarks.season --seed 1 --json``.

Jobs like those of ``seed_data`` come in (`season_shop`). Each is planned on the morning it comes in and promised for a day by a policy:
``book``: the day it is planned to be done by the book's times; ``average``: the same, each crew's times the plain average of its hours so far
over the book's; ``crewjobs 80`` and ``90``: times by the learned pace, and the first day that holds with that chance (`odds`). Then the day is
worked at the true paces (`season_work`), hours are written down as sums, each policy learns from its own, and what is left is planned
again the next morning: what can stay, stays. All policies work the same jobs with the same truth.

Printed for each: the share of promises kept, the mean lateness and its 95th percentile in working days, how many working days
out promises were and jobs really took; the same of the book's promises with as many days added as crewjobs's were further out, since
promising late alone keeps promises too; ratios of lateness; the seconds of one core each policy took, by the processor's own clock; and of each
thing expected whether it is held, held within its standard error, or not. Errors are standard errors with every promise by itself, and of
differences between policies with every job by itself, since all work the same jobs; promises of one season share its crews, so
the true errors are larger. ``--seasons`` adds up several seeds, ``--jobs`` makes a season shorter. How far it is goes to standard error, a line a minute at most.
"""

from __future__ import annotations

import json
import os
import statistics
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import nan, sqrt
from typing import Any, Final

import numpy as np

from crewjobs.domain.job import JobRecord
from crewjobs.domain.pace import WorkedDay
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_utc
from crewjobs.engines.answering.standing import end_of, last_day
from crewjobs.engines.estimating.worked import works
from crewjobs.engines.learning.lateness import Kept, WordKind, learn_lateness
from crewjobs.engines.learning.pace import learn
from crewjobs.engines.learning.predicting import job_pace
from crewjobs.engines.planning.improve import repaired_cost
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.odds import sample
from crewjobs.engines.planning.odds_network import network_of
from crewjobs.engines.planning.paces import BOOK, Paces
from crewjobs.engines.planning.problem import Earliest, PlanProblem
from crewjobs.engines.readiness.clocks import wait_ends
from crewjobs.engines.readiness.hold import FactKind
from crewjobs.services.odds.odds_spread import spreads_of
from tests.benchmarks.arguments import MOST_SEED, MOST_WORKERS, Arguments, whole
from tests.benchmarks.judged import Estimate, judge, verdicts
from tests.benchmarks.progress import Progress, counted
from tests.benchmarks.season_shop import MORNING, Coming, Season, season, workdays
from tests.benchmarks.season_work import worked_day

JOBS: Final = 60
DAYS: Final = 42
"""The days a plan looks ahead."""
MOST_DAYS: Final = 400
SAMPLES: Final = 2000
POLICIES: Final = {"book": 0.0, "average": 0.0, "crewjobs 80": 0.8, "crewjobs 90": 0.9}
"""With the chance each promises for. More than that is kept where planning again each morning wins days back."""


@dataclass(frozen=True, slots=True)
class Promise:
    """What became of one promise: working days out, late (0 if kept), and days from coming in to the end."""

    job: int
    out: int
    took: int
    late: int


@dataclass(slots=True)
class _Going:
    """A season under way by one policy."""

    made: Season
    records: dict[int, JobRecord]
    days: list[WorkedDay]
    kept: list[Kept]
    plan: WeekPlan | None = None


def replay(
    seed: int, jobs: int, policy: str, ended: Callable[[], None] = lambda: None
) -> tuple[tuple[Promise, ...], float]:
    """Return what became of every promise of a season by a policy, and the seconds of one core that took; `ended` is called for each job that ends."""
    begin = time.process_time()
    made = season(seed, jobs)
    going, day, said, found = _Going(made, {}, [], []), made.jobs[0].on, dict[int, date](), list[Promise]()
    still = {job.number: job for job in made.jobs}
    for _ in range(MOST_DAYS):
        now, night = (to_utc(made.shop.zone, day + timedelta(days=n), m) for n, m in ((0, MORNING), (1, 0)))
        going.records |= {job.number: job.record for job in made.jobs if job.on == day}
        if going.records and day.weekday() < 6:
            problem = _problem(going, now, _paces(policy, going))
            going.plan = _planned(problem)
            for number in sorted(set(going.records) - set(said)):
                promised = _promise(policy, going, problem, number)
                if promised is not None:
                    said[number] = promised
                    record = going.records[number]
                    going.records[number] = replace(record, job=replace(record.job, promised=promised))
            more = _work(going, problem, day, night, said, still)
            found += more
            for _ in more:
                ended()
        if not still:
            break
        day += timedelta(days=1)
    return tuple(found), time.process_time() - begin


def _planned(problem: PlanProblem) -> WeekPlan:
    """Return the first plan, or the one before repaired; placements number their own plan, which is not stored here."""
    return plan_week(problem) if problem.previous is None else repaired_cost(problem, problem.previous)[0]


def _work(
    going: _Going, problem: PlanProblem, day: date, night: datetime, said: Mapping[int, date], still: dict[int, Coming]
) -> list[Promise]:
    """Work a day; return the promises of the jobs it ends."""
    assert going.plan is not None
    jobs = tuple(going.records[number] for number in sorted(going.records))
    true = replace(problem, jobs=jobs, earliest=_earliest(going, problem.now, true=True))
    evening = worked_day(true, going.plan, going.made.truth, day, night)
    going.records = dict(evening.records)
    going.days += evening.days
    shop, found = going.made.shop, list[Promise]()
    for job in list(still.values()):
        if problem.now <= job.comes < night:
            over = max(0.0, (job.comes - job.due) / timedelta(days=1))
            going.kept.append(Kept(kind=WordKind.DELIVERY, late=over > 0, days=over))
        record = going.records.get(job.number)
        if record is not None and not any(task.open for task in record.tasks):
            del going.records[job.number], still[job.number]
            promised = said[job.number]
            late = max(1, workdays(shop, promised, day)) if day > promised else 0  # a Saturday's end is late for Friday
            out, took = workdays(shop, job.on, promised), workdays(shop, job.on, day)
            found.append(Promise(job=job.number, out=out, took=took, late=late))
    return found


def _problem(going: _Going, now: datetime, paces: Paces) -> PlanProblem:
    return PlanProblem(
        now=now,
        days=DAYS,
        shop=going.made.shop,
        jobs=tuple(going.records[number] for number in sorted(going.records)),
        earliest=_earliest(going, now),
        impossible={},
        drive={},
        previous=going.plan,
        paces=paces,
    )


def _earliest(going: _Going, now: datetime, *, true: bool = False) -> dict[tuple[int, int], tuple[Earliest, ...]]:
    """Return what is known to hold tasks back: waits that run, and floors that are due.

    A floor that did not come when it was due has a new date then, which is kept.
    """
    found: dict[tuple[int, int], tuple[Earliest, ...]] = {}

    def add(job: int, task: int, fact: Earliest) -> None:
        found[job, task] = (*found.get((job, task), ()), fact)

    for job in going.made.jobs:
        record = going.records.get(job.number)
        if record is None:
            continue
        for link in record.links:
            done = record.task(link.before).done_at
            if done is not None and link.wait_min and wait_ends(link, done) > now:
                add(job.number, link.after, Earliest(at=wait_ends(link, done), reason="dry by", kind=FactKind.CURE))
        overdue = job.due <= now
        at = job.comes if true or overdue else job.due
        if at > now:
            kind = FactKind.OTHER if true or overdue else FactKind.DUE
            for task in job.waiting():
                if record.task(task.number).open:
                    add(job.number, task.number, Earliest(at=at, reason="the floor is due", kind=kind))
    return found


def _paces(policy: str, going: _Going) -> Paces:
    """Return the paces a policy plans by."""
    open_work = {
        number: works(record, [task.number for task in record.tasks if task.open])
        for number, record in going.records.items()
    }
    crews = [crew.name for crew in going.made.shop.crews]
    if policy == "book" or not going.days:
        return BOOK
    if policy == "average":
        took = {crew: _average(going.days, crew) for crew in crews}
        times = {
            (crew, job, task.number): took[crew] for crew in crews for job, tasks in open_work.items() for task in tasks
        }
        return Paces(times=times)
    pace, times, spreads = learn(going.days), {}, {}
    for crew in crews:
        for job, tasks in open_work.items():
            if tasks:
                factors, spreads[crew, job] = job_pace(pace, crew, tasks)
                times.update({(crew, job, task.number): f for task, f in zip(tasks, factors, strict=True)})
    return Paces(times=times, spreads=spreads)


def _average(days: Sequence[WorkedDay], crew: str) -> float:
    mine = [day for day in days if day.crew == crew]
    return sum(day.labor_min for day in mine) / sum(day.book_min for day in mine) if mine else 1.0


def _promise(policy: str, going: _Going, problem: PlanProblem, number: int) -> date | None:
    """Return the day a job is promised for, None where the plan does not reach its end yet."""
    assert going.plan is not None
    end, record = end_of(going.plan, number), going.records[number]
    if end is None:
        return None
    chance = POLICIES[policy]
    if not chance:
        return last_day(record, end)
    spreads = spreads_of(problem, going.plan, learn(going.days), learn_lateness(going.kept))
    network = network_of(problem, going.plan, spreads)
    run = sample(network.network, np.random.default_rng(1), SAMPLES)
    slot = min(run.finish(number, chance), network.axis.slots)
    return last_day(record, network.axis.at(slot))


# -- figures


def figures(promises: Sequence[Promise]) -> dict[str, Any]:
    """Return what became of promises; errors are standard errors, each promise by itself."""
    lates = sorted(one.late for one in promises)
    count = len(lates)
    kept = sum(late == 0 for late in lates) / count
    return {
        "promises": count,
        "kept": round(kept, 3),
        "kept_error": round(sqrt(kept * (1 - kept) / count), 3),
        "late_days_mean": round(statistics.fmean(lates), 3),
        "late_days_mean_error": round(statistics.stdev(lates) / sqrt(count), 3) if count > 1 else None,
        "late_days_95": float(np.quantile(lates, 0.95)),
        "days_out_mean": round(statistics.fmean(one.out for one in promises), 2),
        "days_out_most": max(one.out for one in promises),
        "days_took_mean": round(statistics.fmean(one.took for one in promises), 2),
    }


def padded(promises: Sequence[Promise], days: int) -> list[Promise]:
    """Return the same promises made so many working days later, the work as it was."""
    return [replace(one, out=one.out + days, late=max(0, one.late - days) if one.late else 0) for one in promises]


def seasons(seed: int, count: int, jobs: int, processes: int | None = None) -> dict[str, Any]:
    """Return the figures of all policies over some seasons."""
    asked = [(seed + number, jobs, policy) for policy in POLICIES for number in range(count)]
    progress = Progress("season, jobs of all policies", len(asked) * jobs)
    came = counted(replay, asked, min(processes or os.cpu_count() or 1, len(asked)), progress)
    promises: dict[str, list[Promise]] = {policy: [] for policy in POLICIES}
    lates: dict[str, Lates] = {policy: {} for policy in POLICIES}
    seconds = dict.fromkeys(POLICIES, 0.0)
    for (number, _, policy), (found, took) in zip(asked, came, strict=True):
        promises[policy] += found
        lates[policy] |= {(number, one.job): one.late for one in found}
        seconds[policy] += took
    rows = {policy: figures(ones) for policy, ones in promises.items()}
    expected = dict[str, Any]()
    for policy in ("crewjobs 80", "crewjobs 90"):
        expected[f"{policy} kept"] = judge((rows[policy]["kept"], rows[policy]["kept_error"]), least=POLICIES[policy])
        more = max(0, round(rows[policy]["days_out_mean"] - rows["book"]["days_out_mean"]))
        rows[f"book, {more} days more, as {policy}"] = figures(padded(promises["book"], more))
        others = {
            "average": lates["average"],
            "book": lates["book"],
            f"book, {more} days more": {key: max(0, late - more) for key, late in lates["book"].items()},
        }
        for other, theirs in others.items():
            expected[f"{policy} late days less {other}'s"] = judge(difference(lates[policy], theirs), most=0)
    return {
        "seasons": count,
        "jobs_each": jobs,
        "policies": rows,
        "ratios": {
            f"{what} of {policy} over {other}": _ratio(rows[policy][what], rows[other][what])
            for what in ("late_days_mean", "late_days_95", "days_out_mean")
            for policy in ("crewjobs 80", "crewjobs 90")
            for other in ("book", "average")
        },
        "core_seconds": {policy: round(took, 1) for policy, took in seconds.items()},
        "expected": expected,
    }


Lates = dict[tuple[int, int], int]
"""Days late by season and job."""


def difference(one: Lates, other: Lates) -> Estimate:
    """Return by how many days later jobs are by one policy than by another, on the average, and its standard error, jobs in pairs."""
    less = [one[key] - other[key] for key in sorted(one.keys() & other.keys())]
    return statistics.fmean(less), statistics.stdev(less) / sqrt(len(less)) if len(less) > 1 else nan


def _ratio(one: float, other: float) -> float | None:
    return round(one / other, 3) if other else None


def lines(found: Mapping[str, Any]) -> list[str]:
    """Return the figures as lines for people."""
    said = [f"{found['seasons']} seasons of {found['jobs_each']} jobs"]
    for part in ("policies", "ratios", "core_seconds"):
        said += [part, *(f"  {name:<44} {value}" for name, value in found[part].items())]
    return [*said, "expected", *verdicts(found["expected"])]


def main() -> None:
    """Replay and print."""
    parser = Arguments(prog="season", description=__doc__)
    parser.add_argument("--seed", type=whole(0, MOST_SEED), default=1)
    parser.add_argument("--seasons", type=whole(1, 1000), default=1)
    parser.add_argument("--jobs", type=whole(2, 1000), default=JOBS)
    parser.add_argument("--processes", type=whole(1, MOST_WORKERS), default=None)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    found = {"seed": args.seed, **seasons(args.seed, args.seasons, args.jobs, args.processes)}
    print(json.dumps(found, indent=2, ensure_ascii=False) if args.json else "\n".join(lines(found)))


if __name__ == "__main__":
    main()
