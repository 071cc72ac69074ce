"""Generated furnished houses: what the judge and the engine are tried on, the same for the same seed.

As in the study: rooms of one or two halves, two to five places to store, zones filled up to 55 % of their area, beds
that are slept in each night, halves done in the order of their continuous floor. Sizes, weights, people and set-down
minutes of the furniture: common practice, no source. No house stands for a real one.
"""

from __future__ import annotations

import heapq
import itertools
import math
import random
from collections.abc import Sequence
from dataclasses import dataclass

from tests.engines.moving.model import Instance, Item, Passage, Zone, capacities, float_capacities

FILLED = 0.55
WALKWAY_FT2 = 18
TICKS = 60_000  # in a minute
TRIES = 50
OUTSIDE = "outside"
DESCRIPTION = (
    "Work every worked zone exactly once. A stage = one work set (a zone, or both zones of one room together), preceded by any item moves; after the moves and during the stage: worked zones empty; load(zone) <= floor(area*packing_factor); a zone crossed by the crew path outside->worked zone must have load <= floor((area-walkway_ft2)*packing_factor) and must not be curing; zone z in cure_zones may not hold items or be crossed in the next stage; a wait stage costs wait_min and ends the cure (night cost applies to it too). No cure limit for the final return.",
    "Every stage is one night. Night cost per item = night_cost_min if it stands outside its home room. beds_needed beds must be in zones with sleep=true during every stage.",
    "precedence [a,b]: a in an earlier stage than b, or the same stage. After the last stage every item goes back to its home zone. Capacity is checked at stage ends only, not while carrying.",
    "cost = sum of move_minutes + setup_min per work stage + wait_min per wait stage + night costs. move_minutes[item][from][to] is the authoritative table (persons*(setdown/2+1) + shortest walk of persons*(2*ft/speed + 0.25/door + 0.06*steps*(1+lb/200)), speed 100 ft/min under 100 lb else 60; 0.1 min rounding).",
)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of furniture: floor in ft2, weight in lb, people, set-down minutes; what limits where it may stand."""

    name: str
    ft2: int
    lb: int
    persons: int
    setdown: int
    rooms: tuple[str, ...]
    soft: bool = False  # not under an open porch
    powered: bool = False  # only where there is power
    heavy: bool = False  # not up or down a flight


BED = Kind("bed", 34, 180, 2, 10, ("bedroom",), soft=True)
KINDS = (
    Kind("sofa", 22, 160, 2, 2, ("living",), soft=True),
    Kind("armchair", 9, 60, 1, 1, ("living", "bedroom"), soft=True),
    Kind("tv stand", 8, 80, 2, 5, ("living", "bedroom")),
    Kind("coffee table", 8, 45, 1, 1, ("living",)),
    Kind("bookcase", 6, 120, 2, 6, ("living", "office", "bedroom")),
    Kind("plants", 5, 40, 1, 3, ("living", "dining", "office")),
    Kind("rug roll", 4, 40, 1, 2, ("living", "bedroom", "dining"), soft=True),
    Kind("piano", 13, 480, 4, 4, ("living",), soft=True, heavy=True),
    Kind("dresser", 9, 150, 2, 4, ("bedroom",)),
    Kind("nightstands", 4, 50, 1, 2, ("bedroom",)),
    Kind("wardrobe boxes", 10, 120, 2, 6, ("bedroom",)),
    Kind("boxes", 8, 140, 1, 8, ("bedroom", "office", "dining", "kitchen")),
    Kind("dining table", 20, 130, 2, 6, ("dining",)),
    Kind("six chairs", 12, 72, 1, 4, ("dining", "kitchen")),
    Kind("fridge", 9, 250, 2, 6, ("kitchen",), powered=True),
    Kind("small table", 7, 45, 1, 2, ("kitchen", "dining")),
    Kind("desk", 12, 110, 2, 5, ("office", "bedroom")),
    Kind("file cabinet", 4, 95, 2, 2, ("office",)),
)
ROOMS = ("living", "bedroom", "bedroom", "dining", "kitchen", "office", "bedroom")
SLEPT_IN = ("living", "bedroom", "office")


def generated(zones: int, pieces: int, seed: int, *, cures: bool = False, stores: int | None = None) -> Instance:
    """Return a house with this many worked zones and pieces; the same arguments give the same house.

    `stores` is the number of places that are not worked, hall included; two to five by the size of the house if left
    out. With `cures` some floors are glued. A generated house need not have a plan. Raises ValueError when no house
    of this size holds the pieces.
    """
    if zones < 1 or pieces < 0 or not 1 <= (2 if stores is None else stores) <= 5:
        raise ValueError(
            f"A house has 1 zone or more, 0 pieces or more and 1 to 5 stores, not {zones}, {pieces}, {stores}."
        )
    rng = random.Random(f"{zones} {pieces} {seed} {cures} {stores}")
    usual = 2 if zones <= 3 else 3 if zones <= 6 else 4 if zones <= 10 else 5
    places, passages = _stores(rng, stores or usual)
    rooms = _rooms(rng, zones)
    upstairs = 13 if rng.random() < 0.3 else 0
    for room, parts in rooms.items():
        area = rng.randint(220, 360) / 2 if len(parts) == 1 else rng.randint(300, 400) / 4
        for part in parts:
            sleep = _kind(room) in SLEPT_IN
            places.append(_zone(f"{room}/{part}", area, 0.7, room=room, worked=True, sleep=sleep))
        steps = upstairs if _kind(room) == "bedroom" else 0
        passages.append(_way("hall", f"{room}/{parts[0]}", rng.randint(8, 26), 1, steps))
        if len(parts) == 2:
            passages.append(_way(f"{room}/near", f"{room}/far", 8, 0, 0))
    ground = [room for room in rooms if not upstairs or _kind(room) != "bedroom"]
    if len(ground) > 1 and rng.random() < 0.3:
        one, other = rng.sample(ground, 2)  # a door between two rooms: the hall is not the only way
        passages.append(_way(f"{one}/{rooms[one][0]}", f"{other}/{rooms[other][0]}", 10, 1, 0))
    worked = [zone.name for zone in places if zone.worked]
    items = _items(rng, places, passages, pieces)
    beds = sum(item.is_bed for item in items)
    return Instance(
        name=f"generated-{zones}-{pieces}-{seed}{'-cures' if cures else ''}",
        description=DESCRIPTION,
        zones={zone.name: zone for zone in places},
        passages=tuple(passages),
        outside=OUTSIDE,
        walkway_ft2=WALKWAY_FT2,
        work_sets=(
            *((zone,) for zone in worked),
            *((f"{room}/near", f"{room}/far") for room, parts in rooms.items() if len(parts) == 2),
        ),
        precedence=_precedence(rng, rooms),
        cure_zones=tuple(zone for zone in worked if cures and rng.random() < 0.6),
        setup_min=60,
        wait_min=90,
        beds_needed=max(0, beds - rng.randint(0, 1)),
        items=items,
    )


def _kind(room: str) -> str:
    return room.rstrip("0123456789")


def _rooms(rng: random.Random, zones: int) -> dict[str, tuple[str, ...]]:
    """Return the rooms with their parts: the whole, or the half at the door and the one behind it."""
    rooms: dict[str, tuple[str, ...]] = {}
    left = zones
    while left:
        kind = ROOMS[len(rooms) % len(ROOMS)]
        twins = sum(_kind(room) == kind for room in rooms)
        halves = left >= 2 and rng.random() < 0.45
        rooms[f"{kind}{twins + 1 if twins else ''}"] = ("near", "far") if halves else ("all",)
        left -= 2 if halves else 1
    return rooms


def _stores(rng: random.Random, number: int) -> tuple[list[Zone], list[Passage]]:
    """Return the hall and some of garage, basement, porch and container, with their ways; 30 to 160 ft2 each."""
    zones = [_zone("hall", rng.randint(30, 45), 0.6)]
    passages = [_way(OUTSIDE, "hall", 14, 1, 3)]
    for store in sorted(rng.sample(("garage", "basement", "porch", "container"), number - 1)):
        area = min(rng.randint(30, 160), rng.randint(30, 160))  # storage is short: small ones oftener
        if store == "garage":
            zones.append(_zone(store, area, 0.7))
            passages += [_way("hall", store, 20, 1, 2), _way(OUTSIDE, store, 10, 1, 0)]
        elif store == "basement":
            zones.append(_zone(store, area, 0.7))
            passages.append(_way("hall", store, 24, 1, 13))
        elif store == "porch":
            zones.append(_zone(store, area, 0.7, power=False, outdoor=True))
            passages += [_way("hall", store, 16, 1, 1), _way(OUTSIDE, store, 8, 0, 2)]
        else:
            zones.append(_zone(store, area, 0.7, power=False))
            passages.append(_way(OUTSIDE, store, 30, 1, 1))
    return zones, passages


def _zone(
    name: str,
    area: float,
    factor: float,
    *,
    room: str = "",
    worked: bool = False,
    sleep: bool = False,
    power: bool = True,
    outdoor: bool = False,
) -> Zone:
    # An area where binary floats fall short of a whole number would be read as two capacities: take half a foot more.
    while capacities(area, factor, WALKWAY_FT2) != float_capacities(area, factor, WALKWAY_FT2):
        area += 0.5
    capacity, as_passage = capacities(area, factor, WALKWAY_FT2)
    return Zone(
        name=name,
        area=area,
        packing_factor=factor,
        capacity_ft2=capacity,
        capacity_as_passage_ft2=as_passage,
        worked=worked,
        room=room or name,
        power=power,
        sleep=sleep,
        outdoor=outdoor,
    )


def _way(a: str, b: str, feet: int, doors: int, steps: int) -> Passage:
    return Passage(a=a, b=b, distance_ft=feet, doors=doors, steps=steps)


def _precedence(rng: random.Random, rooms: dict[str, tuple[str, ...]]) -> tuple[tuple[str, str], ...]:
    """Return what each continuous floor asks: halves from the starting wall on, now and then on into the next room."""
    pairs = []
    ends = []
    for room, parts in rooms.items():
        ordered = parts if rng.random() < 0.6 else parts[::-1]
        pairs += [(f"{room}/{one}", f"{room}/{two}") for one, two in itertools.pairwise(ordered)]
        ends.append((f"{room}/{ordered[0]}", f"{room}/{ordered[-1]}"))
    for (_, last), (first, _) in itertools.pairwise(ends):
        if rng.random() < 0.2:
            pairs.append((last, first))
    return tuple(pairs)


def _items(rng: random.Random, zones: list[Zone], passages: list[Passage], pieces: int) -> tuple[Item, ...]:
    for _ in range(TRIES):
        chosen = _chosen(rng, zones, pieces)
        if chosen is not None:
            break
    else:
        worked = sum(zone.worked for zone in zones)
        raise ValueError(f"{pieces} pieces do not fit into {worked} zones filled up to {FILLED:.0%}.")
    tables = {kind: _move_minutes(kind, zones, passages) for kind in dict.fromkeys(kind for kind, _ in chosen)}
    return tuple(_item(number, kind, home, zones, passages, tables[kind]) for number, (kind, home) in enumerate(chosen))


def _chosen(rng: random.Random, zones: list[Zone], pieces: int) -> list[tuple[Kind, str]] | None:
    """Return pieces in the rooms they belong to: first a bed a bedroom, up to half of all, then what chance brings.

    None when the floor is full before the last piece stands.
    """
    free = {zone.name: math.floor(zone.area * FILLED) for zone in zones if zone.worked}
    chosen: list[tuple[Kind, str]] = []
    bedrooms: dict[str, list[str]] = {}
    for zone in zones:
        if zone.worked and _kind(zone.room) == "bedroom":
            bedrooms.setdefault(zone.room, []).append(zone.name)
    for parts in [*bedrooms.values()][: (pieces + 1) // 2]:
        home = rng.choice([part for part in parts if free[part] >= BED.ft2])
        chosen.append((BED, home))
        free[home] -= BED.ft2
    while len(chosen) < pieces:
        # Where many pieces share the floor they must be small ones: none takes much more than its share.
        share = sum(free.values()) / (pieces - len(chosen))
        fits = {
            zone: [
                kind for kind in KINDS if kind.ft2 <= min(left, 1.8 * share) and _kind(zone.split("/")[0]) in kind.rooms
            ]
            for zone, left in free.items()
        }
        homes = [zone for zone, kinds in fits.items() if kinds]
        if not homes:
            return None
        home = rng.choice(homes)
        kind = rng.choice(fits[home])
        chosen.append((kind, home))
        free[home] -= kind.ft2
    return chosen


def _item(
    number: int,
    kind: Kind,
    home: str,
    zones: list[Zone],
    passages: list[Passage],
    move_minutes: dict[str, dict[str, float]],
) -> Item:
    level = {p.a if p.b == "hall" else p.b for p in passages if p.steps < 13 and "hall" in (p.a, p.b)}
    return Item(
        id=f"{number}-{kind.name.replace(' ', '-')}",
        name=kind.name,
        home=home,
        footprint_ft2=kind.ft2,
        weight_lb=kind.lb,
        persons=kind.persons,
        setdown_min=kind.setdown,
        is_bed=kind is BED,
        allowed=tuple(
            zone.name
            for zone in zones
            if not (kind.soft and zone.outdoor)
            and not (kind.powered and not zone.power)
            and not (kind.heavy and zone.name not in level and zone.name != home)
        ),
        night_cost_min=10.0 if kind is BED else 0.0,
        move_minutes=move_minutes,
    )


def _move_minutes(kind: Kind, zones: list[Zone], passages: list[Passage]) -> dict[str, dict[str, float]]:
    """Return the labor minutes of carrying a piece from each zone to each, by `DESCRIPTION`, halves of 0.1 rounded up.

    Counted in whole ticks of 1/60000 minute, in which every term is exact.
    """
    names = [zone.name for zone in zones]
    own = kind.persons * (kind.setdown * TICKS // 2 + TICKS)
    table = {}
    for start in names:
        walks = _shortest_walks(kind, start, passages)
        table[start] = {end: 0.0 if start == end else (20 * (own + walks[end]) // TICKS + 1) // 2 / 10 for end in names}
    return table


def _shortest_walks(kind: Kind, start: str, passages: Sequence[Passage]) -> dict[str, int]:
    """Return the labor of carrying a piece from a zone to every place by the shortest walk, set-down left out, in ticks."""
    speed = 100 if kind.lb < 100 else 60
    ways: dict[str, list[tuple[str, int]]] = {}
    for p in passages:
        walk = 2 * int(p.distance_ft) * TICKS // speed + p.doors * TICKS // 4
        walk += 6 * p.steps * (200 + kind.lb) * TICKS // 20000
        ways.setdefault(p.a, []).append((p.b, kind.persons * walk))
        ways.setdefault(p.b, []).append((p.a, kind.persons * walk))
    ticks: dict[str, int] = {}
    heap = [(0, start)]
    while heap:
        so_far, here = heapq.heappop(heap)
        if here not in ticks:
            ticks[here] = so_far
            for there, walk in ways[here]:
                heapq.heappush(heap, (so_far + walk, there))
    return ticks
