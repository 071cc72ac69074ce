"""What may be worked in one stage, where dust keeps a room empty, and how a floor without a strip grows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise
from typing import Final

from crewjobs.domain.house import Covering, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.moves import Spot
from crewjobs.engines.stages.walks import Passage

SMALL_FT2: Final = 100.0
"""An empty room so small is worked together with one beside it where that saves a set-up."""
MOST_TOGETHER: Final = 3
"""Small rooms worked together with another at most."""
SPOTS_FT2: Final = 10.0
"""Spots patched by hand, with the vacuum at the tool, ask nobody to clear a room; more does. Common practice, no source."""
DUSTY: Final = frozenset({Covering.CERAMIC_TILE, Covering.GLUED_WOOD})
"""Coverings whose removal ends with grinding."""


def work_sets(job: Job, floored: Sequence[Spot], ways: Sequence[Passage]) -> Iterator[frozenset[Spot]]:
    """Yield what may be worked in one stage: neighboring sections of a room, with small empty rooms beside them."""
    parts_of = [[(room.name, part.name) for part in room.sections] for room in job.rooms]
    runs = [
        frozenset(parts[i:j])
        for parts in parts_of
        for i in range(len(parts))
        for j in range(i + 1, len(parts) + 1)
        if all(part in floored for part in parts[i:j])
    ]
    yield from runs
    small = {
        (room.name, "")
        for room in job.rooms
        if not room.cuts and not room.furniture and room.outline.area_ft2 <= SMALL_FT2 and (room.name, "") in floored
    }
    beside: dict[Spot, set[Spot]] = {}
    for way in ways:
        if way.stairs:
            continue  # rooms of two storeys share no set-up
        beside.setdefault(way.a, set()).add(way.b)
        beside.setdefault(way.b, set()).add(way.a)
    for run in runs:
        near = sorted(small & set().union(*(beside.get(spot, set()) for spot in run)) - run)
        for count in range(1, min(len(near), MOST_TOGETHER) + 1):
            yield from (run | set(more) for more in combinations(near, count))


def dusty(job: Job, floored: Sequence[Spot]) -> Iterator[tuple[Spot, list[Spot]]]:
    """Yield the sections that are ground, primed or poured, with the other sections of their room: they hold nothing then."""
    for spot in floored:
        room = job.room(spot[0])
        ground = (
            room.level_ft2 > 0 or room.patch_ft2 > SPOTS_FT2 or any(layer.covering in DUSTY for layer in room.layers)
        )
        others = [(room.name, part.name) for part in room.sections if part.name != spot[1]]
        if ground and others:
            yield spot, others


def laid_in_pieces(job: Job, floored: Sequence[Spot], order: Sequence[frozenset[Spot]]) -> Iterator[tuple[Spot, ...]]:
    """Yield the floors without a strip that an order lays in pieces which only meet later."""
    stage_of = {spot: number for number, stage in enumerate(order) for spot in stage}
    for ways in fields_of(job, floored):
        if not any(all(stage_of[a] <= stage_of[b] for a, b in pairs) for pairs in ways):
            yield tuple(dict.fromkeys(spot for pair in ways[0] for spot in pair))


def fields_of(job: Job, floored: Sequence[Spot]) -> Iterator[tuple[tuple[tuple[Spot, Spot], ...], ...]]:
    """Yield the orders in which each floor that runs on without a strip may grow: one for each place it may begin at."""
    beside: dict[Spot, list[Spot]] = {spot: [] for spot in floored}
    for room in job.rooms:
        parts = [(room.name, part.name) for part in room.sections]
        for a, b in pairwise(parts):
            _join(beside, a, b)
    for opening in job.openings:
        if opening.transition is Transition.CONTINUOUS:
            ends = [
                (name, part or next((cut for cut, _ in job.room(name).cuts), ""))
                for name, part in zip(opening.between, opening.parts, strict=True)
                if name != "outside"
            ]
            if len(ends) == 2:
                _join(beside, ends[0], ends[1])
    seen: set[Spot] = set()
    for spot in floored:
        if spot in seen:
            continue
        whole = _grown(beside, spot)
        seen |= {spot, *(b for _, b in whole)}
        field_spots = [spot, *(b for _, b in whole)]
        starts = [s for s in field_spots if s in job.starts]
        roots = starts or [s for s in field_spots if len(beside[s]) == 1] or field_spots
        if len(field_spots) > 2 or (starts and len(field_spots) > 1):
            yield tuple(tuple(_grown(beside, root)) for root in roots)


def _join(beside: dict[Spot, list[Spot]], a: Spot, b: Spot) -> None:
    if a in beside and b in beside and b not in beside[a]:
        beside[a].append(b)
        beside[b].append(a)


def _grown(beside: Mapping[Spot, Sequence[Spot]], root: Spot) -> list[tuple[Spot, Spot]]:
    """Return how a floor grows from a section: pairs of which the first is laid no later than the second."""
    seen, layer, pairs = {root}, [root], []
    while layer:
        following = []
        for spot in layer:
            for other in beside[spot]:
                if other not in seen:
                    seen.add(other)
                    pairs.append((spot, other))
                    following.append(other)
        layer = following
    return pairs
