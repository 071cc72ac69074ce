"""Promises that no plan keeps: a sentence each, or where there are many the sum first and what has one reason together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, listed, upper
from crewjobs.engines.answering.clash_words import dear_sentence
from crewjobs.engines.answering.effort import Effort
from crewjobs.engines.answering.ground import Ground
from crewjobs.engines.answering.promises import Found
from crewjobs.engines.answering.standing import Need, alone, end_of, last_day
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.services.answers.why_rows import LateGroup, LateRow
from crewjobs.services.wording import handed_over

MANY: Final = 4
"""So many promises are told together; fewer with a sentence each."""
MOST_REASONS: Final = 20
"""Of so many the reason is looked for, each by a plan of the job alone; the rest are told together."""
GONE_BY: Final = "The promised day has gone by"
NO_FINISH: Final = "no finish"
TOO_LATE: Final = "the work can go on only after the promise"
TOO_LATE_OF: Final = {
    "what was ordered comes": "what was ordered comes only after the promise",
    "its material is ready": "the material is ready only after the promise",
    "the house is ready": "the house is ready only after the promise",
}
"""What to say of several jobs for what becomes so when the last fact has come."""
HOURS: Final = "more work is left than any crew has hours there before the promise"
CURES: Final = "work with its drying and curing takes longer than there is until the promise"
ANYHOW: Final = "even with every crew free"


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """What is said of them: `sum` and `groups` only where there are many."""

    rows: tuple[LateRow, ...] = ()
    sum: str = ""
    groups: tuple[LateGroup, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """A promise that no plan keeps: the last day of work in the plan in force and the day before which none ends it."""

    record: JobRecord
    promised: date
    planned: date | None
    soonest: date | None
    proved: bool
    gone_by: bool
    left: str
    """Why it has no finish, where it has none."""

    @property
    def job(self) -> int:
        """Return the job's number."""
        return self.record.job.number

    @property
    def days(self) -> int | None:
        """Return how many days late the plan in force has it."""
        return max(0, (self.planned - self.promised).days) if self.planned is not None else None

    @property
    def least(self) -> int:
        """Return how many days late it is at the least in any plan."""
        return max(0, (self.soonest - self.promised).days) if self.soonest is not None else 0


def late_of(problem: PlanProblem, plan: WeekPlan, found: Found) -> Late:
    """Return what is to be said of every promise that no plan keeps, and of those there was no time for.

    No effort is counted here: it is a forward pass a job, and where there are many a plan of each alone.
    """
    ground = Ground(problem, Effort(float("inf")))
    numbers = sorted({*found.impossible, *found.alone_late})
    cases = [_case(ground, plan, number, proved=number in found.impossible) for number in numbers]
    told = [case for case in cases if case is not None]
    many = len(told) >= MANY
    rows = tuple(
        LateRow(
            job=case.job, sentence=_sentence(case, problem.today), explained=True, days_late=case.days, grouped=many
        )
        for case in told
    )
    return Late(
        rows=(*rows, *_others(problem, found)),
        sum=_sum(told) if many else "",
        groups=tuple(_groups(problem, plan, told)) if many else (),
    )


def _case(ground: Ground, plan: WeekPlan, number: int, *, proved: bool) -> _Case | None:
    record, problem = ground.records[number], ground.problem
    promised = record.job.promised
    if promised is None:
        return None
    end, least = end_of(plan, number), ground.soonest(number)
    left = next((one.why for one in plan.left_out if one.job == number), "")
    return _Case(
        record=record,
        promised=promised,
        planned=last_day(record, end) if end is not None else None,
        soonest=last_day(record, least) if least is not None else None,
        proved=proved,
        gone_by=promised < to_wall(record.job.site.zone, problem.now).date(),
        left="" if end is not None else left or "some of it has no place in this plan",
    )


# -- one by one


def _sentence(case: _Case, today: date) -> str:
    """Return what is said of a promise that is not kept: the day the plan ends it on, and the day before which none can."""
    day = day_words(case.promised, today)
    gone = f"Job {case.job} was promised {day}, which has gone by"
    if case.planned is None:
        head = f"{gone}," if case.gone_by else f"Job {case.job} is promised {day}"
        return f"{head} and has no finish: {case.left}."
    done = f"this plan has it done {day_words(case.planned, today)}"
    if case.soonest is not None and case.promised < case.soonest < case.planned:
        done += f", and no plan before {day_words(case.soonest, today)}"
    elif case.soonest == case.planned:
        done += ", and none does sooner"
    if case.gone_by:
        return f"{gone}: {done}."
    none = "which cannot be kept" if case.proved else "and no plan was found that keeps it"
    stays = "".join(f" {words}" for words in handed_over(case.record)) if case.planned is not None else ""
    return f"Job {case.job} is promised {day}, {none} even with every crew free: {done}.{stays}"


