"""Whether pieces really fit on a floor: rectangles, turned or not, that overlap nothing and leave a way to walk.

A simple placing into corners answers most cases; what it cannot place is asked of the solver (rectangles that do not overlap
in two dimensions). "Undecided" counts as not fitting: nothing is shown that cannot be stood. Lengths are whole inches,
laid on a grid of two.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final, NamedTuple

from crewjobs.engines.moving.solving import run
from crewjobs.engines.scheduling.solver import available, library

GRID: Final = 2
"""Inches: pieces stand on a grid of so much. Measured fine enough for furniture, and the solver needs few places."""


class Rect(NamedTuple):
    """A rectangle on a floor, in inches from its corner."""

    x: int
    y: int
    width: int
    depth: int

    def overlaps(self, other: Rect) -> bool:
        """Return whether two rectangles share more than an edge."""
        return (
            self.x < other.x + other.width
            and other.x < self.x + self.width
            and self.y < other.y + other.depth
            and other.y < self.y + self.depth
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorPlan:
    """A floor to stand things on: `width` by `depth`, without what is `blocked` (a chimney, the part an L is short of).

    `walkways` are the ways of which one stays free, each a chain of rectangles; none where nobody has to walk there.
    """

    width: int
    depth: int
    blocked: tuple[Rect, ...] = ()
    walkways: tuple[tuple[Rect, ...], ...] = ()


class Fits(StrEnum):
    """What is known."""

    YES = "fits"
    NO = "does not fit"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class Standing:
    """Whether pieces fit, where they then stand (in their order), and which walkway is free (its number, -1 for none)."""

    fits: Fits
    at: tuple[Rect, ...] = ()
    walkway: int = -1


def stand(
    floor: FloorPlan,
    pieces: Sequence[tuple[int, int]],
    *,
    effort: float = 2.0,
    stop: Callable[[], bool] = lambda: False,
) -> Standing:
    """Return how pieces (width and depth in inches) stand on a floor; `effort` is the solver's deterministic time."""
    sizes = [(_up(width), _up(depth)) for width, depth in pieces]
    wide, deep = floor.width // GRID * GRID, floor.depth // GRID * GRID
    if any(not _within(size, wide, deep) for size in sizes):
        return Standing(Fits.NO)
    ways = [*enumerate(floor.walkways)] or [(-1, ())]
    if _too_much(floor, sizes, wide, deep, ways):
        return Standing(Fits.NO)
    for number, way in ways:
        at = _into_corners(wide, deep, [*floor.blocked, *way], sizes)
        if at is not None:
            return Standing(Fits.YES, at, number)
    if not available():
        return Standing(Fits.UNDECIDED)
    return _solved(floor, sizes, wide, deep, ways, effort, stop)


