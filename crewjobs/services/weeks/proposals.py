"""A better plan as a proposal: what it saves and what would move; accepted only where it still is better today."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, listed
from crewjobs.engines.answering.forward import soonest
from crewjobs.engines.answering.standing import kept
from crewjobs.engines.planning.compare import Move
from crewjobs.engines.planning.objective import PlanCost
from crewjobs.engines.planning.roster import with_parts
from crewjobs.engines.readiness.lots import is_carry_in
from crewjobs.services.answers.ways_taken import chosen
from crewjobs.services.asked.telling import finish_day, last_told
from crewjobs.services.rows import Done, MoveRow, ProposalView
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.planning import keep_plan
from crewjobs.services.weeks.recorded import recorded_since, why_void
from crewjobs.services.weeks.repair import moves_seen
from crewjobs.services.weeks.visits import Planned, work_words

if TYPE_CHECKING:
    from crewjobs.engines.planning.problem import PlanProblem
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork

Watch = Callable[[int, str], None]
"""Told after every round of the search: how many were made, and what the best plan saves so far."""
NEARER: Final = "houses are open on fewer days, or jobs end sooner"
"""What the cost adds up in one sum, and a plan with its jobs tells apart (`_nearer_words`)."""
PROVEN = (
    "No plan is less late, sends fewer crews or takes fewer days: every job does as well as it could alone with every "
    "crew free. That is proven; visits and hours within a day are not part of it."
)
WORTH = 5
"""Parts of the cost that are worth moving people for: from blocks without a place to the days houses are open."""


def improve(
    database: Database,
    who: str,
    now: datetime,
    *,
    rounds: int | None = None,
    stop: Callable[[], bool] | None = None,
    watch: Watch | None = None,
    after: int | None = None,
    unseen: int | None = None,
) -> Done:
    """Look for a better plan in so many rounds or until `stop` says so; keep it as a proposal.

    The search runs outside any transaction. Nothing is kept where no better plan is found, or only one that ends
    some hours sooner and would still move people. `after` is the change somebody recorded that it is looked for by
    itself after: the proposal is not kept where more was recorded meanwhile. It is taken back with what was recorded last.
    `unseen` is the number of a first plan that nobody has seen yet: a better one takes its place at once.

    Raises:
        Refused: there is no shop.
    """
    from crewjobs.engines.planning.improve import improve as search

    with database.reading() as uow:
        problem, based_on, in_force = problem_of(uow, now), uow.last_change_number(), uow.latest_plan()

        picked = chosen(uow) if waits(uow) else 0

    if after is not None and in_force is None:
        return Done(sentence="Nothing is planned yet.", change=0)
    if picked:
        waiting = f"Plan {picked}, which was chosen, waits to be accepted: no other is looked for until then."
        return Done(sentence=waiting, change=0, plan=picked)

    def told(rounds: int, first: PlanCost, best: PlanCost) -> None:
        if watch is not None:
            watch(rounds, saved_words(first, best))

    began = time.monotonic()
    found = search(problem, rounds=rounds, stop=stop, watch=told)
    if not found.first.placements:
        return Done(sentence="There is nothing to plan: no booked job has work that can be given a day yet.", change=0)
    seconds = max(1, round(time.monotonic() - began))
    looked = counted(found.rounds, "round") if rounds is not None else f"{seconds} s"
    if found.cost[:WORTH] >= found.first_cost[:WORTH]:
        none = PROVEN if found.proven else f"No better plan found in {looked}; that there is none is not proven."
        beside = () if found.proven else tuple(_alone_words(problem, found.plan))
        return Done(sentence=none, change=0, then=beside)
    best = "proven best in promises, crews and days" if found.proven else f"the best found in {looked}, not proven best"
    alone = tuple(_alone_words(problem, found.plan))
    seen = in_force or found.first
    saves = tuple(_saves(problem, found.first, found.plan, found.first_cost, found.cost, seen))
    if in_force is None or (in_force.number == unseen and based_on == in_force.based_on + 1):
        done = keep_plan(database, who, now, found.plan, based_on, saves)
        return replace(done, sentence=f"{done.sentence} It is {best}.", then=(*done.then, *alone))
    with database.unit_of_work(who=who) as uow:
        if after is not None and uow.last_change_number() != based_on:
            return Done(sentence="More was recorded meanwhile.", change=0)
        number = uow.save_plan(replace(found.plan, based_on=based_on, proposed=True))
        # It is nobody's record: undo takes back what was recorded last, and the proposal, which knew of it, with that; alone where
        # that is a plan: undo right after looking took back the plan in force.
        last = uow.last_act_told()
        cause = last.number if last is not None and not last.what.startswith("plan ") else None
        change = uow.commit(f"plan {number} proposed", at=now, caused_by=after if after is not None else cause)
    moved = len(moves_seen(problem, seen, found.plan))
    return Done(
        sentence=f"Plan {number} is proposed, {best}: {counted(moved, 'piece')} of work "
        f"{'moves' if moved == 1 else 'move'}.",
        change=change,
        plan=number,
        then=(*saves, *alone),
    )


def _alone_words(problem: PlanProblem, plan: WeekPlan) -> Iterator[str]:
    """Yield how the jobs stand against what each could be with every crew free: on its day, or how many days later."""
    ends = _finishes(problem, plan)
    later: dict[int, list[int]] = {}
    for record in problem.jobs:
        day, number = ends[record.job.number], record.job.number
        soonest_end = soonest(problem, number) if day is not None else None
        if day is None or soonest_end is None or not any(task.open for task in record.tasks):
            continue
        later.setdefault((day - to_wall(record.job.site.zone, soonest_end).date()).days, []).append(number)
    on_time = later.pop(0, [])
    if not later and not on_time:
        return
    said = [f"{counted(len(on_time), 'job')} on the earliest day there is"] if on_time else []
    said += [
        f"job {listed([str(n) for n in numbers], most=9)} {counted(days, 'day')} later"
        if len(numbers) == 1
        else f"jobs {listed([str(n) for n in numbers], most=9)} {counted(days, 'day')} later"
        for days, numbers in sorted(later.items())
    ]
    yield f"Against each job alone with every crew free: {'; '.join(said)}."


def _ahead(proposed: WeekPlan, in_force: WeekPlan, now: datetime) -> bool:
    """Return whether all that a proposal moves is still to come."""
    stays = {(placed.key, placed.crew, placed.start) for placed in in_force.placements}
    return all(
        placed.start >= now or (placed.key, placed.crew, placed.start) in stays for placed in proposed.placements
    )


def _wins(problem: PlanProblem, in_force: WeekPlan, made: WeekPlan, proposed: WeekPlan) -> bool:
    """Return whether a plan keeps all that its proposal did, more than the plan in force in one, and no fewer in number."""
    now, then = kept(problem, in_force), kept(problem, made)
    return kept(problem, proposed) <= then and bool(then - now) and len(then) >= len(now)


def saved_words(first: PlanCost, best: PlanCost) -> str:
    """Return what one cost saves against another, the two most important things; empty where it saves nothing."""
    less = first.minus(best)
    said = [
        words
        for number, words in (
            (less.missing, f"{counted(less.missing, 'block')} more with a place"),
            (less.late, f"{counted(less.late, 'day')} less late, by the jobs' weights"),
            (less.crews, f"{counted(less.crews, 'crew')} fewer sent to a house that another crew works at"),
            (less.told, "less is moved of what people were told, and of the next day"),
            (less.short, "more time left before promises that are tight"),
        )
        if number > 0
    ]
    if not said and less.days > 0:
        said.append(NEARER)
    return " and ".join(said[:2])


def lost_words(first: PlanCost, best: PlanCost) -> str:
    """Return what one cost loses against another of what matters most; empty where it loses nothing of that.

    What is found by searching never does: a way out that somebody chose may.
    """
    more = best.minus(first)
    said = (
        (more.missing, f"{counted(more.missing, 'block')} fewer with a place"),
        (more.late, f"{counted(more.late, 'day')} later than promised, by the jobs' weights"),
        (more.crews, f"{counted(more.crews, 'crew')} more sent to a house that another crew works at"),
    )
    return " and ".join(words for number, words in said if number > 0)


def _saves(
    problem: PlanProblem,
    before: WeekPlan,
    after: WeekPlan,
    first: PlanCost,
    best: PlanCost,
    seen: WeekPlan,
    *,
    taken: bool = False,
) -> Iterator[str]:
    """Yield what a plan changes against another: finishes by name, first what it saves, then the sums.

    `taken` says that it is in force from now on. Both are of the same moment: what is wholly done has no finish to move.
    `before` is what the plan people have `seen` is by now: a finish is told against the day they know, and where that
    could not stay either, what it would be without the new plan.
    """
    old, new, known = (_finishes(problem, plan) for plan in (before, after, seen))
    told = []
    for record in problem.jobs:
        job = record.job
        was, now = old.get(job.number), new.get(job.number)
        day = known.get(job.number) or was
        if job.state is JobState.BOOKED and {day, was} != {now} and any(task.open for task in record.tasks):
            worse = (now or date.max) > (was or date.max)
            told.append(
                (
                    worse,
                    job.number,
                    f"Job {job.number}: {_finish_words(day, was, now, job.promised, taken, problem.today)}.",
                )
            )
    saved, lost = saved_words(first, best), lost_words(first, best)
    saved = saved.replace(NEARER, _nearer_words(problem, before, after, old, new))
    in_all = f"In all it costs {lost}{f', for {saved}' if saved else ''}." if lost else f"In all: {saved}."
    sums = (in_all,) if lost or saved else ()
    finishes = [words for *_, words in sorted(told)]
    gains = any(not worse for worse, *_ in told)
    # A finish that gets later is no reason to take a plan: without one that gets better, the reason comes first.
    yield from (*finishes, *sums) if gains or lost else (*sums, *finishes)


def _nearer_words(
    problem: PlanProblem,
    before: WeekPlan,
    after: WeekPlan,
    old: Mapping[int, date | None],
    new: Mapping[int, date | None],
) -> str:
    """Return which houses are open on fewer days and which jobs end sooner; where neither shows in days, that it is one of both."""
    was, now = _open_days(problem, before), _open_days(problem, after)
    fewer = {job: was[job] - now[job] for job in sorted(was) if job in now and was[job] > now[job]}
    sooner = [job for job, day in sorted(new.items()) if day is not None and day < (old.get(job) or date.max)]
    said = [f"the house of job {job} is open on {counted(days, 'day')} fewer" for job, days in list(fewer.items())[:3]]
    if len(fewer) > 3:
        said.append(f"{len(fewer) - 3} more are open on fewer days")
    if sooner:
        one = len(sooner) == 1
        said.append(
            f"job{'' if one else 's'} {listed([str(job) for job in sooner], most=9)} end{'s' if one else ''} sooner"
        )
    return listed(said, most=9) or NEARER


def _open_days(problem: PlanProblem, plan: WeekPlan) -> dict[int, int]:
    """Return on how many days each house is open in a plan: from the first work there but carrying in to the last."""
    records = {record.job.number: record for record in problem.jobs}
    days: dict[int, list[date]] = {}
    for placed in plan.placements:
        record = records.get(placed.key.job)
        if record is None or all(is_carry_in(record.task(task)) for task in placed.tasks):
            continue
        zone = record.job.site.zone
        days.setdefault(placed.key.job, []).extend(to_wall(zone, at).date() for at in (placed.start, placed.end))
    return {job: (max(found) - min(found)).days + 1 for job, found in days.items()}


def _finish_words(
    day: date | None, was: date | None, now: date | None, promised: date | None, taken: bool, near: date
) -> str:
    """Return how a finish moves from the `day` people know to what it is `now`; `was` is what it would be without that."""
    if now is None:
        anyway = "" if was else ", nor would it be by now without this plan"
        return ("is" if taken else "would") + " no longer " + ("" if taken else "be ") + f"planned to its end{anyway}"
    ends = "ends" if taken else "would end"
    moved = f"{ends} {day_words(now, near)}" + (
        f" instead of {day_words(day, near)}" if day else ", planned to its end now"
    )
    if day == now:
        moved = f"{'stays' if taken else 'would stay'} on {day_words(now, near)}"
    if was == now and day != now:
        moved += ", as it would by now without this plan"
    elif was != day:
        left = f"end {day_words(was, near)}" if was else "not be planned to its end"
        moved += f"; without this plan it would {left} by now"
    if promised is None:
        return moved
    kept, held = now <= promised, was is not None and was <= promised
    word = "keeps" if kept else "does not keep"
    today, did = ("before", "did") if taken else ("now", "does")
    return f"{moved}; {word} its promise of {day_words(promised, near)}" + (
        "" if kept == held else f", unlike {today}" if kept else f", which it {did} {today}"
    )


def _finishes(problem: PlanProblem, plan: WeekPlan) -> dict[int, date | None]:
    records = {record.job.number: record for record in problem.jobs}
    found = Planned(shop=with_parts(problem.shop, problem.away), plan=plan, records=records, pins=())
    return {number: finish_day(found, record) for number, record in records.items()}


def proposal(uow: UnitOfWork, now: datetime) -> ProposalView:
    """Return the proposal that waits to be accepted: what it saves against the plan in force, and what moves.

    Raises:
        Refused: none does.
    """
    found = _weighed(uow, now)
    records = {record.job.number: record for record in found.problem.jobs}
    return ProposalView(
        number=found.proposed.number,
        made_at=to_wall(found.problem.shop.zone, found.proposed.made_at),
        in_force=found.in_force.number,
        saves=(
            *([NOTHING_NOW] if _no_better(found) else []),
            *_saves(found.problem, found.kept, found.made, found.before, found.after, found.in_force),
        ),
        moves=tuple(move_row(move, records) for move in moves_seen(found.problem, found.in_force, found.made)),
        changed=_recorded_since(uow, found.proposed),
    )


NOTHING_NOW = (
    "With what is known now it saves nothing in all and would be refused: `crewjobs proposal --seconds 10` looks again."
)


def waits(uow: UnitOfWork) -> bool:
    """Return whether a proposal waits to be accepted that was made with all in view that is recorded now."""
    return uow.proposed_number() > 0 and not _recorded_since(uow, uow.proposal())


def _recorded_since(uow: UnitOfWork, proposed: WeekPlan | None) -> int:
    """Return how many changes people made since a plan was looked for."""
    return len(recorded_since(uow, proposed.based_on if proposed is not None else 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Weighed:
    """A proposal and the plan in force, and what each is when repaired to what is known now, with its cost."""

    proposed: WeekPlan
    in_force: WeekPlan
    problem: PlanProblem
    kept: WeekPlan
    before: PlanCost
    made: WeekPlan
    after: PlanCost


def _weighed(uow: UnitOfWork, now: datetime) -> _Weighed:
    """Return the proposal that waits beside the plan in force: what is shown of the two is what accepting does.

    Raises:
        Refused: none waits.
    """
    from crewjobs.engines.planning.improve import repaired_cost

    proposed, in_force = uow.proposal(), uow.latest_plan()
    if proposed is None or in_force is None:
        void = why_void(uow)
        again = "`crewjobs plan` plans anew and looks for a better one."
        raise Refused(f"no plan is proposed: {void}; {again}" if void else f"no plan is proposed: {again}")
    problem = problem_of(uow, now)
    kept_plan, before = repaired_cost(problem, in_force)
    made, after = repaired_cost(problem, proposed)
    if chosen(uow) and waits(uow) and _ahead(proposed, in_force, now):
        made = proposed  # what somebody chose is taken to the letter while nothing has changed
    return _Weighed(
        proposed=proposed, in_force=in_force, problem=problem, kept=kept_plan, before=before, made=made, after=after
    )


def move_row(move: Move, records: Mapping[int, JobRecord]) -> MoveRow:
    """Return a move with its work in words, at the site's times."""
    record = records[move.job]
    zone, told = record.job.site.zone, last_told(record)
    return MoveRow(
        job=move.job,
        title=record.job.title,
        what=work_words([record.task(number) for number in move.tasks]),
        was_crew=move.was_crew,
        was=to_wall(zone, move.was) if move.was else None,
        crew=move.crew,
        now=to_wall(zone, move.now) if move.now else None,
        told=told is not None,
    )


def _no_better(found: _Weighed) -> bool:
    return found.after[:WORTH] >= found.before[:WORTH] and not _wins(
        found.problem, found.kept, found.made, found.proposed
    )


def accept(database: Database, who: str, now: datetime) -> Done:
    """Take the proposal as the plan in force, repaired to what is known now.

    Raises:
        Refused: none waits, or with today's facts it is no better than the plan in force, nor keeps more promises.
    """
    with database.reading() as uow:
        found, based_on = _weighed(uow, now), uow.last_change_number()
    if _no_better(found):
        raise Refused(
            f"plan {found.proposed.number} was better when it was proposed; with what is known now it saves nothing: "
            "the plan in force stays, `crewjobs proposal --seconds 10` looks again."
        )
    weighed = found.problem, found.kept, found.made, found.before, found.after, found.in_force
    saves = tuple(_saves(*weighed, taken=True))
    return keep_plan(database, who, now, replace(found.made, proposed=False), based_on, saves)
