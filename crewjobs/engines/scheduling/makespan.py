"""The shortest schedule of a project network: bred and solved side by side, with a bound, until time or proof.

A population breeds in one thread while the solver, where it is installed, works in the other: on the whole network
for something shorter than the best (or the proof that nothing is), and, where that proof is far, on parts of the best
schedule that it may order anew. Both sides share what they find after every round. The engine reads no clock.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import count
from random import Random
from typing import Any

from crewjobs.engines.scheduling import solver
from crewjobs.engines.scheduling.model import Lag, Problem, Schedule
from crewjobs.engines.scheduling.network import Network, network
from crewjobs.engines.scheduling.population import Population, population

GENERATIONS = 20
"""Generations in a round that is counted; where time is what counts, as many as fit beside the solver."""
WARM_UP = 10
"""Generations before the solver is first asked: most small networks are at their best by then."""
NEAR = 0.02
"""A proof counts as near where the bound is within this share of the makespan."""
PART = 0.4
"""The most time on a part of a schedule, in the solver's own units (about a second)."""
SHARES = (0.1, 0.7)
"""How much of the makespan such a part spans, least and most; between them it follows what the solver can settle."""
WHOLE: dict[str, Any] = {"cp_model_probing_level": 0, "symmetry_level": 0, "linearization_level": 0}
"""Settings for networks: without the linear relaxation one proof took 1.1 s where it had taken 8.3 s."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The shortest schedule found, in slots; None only where even that passes the problem's horizon.

    No schedule is shorter than `bound`; `proven` says that this one is as short, or, without one, that none fits.
    """

    schedule: Schedule | None
    makespan: int
    bound: int
    proven: bool
    rounds: int


@dataclass(slots=True, kw_only=True)
class _Search:
    problem: Problem
    net: Network
    crowd: Population
    random: Random
    bound: int
    ended: Callable[[], bool]
    counted: bool
    limit: float = 1.0
    share: float = 0.3
    parts: float = 0.0

    @property
    def done(self) -> bool:
        return self.crowd.makespan <= self.bound


def shortest(
    problem: Problem,
    *,
    rounds: int | None = None,
    stop: Callable[[], bool] | None = None,
    workers: int = 2,
    seed: int = 0,
    progress: Callable[[int, int], None] | None = None,
) -> Found:
    """Search for the shortest schedule until it is proven, `rounds` have passed, or `stop` says so.

    One of `rounds` and `stop` is needed. Counted rounds give equal results for equal seeds on equal installations;
    with `stop` alone the two sides wait for nobody. With one worker they take turns. `progress` is told the makespan
    and the bound after each change. Raise ValueError for a problem that is no project network.
    """
    if rounds is None and stop is None:
        raise ValueError("a search needs a number of rounds or a stop")
    net = network(problem)
    ended = stop or (lambda: False)
    if not net.names:
        return Found(schedule=(), makespan=0, bound=0, proven=True, rounds=0)
    search = _Search(
        problem=problem,
        net=net,
        crowd=population(net, seed),
        random=Random(seed),
        bound=net.bound(),
        ended=ended,
        counted=rounds is not None,
    )
    passed, told = 0, (-1, -1)
    for passed in _rounds(search, rounds, workers):  # noqa: B007  # told in the end
        if progress and told != (search.crowd.makespan, search.bound):
            told = search.crowd.makespan, search.bound
            progress(*told)
    fits = search.crowd.makespan <= net.horizon
    return Found(
        schedule=net.schedule(search.crowd.best) if fits else None,
        makespan=search.crowd.makespan,
        bound=search.bound,
        proven=search.done,
        rounds=passed,
    )


def _rounds(search: _Search, rounds: int | None, workers: int) -> Iterator[int]:
    """Do one round after the other and yield how many have passed, from 0 for the first schedules."""
    yield 0
    for _ in range(WARM_UP):
        if search.done or search.ended():
            break
        search.crowd.step()
    yield 0
    asks = solver.available()
    with ThreadPoolExecutor(1) as beside:
        for passed in count(1):
            if search.done or search.ended() or (rounds is not None and passed > rounds):
                return
            task = beside.submit(_task(search)) if asks else None
            if task and workers < 2:
                task.result()
            _breed(search, task)
            if task:
                _share(search, *task.result())
            yield passed


def _breed(search: _Search, task: Future[Any] | None) -> None:
    """Breed the generations of a round: their number where rounds are counted, else while the solver is at work."""
    for generation in count(1):
        if search.done or search.ended():
            return
        search.crowd.step()
        settled = task.done() if task and not search.counted else generation >= GENERATIONS
        if settled:
            return


def _share(search: _Search, answer: solver.Answer, whole: bool) -> None:
    """Take over what the solver found."""
    if answer.schedule:
        search.crowd.add(search.net.finishes(answer.schedule))
    if whole and answer.proven:
        search.bound = max(search.bound, answer.value if answer.schedule else answer.bound)
    elif whole:
        search.bound = max(search.bound, min(answer.bound, search.crowd.makespan))
    else:
        low, high = SHARES
        search.share = min(high, max(low, search.share * (1.15 if answer.proven else 0.85)))


def _task(search: _Search) -> Callable[[], tuple[solver.Answer, bool]]:
    """Return what the solver does in this round, fixed before the population breeds on."""
    best, schedule = search.crowd.makespan, search.net.schedule(search.crowd.best)
    near = best - search.bound <= max(1, NEAR * best)
    whole = near or search.limit <= 1 or search.parts >= search.limit / 2
    seed = search.random.randrange(2**31)
    problem = search.problem if whole else _part(search, schedule)
    limit = search.limit if whole else PART
    search.parts = 0.0 if whole else search.parts + PART

    def stop() -> bool:
        return search.ended() or (not search.counted and search.crowd.makespan < best)

    def work() -> tuple[solver.Answer, bool]:
        model = solver.build(problem)
        cp = model.cp
        span = cp.new_int_var(search.bound, best - 1, "makespan")
        for end in model.end:
            cp.add(span >= end)
        cp.minimize(span)
        solver.hint(model, schedule)
        answer = solver.solve(model, deterministic=limit, seed=seed, stop=stop, settings=WHOLE)
        if answer.schedule is None:  # nothing below the best: it is its own bound
            answer = replace(answer, bound=best if answer.proven else max(answer.bound, 0))
        if whole and (search.counted or search.crowd.makespan >= best):  # it was not cut short
            search.limit *= 2
        return answer, whole

    return work


def _part(search: _Search, schedule: Schedule) -> Problem:
    """Return the problem with the order of a schedule held, except among the activities within a window of time."""
    makespan, random = search.crowd.makespan, search.random
    window = int(makespan * search.share * random.uniform(0.7, 1.3))
    since = random.randint(-window // 2, makespan - window // 2)
    free = {i for i, (_, start, end) in enumerate(schedule) if start < since + window and since < end}
    held = sorted((i for i in range(len(schedule)) if i not in free), key=lambda i: (schedule[i].start, i))
    lags = []
    for i in held:
        end, nearest = schedule[i].end, makespan
        for j in held:
            if schedule[j].start >= nearest:
                break
            if schedule[j].start >= end and schedule[j].end > end:
                lags.append(Lag(before=i, after=j))
                nearest = min(nearest, schedule[j].end)
    return replace(search.problem, lags=(*search.problem.lags, *lags))
