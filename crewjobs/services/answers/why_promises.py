"""Which promises clash in the plan in force, which cannot be kept at all, and what can be done: all tried in seconds."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import spans_words, to_wall
from crewjobs.engines.answering.clash_words import apart_sentence, clash_sentence, way_command, way_sentence
from crewjobs.engines.answering.clashes import Clash, sharing
from crewjobs.engines.answering.effort import Effort
from crewjobs.engines.answering.promises import Found, look
from crewjobs.engines.answering.shortage import shortage
from crewjobs.engines.answering.ways_out import WayOut
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.services.answers.why_late import Late, late_of
from crewjobs.services.answers.why_rows import ClashRow, SlipRow, WayOutRow, WhyView

SECONDS: Final = 3.0
"""How long is looked at most."""
EFFORT: Final = 2200.0
"""How much is tried at most, so that two idle cores are done before the time is over and every answer is found again."""

Deadline = Callable[[float], Stop]
"""Returns what to ask whether so many seconds are over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is read for an answer about promises; `seen` are other plans there are, such as a proposal that waits."""

    problem: PlanProblem
    plan: WeekPlan
    stale: str
    seen: tuple[WeekPlan, ...]


def look_at(asked: Asked, stop: Stop, job: int | None = None) -> Found:
    """Return how the promises stand that do not hold, or the one of a job, until `stop` or all of the effort is spent."""
    return look(asked.problem, asked.plan, Effort(EFFORT, stop), seen=asked.seen, only_of=job)


def named(found: Found) -> dict[str, WayOut]:
    """Return the ways that can be taken, by the names under which they are: each once, the first of a name as it is."""
    names: dict[str, WayOut] = {}
    for way in found.ways:
        if way.as_is or any(way is one for one in names.values()):
            continue
        name, more = way.name, 2
        while name in names:
            name, more = f"{way.name}-{more}", more + 1
        names[name] = way
    return names


def promises(asked: Asked, found: Found, job: int | None = None) -> WhyView:
    """Return what was found about promises, in rows and sentences."""
    names = {id(way): name for name, way in named(found).items()}
    late = late_of(asked.problem, asked.plan, found) if job is None else Late()

    def row(way: WayOut) -> WayOutRow:
        return _way(asked.problem, way, names.get(id(way), ""), job)

    return WhyView(
        plan_number=asked.plan.number,
        stale=asked.stale,
        job=None,
        late=late.rows,
        late_sum=late.sum,
        late_groups=late.groups,
        saves=tuple(row(way) for way in found.saves),
        clashes=tuple(_clashes(asked.problem, found, row)),
        order=row(found.order) if found.order is not None else None,
        note="There was no time to try everything: more may clash, or help." if found.cut else "",
    )


def _clashes(problem: PlanProblem, found: Found, row: Callable[[WayOut], WayOutRow]) -> Iterator[ClashRow]:
    """Yield what clashes; what one job clashes with one by one is said in one sentence, each way out of it once."""
    short_of = {clash.jobs: shortage(problem, clash.jobs) for clash, _ in found.clashes}

    def reason(clash: Clash) -> Hashable:
        short = short_of[clash.jobs]
        if short is None or short.jobs != clash.jobs:
            return "tried" if clash.smallest and short is None else None
        return short.crew, short.until, short.has_min

    for group in sharing([clash for clash, _ in found.clashes], reason):
        every = [way for clash, of_clash in found.clashes if clash in group for way in of_clash]
        as_is = next((way for way in every if way.as_is), None)  # the plan in force is one way for all of them
        ways = [row(way) for way in every if not way.as_is or way is as_is]
        shorts = [short for clash in group if (short := short_of[clash.jobs]) is not None]
        alone = len(group) == 1
        one = clash_sentence(problem, group[0], shorts[0] if shorts else None)
        yield ClashRow(
            jobs=tuple(sorted({job for clash in group for job in clash.jobs})),
            smallest=group[0].smallest and alone,
            proved=bool(shorts),
            sentence=one if alone else apart_sentence(problem, group, shorts),
            ways=tuple({way.sentence: way for way in reversed(ways)}.values())[::-1],
            pairs=() if alone else tuple(clash.jobs for clash in group),
        )


def _way(problem: PlanProblem, way: WayOut, name: str, job: int | None) -> WayOutRow:
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    about = f" {job}" if job is not None else ""
    return WayOutRow(
        kind=way.kind.name.lower().replace("_", " "),
        name=name,
        sentence=way_sentence(problem, way),
        command=f"crewjobs why{about} --take {name}" if name else "",
        keeps=way.keeps,
        wins=way.wins,
        slips=tuple(
            SlipRow(
                job=slip.job,
                promised=slip.promised,
                finish=to_wall(zones[slip.job], slip.end) if slip.end is not None else None,
                days_late=slip.days if slip.end is not None else None,
                held=slip.held,
                days_later=slip.later,
            )
            for slip in way.slips
        ),
        crew=way.crew,
        day=way.day,
        hours=spans_words(way.spans),
        records=way_command(problem, way),
    )
