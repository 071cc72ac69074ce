"""The rule of thumb that plans are measured against: one room at a time, in listed order, all of it into the stores.

How a crew does it without a plan. What leaves a room goes biggest first into the place that is least to carry, the
hall only when nothing else takes it; a bed goes into the first other bedroom that takes it. When the room does not empty whole,
its halves are done one after the other. What is done is filled again before the next room is emptied; a glued floor
is waited for. The order is mended only where a continuous floor asks for another.

Common practice, no source; as the study describes it, whose two costs the tests hold it to. It is no part of the
engine, and takes nothing from it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from enum import StrEnum

from tests.engines.moving.model import Instance, Item, Stage
from tests.engines.moving.replay import has_way, stage_faults


class Failure(StrEnum):
    """Why the rule of thumb finds no plan."""

    BLOCKED = "blocked access"
    ROOM = "room does not fit"
    HALF = "half does not fit"


def listed_order(instance: Instance) -> list[Stage] | Failure:
    """Return the stages of the rule of thumb, which break no rule, or why it fails."""
    stages: list[Stage] = []
    left = [*instance.worked]
    while left:
        whole, halves = _next(instance, left)
        made = _stages(instance, [whole], Failure.ROOM)
        if isinstance(made, Failure) and len(halves) > 1:
            made = _stages(instance, [(half,) for half in halves], Failure.HALF)
        if isinstance(made, Failure):
            return made
        stages += made
        left = [zone for zone in left if zone not in whole]
    while stages and not stages[-1][0]:
        stages.pop()
    return stages


def _next(instance: Instance, left: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the zones worked together next, and one by one in their order: the first room, or part of one, that may.

    A room may when nothing outside it has to be done before; where a floor runs out of a room and back into it, only
    the part that may.
    """
    rooms = {name: zone.room for name, zone in instance.zones.items()}
    together = {frozenset(work) for work in instance.work_sets}

    def before(zone: str) -> set[str]:
        return {one for one, other in instance.precedence if other == zone and one in left}

    for room in dict.fromkeys(rooms[zone] for zone in left):
        parts = [zone for zone in left if rooms[zone] == room]
        if frozenset(parts) in together and all(before(zone) <= {*parts} for zone in parts):
            return tuple(parts), tuple(_ordered(parts, before))
    zone = next((zone for zone in left if not before(zone) and frozenset((zone,)) in together), left[0])
    return (zone,), (zone,)


def _ordered(parts: Sequence[str], before: Callable[[str], set[str]]) -> list[str]:
    ordered: list[str] = []
    while len(ordered) < len(parts):
        rest = [zone for zone in parts if zone not in ordered]
        ordered.append(next((zone for zone in rest if not before(zone) & {*rest}), rest[0]))
    return ordered


def _stages(instance: Instance, works: Sequence[tuple[str, ...]], unfit: Failure) -> list[Stage] | Failure:
    stages: list[Stage] = []
    for work in works:
        positions = _emptied(instance, work)
        if positions is None:
            return unfit
        if not all(has_way(instance, zone, positions, ()) for zone in work):
            return Failure.BLOCKED
        if stage_faults(instance, work, positions, ()):
            return unfit
        stages.append((work, positions))
        if any(zone in instance.cure_zones for zone in work):
            stages.append(((), positions))
    return stages


def _emptied(instance: Instance, work: tuple[str, ...]) -> dict[str, str] | None:
    """Return where everything stands when these zones are emptied and the rest is at home; None when it does not fit."""
    positions = {item.id: item.home for item in instance.items}
    load: Counter[str] = Counter()
    for item in instance.items:
        if item.home not in work:
            load[item.home] += item.floor
    out = [item for item in instance.items if item.home in work]
    for item in sorted(out, key=lambda item: (not item.is_bed, -item.floor)):
        fits = [
            place
            for place in _choices(instance, item, work)
            if load[place] + item.floor <= instance.zones[place].capacity_ft2 * 100
        ]
        if not fits:
            return None
        positions[item.id] = fits[0]
        load[fits[0]] += item.floor
    return positions


def _choices(instance: Instance, item: Item, work: tuple[str, ...]) -> list[str]:
    """Return where a piece may go, best first: a bed into another bedroom, then the stores, then what is crossed."""
    zones = instance.zones
    hall = _crossed(instance)
    stores = [name for name in item.allowed if not zones[name].worked]
    stores.sort(key=lambda name: (name in hall, item.move_minutes[item.home][name]))
    if not item.is_bed:
        return stores
    bedrooms = [
        name
        for name, zone in zones.items()
        if zone.worked and zone.sleep and zone.room != zones[item.home].room and name not in work
        if name in item.allowed
    ]
    return bedrooms + stores


def _crossed(instance: Instance) -> set[str]:
    """Return the stores that lead on to a worked zone, such as the hall."""
    found = set()
    for passage in instance.passages:
        for one, other in ((passage.a, passage.b), (passage.b, passage.a)):
            if one in instance.zones and other in instance.zones and instance.zones[other].worked:
                found.add(one)
    return {name for name in found if not instance.zones[name].worked}
