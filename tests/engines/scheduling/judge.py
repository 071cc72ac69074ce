"""The tests' judge of schedules: slot by slot and pair by pair from the problem alone, sharing nothing with builders."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import permutations

from crewjobs.engines.scheduling.model import Placed, Problem


def faults(problem: Problem, schedule: Sequence[Placed]) -> list[str]:
    """Return a sentence for each rule that a schedule breaks; none if it keeps them all."""
    if len(schedule) != len(problem.activities):
        return [f"{len(schedule)} places for {len(problem.activities)} activities"]
    return [
        *_places(problem, schedule),
        *_lags(problem, schedule),
        *_machines(problem, schedule),
        *_pools(problem, schedule),
    ]


def makespan(schedule: Sequence[Placed]) -> int:
    """Return the slot in which the last activity has ended."""
    return max((place.end for place in schedule), default=0)


def _places(problem, schedule):
    found = []
    for number, (activity, place) in enumerate(zip(problem.activities, schedule, strict=True)):
        if not 0 <= place.mode < len(activity.modes):
            found.append(f"activity {number} has no mode {place.mode}")
        elif (place.start, place.end) not in set(
            zip(activity.modes[place.mode].table.starts, activity.modes[place.mode].table.ends, strict=True)
        ):
            found.append(f"activity {number} may not run from {place.start} to {place.end} in mode {place.mode}")
    return found


def _lags(problem, schedule):
    found = []
    for lag in problem.lags:
        waited = schedule[lag.after].start - schedule[lag.before].end
        if waited < lag.least:
            found.append(f"{lag.after} starts {waited} after {lag.before}, least {lag.least}")
        if lag.most is not None and waited > lag.most:
            found.append(f"{lag.after} starts {waited} after {lag.before}, most {lag.most}")
    return found


def _machines(problem, schedule):
    found = []
    for a, b in permutations(range(len(schedule)), 2):
        one, two = problem.activities[a], problem.activities[b]
        first, second = schedule[a], schedule[b]
        machine = one.modes[first.mode].machine
        if machine < 0 or machine != two.modes[second.mode].machine:
            continue
        if first.start < second.end and second.start < first.end and a < b:
            found.append(f"{a} and {b} are on machine {machine} at once")
        setup = problem.setups.get((one.group, two.group), 0) if one.group != two.group else 0
        if first.end <= second.start < first.end + setup:
            found.append(f"{b} follows {a} on machine {machine} without {setup} slots between")
    return found


def _pools(problem, schedule):
    used = Counter()
    for activity, place in zip(problem.activities, schedule, strict=True):
        for pool, units in activity.uses:
            for slot in range(place.start, place.end):
                used[pool, slot] += units
    return [
        f"pool {pool} gives {units} of {problem.pools[pool]} in slot {slot}"
        for (pool, slot), units in sorted(used.items())
        if units > problem.pools[pool]
    ]