def _others(problem: PlanProblem, found: Found) -> Iterator[LateRow]:
    """Yield what is said of promises that some plan may keep, but at a cost, or that there was no time for."""
    for way in found.dear:
        sentence = dear_sentence(problem, way.keeps[0], way)
        yield LateRow(job=way.keeps[0], sentence=sentence, explained=True)
    if found.unknown:
        one = len(found.unknown) == 1
        jobs = f"Job{'' if one else 's'} {listed([str(n) for n in found.unknown], most=9)} {'is' if one else 'are'}"
        why = "late in this plan, too; what can be done was not found in the time there is: `crewjobs proposal` looks longer."
        yield LateRow(job=found.unknown[0], sentence=f"{jobs} {why}", explained=False)


# -- together


def _sum(cases: Sequence[_Case]) -> str:
    """Return how many there are, and how many days late they are in all: in the plan in force, and at the least."""
    ended, endless = [case for case in cases if case.days is not None], [case for case in cases if case.days is None]
    said = []
    if ended:
        days, least = sum(case.days or 0 for case in ended), sum(case.least for case in ended)
        which = "they are" if not endless else "the one with a finish is" if len(ended) == 1 else f"{len(ended)} are"
        best = f", in any plan {least} at the least" if 0 < least < days else ", and in no plan less" if least else ""
        said.append(f"{which} in all {counted(days, 'day')} late in this plan{best}")
    if endless:
        said.append(f"{len(endless)} {'has' if len(endless) == 1 else 'have'} no finish")
    proved = all(case.proved or case.gone_by or case.planned is None for case in cases)
    verdict = "cannot be kept" if proved else "are kept by no plan that was found"
    return f"{len(cases)} promises {verdict}: {'; '.join(said)}."


def _groups(problem: PlanProblem, plan: WeekPlan, cases: Sequence[_Case]) -> Iterator[LateGroup]:
    """Yield the cases by their reason, the most days late first; what has no finish stands last, by why that is so."""
    by_head: dict[str, list[_Case]] = {}
    for at, case in enumerate(cases):
        head = _known(case) or (_reason(problem, plan, case.job) if at < MOST_REASONS else ANYHOW)
        by_head.setdefault(head, []).append(case)
    order = sorted(
        by_head.items(), key=lambda item: (item[1][0].planned is None, -sum(one.days or 0 for one in item[1]))
    )
    for head, of_head in order:
        ranked = sorted(of_head, key=lambda case: (-(case.days or 0), case.job))
        lines = tuple(_line(case, problem.today) for case in ranked)
        yield LateGroup(head=f"{upper(head)}:", lines=lines)


def _known(case: _Case) -> str:
    """Return the reason that needs no plan to be found, empty where there is none."""
    if case.planned is None:
        return f"{NO_FINISH}, {case.left}"
    return GONE_BY if case.gone_by else ""


def _reason(problem: PlanProblem, plan: WeekPlan, job: int) -> str:
    found = alone(problem, plan, job)
    return _need(found.need) if found is not None and found.need is not None else ANYHOW


def _need(need: Need) -> str:
    if need.since >= need.until:
        return TOO_LATE_OF.get(need.what, TOO_LATE)
    return HOURS if need.work_min > need.has_min else CURES


def _line(case: _Case, today: date) -> str:
    """Return one of many: ``job 12 Music room: promised Thu 12 Mar, done Tue 17 Mar, 5 days late, none sooner``."""
    head = f"job {case.job} {case.record.job.title}: promised {day_words(case.promised, today)}"
    if case.planned is None or case.days is None:
        return head
    line = f"{head}, done {day_words(case.planned, today)}, {counted(case.days, 'day')} late"
    if case.soonest == case.planned:
        return f"{line}, no plan sooner"
    sooner = case.soonest is not None and case.promised < case.soonest < case.planned
    return f"{line}, no plan before {day_words(case.soonest, today)}" if sooner and case.soonest else line
