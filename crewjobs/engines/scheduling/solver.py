"""A problem as a CP-SAT model, hinted, solved and read back; the caller brings the objective.

Formulation: every mode's start table falls into classes of equal elapsed time, and one literal a class ties start and
end together, so that nights, lunches and days off need no constraint of their own. A machine's optional intervals do
not overlap, pools are cumulative over ``[start, end)``, setups are pairwise orders where one is longer than 0.

The solver (OR-Tools) is loaded only inside these functions. Where it is not installed, `available` says so and
`build` raises `SolverMissing`; `makespan.shortest` answers without it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from importlib.util import find_spec
from itertools import combinations
from typing import Any

from crewjobs.engines.scheduling.model import Activity, Placed, Problem, Schedule, StartTable

POLL_SECONDS = 0.02
"""How often a running solver is asked whether it should stop."""

TABLES: Mapping[str, Any] = {"cp_model_probing_level": 0, "symmetry_level": 0}
"""Settings for start tables: probing took 4 s three times over where the first plan now takes 0.2 s."""


class SolverMissing(ImportError):
    """OR-Tools is not installed or does not load on this machine."""


def available() -> bool:
    """Return whether the solver is installed, without loading it."""
    try:
        return find_spec("ortools") is not None
    except ValueError:  # a stand-in without a specification
        return False


def library() -> Any:
    """Return the solver's modeling module, loaded now (0.3 s the first time); raise `SolverMissing`."""
    try:
        from ortools.sat.python import cp_model
    except ImportError as fault:
        raise SolverMissing("the solver (ortools) is not installed") from fault
    return cp_model


