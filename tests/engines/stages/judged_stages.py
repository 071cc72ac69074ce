"""What furniture stages must keep, looked at from the job alone: nothing here is shared with the engine but the domain.

Ways are walked with networkx; floors are looked at rectangle by rectangle.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, pairwise

import networkx as nx

from crewjobs.domain.furniture import Keeps
from crewjobs.domain.house import FixtureKind, Transition
from crewjobs.domain.job import Job
from crewjobs.domain.moves import IN_PLACE, Belongs, MovesPlan, MoveStage, Spot, StageKind
from crewjobs.domain.units import INCH

WALKWAY_IN = 32
OUTSIDE: Spot = ("outside", "")


def faults_of(job: Job, plan: MovesPlan, cures: Mapping[Spot, int]) -> Iterator[str]:
    """Yield every rule of the house that a plan breaks."""
    floored = [(room.name, part.name) for room in job.rooms if room.floor for part in room.sections]
    worked = [spot for stage in plan.stages for spot in stage.worked]
    if sorted(worked) != sorted(floored):
        yield f"worked are {worked}, to be floored {floored}"
    at = {
        number: IN_PLACE if piece.belongs in (Belongs.CARTONS, Belongs.DOOR) else piece.home
        for number, piece in enumerate(plan.pieces)
    }
    begun = dict(at)
    cured_until: dict[Spot, int] = {}
    done: set[Spot] = set()
    for number, stage in enumerate(plan.stages):
        name = f"stage {number} ({stage.kind})"
        at |= {
            n: IN_PLACE
            for n, piece in enumerate(plan.pieces)
            if piece.belongs is Belongs.CARTONS and piece.home in done
        }
        doors = {n for n, piece in enumerate(plan.pieces) if piece.belongs is Belongs.DOOR}
        there = {standing.piece: standing.spot for standing in stage.standing}
        carried = {carry.piece for carry in stage.carried}
        at |= {n: there.get(n, IN_PLACE) for n in doors - carried}  # off and on by tasks of their own
        for carry in stage.carried:
            if at[carry.piece] != carry.start:
                yield f"{name}: piece {carry.piece} is carried from {carry.start}, it stands in {at[carry.piece]}"
            at[carry.piece] = carry.to
        stood = {standing.piece: standing.spot for standing in stage.standing}
        for piece, spot in at.items():
            if stood.get(piece, IN_PLACE) != spot:
                yield f"{name}: piece {piece} stands in {stood.get(piece)}, it was carried to {spot}"
        if stage.kind is StageKind.HOME:
            if at != begun:
                yield f"{name}: not everything is back"
            continue
        yield from _places(job, plan, stage, at, done, name)
        curing = {spot for spot, until in cured_until.items() if until >= number}
        yield from _rules(job, plan, stage, at, curing, name)
        if stage.kind is not StageKind.CARRY_IN:
            wet = {spot for spot in stage.worked if cures.get(spot, 0)}
            yield from _evening(job, plan, stage, at, curing | wet, name)
        yield from _floors(job, plan, stage, at, begun, name)
        for spot in stage.worked:
            cured_until[spot] = number + cures.get(spot, 0)
            done.add(spot)
    yield from _grows(job, plan)


def _places(
    job: Job, plan: MovesPlan, stage: MoveStage, at: Mapping[int, Spot], done: set[Spot], name: str
) -> Iterator[str]:
    """Every piece stands where it may, and what comes and goes is there when it must be."""
    rooms = {room.name: room for room in job.rooms}
    for number, spot in at.items():
        piece = plan.pieces[number]
        if spot == IN_PLACE:
            if piece.belongs in (Belongs.FURNITURE, Belongs.APPLIANCE):
                yield f"{name}: {piece.name} is nowhere"
            if piece.belongs is Belongs.CARTONS and piece.home not in done:
                yield f"{name}: {piece.name} are nowhere, and their floor is not laid"
            continue
        room = rooms[spot[0]]
        if piece.belongs is Belongs.CARTONS and (room.keeps is not Keeps.ANYTHING or piece.home in done):
            yield f"{name}: {piece.name} in {spot}"
        strange = spot[0] != piece.home[0] or piece.belongs is Belongs.CARTONS
        if strange and (room.keeps is Keeps.NOTHING):
            yield f"{name}: {piece.name} in {spot}, which keeps nothing"
        if strange and piece.power and not room.power:
            yield f"{name}: {piece.name} without power in {spot}"
        if spot in stage.worked:
            yield f"{name}: {piece.name} on the floor being worked"
        if room.level_ft2 > 0 and any(spot[0] == one[0] for one in stage.worked):
            yield f"{name}: {piece.name} in the dust of {spot[0]}"


def _rules(
    job: Job, plan: MovesPlan, stage: MoveStage, at: Mapping[int, Spot], curing: set[Spot], name: str
) -> Iterator[str]:
    """Nothing stands on what cures, beds are there, and the crew gets to its work."""
    for number, spot in at.items():
        if spot in curing:
            yield f"{name}: {plan.pieces[number].name} on a floor that cures"
    if set(stage.worked) & curing:
        yield f"{name}: worked where it cures"
    if stage.kind is StageKind.CARRY_IN:
        return
    reached = _reached(job, stage, at, curing)
    for spot in stage.worked:
        if spot not in reached:
            yield f"{name}: no way to {spot}"


def _evening(
    job: Job, plan: MovesPlan, stage: MoveStage, at: Mapping[int, Spot], wet: set[Spot], name: str
) -> Iterator[str]:
    """Those who live there get to as many beds as they need, and to a toilet that is not on the floor being laid."""
    reached = _reached(job, stage, at, wet)
    beds = [number for number, piece in enumerate(plan.pieces) if piece.bed]
    needed = job.site.beds if job.site.beds is not None else len(beds) if job.site.occupied else 0
    rooms = [(bed, job.room(at[bed][0])) for bed in beds if at[bed] in reached]
    slept = sum(room.keeps is Keeps.ANYTHING and not room.has(FixtureKind.TOILET) for _, room in rooms)
    if slept < needed:
        yield f"{name}: {slept} beds to sleep in, {needed} are needed"
    toilets = [(room.name, room.sections[0].name) for room in job.rooms if room.has(FixtureKind.TOILET)]
    left = [spot for spot in toilets if spot not in stage.worked and (len(toilets) == 1 or spot not in wet)]
    only_one_is_worked = len(toilets) == 1 and not left
    asked = job.site.occupied and toilets and not job.site.toilet_meanwhile and not only_one_is_worked
    if asked and not any(spot in reached for spot in left):
        yield f"{name}: no way to a toilet in the evening"


def _reached(job: Job, stage: MoveStage, at: Mapping[int, Spot], wet: set[Spot]) -> set[Spot]:
    """Return where one gets from outside, the last place being entered and no more, over no floor that is wet."""
    open_spots = {spot for spot, _ in stage.free} | set(stage.worked) | {OUTSIDE}
    standing_in = set(at.values())
    ways = nx.Graph()
    ways.add_edges_from(_ways(job))
    through = [spot for spot in ways if spot not in wet and (spot not in standing_in or spot in open_spots)]
    inside = nx.node_connected_component(ways.subgraph(through), OUTSIDE)
    return inside | {spot for one in inside for spot in ways[one]}


def _ways(job: Job) -> Iterator[tuple[Spot, Spot]]:
    for room in job.rooms:
        parts = [(room.name, part.name) for part in room.sections]
        yield from pairwise(parts)
    for opening in job.openings:
        one, other = (
            OUTSIDE if name == "outside" else (name, part or job.room(name).sections[0].name)
            for name, part in zip(opening.between, opening.parts, strict=True)
        )
        yield one, other


def _floors(
    job: Job, plan: MovesPlan, stage: MoveStage, at: Mapping[int, Spot], begun: Mapping[int, Spot], name: str
) -> Iterator[str]:
    """Rectangles lie inside their section, apart from each other and from the way kept free."""
    free = dict(stage.free)
    here: dict[Spot, list[tuple[int, tuple[int, int, int, int]]]] = {}
    for standing in stage.standing:
        piece = plan.pieces[standing.piece]
        if standing.at:
            sides = sorted(tuple(sorted(rect[2:])) for rect in standing.at)
            asked = sorted(tuple(sorted(-(-side // 2) * 2 for side in cover)) for cover in piece.covers)
            if sides != asked:
                yield f"{name}: {piece.name} takes {sides}, it is {asked}"
        elif any(begun[n] != s and plan.pieces[n].home != s for n, s in at.items() if s == standing.spot):
            yield f"{name}: {piece.name} is not shown where it stands among others in {standing.spot}"
        here.setdefault(standing.spot, []).extend((standing.piece, rect) for rect in standing.at)
    for spot, placed in here.items():
        room = job.room(spot[0])
        length = next((cut for part, cut in room.cuts if part == spot[1]), room.outline.size[0]) // INCH
        width = room.outline.size[1] // INCH
        for number, (x, y, wide, deep) in placed:
            if x < 0 or y < 0 or x + wide > length or y + deep > width:
                yield f"{name}: {plan.pieces[number].name} through the wall of {spot}"
        every = [rect for _, rect in placed] + list(free.get(spot, ()))
        for one, other in combinations(every, 2):
            if _overlap(one, other):
                yield f"{name}: {one} and {other} overlap in {spot}"
    for spot, ways in free.items():
        if not any(min(rect[2:]) >= WALKWAY_IN for rect in ways):
            yield f"{name}: the way through {spot} is narrow"


def _overlap(one: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> bool:
    return (
        one[0] < other[0] + other[2]
        and other[0] < one[0] + one[2]
        and one[1] < other[1] + other[3]
        and other[1] < one[1] + one[3]
    )


def _grows(job: Job, plan: MovesPlan) -> Iterator[str]:
    """A floor without a strip is at all times one piece, from its start on."""
    floored = {(room.name, part.name) for room in job.rooms if room.floor for part in room.sections}
    beside = nx.Graph()
    beside.add_nodes_from(floored)
    for room in job.rooms:
        parts = [(room.name, part.name) for part in room.sections]
        beside.add_edges_from(pair for pair in pairwise(parts) if floored.issuperset(pair))
    for opening, (one, other) in zip(job.openings, [*_ways_of_openings(job)], strict=True):
        if opening.transition is Transition.CONTINUOUS and {one, other} <= floored:
            beside.add_edge(one, other)
    laid: set[Spot] = set()
    for stage in plan.stages:
        laid |= set(stage.worked)
        for field in nx.connected_components(beside):
            part = laid & field
            if part and not nx.is_connected(beside.subgraph(part)):
                yield f"the floor of {sorted(field)} is laid in pieces: {sorted(part)}"


def _ways_of_openings(job: Job) -> Iterator[tuple[Spot, Spot]]:
    count = sum(max(0, len(room.sections) - 1) for room in job.rooms)
    yield from list(_ways(job))[count:]


def _door_walks(job: Job, weight_lb: float) -> nx.Graph:
    """Return ways with the minutes of walking with a door and back: 100 ft a minute, doors, steps, all common practice."""

    def half(spot: Spot) -> float:
        if spot == OUTSIDE:
            return 15.0
        room = job.room(spot[0])
        length = next((cut for part, cut in room.cuts if part == spot[1]), room.outline.size[0])
        return (length + room.outline.size[1]) / 4 / INCH / 12

    ways = nx.Graph()
    for opening, (one, other) in zip(job.openings, [way for way in _ways(job) if way[0][0] != way[1][0]], strict=True):
        feet = half(one) + half(other) if opening.distance is None else opening.distance / INCH / 12
        ways.add_edge(
            one, other, minutes=2 * feet / 100 + 0.25 * opening.door + 0.06 * opening.steps * (1 + weight_lb / 200)
        )
    for room in job.rooms:
        for (one, length), (other, further) in pairwise(room.cuts):
            feet = (length + further) / 2 / INCH / 12
            ways.add_edge((room.name, one), (room.name, other), minutes=2 * feet / 100)
    return ways


def cost_of(job: Job, plan: MovesPlan, *, setup: float, wait: float, bed_out: float) -> float:
    """Return what a plan costs in labor minutes, from its stages alone."""
    total, hung = 0.0, {n: True for n, piece in enumerate(plan.pieces) if piece.belongs is Belongs.DOOR}
    leans: dict[int, Spot] = {}
    for stage in plan.stages:
        total += stage.minutes
        there = {standing.piece: standing.spot for standing in stage.standing}
        for door, was in hung.items():
            piece = plan.pieces[door]
            if (door not in there) != was:  # a minute to and from its hinges, and the walk
                spot = there.get(door) or leans[door]
                walks = nx.single_source_dijkstra_path_length(
                    _door_walks(job, piece.weight_lb), piece.home, weight="minutes"
                )
                total += round(10 * piece.people * (1 + walks[spot])) / 10
            leans |= {door: there[door]} if door in there else {}
            hung[door] = door not in there
            total += 0.1 * (door in there and stage.kind is not StageKind.HOME)
        total += setup * (stage.kind is StageKind.WORK) + wait * (stage.kind is StageKind.WAIT)
        if stage.kind in (StageKind.WORK, StageKind.WAIT, StageKind.CARRY_IN):
            total += sum(
                bed_out
                for standing in stage.standing
                if plan.pieces[standing.piece].bed and standing.spot[0] != plan.pieces[standing.piece].home[0]
            )
    return total