def _up(inches: int) -> int:
    return -(-inches // GRID) * GRID


def _within(size: tuple[int, int], wide: int, deep: int) -> bool:
    return (size[0] <= wide and size[1] <= deep) or (size[1] <= wide and size[0] <= deep)


def _too_much(
    floor: FloorPlan,
    sizes: Sequence[tuple[int, int]],
    wide: int,
    deep: int,
    ways: Sequence[tuple[int, tuple[Rect, ...]]],
) -> bool:
    """Return whether the pieces cover more than is left beside what is blocked, whichever way stays free."""
    cells = {(x, y) for x in range(0, wide, GRID) for y in range(0, deep, GRID)}
    for rect in floor.blocked:
        cells -= _cells(rect)
    least = min(len(cells & set().union(*map(_cells, way))) if way else 0 for _, way in ways)
    return sum(width * depth for width, depth in sizes) > (len(cells) - least) * GRID * GRID


def _cells(rect: Rect) -> set[tuple[int, int]]:
    """Return the cells of the grid a rectangle touches."""
    left, top = rect.x // GRID * GRID, rect.y // GRID * GRID
    return {(x, y) for x in range(left, rect.x + rect.width, GRID) for y in range(top, rect.y + rect.depth, GRID)}


def _into_corners(
    wide: int, deep: int, taken: Sequence[Rect], sizes: Sequence[tuple[int, int]]
) -> tuple[Rect, ...] | None:
    """Return places with each piece, the largest first, in the first corner where it fits; None where one finds none."""
    placed: dict[int, Rect] = {}
    standing = [*taken]
    for i in sorted(range(len(sizes)), key=lambda i: (-sizes[i][0] * sizes[i][1], -max(sizes[i]), i)):
        width, depth = sizes[i]
        corners = {(0, 0)} | {(_up(r.x + r.width), _up(r.y)) for r in standing}
        corners |= {(_up(r.x), _up(r.y + r.depth)) for r in standing}
        corners |= {(0, _up(r.y + r.depth)) for r in standing} | {(_up(r.x + r.width), 0) for r in standing}
        turns = sorted({(width, depth), (depth, width)})
        found = next(
            (
                rect
                for y, x in sorted((y, x) for x, y in corners)
                for rect in (Rect(x, y, *turn) for turn in turns)
                if x >= 0 and y >= 0 and x + rect.width <= wide and y + rect.depth <= deep
                and not any(rect.overlaps(other) for other in standing)
            ),
            None,
        )  # fmt: skip
        if found is None:
            return None
        placed[i] = found
        standing.append(found)
    return tuple(placed[i] for i in range(len(sizes)))


def _solved(
    floor: FloorPlan,
    sizes: Sequence[tuple[int, int]],
    wide: int,
    deep: int,
    ways: Sequence[tuple[int, tuple[Rect, ...]]],
    effort: float,
    stop: Callable[[], bool],
) -> Standing:
    cp_model = library()
    model: Any = cp_model.CpModel()
    across: list[Any] = []
    along: list[Any] = []
    corners: list[tuple[Any, Any, Any]] = []
    columns, rows = wide // GRID, deep // GRID
    for i, (width, depth) in enumerate(sizes):
        w, d = width // GRID, depth // GRID
        turned = model.new_bool_var(f"turned{i}") if w != d else 0
        x, y = model.new_int_var(0, columns, f"x{i}"), model.new_int_var(0, rows, f"y{i}")
        spans = []
        for start, length, most, name in (
            (x, w + (d - w) * turned, columns, "x"),
            (y, d + (w - d) * turned, rows, "y"),
        ):
            end = model.new_int_var(0, most, f"end {name}{i}")
            spans.append(model.new_interval_var(start, length, end, f"span {name}{i}"))
        across.append(spans[0])
        along.append(spans[1])
        corners.append((x, y, turned))
    for rect in floor.blocked:
        _block(model, across, along, rect)
    chosen = []
    for number, way in ways:
        on = model.new_bool_var(f"way{number}")
        chosen.append(on)
        for rect in way:
            _block(model, across, along, rect, on)
    model.add_exactly_one(chosen)
    model.add_no_overlap_2d(across, along)
    for i, size in enumerate(sizes):  # of alike pieces the first stands further left
        other = next((j for j in range(i) if sizes[j] == size), None)
        if other is not None:
            last = max(j for j in range(i) if sizes[j] == size)
            model.add(corners[last][0] <= corners[i][0])
    solver = cp_model.CpSolver()
    solver.parameters.use_energetic_reasoning_in_no_overlap_2d = True
    status = run(solver, model, effort, stop)
    if status == cp_model.INFEASIBLE:
        return Standing(Fits.NO)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Standing(Fits.UNDECIDED)
    at = []
    for (x, y, turned), (width, depth) in zip(corners, sizes, strict=True):
        turn = solver.value(turned) if not isinstance(turned, int) else 0
        sides = (depth, width) if turn else (width, depth)
        at.append(Rect(solver.value(x) * GRID, solver.value(y) * GRID, *sides))
    free = next(number for (number, _), on in zip(ways, chosen, strict=True) if solver.value(on))
    return Standing(Fits.YES, tuple(at), free)


def _block(model: Any, across: list[Any], along: list[Any], rect: Rect, on: Any = None) -> None:
    left, right = rect.x // GRID, -(-(rect.x + rect.width) // GRID)
    top, low = rect.y // GRID, -(-(rect.y + rect.depth) // GRID)
    name = f"{rect} {len(across)}"
    for axis, start, end in ((across, left, right), (along, top, low)):
        if on is None:
            axis.append(model.new_fixed_size_interval_var(start, end - start, name))
        else:
            axis.append(model.new_optional_fixed_size_interval_var(start, end - start, on, name))
