"""A house of the format in the engine's own terms, and the engine's plan in the format's: the one place both meet."""

from __future__ import annotations

from crewjobs.engines.moving.model import OUTSIDE, MovingProblem, Piece, Place, Stage
from tests.engines.moving import instances
from tests.engines.moving.instances import Instance, tenths

NEVER = 10**8
"""Tenths of a minute for what a file has no time for: it is not allowed there."""
HUNDREDTHS = 100
"""The engine counts floor in whole numbers; the format has two decimals of a square foot."""


def problem_of(instance: Instance) -> MovingProblem:
    """Return a house as the engine takes it: floor in hundredths of ft², costs in tenths of a labor minute."""
    names = list(instance.zones)
    at = {name: number for number, name in enumerate(names)} | {instance.outside: OUTSIDE}
    places = tuple(
        Place(
            name=name,
            capacity=zone.capacity_ft2 * HUNDREDTHS,
            as_passage=zone.capacity_as_passage_ft2 * HUNDREDTHS,
            worked=zone.worked,
            sleeps=zone.sleep,
            cures=int(name in instance.cure_zones),
        )
        for name, zone in instance.zones.items()
    )
    return MovingProblem(
        places=places,
        pieces=tuple(_piece(instance, item, names) for item in instance.items),
        ways=tuple((at[passage.a], at[passage.b]) for passage in instance.passages),
        sets=tuple(frozenset(at[zone] for zone in work) for work in instance.work_sets),
        before=tuple((at[a], at[b]) for a, b in instance.precedence),
        setup=tenths(instance.setup_min),
        wait=tenths(instance.wait_min),
        beds=instance.beds_needed,
    )


def _piece(instance: Instance, item: instances.Item, names: list[str]) -> Piece:
    room = instance.zones[item.home].room
    known = set(item.move_minutes)

    def cost(a: str, b: str) -> int:
        return tenths(item.move_minutes[a][b]) if a in known and b in item.move_minutes[a] else NEVER

    return Piece(
        name=item.id,
        home=names.index(item.home),
        footprint=item.floor,
        allowed=frozenset(names.index(name) for name in item.allowed),
        moves=tuple(tuple(cost(a, b) for b in names) for a in names),
        nights=tuple(0 if instance.zones[name].room == room else tenths(item.night_cost_min) for name in names),
        bed=item.is_bed,
    )


def in_the_format(instance: Instance, stages: tuple[Stage, ...]) -> list[instances.Stage]:
    """Return a plan as the format has it: what is worked, and where each piece stands, by name."""
    names, ids = list(instance.zones), [item.id for item in instance.items]
    return [
        (
            tuple(names[number] for number in sorted(stage.worked)),
            {one: names[place] for one, place in zip(ids, stage.at, strict=True)},
        )
        for stage in stages
    ]