@dataclass(slots=True, kw_only=True)
class Model:
    """A CP-SAT model of a problem.

    `start` and `end` hold an expression an activity (a variable, or one plus a constant), in slots; `on[i][m]` is the
    literal of activity i being done in mode m, `order[i, j]` that i comes before j where a setup lies between them.
    """

    problem: Problem
    cp: Any
    start: list[Any] = field(default_factory=list)
    end: list[Any] = field(default_factory=list)
    on: list[list[Any]] = field(default_factory=list)
    order: dict[tuple[int, int], Any] = field(default_factory=dict)
    span: list[Any] = field(default_factory=list)
    classes: list[list[dict[int, Any]]] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the solver found. `value` and `bound` are the objective's (0 without one).

    `proven` says that nothing better exists; without a schedule, that none exists at all. `status` is OPTIMAL,
    FEASIBLE, INFEASIBLE or UNKNOWN. `work` is what the solver did, in its own count, which does not depend on the machine.
    """

    schedule: Schedule | None
    value: int
    bound: int
    proven: bool
    status: str
    work: float = 0.0


def build(problem: Problem) -> Model:
    """Return the model of a problem without an objective; raise `SolverMissing`."""
    cp_model = library()
    model = Model(problem=problem, cp=cp_model.CpModel())
    tables: dict[int, dict[int, Any]] = {}
    machines: list[list[Any]] = [[] for _ in range(problem.machines)]
    for activity in problem.activities:
        for mode in activity.modes:
            if id(mode.table) not in tables:
                tables[id(mode.table)] = {
                    elapsed: _domain(cp_model, starts) for elapsed, starts in _classes(mode.table).items()
                }
        _add_activity(cp_model, model, activity, tables)
        _add_to_machines(model, activity, machines)
    for intervals in machines:
        if len(intervals) > 1:
            model.cp.add_no_overlap(intervals)
    _add_pools(model)
    for lag in problem.lags:
        model.cp.add(model.start[lag.after] >= model.end[lag.before] + lag.least)
        if lag.most is not None:
            model.cp.add(model.start[lag.after] <= model.end[lag.before] + lag.most)
    _add_setups(model)
    return model


def _classes(table: StartTable) -> dict[int, Any]:
    """Return the starts of a table by the time that elapses to the end."""
    starts, ends = table.starts, table.ends
    if isinstance(starts, range) and isinstance(ends, range) and starts.step == ends.step == 1:
        return {ends[0] - starts[0]: starts} if starts else {}
    found: dict[int, list[int]] = {}
    for start, end in zip(starts, ends, strict=True):
        found.setdefault(end - start, []).append(start)
    return dict(sorted(found.items()))


def _domain(cp_model: Any, starts: Any) -> Any:
    if isinstance(starts, range):
        return cp_model.Domain(starts[0], starts[-1])
    return cp_model.Domain.from_values(list(starts))


def _add_activity(cp_model: Any, model: Model, activity: Activity, tables: dict[int, dict[int, Any]]) -> None:
    """Add one activity: its start and end, a literal a mode, and a literal a class of elapsed time."""
    cp = model.cp
    modes = [tables[id(mode.table)] for mode in activity.modes]
    elapsed = sorted({d for mode in modes for d in mode})
    if not elapsed:  # no start at all: no schedule
        cp.add_bool_or([])
    starts = cp_model.Domain(0, 0) if not elapsed else cp_model.Domain.from_intervals([])
    for mode in modes:
        for domain in mode.values():
            starts = starts.union_with(domain)
    start = cp.new_int_var_from_domain(starts, "")
    on = [cp.new_bool_var("") for _ in modes] if len(modes) > 1 else [cp.new_constant(1)]
    if len(modes) > 1:
        cp.add_exactly_one(on)
    if len(elapsed) > 1:
        span = cp.new_int_var_from_domain(cp_model.Domain.from_values(elapsed), "")
        low = min(domain.min() + d for mode in modes for d, domain in mode.items())
        high = max(domain.max() + d for mode in modes for d, domain in mode.items())
        end = cp.new_int_var(low, high, "")
    else:
        span = elapsed[0] if elapsed else 0
        end = start + span
    of_modes = []
    for literal, mode in zip(on, modes, strict=True):
        within = dict.fromkeys(mode, literal) if len(mode) == 1 else {d: cp.new_bool_var("") for d in mode}
        if len(mode) != 1:
            cp.add(sum(within.values()) == literal)
        for d, domain in mode.items():
            if len(modes) > 1 or len(mode) > 1:
                cp.add_linear_expression_in_domain(start, domain).only_enforce_if(within[d])
            if len(elapsed) > 1:
                cp.add(end == start + d).only_enforce_if(within[d])
                cp.add(span == d).only_enforce_if(within[d])
        of_modes.append(within)
    model.start.append(start)
    model.end.append(end)
    model.span.append(span)
    model.on.append(on)
    model.classes.append(of_modes)


def _add_to_machines(model: Model, activity: Activity, machines: list[list[Any]]) -> None:
    start, span, end = model.start[-1], model.span[-1], model.end[-1]
    for mode, literal, within in zip(activity.modes, model.on[-1], model.classes[-1], strict=True):
        if mode.machine < 0 or not within:
            continue
        if len(within) == 1:
            interval = model.cp.new_optional_fixed_size_interval_var(start, next(iter(within)), literal, "")
        else:
            interval = model.cp.new_optional_interval_var(start, span, end, literal, "")
        machines[mode.machine].append(interval)


def _add_pools(model: Model) -> None:
    cp = model.cp
    intervals: list[list[Any]] = [[] for _ in model.problem.pools]
    units: list[list[int]] = [[] for _ in model.problem.pools]
    for i, activity in enumerate(model.problem.activities):
        span = model.span[i]
        uses = [(pool, amount) for pool, amount in activity.uses if amount]
        if not uses or (isinstance(span, int) and span == 0):
            continue
        if isinstance(span, int):
            interval = cp.new_fixed_size_interval_var(model.start[i], span, "")
        else:
            interval = cp.new_interval_var(model.start[i], span, model.end[i], "")
        for pool, amount in uses:
            intervals[pool].append(interval)
            units[pool].append(amount)
    for capacity, of_pool, amounts in zip(model.problem.pools, intervals, units, strict=True):
        if sum(amounts) > capacity:
            cp.add_cumulative(of_pool, amounts, capacity)


def _add_setups(model: Model) -> None:
    cp, setups = model.cp, model.problem.setups
    groups = [activity.group for activity in model.problem.activities]
    for i, j, m, n in _meetings(model.problem):
        if (i, j) not in model.order:
            model.order[i, j] = cp.new_bool_var("")
        before, both = model.order[i, j], [model.on[i][m], model.on[j][n]]
        there, back = setups.get((groups[i], groups[j]), 0), setups.get((groups[j], groups[i]), 0)
        cp.add(model.start[j] >= model.end[i] + there).only_enforce_if([*both, before])
        cp.add(model.start[i] >= model.end[j] + back).only_enforce_if([*both, ~before])


def _meetings(problem: Problem) -> Iterator[tuple[int, int, int, int]]:
    """Yield pairs of activities with the modes in which a setup may come between them on one machine."""
    setups = {pair: slots for pair, slots in problem.setups.items() if slots > 0 and pair[0] != pair[1]}
    if not setups:
        return
    last = [[max(mode.table.ends, default=0) for mode in activity.modes] for activity in problem.activities]
    for (i, a), (j, b) in combinations(enumerate(problem.activities), 2):
        there, back = setups.get((a.group, b.group), 0), setups.get((b.group, a.group), 0)
        if not there and not back:
            continue
        for m, one in enumerate(a.modes):
            for n, other in enumerate(b.modes):
                if one.machine != other.machine or one.machine < 0 or not one.table.starts or not other.table.starts:
                    continue
                far = last[i][m] + there <= other.table.starts[0]  # apart whatever happens
                if not far and not last[j][n] + back <= one.table.starts[0]:
                    yield i, j, m, n


def hint(model: Model, schedule: Schedule) -> None:
    """Give the model a schedule to begin with, instead of any it had; it need not keep every rule."""
    cp = model.cp
    cp.clear_hints()
    for i, (mode, start, end) in enumerate(schedule):
        cp.add_hint(model.start[i], start)
        if not isinstance(model.span[i], int):
            cp.add_hint(model.end[i], end)
            cp.add_hint(model.span[i], end - start)
        if len(model.on[i]) > 1:
            for m, literal in enumerate(model.on[i]):
                cp.add_hint(literal, m == mode)
        for m, within in enumerate(model.classes[i]):
            if len(within) > 1:
                for elapsed, literal in within.items():
                    cp.add_hint(literal, m == mode and elapsed == end - start)
    for (i, j), before in model.order.items():
        cp.add_hint(before, schedule[i].start <= schedule[j].start)


def solve(
    model: Model,
    *,
    seconds: float | None = None,
    deterministic: float | None = None,
    workers: int = 1,
    seed: int = 0,
    stop: Callable[[], bool] | None = None,
    on_better: Callable[[Schedule, int], None] | None = None,
    settings: Mapping[str, Any] = TABLES,
) -> Answer:
    """Solve a model until proof, `seconds`, `deterministic` units of the solver's own time, or `stop` says so.

    One worker and a deterministic limit give equal answers for equal seeds. `stop` and `on_better` (each better
    schedule and its value) are called from other threads; what they raise is raised here, after the solver has
    stopped. The interpreter's lock is free meanwhile. Raise ValueError for a model that the solver calls invalid.
    """
    cp_model = library()
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.num_workers = workers
    parameters.random_seed = seed
    parameters.catch_sigint_signal = False  # Ctrl-C is the caller's, who keeps what was found
    if seconds is not None:
        parameters.max_time_in_seconds = max(0.0, seconds)
    if deterministic is not None:
        parameters.max_deterministic_time = deterministic
    for name, setting in settings.items():
        setattr(parameters, name, setting)
    faults: list[BaseException] = []
    listener = _listener(cp_model, model, on_better, faults) if on_better else None
    status = _watched(solver, model, listener, stop, faults)
    if faults:
        raise faults[0]
    name = solver.status_name(status)  # without its argument this raises TypeError in 9.15
    if status == cp_model.MODEL_INVALID:
        raise ValueError(f"the solver takes the model for invalid: {model.cp.validate()}")
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Answer(
        schedule=_read(model, solver.value, solver.boolean_value) if found else None,
        value=round(solver.objective_value) if found and model.cp.has_objective() else 0,
        bound=_whole(solver.best_objective_bound) if model.cp.has_objective() else 0,
        proven=status in (cp_model.OPTIMAL, cp_model.INFEASIBLE),
        status=name,
        work=solver.response_proto.deterministic_time,
    )


def _whole(bound: float) -> int:
    """Return a bound as a whole number; the solver's integers come as floats, infinite where it has none."""
    return round(bound) if abs(bound) < 2**62 else (2**62 if bound > 0 else -(2**62))


