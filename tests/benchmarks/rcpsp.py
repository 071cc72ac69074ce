"""The scheduling engine on published project networks, beside a peer in the same run.

``python -m tests.benchmarks.rcpsp FOLDER --set j60 --limit 40 --seconds 10 --peer pyjobshop`` reads the instances of
R. Kolisch and A. Sprecher (1996), PSPLIB, European Journal of Operational Research 96, 205-216, draws some over all
parameter settings, and prints each makespan beside the best known. Every schedule is judged before it counts. The
status of a run is that of solvers: optimal (proven), feasible (a schedule without proof) or unknown (none in time).
"""

from __future__ import annotations

import argparse
import json
import math
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from crewjobs.domain.errors import Refused
from crewjobs.engines.scheduling.makespan import shortest
from crewjobs.engines.scheduling.model import Placed, Problem, Schedule
from tests.benchmarks.arguments import MOST_SEED, MOST_WORKERS, Arguments, seconds, whole
from tests.benchmarks.psplib import Instance, instances
from tests.engines.scheduling.judge import faults, makespan

EXPECTED: dict[str, dict[str, float]] = {
    "j30": {"seconds": 5, "share_at_best_known": 1.0, "share_proven": 0.95, "mean_gap_percent": 0.0},
    "j60": {"seconds": 10, "share_at_best_known": 0.92, "mean_gap_percent": 0.2},
    "j120": {"seconds": 30, "ratio_of_gaps": 0.85},
}
"""What is expected of two cores with the seconds named and nothing else running: shares at least, the others at most."""
SHARE = 0.01
"""The search is told to end this share of the limit early, to hand over within it."""

Answer = tuple[Schedule | None, int, bool]
"""A schedule, None where there was none in time, its bound and whether it is proven."""
Solve = Callable[[Problem, float, int, int], Answer]
MOST_INSTANCES = 10_000


def ours(problem: Problem, seconds: float, workers: int, seed: int) -> Answer:
    """Return the engine's schedule, its bound and whether it is proven."""
    ends = time.perf_counter() + seconds * (1 - SHARE)
    found = shortest(problem, stop=lambda: time.perf_counter() >= ends, workers=workers, seed=seed)
    return found.schedule, found.bound, found.proven


def pyjobshop(problem: Problem, seconds: float, workers: int, seed: int) -> Answer:
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
    bound = round(result.lower_bound) if math.isfinite(result.lower_bound) else 0
    return schedule or None, bound, result.status.value == "Optimal"


PEERS: dict[str, Solve] = {"pyjobshop": pyjobshop}


def measured(solve: Solve, instance: Instance, args: argparse.Namespace) -> dict[str, Any]:
    """Return the figures of one run on one instance; a schedule that breaks a rule ends the whole run."""
    began = time.perf_counter()
    schedule, bound, proven = solve(instance.problem, args.seconds, args.workers, args.seed)
    taken = time.perf_counter() - began
    row: dict[str, Any] = {"status": "unknown", "makespan": None, "bound": bound, "proven": False, "gap_percent": None}
    if schedule is not None:
        wrong = faults(instance.problem, schedule)
        if wrong:
            raise Refused(f"{instance.name}: the schedule breaks a rule: {wrong[0]}.")
        length, known = makespan(schedule), instance.best_known
        row |= {"status": "optimal" if proven else "feasible", "makespan": length, "proven": proven}
        row["gap_percent"] = 100 * (length - known) / known
    return {**row, "seconds": taken}


def summary(rows: list[dict[str, Any]]) -> dict[str, float | None]:
    """Return the counts, shares and means of one side; the mean gap is None where some run has no schedule in time."""
    gaps = [row["gap_percent"] for row in rows]
    return {
        "instances": len(rows),
        "no_schedule_in_time": gaps.count(None),
        "share_at_best_known": statistics.mean(gap is not None and gap <= 0 for gap in gaps),
        "share_proven": statistics.mean(row["proven"] for row in rows),
        "mean_gap_percent": None if None in gaps else statistics.mean(gaps),
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
        "expected": expected(args.set, args.seconds),
    }  # fmt: skip
    if args.peer:
        mine, theirs = (figures["summary"][side]["mean_gap_percent"] for side in sides)
        figures["ratio_of_gaps"] = mine / theirs if mine is not None and theirs else None
    return figures


def expected(name: str, seconds: float) -> dict[str, float]:
    """Return what is expected of a set with the seconds it was measured with, nothing with others."""
    known = EXPECTED.get(name, {})
    return {key: value for key, value in known.items() if key != "seconds"} if known.get("seconds") == seconds else {}


def _expected_words(name: str, value: float | None) -> str:
    return "" if value is None else f"expected at {'least' if name.startswith('share') else 'most'} {value:g}"


def _line(row: dict[str, Any], sides: list[str]) -> str:
    parts = [f"{row['instance']:<10} best known {row['best_known']:>4}"]
    for side in sides:
        one = row[side]
        length, gap = (one["makespan"], f"{one['gap_percent']:.2f} %") if one["makespan"] is not None else ("-", "-")
        parts.append(f"{side} {length:>4} {one['status']:<8} bound {one['bound']:>4} gap {gap} {one['seconds']:.1f} s")
    return "   ".join(parts)


def main() -> None:
    """Measure and print."""
    parser = Arguments(description=__doc__)
    parser.add_argument("source", type=Path, help="folder or zip file of .sm files, best_known.csv beside them")
    parser.add_argument("--set", default="j60", help="j30, j60 or j120")
    parser.add_argument("--limit", type=whole(1, MOST_INSTANCES), default=40, help="how many instances")
    parser.add_argument("--seed", type=whole(0, MOST_SEED), default=1)
    parser.add_argument("--seconds", type=seconds, default=10.0, help="for each instance and side")
    parser.add_argument("--workers", type=whole(1, MOST_WORKERS), default=2)
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
            words = _expected_words(name, figures["expected"].get(name) if side == "crewjobs" else None)
            shown = "-" if value is None else f"{value:d}" if isinstance(value, int) else f"{value:.3f}"
            print(f"  {name.replace('_', ' '):<22}{shown:>8}   {words}".rstrip())
    if args.peer:
        ratio = figures["ratio_of_gaps"]
        words = _expected_words("ratio_of_gaps", figures["expected"].get("ratio_of_gaps"))
        shown = "- (no schedule in time, or the peer has no gap)" if ratio is None else f"{ratio:.2f}"
        print(f"\ncrewjobs' mean gap over the peer's: {shown}   {words}".rstrip())


if __name__ == "__main__":
    main()
