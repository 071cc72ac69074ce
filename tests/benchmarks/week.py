"""Weeks planned against the clock, beside the solver alone and a peer: ``python -m tests.benchmarks.week``.

Every plan is judged by the plan's judge. The sums and lateness that plans are compared by here are the benchmark's own,
with weights of its own (`week_costs`): that is what the expectations were measured with, not what the product compares.
Both sides search for that sum. The product compares plans by a tuple (`objective.PlanCost`), whose first difference
decides; it is printed beside each sum, and in a run of its own crewjobs and the solver search with the product's
objective: which of the two plans it would take is printed there, and nothing is expected of it.

The solver alone gets the model of all blocks at once, the same first plan to begin with, the same seconds and the same
number of threads, and again with a model that knows no drives; the better of the two counts. What is expected stands
beside each figure, of the size and seconds it was measured with: read the ratios, seconds depend on the machine. How
often the solver alone found nothing better than the first plan is counted, and how often the peer had no plan in time:
such instances count in no ratio to the peer. ``--replan`` plans again in the second week after an
event, ``--peer pyjobshop`` compares lateness by weight, ``--json`` prints data.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from crewjobs.domain.errors import Refused
from crewjobs.domain.plan import WeekPlan
from crewjobs.engines.judging.check import check_plan
from crewjobs.engines.planning.board import Board, Settled
from crewjobs.engines.planning.improve import improve
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.list_schedule import first_board, plan_of, plan_week
from crewjobs.engines.planning.objective import Objective, PlanCost, Weights
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.solving import booked, freed, model_of
from crewjobs.engines.planning.timeline import Booking
from crewjobs.engines.scheduling.model import Schedule
from crewjobs.engines.scheduling.solver import library, solve
from tests.benchmarks.arguments import MOST_SEED, MOST_WORKERS, Arguments, seconds, whole
from tests.benchmarks.week_costs import LATENESS, SUM, Lateness, Sum, lateness
from tests.benchmarks.week_peer import lateness_of_peer
from tests.benchmarks.week_replan import replanned
from tests.benchmarks.week_weeks import weeks

FIRST_SECONDS = {12: 0.3, 60: 3.0}
EXPECTED = {
    "cost over the solver's": 0.95,
    "lateness over the peer's in 10 s": 0.25,
    "lateness over the peer's in 30 s": 0.75,
    "repair seconds": 0.1,
    "moved over the right shift's": 0.2,
}
"""At most; measured with twelve jobs, three crews and four weeks, and said only of these."""
MEASURED = (12, 3, 4)
COST_SECONDS = 10.0
"""The seconds a side at which the cost over the solver's was measured."""
OWN = "by the product's tuple: "
SIDES = (
    "first", "crewjobs", "solver alone", "solver alone, no drives", f"{OWN}crewjobs", f"{OWN}solver alone",
    f"{OWN}solver, no drives", "peer", "crewjobs for lateness alone",
)  # fmt: skip
ALONE = ("solver alone", "solver alone, no drives")
NOTE = (
    "sum and lateness: the benchmark's own weights (week_costs), which the expectations are about;\n"
    f"tuple: what the product compares, first difference first: {', '.join(PlanCost._fields)}"
)
BOOKED = 8
"""How many of the solver's last answers are booked."""
MOST_JOBS, MOST_CREWS, MOST_WEEKS, MOST_INSTANCES = 500, 50, 52, 1000
Judged = Callable[[Floor], Objective]


def cost_of(problem: PlanProblem, plan: WeekPlan, judged: Judged) -> PlanCost:
    """Return what a plan costs by an objective, from where its blocks lie; a plan that breaks a rule ends the run."""
    wrong = check_plan(problem, plan)
    if wrong:
        raise Refused(f"the plan breaks a rule: {wrong[0]}")
    board, _ = first_board(problem, stop=lambda: True)
    objective, floor = judged(board.floor), board.floor
    total = PlanCost()
    for work in board.works.values():
        mine = {
            one.key: Booking(one.key, one.crew, floor.axis.down(one.start), floor.axis.up(one.end), one.people)
            for one in plan.placements
            if one.key.job == work.number
        }
        total = total.plus(objective.of_job(work, mine, len(work.blocks) - len(mine)))
    return total


def first(problem: PlanProblem) -> tuple[WeekPlan, float]:
    """Return the first plan and the seconds to it."""
    began = time.perf_counter()
    plan = plan_week(problem)
    return plan, time.perf_counter() - began


def searched(
    problem: PlanProblem, args: argparse.Namespace, judged: Judged, weights: Weights | None
) -> tuple[WeekPlan, int]:
    """Return the plan of our search and the rounds it took."""
    ends = time.perf_counter() + args.seconds
    found = improve(
        problem,
        stop=lambda: time.perf_counter() >= ends,
        seed=args.seed,
        workers=args.workers,
        judged=judged,
        weights=weights,
    )
    return found.plan, found.rounds