def _read(model: Model, value: Callable[[Any], int], true: Callable[[Any], bool]) -> Schedule:
    return tuple(
        Placed(next(m for m, literal in enumerate(on) if true(literal)), value(start), value(end))
        for start, end, on in zip(model.start, model.end, model.on, strict=True)
    )


def _listener(
    cp_model: Any, model: Model, on_better: Callable[[Schedule, int], None], faults: list[BaseException]
) -> Any:
    class Listener(cp_model.CpSolverSolutionCallback):  # type: ignore[misc]
        def on_solution_callback(self) -> None:
            try:
                value = round(self.objective_value) if model.cp.has_objective() else 0
                on_better(_read(model, self.value, self.boolean_value), value)
            except BaseException as fault:  # noqa: BLE001  # must not pass through the solver's C++ frames
                faults.append(fault)
                self.stop_search()

    return Listener()


def _watched(
    solver: Any, model: Model, listener: Any, stop: Callable[[], bool] | None, faults: list[BaseException]
) -> Any:
    """Solve; where the caller may stop, ask it from a thread beside the solver."""
    if stop is None:
        return solver.solve(model.cp, listener)
    done = threading.Event()

    def watch() -> None:
        stopping = False
        while not done.wait(POLL_SECONDS):
            try:
                stopping = stopping or stop()
            except BaseException as fault:  # noqa: BLE001  # raised again in the caller's thread
                faults.append(fault)
                stopping = True
            if stopping:  # again and again: a call before the search has begun is lost
                solver.stop_search()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        return solver.solve(model.cp, listener)
    finally:
        done.set()
        watcher.join()
