"""A project network: activities of one duration that wait for each other and share pools, for the shortest whole.

The special case of `model.Problem` in which a schedule can be turned around: what is done from the last activity back
to the first is a schedule of the mirrored network. Published instances are of this kind.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crewjobs.engines.scheduling.model import Placed, Problem, Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """Activities in an order in which nothing comes before what it waits for.

    `names[i]` is the place of activity i in the problem, `before[i]` what it waits for with the slots between,
    `after[i]` what waits for it, `uses[i]` its units of every pool.
    """

    names: tuple[int, ...]
    durations: tuple[int, ...]
    before: tuple[tuple[tuple[int, int], ...], ...]
    after: tuple[tuple[tuple[int, int], ...], ...]
    uses: tuple[tuple[int, ...], ...]
    pools: tuple[int, ...]
    horizon: int

    def mirrored(self) -> Network:
        """Return the network with time running backward, activities numbered as here."""
        return Network(
            names=self.names,
            durations=self.durations,
            before=self.after,
            after=self.before,
            uses=self.uses,
            pools=self.pools,
            horizon=self.horizon,
        )

    def tails(self) -> list[int]:
        """Return the slots from the end of each activity to the end of all, pools left aside."""
        tails = [0] * len(self.durations)
        for i in range(len(tails) - 1, -1, -1):
            tails[i] = max((lag + self.durations[j] + tails[j] for j, lag in self.after[i]), default=0)
        return tails

    def bound(self) -> int:
        """Return a makespan that none can be below: the critical path, and the work of each pool over its units."""
        path = max((d + tail for d, tail in zip(self.durations, self.tails(), strict=True)), default=0)
        work = (
            -(-sum(d * uses[pool] for d, uses in zip(self.durations, self.uses, strict=True)) // units)
            for pool, units in enumerate(self.pools)
            if units
        )
        return max(path, *work, 0)

    def schedule(self, finishes: Sequence[int]) -> Schedule:
        """Return the schedule, in the problem's order, of finishes in this one."""
        placed = [Placed(0, 0, 0)] * len(self.names)
        for name, finish, duration in zip(self.names, finishes, self.durations, strict=True):
            placed[name] = Placed(0, finish - duration, finish)
        return tuple(placed)

    def finishes(self, schedule: Schedule) -> list[int]:
        """Return the finishes of a schedule of the problem, in this order."""
        return [schedule[name].end for name in self.names]


def network(problem: Problem) -> Network:
    """Return a problem as a network.

    Raise ValueError, naming what stands against it, for one that is none: several modes, machines, starts with gaps
    or not from slot 0, lags with a most or below 0, links in a circle, more units used than a pool has.
    """
    durations, horizon = [], 0
    for i, activity in enumerate(problem.activities):
        if len(activity.modes) != 1 or activity.modes[0].machine >= 0:
            raise ValueError(f"activity {i} has several modes or a machine; a project network has neither")
        starts, ends = activity.modes[0].table.starts, activity.modes[0].table.ends
        if not starts or list(starts) != list(range(len(starts))) or list(ends) != [s + ends[0] for s in starts]:
            raise ValueError(f"activity {i} cannot start at every slot from 0 on")
        horizon = ends[-1] if i == 0 else min(horizon, ends[-1])
        durations.append(ends[0])
    uses = [_units(problem, i) for i in range(len(durations))]
    for i, lag in enumerate(problem.lags):
        if lag.most is not None or lag.least < 0:
            raise ValueError(f"lag {i} has a most or a least below 0")
    order = _sorted(problem)
    place = {name: i for i, name in enumerate(order)}
    before: list[dict[int, int]] = [{} for _ in order]
    after: list[dict[int, int]] = [{} for _ in order]
    for lag in problem.lags:
        a, b = place[lag.before], place[lag.after]
        before[b][a] = after[a][b] = max(lag.least, before[b].get(a, 0))
    return Network(
        names=tuple(order),
        durations=tuple(durations[name] for name in order),
        before=tuple(tuple(sorted(row.items())) for row in before),
        after=tuple(tuple(sorted(row.items())) for row in after),
        uses=tuple(uses[name] for name in order),
        pools=problem.pools,
        horizon=horizon,
    )


def _units(problem: Problem, activity: int) -> tuple[int, ...]:
    units = [0] * len(problem.pools)
    for pool, used in problem.activities[activity].uses:
        units[pool] += used
    for pool, (used, there) in enumerate(zip(units, problem.pools, strict=True)):
        if used > there:
            raise ValueError(f"activity {activity} takes {used} of the {there} units of pool {pool}")
    return tuple(units)


def _sorted(problem: Problem) -> list[int]:
    count = len(problem.activities)
    waits, leads = [0] * count, [[] for _ in range(count)]  # type: tuple[list[int], list[list[int]]]
    for lag in problem.lags:
        waits[lag.after] += 1
        leads[lag.before].append(lag.after)
    order = [i for i in range(count) if not waits[i]]
    for i in order:
        for j in leads[i]:
            waits[j] -= 1
            if not waits[j]:
                order.append(j)
    if len(order) < count:
        raise ValueError("the lags lead in a circle")
    return order
