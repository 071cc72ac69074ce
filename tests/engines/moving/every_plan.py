"""The judge's own judge: every plan of a tiny house, one after the other, with no idea to make it quick but a limit.

It holds the oracle's arrays to plain enumeration. A plan is cut only when it already costs as much as the best one.
"""

from __future__ import annotations

import itertools

from tests.engines.moving.model import Instance, tenths
from tests.engines.moving.replay import stage_faults

Layout = tuple[str, ...]


def least_cost(instance: Instance, waits: int) -> float | None:
    """Return the least cost in labor minutes over all plans with at most so many waits, or None when there is none."""
    items = instance.items
    layouts: list[Layout] = list(itertools.product(instance.zones, repeat=len(items)))
    legal: dict[tuple[tuple[str, ...], tuple[str, ...]], list[Layout]] = {}
    home = tuple(item.home for item in items)
    best: list[int | None] = [None]

    def carried(before: Layout, after: Layout) -> int:
        return sum(tenths(item.move_minutes[a][b]) for item, a, b in zip(items, before, after, strict=True) if a != b)

    def night(layout: Layout) -> int:
        rooms = {name: zone.room for name, zone in instance.zones.items()}
        return sum(
            tenths(item.night_cost_min)
            for item, place in zip(items, layout, strict=True)
            if rooms[place] != rooms[item.home]
        )

    def stands(work: tuple[str, ...], curing: tuple[str, ...]) -> list[Layout]:
        if (work, curing) not in legal:
            ids = [item.id for item in items]
            legal[work, curing] = [
                layout
                for layout in layouts
                if not stage_faults(instance, work, dict(zip(ids, layout, strict=True)), curing)
            ]
        return legal[work, curing]

    def go_on(done: tuple[str, ...], curing: tuple[str, ...], layout: Layout, cost: int, left: int) -> None:
        if best[0] is not None and cost >= best[0]:
            return
        if {*done} == {*instance.worked}:
            whole = cost + carried(layout, home)
            best[0] = whole if best[0] is None else min(best[0], whole)
        for work in ((), *instance.work_sets):
            after = (*done, *work)
            if (not work and not left) or {*work} & {*done}:
                continue
            if any(later in work and earlier not in after for earlier, later in instance.precedence):
                continue
            now = tuple(zone for zone in work if zone in instance.cure_zones)
            price = tenths(instance.setup_min if work else instance.wait_min)
            for there in stands(work, curing):
                so_far = cost + carried(layout, there) + price + night(there)
                go_on(after, now, there, so_far, left - (not work))

    go_on((), (), home, 0, waits)
    return None if best[0] is None else best[0] / 10