def solved_whole(
    problem: PlanProblem, args: argparse.Namespace, judged: Judged, weights: Weights, *, drives: bool
) -> WeekPlan:
    """Return the plan of the solver alone: all blocks at once, the first plan as its hint, booked by the board's rules.

    Without `drives` its model knows no way between houses, which makes it far smaller; booking then adds them. Its last
    answers are booked, since booking may make one worse; the best counts, the first plan among them.
    """
    ends = time.perf_counter() + args.seconds
    board, left_out = first_board(problem)
    plan = plan_of(problem, board, left_out)
    best, cost = plan, cost_of(problem, plan, judged)
    keys = [key for settled in board.settled.values() for key in settled.bookings]
    found = freed(board, board.floor, keys)
    assert found is not None, "every block has a place: the one it lies at"
    if not drives:
        found.problem = replace(found.problem, setups={})
    model = model_of(found, board, board.floor, judged(board.floor), weights)
    answers: list[Schedule] = []
    solve(
        model,
        seconds=ends - time.perf_counter(),
        workers=args.workers,
        seed=args.seed,
        on_better=lambda schedule, value: answers.append(schedule),
    )
    for schedule in answers[-BOOKED:]:
        settled = booked(found, schedule, board, board.floor)
        if settled is None:
            continue
        before = _put(board, settled)
        plan = plan_of(problem, board, left_out)
        _put(board, before)
        other = cost_of(problem, plan, judged)
        if other < cost:
            best, cost = plan, other
    return best


def _put(board: Board, settled: Mapping[int, Settled]) -> dict[int, Settled]:
    """Put jobs on a board as settled; return how they were."""
    before = {number: board.lift(number) for number in settled}
    for number, one in settled.items():
        board.put(number, one)
    return before


def measured(problem: PlanProblem, args: argparse.Namespace) -> dict[str, Any]:
    """Return the figures of one instance."""
    start, taken = first(problem)
    row: dict[str, Any] = {"blocks": len(start.placements), "first seconds": taken}
    if args.seconds > 0:
        used = {}
        plans = {"first": start}
        began = time.process_time()
        plans["crewjobs"], rounds = searched(problem, args, Sum, SUM)
        used["crewjobs"] = time.process_time() - began
        for name, drives in (("solver alone", True), ("solver alone, no drives", False)):
            began = time.process_time()
            plans[name] = solved_whole(problem, args, Sum, SUM, drives=drives)
            used[name] = time.process_time() - began
        for name, plan in plans.items():
            row[name] = {
                "sum": cost_of(problem, plan, Sum).late,
                "cost": tuple(cost_of(problem, plan, Objective)),
                "late_slots": lateness(problem, plan),
                "cpu_seconds": used.get(name),
            }
        row["rounds"] = rounds
        row |= by_the_product(problem, args)
        alone = min(row[name]["sum"] for name in ALONE)
        row["cost over the solver's"] = row["crewjobs"]["sum"] / alone
        row["cost over the first plan's"] = row["crewjobs"]["sum"] / row["first"]["sum"]
    if args.peer:
        board, _ = first_board(problem)
        theirs, bound = lateness_of_peer(board, args.seconds, args.workers, args.seed)
        late, _ = searched(problem, args, Lateness, LATENESS)
        row["peer"] = {"late_slots": theirs, "bound": bound}
        row["crewjobs for lateness alone"] = {"late_slots": lateness(problem, late)}
    if args.replan:
        row["replan"] = replanned(problem, start)
    return row


def by_the_product(problem: PlanProblem, args: argparse.Namespace) -> dict[str, Any]:
    """Return what crewjobs and the solver alone find when both search by the product's own objective."""
    plans = {"crewjobs": searched(problem, args, Objective, None)[0]}
    for name, drives in (("solver alone", True), ("solver, no drives", False)):
        plans[name] = solved_whole(problem, args, Objective, Weights(), drives=drives)
    found: dict[str, Any] = {
        f"{OWN}{name}": {"cost": tuple(cost_of(problem, plan, Objective)), "late_slots": lateness(problem, plan)}
        for name, plan in plans.items()
    }
    mine, *theirs = (one["cost"] for one in found.values())
    found["product takes"] = "either" if mine == min(theirs) else "crewjobs" if mine < min(theirs) else "solver alone"
    return found


def run(args: argparse.Namespace) -> dict[str, Any]:
    """Measure every instance and return all figures."""
    library()  # loaded before any clock runs
    rows = []
    if not args.json and args.seconds > 0:
        print(f"{NOTE}\n")
    for seed in range(args.seed, args.seed + args.instances):
        row = {"seed": seed, **measured(weeks(args.jobs, args.crews, args.weeks, seed), args)}
        rows.append(row)
        if not args.json:
            print(_lines(row), flush=True)
    figures = summary(rows, args)
    expected = {name: most for name, (_, most) in figures.items() if most is not None}
    return {**vars(args), "instances": rows, "summary": figures, "expected": expected}


