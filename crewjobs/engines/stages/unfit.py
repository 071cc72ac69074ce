"""What no order of work can help: no way in, too much in a room, a piece on the floor to be laid that stays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import inf

from crewjobs.domain.furniture import Keeps
from crewjobs.domain.house import FixtureKind, Room
from crewjobs.domain.job import Job
from crewjobs.domain.moves import Belongs, Spot
from crewjobs.domain.reach import no_way_words
from crewjobs.domain.units import INCH, exact_length
from crewjobs.domain.wording import counted, listed, typed
from crewjobs.engines.stages.floors import area_in2
from crewjobs.engines.stages.things import Thing
from crewjobs.engines.stages.walks import OUTDOORS, Passage, Walks, size_of


def faults_of(
    job: Job,
    spots: Sequence[Spot],
    floored: Sequence[Spot],
    things: Sequence[Thing],
    ways: Sequence[Passage],
    at: Mapping[int, Spot],
) -> Iterator[str]:
    """Find what no order of work can help: nothing to lay, no way in, too much in a room, a piece that stays on the floor."""
    if not floored:
        yield "no room of this job is still to be floored: there is nothing to be moved for."
        return
    if not any(thing.belongs in (Belongs.FURNITURE, Belongs.APPLIANCE) for thing in things):
        yield (
            "no furniture is known in its rooms, so there are no stages: say what stands there, "
            f"such as `crewjobs furniture {job.number} {typed(floored[0][0])} 'usual bedroom, 2 bookcase'`."
        )
        return
    if missing := no_way_words(job):
        yield f"{missing}."
        if not any(OUTDOORS in (way.a, way.b) for way in ways):
            return
    for thing in things:
        if thing.stays and thing.home in floored:
            people = f"{thing.people} people" if thing.people > 1 else "one person"
            yield (
                f"{thing.name} stays in {spot_words(thing.home)}, and that floor is to be laid: let it be carried "
                f"({people}; take 'stays' away), or leave that section without a new floor."
            )
    yield from _stuck(things, spots, ways, floored)
    yield from _too_full(job, spots, things, at)
    beds, needed = sum(thing.sleeps and slept_in(job.room(thing.home[0])) for thing in things), job.site.beds
    if needed is not None and needed > beds:
        yield (
            f"{counted(needed, 'bed')} must be there every night, and the house has {beds or 'none'}: "
            "name them as furniture (such as queen bed), or ask for fewer (beds in the job's site)."
        )


def _stuck(
    things: Sequence[Thing], spots: Sequence[Spot], ways: Sequence[Passage], floored: Sequence[Spot]
) -> Iterator[str]:
    """Find pieces on a floor to be laid that go through no opening there, though they are to be moved."""
    walks = Walks([*spots, OUTDOORS], ways)
    said = set[tuple[str, Spot]]()
    for thing in things:
        if thing.stays or thing.home not in floored or thing.home not in spots or (thing.name, thing.home) in said:
            continue
        reached = walks.minutes(thing.weight_lb, thing.people, thing.needs_in)[spots.index(thing.home)]
        here = thing.home[0]
        if all((way.a[0] == here) == (way.b[0] == here) for way in ways):
            continue  # there is no opening at all, which is said of the room: how wide one must be says nothing
        if thing.belongs is Belongs.FURNITURE and not any(
            minutes < inf and spot[0] != here for spot, minutes in zip([*spots, OUTDOORS], reached, strict=True)
        ):
            said.add((thing.name, thing.home))
            yield (
                f"{thing.name} in {spot_words(thing.home)} goes through no opening of its room: it needs about "
                f"{thing.needs_in} in; look at its size and at the openings' width, or say that it is taken apart (set_down = 15)."
            )


def _too_full(job: Job, spots: Sequence[Spot], things: Sequence[Thing], at: Mapping[int, Spot]) -> Iterator[str]:
    """Find rooms that hold more than their floor from the start, and pieces larger than any floor."""
    for spot in spots:
        room = job.room(spot[0])
        load = sum(
            thing.area_in2
            for i, thing in enumerate(things)
            if at.get(i, thing.home) == spot and thing.belongs in (Belongs.FURNITURE, Belongs.APPLIANCE)
        )
        area = area_in2(room, spot[1])
        if load > area:
            yield (
                f"{spot_words(spot)} is over-full before anything is moved: its furniture takes {load / 144:.0f} ft² of "
                f"{area / 144:.0f} ft²; look at counts and sizes, or let things stack."
            )
    sizes = {(name, part): sorted(side // INCH for side in size_of(job.room(name), part)) for name, part in spots}
    for thing in {(thing.name, thing.home): thing for thing in things}.values():
        for rect in thing.rects:
            short, long = sorted(rect)
            size = f"{exact_length(long * INCH)} x {exact_length(short * INCH)}"
            if not any(short <= one[0] and long <= one[1] for one in sizes.values()):
                yield f"{thing.name} in {spot_words(thing.home)}: {size} is larger than every place in the house; look at its size."
                break
            own = sizes[thing.home]
            if thing.said and thing.belongs is Belongs.FURNITURE and not (short <= own[0] and long <= own[1]):
                yield (
                    f"{thing.name} in {spot_words(thing.home)}: {size} does not fit where it is said to stand; look at its "
                    "size, or say another section."
                )
                break


def slept_in(room: Room) -> bool:
    """Return whether people sleep in a room: not in a garage or a bath, nor where nothing is kept."""
    return room.keeps is Keeps.ANYTHING and not room.has(FixtureKind.TOILET)


def spot_words(spot: Spot) -> str:
    """Return a place as it is told: ``living, window half``."""
    return ", ".join(filter(None, spot))


def places_words(spots: Iterable[Spot], most: int = 4) -> str:
    """Return several places as they are told: ``living (window half, door half) and hall``."""
    rooms: dict[str, list[str]] = {}
    for name, part in spots:
        rooms.setdefault(name, []).append(part)
    if len(rooms) == 1 and sum(map(len, rooms.values())) == 1:
        return next(", ".join(filter(None, (name, *parts))) for name, parts in rooms.items())
    return listed([f"{name} ({', '.join(parts)})" if any(parts) else name for name, parts in rooms.items()], most=most)
