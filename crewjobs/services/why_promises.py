"""Which promises clash in the plan in force, which cannot be kept at all, and what can be done: all tried in seconds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed
from crewjobs.engines.answering.clash_words import clash_sentence, way_sentence
from crewjobs.engines.answering.clashes import Clash, Clashes, clashes
from crewjobs.engines.answering.shortage import shortage
from crewjobs.engines.answering.standing import alone, last_day
from crewjobs.engines.answering.together import Keeps, by_orders_and_solver
from crewjobs.engines.answering.ways_out import WayOut, in_another_order, overtime, ways_out
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.services.why_rows import ClashRow, SlipRow, WayOutRow, WhyView

SECONDS: Final = 3.0
"""How long is looked for clashes and ways out."""
CLASHES_SHARE: Final = 0.7
"""Share of that time for finding what clashes; the rest is for the ways out."""
MOST: Final = 3
"""So many clashes are told, each with its ways out; for so many promises that cannot be kept overtime is tried."""

keeps: Callable[[Stop], Keeps] = by_orders_and_solver
"""Tries whether some promises can be kept together."""
Deadline = Callable[[float], Stop]
"""Returns what to ask whether so many seconds are over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is read for an answer about promises; `seen` are other plans there are, such as a proposal that waits."""

    problem: PlanProblem
    plan: WeekPlan
    stale: str
    seen: tuple[WeekPlan, ...]


def promises(asked: Asked, deadline: Deadline, job: int | None = None) -> WhyView:
    """Return how the promises stand that do not hold, or of those only what one job has to do with."""
    problem, plan = asked.problem, asked.plan
    stop, last = deadline(SECONDS * CLASHES_SHARE), deadline(SECONDS)
    known = clashes(problem, plan, keeps(stop), stop, seen=asked.seen, only_of=job)
    chosen = known.clashes[:MOST]
    rows = tuple(_clash(asked, clash, known, last) for clash in chosen)
    order = in_another_order(problem, plan, known, keeps(last))
    saves = _saves(asked, known, last) if job is None else ()
    done = known.finished and len(chosen) == len(known.clashes) and not last()
    return WhyView(
        plan_number=plan.number,
        stale=asked.stale,
        job=None,
        late=tuple(_late_sentences(asked, known)) if job is None else (),
        saves=tuple(_way(problem, way) for way in saves),
        clashes=rows,
        order=_way(problem, order) if order is not None else None,
        note="" if done else "There was no time to try everything: more may clash, or help.",
    )


def _late_sentences(asked: Asked, known: Clashes) -> Iterator[str]:
    """Yield what is to be said of every promise that no plan keeps, and of those there was no time for."""
    records = {record.job.number: record for record in asked.problem.jobs}
    for number in sorted({*known.impossible, *known.alone_late}):
        yield _late_sentence(asked, records[number], proved=number in known.impossible)
    if known.unknown:
        jobs = f"Job{'' if len(known.unknown) == 1 else 's'} {listed([str(n) for n in known.unknown], most=9)}"
        yield f"{jobs} {'is' if len(known.unknown) == 1 else 'are'} late in this plan; there was no time to find out why."


def _late_sentence(asked: Asked, record: JobRecord, *, proved: bool) -> str:
    number, promised, zone = record.job.number, record.job.promised, record.job.site.zone
    day = day_words(promised) if promised else ""
    gone_by = promised is not None and promised < to_wall(zone, asked.problem.now).date()
    left = next((one.why for one in asked.plan.left_out if one.job == number), "")
    found = alone(asked.problem, asked.plan, number) if not left else None
    earliest = f"the earliest day to promise is {day_words(last_day(record, found.end))}" if found else ""
    if gone_by:
        return f"Job {number} was promised {day}, which has gone by: {earliest or 'agree on another day'}."
    head = f"Job {number} is promised {day}"
    if left:
        return f"{head} and has no finish: {left}."
    if not earliest:
        return f"{head} and has no finish even with every crew free."
    cannot = "cannot be kept" if proved else "no plan tried keeps"
    return f"{head}, which {cannot} even with every crew free: {earliest} (`crewjobs why {number}` says why)."


def _saves(asked: Asked, known: Clashes, stop: Stop) -> Iterator[WayOut]:
    """Yield the extra work that keeps promises which cannot be kept otherwise."""
    today = {r.job.number: to_wall(r.job.site.zone, asked.problem.now).date() for r in asked.problem.jobs}
    out = {left.job for left in asked.plan.left_out}
    numbers = [
        record.job.number
        for record in asked.problem.jobs
        if record.job.number in {*known.impossible, *known.alone_late} - out
        and record.job.promised is not None
        and record.job.promised >= today[record.job.number]
    ]
    for number in sorted(numbers)[:MOST]:
        way = overtime(asked.problem, asked.plan, number, known, keeps(stop), stop)
        if way is not None:
            yield way


def _clash(asked: Asked, clash: Clash, known: Clashes, stop: Stop) -> ClashRow:
    short = shortage(asked.problem, clash.jobs)
    ways = ways_out(asked.problem, asked.plan, clash, known, keeps(stop), stop)
    return ClashRow(
        jobs=clash.jobs,
        smallest=clash.smallest,
        proved=short is not None,
        sentence=clash_sentence(asked.problem, clash, short),
        ways=tuple(_way(asked.problem, way) for way in ways),
    )


def _way(problem: PlanProblem, way: WayOut) -> WayOutRow:
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    return WayOutRow(
        kind=way.kind.name.lower().replace("_", " "),
        sentence=way_sentence(problem, way),
        keeps=way.keeps,
        slips=tuple(
            SlipRow(
                job=slip.job,
                promised=slip.promised,
                finish=to_wall(zones[slip.job], slip.end) if slip.end is not None else None,
            )
            for slip in way.slips
        ),
    )
