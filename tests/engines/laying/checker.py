"""The judge of layouts: geometry, planks and joints from the pieces alone, in inches. It imports nothing of the program.

A piece is (field, run, row, kind, x_from, x_to, plank) in the frame of its field: rows along +x, row 0 at the lowest y.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from shapely import Polygon, box, unary_union

TOO_LITTLE = 1e-2
"""Square inches that rounding of corners to 1/4064 in may cost along a wall."""
CLOSE = 1e-3


@dataclass(frozen=True)
class Piece:
    """One piece on the floor, in inches."""

    run: int
    row: int
    kind: str
    x_from: float
    x_to: float
    plank: int
    field: int = 0

    @property
    def length(self) -> float:
        """Return its length."""
        return self.x_to - self.x_from


@dataclass(frozen=True)
class Rules:
    """What a layout must keep, in inches."""

    length: float
    width: float
    kerf: float = 0.125
    gap: float = 0.25
    min_piece: float = 10.0
    stagger: float = 7.0
    second_row: float = 2.0
    click: bool = True
    offcuts: Sequence[tuple[float, bool]] = field(default_factory=tuple)


@dataclass(frozen=True)
class Room:
    """An outline with its islands, and the rows it was laid in."""

    outline: Sequence[tuple[float, float]]
    holes: Sequence[Sequence[tuple[float, float]]]
    widths: Sequence[float]


def faults(room: Room | Sequence[Room], rules: Rules, pieces: Iterable[Piece], planks: int) -> list[str]:
    """Return everything that is wrong with a layout; nothing if it can be laid."""
    rooms = [room] if isinstance(room, Room) else list(room)
    pieces = list(pieces)
    found: list[str] = []
    for number, one in enumerate(rooms):
        mine = [piece for piece in pieces if piece.field == number]
        found += _cover(one, rules, mine)
        found += _joints(one, rules, mine)
    found += _planks(rules, pieces, planks)
    return found


def _cover(room: Room, rules: Rules, pieces: Sequence[Piece]) -> list[str]:
    found = []
    floor = Polygon(room.outline, room.holes)
    within = floor.buffer(-rules.gap, join_style="mitre", mitre_limit=50)
    low, high = within.bounds[1], within.bounds[3]
    lines = [low]
    for width in room.widths:
        lines.append(lines[-1] + width)
    if abs(lines[-1] - high) > CLOSE:
        found.append(f"rows end at {lines[-1]}, the floor at {high}")
    limit = max(rules.width / 3, min(2.0, rules.width / 2)) - CLOSE
    outer = (room.widths[0], room.widths[-1])
    found += [f"an outer row is {width} wide" for width in outer if not limit <= width <= rules.width + CLOSE]
    if any(abs(width - rules.width) > CLOSE for width in room.widths[1:-1]):
        found.append("a row between the outer ones is no full plank wide")
    tiles = [box(piece.x_from, lines[piece.row], piece.x_to, lines[piece.row + 1]) for piece in pieces]
    union = unary_union(tiles)
    if within.difference(union.buffer(CLOSE)).area > TOO_LITTLE:
        found.append(f"{within.difference(union).area} in² are not covered")
    if sum(tile.area for tile in tiles) - union.area > TOO_LITTLE:
        found.append("pieces overlap")
    for piece, tile in zip(pieces, tiles, strict=True):
        if tile.intersection(within).area < CLOSE:
            found.append(f"{piece} lies outside")
    return found


def _runs(pieces: Sequence[Piece]) -> dict[int, list[Piece]]:
    runs = defaultdict(list)
    for piece in pieces:
        runs[piece.run].append(piece)
    return {run: sorted(of, key=lambda piece: piece.x_from) for run, of in runs.items()}


def _joints(room: Room, rules: Rules, pieces: Sequence[Piece]) -> list[str]:
    found = []
    runs = _runs(pieces)
    for of in runs.values():
        total = of[-1].x_to - of[0].x_from
        for left, right in itertools.pairwise(of):
            if abs(left.x_to - right.x_from) > CLOSE or left.row != right.row:
                found.append(f"{left} and {right} do not meet")
        if len(of) == 1:
            if total > rules.length + CLOSE or of[0].kind not in ("single", "full"):
                found.append(f"{of[0]} alone in its run")
            continue
        if total <= rules.length + CLOSE:
            found.append(f"{of[0]}: a run no longer than a plank in pieces")
        for place, piece in enumerate(of):
            whole = abs(piece.length - rules.length) < CLOSE
            right_kind = "full" if whole else "start" if place == 0 else "end" if place == len(of) - 1 else "none"
            if piece.kind != right_kind:
                found.append(f"{piece} is no {piece.kind}")
            if piece.length < rules.min_piece - CLOSE:
                found.append(f"{piece} is too short")
    for a in runs.values():
        for b in runs.values():
            apart = b[0].row - a[0].row
            if apart in (1, 2) and a[0].x_from < b[-1].x_to - CLOSE and b[0].x_from < a[-1].x_to - CLOSE:
                least = rules.stagger if apart == 1 else rules.second_row
                found += [
                    f"joints of {one} and {other} are {abs(one.x_to - other.x_to)} apart"
                    for one in a[:-1]
                    for other in b[:-1]
                    if abs(one.x_to - other.x_to) < least - CLOSE
                ]
    return found


def _planks(rules: Rules, pieces: Sequence[Piece], planks: int) -> list[str]:
    found = []
    of: Mapping[int, list[Piece]] = defaultdict(list)
    for piece in pieces:
        of[piece.plank].append(piece)
    if len([plank for plank in of if plank >= 0]) != planks:
        found.append(f"{planks} planks are said, {len([plank for plank in of if plank >= 0])} are used")
    for plank, cut in of.items():
        kinds = [piece.kind for piece in cut]
        room, starts, ends = rules.length, 1, 1
        if plank < 0:
            room, starting = rules.offcuts[-1 - plank]
            starts, ends = (1, 0) if starting else (0, 1)
        if sum(piece.length for piece in cut) + rules.kerf * (len(cut) - 1) > room + CLOSE:
            found.append(f"plank {plank} is too short for {cut}")
        if rules.click and (kinds.count("start") > starts or kinds.count("end") > ends):
            found.append(f"plank {plank} has no factory end for {cut}")
        if "full" in kinds and len(kinds) > 1:
            found.append(f"plank {plank} is whole and cut: {cut}")
    return found