def summary(rows: list[dict[str, Any]], args: argparse.Namespace) -> dict[str, tuple[float | None, float | None]]:
    """Return each figure over all instances with what is expected of it at most, None where nothing is.

    Nothing is expected of other sizes or seconds than those it was measured with.
    """
    expected = EXPECTED if (args.jobs, args.crews, args.weeks) == MEASURED else {}
    found: dict[str, tuple[float | None, float | None]] = {
        "instances": (len(rows), None),
        "first plan, seconds, the longest": (max(row["first seconds"] for row in rows), FIRST_SECONDS.get(args.jobs)),
    }
    if args.seconds > 0:
        ratios = [row["cost over the solver's"] for row in rows]
        found["cost over the first plan's, mean"] = (
            statistics.mean(row["cost over the first plan's"] for row in rows), None
        )  # fmt: skip
        most = expected.get("cost over the solver's") if args.seconds == COST_SECONDS else None
        found["cost over the solver's, mean"] = (statistics.mean(ratios), most)
        unmoved = sum(row["first"]["sum"] <= min(row[side]["sum"] for side in ALONE) for row in rows)
        found["solver alone no better than the first plan"] = (unmoved, None)
        taken = statistics.mean(row["product takes"] != "solver alone" for row in rows)
        found[f"{OWN}crewjobs' taken"] = (taken, None)
    if args.peer:
        most = expected.get(f"lateness over the peer's in {args.seconds:g} s")
        theirs = [row["peer"]["late_slots"] for row in rows]
        known = [row for row, slots in zip(rows, theirs, strict=True) if slots is not None]
        found["peer with no plan in time"] = (len(rows) - len(known), None)
        peer = sum(row["peer"]["late_slots"] for row in known)
        sides = [("", "crewjobs")] if args.seconds > 0 else []
        for name, side in (*sides, (", searched alone", "crewjobs for lateness alone")):
            mine = sum(row[side]["late_slots"] for row in known)
            found[f"lateness over the peer's{name}"] = (mine / peer if peer else None, most)
        found["lateness of the peer, slots by weight"] = (peer, None)
    if args.replan:
        shift, again = (
            {key: sum(row["replan"][way][key] for row in rows) for key in ("seconds", "moved", "late_slots")}
            for way in ("right shift", "repaired")
        )
        found["repair, seconds, mean"] = (again["seconds"] / len(rows), expected.get("repair seconds"))
        share = again["moved"] / shift["moved"] if shift["moved"] else None
        found["repair: moved over the right shift's"] = (share, expected.get("moved over the right shift's"))
        for way in ("right shift", "repaired", "proposed"):
            for key, name in (("moved", "blocks moved"), ("late_slots", "slots late by weight")):
                found[f"{way}: {name}"] = (sum(row["replan"][way][key] for row in rows), None)
    return found


def _lines(row: dict[str, Any]) -> str:
    lines = [f"seed {row['seed']}: {row['blocks']} blocks, first plan in {row['first seconds']:.2f} s"]
    for name in SIDES:
        if name not in row:
            continue
        one = row[name]
        parts = [f"  {name:<42}"]
        if "sum" in one:
            parts.append(f"sum {one['sum']:>9}")
        if "cost" in one:
            parts.append(f"tuple {one['cost']}")
        if one.get("cpu_seconds"):
            parts.append(f"{one['cpu_seconds']:.0f} s of processors")
        late = one["late_slots"]
        parts.append("no plan in time" if late is None else f"late by weight {late} slots")
        lines.append("  ".join(parts))
    if "cost over the solver's" in row:
        ratio = row["cost over the solver's"]
        lines.append(f"  ratio of sums {ratio:.3f} after {row['rounds']} rounds")
        lines.append(f"  {OWN}the product takes {row['product takes']}")
    for name, one in row.get("replan", {}).items():
        lines.append(
            f"  {name:<42}  {one['seconds']:.3f} s  {one['moved']} of {one['blocks']} blocks moved"
            f"  late by weight {one['late_slots']} slots"
        )
    return "\n".join(lines)


def main() -> None:
    """Measure and print."""
    parser = Arguments(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--jobs", type=whole(1, MOST_JOBS), default=12)
    parser.add_argument("--crews", type=whole(1, MOST_CREWS), default=3)
    parser.add_argument("--weeks", type=whole(1, MOST_WEEKS), default=4)
    parser.add_argument("--seed", type=whole(0, MOST_SEED - MOST_INSTANCES), default=1, help="of the first instance")
    parser.add_argument("--instances", type=whole(1, MOST_INSTANCES), default=1, help="each with the next seed")
    parser.add_argument("--seconds", type=seconds, default=10.0, help="for each side; 0 makes the first plan only")
    parser.add_argument("--workers", type=whole(1, MOST_WORKERS), default=2)
    parser.add_argument("--peer", choices=["pyjobshop"])
    parser.add_argument("--replan", action="store_true")
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    if args.replan and args.weeks < 2:
        parser.error("--replan plans again in the second week: --weeks must be 2 or more")
    try:
        figures = run(args)
    except Refused as refusal:
        sys.exit(f"week: {refusal}")
    if args.json:
        print(json.dumps(figures, indent=2))
        return
    print()
    for name, (value, most) in figures["summary"].items():
        shown = "-" if value is None else f"{value:d}" if isinstance(value, int) else f"{value:.3f}"
        print(f"{name:<48}{shown:>9}   {f'expected at most {most:g}' if most is not None else ''}")


if __name__ == "__main__":
    main()
