"""The scheduling engine on published project networks, beside a peer in the same run.

``python -m tests.benchmarks.rcpsp FOLDER --set j60 --limit 40 --seconds 10 --peer pyjobshop`` reads the instances of
R. Kolisch and A. Sprecher (1996), PSPLIB, European Journal of Operational Research 96, 205-216, draws some over all
parameter settings, and prints each makespan beside the best known. Every schedule is judged before it counts.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from crewjobs.domain.errors import Refused
from crewjobs.engines.scheduling.makespan import shortest
from crewjobs.engines.scheduling.model import Placed, Problem, Schedule
from tests.benchmarks.psplib import Instance, instances
from tests.engines.scheduling.judge import faults, makespan

EXPECTED = {
    "j30": {"seconds": 5, "share_at_best_known": 1.0, "share_proven": 0.95, "mean_gap_percent": 0.0},
    "j60": {"seconds": 10, "share_at_best_known": 0.92, "mean_gap_percent": 0.2},
    "j120": {"seconds": 30, "ratio_of_gaps": 0.85},
}
"""What is expected of two cores with the seconds named and nothing else running."""
SHARE = 0.01
"""The search is told to end this share of the limit early, to hand over within it."""

Solve = Callable[[Problem, float, int, int], tuple[Schedule, int, bool]]


def ours(problem: Problem, seconds: float, workers: int, seed: int) -> tuple[Schedule, int, bool]:
    """Return the engine's schedule, its bound and whether it is proven."""
    ends = time.perf_counter() + seconds * (1 - SHARE)
    found = shortest(problem, stop=lambda: time.perf_counter() >= ends, workers=workers, seed=seed)
    assert found.schedule is not None, "a published instance has a horizon in which everything fits"
    return found.schedule, found.bound, found.proven


def pyjobshop(problem: Problem, seconds: float, workers: int, seed: int) -> tuple[Schedule, int, bool]:
    """Return the peer's schedule, its bound and whether it is proven."""
    try:
        from pyjobshop import Model
    except ImportError:
        raise Refused("the peer is not installed: pip install -e '.[bench]'.") from None
    model = Model()
    pools = [model.add_renewable(capacity=units) for units in problem.pools]
    tasks = []
    for activity in problem.activities:
        task = model.add_task()
        used = [(pools[pool], units) for pool, units in activity.uses]
        model.add_mode(
            task, [pool for pool, _ in used], activity.modes[0].table.ends[0], demands=[units for _, units in used]
        )
        tasks.append(task)
    for lag in problem.lags:
        model.add_end_before_start(tasks[lag.before], tasks[lag.after], delay=lag.least)
    result = model.solve(solver="ortools", time_limit=seconds, num_workers=workers, display=False, random_seed=seed)
    schedule = tuple(Placed(0, task.start, task.end) for task in result.best.tasks)
    return schedule, round(result.lower_bound), result.status.value == "Optimal"


PEERS: dict[str, Solve] = {"pyjobshop": pyjobshop}


def measured(solve: Solve, instance: Instance, args: argparse.Namespace) -> dict[str, Any]:
    """Return the figures of one run on one instance; a schedule that breaks a rule ends the whole run."""
    began = time.perf_counter()
    schedule, bound, proven = solve(instance.problem, args.seconds, args.workers, args.seed)
    seconds = time.perf_counter() - began
    wrong = faults(instance.problem, schedule)
    if wrong:
        raise Refused(f"{instance.name}: the schedule breaks a rule: {wrong[0]}.")
    length, known = makespan(schedule), instance.best_known
    gap = 100 * (length - known) / known
    return {"makespan": length, "bound": bound, "proven": proven, "gap_percent": gap, "seconds": seconds}


def summary(rows: list[dict[str, Any]]) -> dict[str, float]:
    """Return the shares and means of one side."""
    return {
        "share_at_best_known": statistics.mean(row["gap_percent"] <= 0 for row in rows),
        "share_proven": statistics.mean(row["proven"] for row in rows),
        "mean_gap_percent": statistics.mean(row["gap_percent"] for row in rows),
        "mean_seconds": statistics.mean(row["seconds"] for row in rows),
    }


def run(args: argparse.Namespace) -> dict[str, Any]:
    """Measure every instance, with the peer right after, and return all figures."""
    sides: dict[str, Solve] = {"crewjobs": ours} | ({args.peer: PEERS[args.peer]} if args.peer else {})
    rows = []
    for instance in instances(args.source, args.set, args.limit, args.seed):
        row: dict[str, Any] = {"instance": instance.name, "best_known": instance.best_known}
        row |= {side: measured(solve, instance, args) for side, solve in sides.items()}
        rows.append(row)
        if not args.json:
            print(_line(row, list(sides)), flush=True)
    figures: dict[str, Any] = {
        "set": args.set, "seconds": args.seconds, "workers": args.workers, "seed": args.seed,
        "instances": rows, "summary": {side: summary([row[side] for row in rows]) for side in sides},
        "expected": EXPECTED.get(args.set, {}),
    }  # fmt: skip
    if args.peer:
        mine, theirs = (figures["summary"][side]["mean_gap_percent"] for side in sides)
        figures["ratio_of_gaps"] = mine / theirs if theirs else None
    return figures


def _line(row: dict[str, Any], sides: list[str]) -> str:
    parts = [f"{row['instance']:<10} best known {row['best_known']:>4}"]
    for side in sides:
        one = row[side]
        status = "proven" if one["proven"] else f"bound {one['bound']}"
        parts.append(f"{side} {one['makespan']:>4} {status:<10} gap {one['gap_percent']:.2f} % {one['seconds']:.1f} s")
    return "   ".join(parts)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("source", type=Path, help="folder or zip file of .sm files, best_known.csv beside them")
    parser.add_argument("--set", default="j60", help="j30, j60 or j120")
    parser.add_argument("--limit", type=int, default=40, help="how many instances")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=10.0, help="for each instance and side")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--peer", choices=sorted(PEERS))
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    try:
        figures = run(args)
    except Refused as refusal:
        sys.exit(f"rcpsp: {refusal}")
    if args.json:
        print(json.dumps(figures, indent=2))
        return
    for side, values in figures["summary"].items():
        print(f"\n{side}, {args.seconds:g} s, {args.workers} workers")
        for name, value in values.items():
            expected = figures["expected"].get(name, "") if side == "crewjobs" else ""
            print(f"  {name.replace('_', ' '):<22}{value:>8.3f}   {f'expected {expected}' if expected != '' else ''}")
    if figures.get("ratio_of_gaps") is not None:
        print(f"\ncrewjobs' mean gap over the peer's: {figures['ratio_of_gaps']:.2f}", end="")
        print(f"   expected at most {figures['expected'].get('ratio_of_gaps', 1.0)}")


if __name__ == "__main__":
    main()
