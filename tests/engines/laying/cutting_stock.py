"""The judge of the minimum on small rooms: every piece, every plank and every joint as variables of one CP-SAT model.

It shares no idea with the engine: pieces are put into planks one by one, joints are compared one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product as pairs_of

from ortools.sat.python import cp_model

Run = tuple[int, int, int]
"""Row, left and right, in steps."""


def fewest(
    runs: list[Run],
    *,
    length: int,
    kerf: int,
    least: int,
    stagger: int,
    second: int,
    click: bool,
    most: int,
    offcuts: Sequence[tuple[int, bool]] = (),
) -> int | None:
    """Return the fewest planks of at most `most` cut planks; whole ones are counted beside. None: no layout, or too many planks."""
    model = cp_model.CpModel()
    joints: list[list[tuple[object, object]]] = []
    pieces: list[tuple[str, object, object]] = []
    whole: list[object] = []
    for _, left, right in runs:
        total = right - left
        if total <= length:
            here = model.new_int_var(total, total, "")
            pieces.append(("single", here, model.new_constant(1)))
            joints.append([])
            continue
        start = model.new_int_var(least, length, "")
        end = model.new_int_var(least, length, "")
        full = model.new_int_var(0, total // length, "")
        model.add(start + full * length + end == total)
        whole.append(full)
        for kind, size in (("start", start), ("end", end)):
            pieces.append((kind, size, model.new_constant(1)))
        of = []
        for number in range(total // length + 1):
            there = model.new_bool_var("")
            model.add(full >= number).only_enforce_if(there)
            model.add(full < number).only_enforce_if(~there)
            of.append((left + start + number * length, there))
        joints.append(of)
    _apart(model, runs, joints, stagger, second)
    used = _cut(model, pieces, [length] * most, kerf, click, offcuts)
    model.minimize(sum(whole) + sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 60
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), "the judge's room is too large for it"
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


def _apart(model, runs, joints, stagger: int, second: int) -> None:
    for a, b in pairs_of(range(len(runs)), repeat=2):
        beyond = runs[b][0] - runs[a][0]
        if beyond not in (1, 2) or not (runs[a][1] < runs[b][2] and runs[b][1] < runs[a][2]):
            continue
        least = stagger if beyond == 1 else second
        for (x, there), (y, also) in pairs_of(joints[a], joints[b]):
            before = model.new_bool_var("")
            model.add(y - x >= least).only_enforce_if(there, also, before)
            model.add(x - y >= least).only_enforce_if(there, also, ~before)


def _cut(model, pieces, planks, kerf: int, click: bool, offcuts):
    """Put every piece into one plank or offcut; return whether each plank is used. An offcut has one factory end at most."""
    rooms = [*planks, *(length for length, _ in offcuts)]
    inside = [[model.new_bool_var("") for _ in rooms] for _ in pieces]
    for of in inside:
        model.add_exactly_one(of)
    used = [model.new_bool_var("") for _ in planks]
    for place, room in enumerate(rooms):
        takes = []
        for (_, size, _), of in zip(pieces, inside, strict=True):
            share = model.new_int_var(0, room + kerf, "")
            model.add(share >= size + kerf).only_enforce_if(of[place])
            model.add(share == 0).only_enforce_if(~of[place])
            takes.append(share)
            if place < len(planks):
                model.add_implication(of[place], used[place])
        model.add(sum(takes) <= room + kerf)
        if click:
            for kind in ("start", "end"):
                ends = 1
                if place >= len(planks):
                    ends = int(offcuts[place - len(planks)][1] == (kind == "start"))
                named = [of[place] for (name, *_), of in zip(pieces, inside, strict=True) if name == kind]
                model.add(sum(named) <= ends)
    for place in range(len(planks) - 1):
        model.add_implication(used[place + 1], used[place])
    return used
