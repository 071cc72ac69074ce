"""From the first pieces of all runs to a layout: every piece with its plank, in laying order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import count

from crewjobs.engines.laying.joints import distance, neighbours
from crewjobs.engines.laying.model import Kind, Layout, Piece, Problem, Product, Run, Status
from crewjobs.engines.laying.options import split
from crewjobs.engines.laying.pairing import Bin, Cut, Part, opened, pack
from crewjobs.engines.laying.stairs import count_stairs


def pieces_of(product: Product, run: Run, start: int) -> list[tuple[Kind, int, int]]:
    """Return kind and extent of the pieces of a run with this first piece; a whole plank is a full one wherever it lies."""
    if run.length <= product.length:
        return [(Kind.SINGLE, run.left, run.right)]
    full, end = split(product, run.length, start)
    found = [(Kind.FULL if start == product.length else Kind.START, run.left, run.left + start)]
    for _ in range(full):
        at = found[-1][2]
        found.append((Kind.FULL, at, at + product.length))
    found.append((Kind.FULL if end == product.length else Kind.END, run.right - end, run.right))
    return found


def cuts_of(problem: Problem, starts: Sequence[int]) -> tuple[list[Cut], int]:
    """Return the pieces to cut and the number of whole planks of all runs that are not laid yet."""
    cuts, whole = [], 0
    for number, (run, start) in enumerate(zip(problem.runs, starts, strict=True)):
        if run.laid is None:
            for kind, left, right in pieces_of(problem.product, run, start):
                if right - left == problem.product.length:
                    whole += 1
                else:
                    cuts.append(Cut(number, kind, right - left))
    return cuts, whole


def count_planks(problem: Problem, starts: Sequence[int], parts: Mapping[int, Part] | None = None) -> int:
    """Return how many new planks these first pieces take."""
    cuts, whole = cuts_of(problem, starts)
    return whole + opened(pack(problem.product, cuts, problem.offcuts, parts))


def faults_between(problem: Problem, starts: Sequence[int]) -> int:
    """Return by how much joints are too near to each other, over all pairs of runs, in 1/4064 inch; 0: they may lie so."""
    runs, product = problem.runs, problem.product
    total = 0
    for a, b, least in neighbours(runs, product):
        apart = distance(product, runs[a], starts[a], runs[b], starts[b])
        if apart is not None:
            total += max(0, least - apart)
    return total


def layout_of(
    problem: Problem,
    starts: Sequence[int],
    *,
    bound: int,
    bins: Sequence[Bin] | None = None,
    parts: Mapping[int, Part] | None = None,
) -> Layout:
    """Return the layout with these first pieces; `bins` are its planks where they are known, else they are packed."""
    product = problem.product
    if bins is None:
        bins = pack(product, cuts_of(problem, starts)[0], problem.offcuts, parts)
    number = count()
    of: dict[tuple[int, Kind], int] = {}
    for one in bins:
        plank = next(number) if one.offcut is None else -1 - one.offcut
        for cut in one.cuts:
            of[cut.run, cut.kind] = plank
    pieces = []
    for index, (run, start) in enumerate(zip(problem.runs, starts, strict=True)):
        if run.laid is None:
            for kind, left, right in pieces_of(product, run, start):
                plank = next(number) if right - left == product.length else of[index, kind]
                pieces.append(Piece(run=index, kind=kind, left=left, right=right, plank=plank))
    planks = next(number)
    return Layout(
        status=Status.PROVED if planks <= bound else Status.FOUND,
        starts=tuple(starts),
        pieces=tuple(pieces),
        planks=planks,
        bound=min(bound, planks),
        spare=min((one.room for one in bins if shared(one)), default=None),
        stagger=least_stagger(problem, starts, 1),
        second=least_stagger(problem, starts, 2),
        stairs=count_stairs(problem, starts),
    )


def shared(one: Bin) -> bool:
    """Return whether a second piece must come out of what the first leaves."""
    return len(one.cuts) > 1 or (one.offcut is not None and bool(one.cuts))


def least_stagger(problem: Problem, starts: Sequence[int], beyond: int) -> int | None:
    """Return the least distance of joints in rows so many apart; None where there is none."""
    runs, product = problem.runs, problem.product
    found = [
        distance(product, runs[a], starts[a], runs[b], starts[b])
        for a, b, _ in neighbours(runs, product)
        if runs[b].row - runs[a].row == beyond
    ]
    return min((apart for apart in found if apart is not None), default=None)
