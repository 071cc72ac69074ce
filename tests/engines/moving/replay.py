"""The judge of furniture plans: a plan played stage by stage, each rule looked at by itself.

It shares nothing with the engine that makes the plans, and nothing with the oracle beside it but the house's fields:
what counts as legal is written here a second time, in the plainest way, from the format's own words (`description`).

How those words are taken, where they leave room:
- A wait is a night like any other: capacity, beds and night costs hold in it. It may stand where nothing cures.
- Only stages are looked at: neither the layout before the first stage nor the return home after the last.
- A cure holds for the one stage that follows, whether it is worked or waited.
- A place smaller than the walkway (passage capacity below zero) is not crossed, even empty.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from tests.engines.moving.instances import Instance, Stage, tenths


def replay(instance: Instance, stages: Sequence[Stage]) -> tuple[float, list[str]]:
    """Return a plan's cost in labor minutes to 0.1, and a sentence for each rule it breaks; none if it keeps them all.

    A piece without a known place stays where it was; what is wrong is said and costs nothing.
    """
    faults: list[str] = []
    cost = 0
    at = {item.id: item.home for item in instance.items}
    when: dict[str, int] = {}
    curing: tuple[str, ...] = ()
    for number, (work, positions) in enumerate(stages, 1):
        where = f"stage {number}"
        now = _places(instance, positions, at, where, faults)
        cost += _carried(instance, at, now, where, faults)
        cost += tenths(instance.setup_min if work else instance.wait_min)
        cost += _nights(instance, now)
        faults += [f"{where}: {fault}" for fault in stage_faults(instance, work, now, curing)]
        for zone in work:
            if zone in when:
                faults.append(f"{where}: {zone} is worked again, after stage {when[zone]}.")
            when.setdefault(zone, number)
        at = now
        curing = tuple(zone for zone in work if zone in instance.cure_zones)
    home = {item.id: item.home for item in instance.items}
    cost += _carried(instance, at, home, "the return", faults)
    faults += [f"{zone} is never worked." for zone in instance.worked if zone not in when]
    for earlier, later in instance.precedence:
        if earlier in when and later in when and when[earlier] > when[later]:
            faults.append(f"{later} is worked in stage {when[later]}, before {earlier} in stage {when[earlier]}.")
    return cost / 10, faults


def stage_faults(
    instance: Instance, work: Collection[str], positions: Mapping[str, str], curing: Collection[str]
) -> list[str]:
    """Return a sentence for each rule broken in one stage taken alone, with every piece placed in a known zone."""
    faults: list[str] = []
    if work and frozenset(work) not in {frozenset(one) for one in instance.work_sets}:
        faults.append(f"{' and '.join(work)} is no work set.")
    if len(set(work)) < len(work):
        faults.append("a zone is named twice in the work.")
    for item in instance.items:
        place = positions[item.id]
        if place in work:
            faults.append(f"{item.id} stands in {place}, which is being worked.")
        if place in curing:
            faults.append(f"{item.id} stands in {place}, which is curing.")
        if place not in item.allowed:
            faults.append(f"{item.id} may not stand in {place}.")
    load = _loads(instance, positions)
    faults += [
        f"{zone.name} holds {load[zone.name] / 100:g} ft2, more than its {zone.capacity_ft2} ft2."
        for zone in instance.zones.values()
        if load[zone.name] > zone.capacity_ft2 * 100
    ]
    faults += [
        f"there is no way from outside to {zone}."
        for zone in work
        if zone in instance.zones and not has_way(instance, zone, positions, curing)
    ]
    slept = sum(item.is_bed and instance.zones[positions[item.id]].sleep for item in instance.items)
    if slept < instance.beds_needed:
        faults.append(f"beds to sleep in: {slept}, needed: {instance.beds_needed}.")
    return faults


def has_way(instance: Instance, target: str, positions: Mapping[str, str], curing: Collection[str]) -> bool:
    """Return whether some path from outside to a zone crosses only zones that can be crossed with what stands there."""
    load = _loads(instance, positions)
    seen, to_see = {instance.outside}, [instance.outside]
    while to_see:
        here = to_see.pop()
        for passage in instance.passages:
            if here not in (passage.a, passage.b):
                continue
            there = passage.b if passage.a == here else passage.a
            if there == target:
                return True
            if there in seen:
                continue
            seen.add(there)
            if there not in curing and load[there] <= instance.zones[there].capacity_as_passage_ft2 * 100:
                to_see.append(there)
    return False


def _loads(instance: Instance, positions: Mapping[str, str]) -> Counter[str]:
    """Return the floor taken in each zone, in hundredths of ft2."""
    load: Counter[str] = Counter()
    for item in instance.items:
        load[positions[item.id]] += item.floor
    return load


def _places(
    instance: Instance, positions: Mapping[str, str], at: Mapping[str, str], where: str, faults: list[str]
) -> dict[str, str]:
    faults += [f"{where}: there is no item {name}." for name in positions if name not in at]
    now = dict(at)
    for item in at:
        if item not in positions:
            faults.append(f"{where}: {item} has no place.")
        elif positions[item] not in instance.zones:
            faults.append(f"{where}: {item} stands in {positions[item]}, which is no zone.")
        else:
            now[item] = positions[item]
    return now


def _carried(
    instance: Instance, before: Mapping[str, str], after: Mapping[str, str], where: str, faults: list[str]
) -> int:
    total = 0
    for item in instance.items:
        start, end = before[item.id], after[item.id]
        if start == end:
            continue
        minutes = item.move_minutes.get(start, {}).get(end)
        if minutes is None:
            faults.append(f"{where}: {item.id} has no minutes from {start} to {end}.")
        else:
            total += tenths(minutes)
    return total


def _nights(instance: Instance, positions: Mapping[str, str]) -> int:
    return sum(
        tenths(item.night_cost_min)
        for item in instance.items
        if instance.zones[positions[item.id]].room != instance.zones[item.home].room
    )
