"""Tiny houses made up from a seed with every rule the engine knows, for the plain judge."""

from __future__ import annotations

from random import Random

from crewjobs.engines.moving.fitting import FloorPlan, Rect
from crewjobs.engines.moving.model import HOME, NONE, OUTSIDE, MovingProblem, Piece, Place


def tiny(seed: int, *, shapes: bool = False, comes: bool = False, pieces: int = 3) -> MovingProblem:
    """Return a house of 2 or 3 sections and 1 or 2 stores with a few pieces; with floors, and things that come and go."""
    random = Random(seed)
    sections, stores = random.choice([2, 3]), random.choice([1, 2])
    count = sections + stores + comes
    nowhere = count - 1 if comes else NONE
    places = [_place(random, number, sections, nowhere, shapes=shapes) for number in range(count)]
    points = [(random.randint(0, 6), random.randint(0, 6)) for _ in range(count)]
    ways = {(OUTSIDE, random.randrange(sections + stores))}
    for z in range(sections + stores):
        ways.add((random.choice([OUTSIDE, *range(z)]), z))
    for _ in range(random.randint(0, 2)):
        ways.add((OUTSIDE, random.randrange(sections + stores)))
    sets = [frozenset({s}) for s in range(sections)]
    if random.random() < 0.4:
        sets.append(frozenset(random.sample(range(sections), 2)))
    floors = list(range(sections + stores))
    made = []
    for number in range(pieces):
        weight = random.randint(1, 3)
        footprint = random.randint(1, 5)
        home = random.choice(floors)
        start, used, loose = HOME, frozenset[int](), frozenset[int]()
        kind = random.random() if comes else 1.0
        if kind < 0.4:
            home, start = nowhere, random.choice([nowhere, nowhere, random.choice(floors)])
            used = frozenset(random.sample(range(sections), random.randint(1, 2)))
        elif kind < 0.7:
            home, start, loose = nowhere, nowhere, frozenset(random.sample(range(sections), random.randint(1, 2)))
        elif random.random() < 0.3:
            start = random.choice(floors)
        room = floors if random.random() < 0.8 else [*{home, *random.sample(floors, min(2, len(floors)))} - {nowhere}]
        made.append(
            Piece(
                name=f"piece {number}",
                home=home,
                start=start,
                footprint=footprint,
                allowed=frozenset(room),
                moves=tuple(
                    tuple(
                        0 if a == b else weight * (3 + abs(xa - xb) + abs(ya - yb)) for b, (xb, yb) in enumerate(points)
                    )
                    for a, (xa, ya) in enumerate(points)
                ),
                nights=tuple(0 if z in (home, nowhere) else random.choice([0, 0, 2]) for z in range(count)),
                bed=random.random() < 0.4,
                shape=_shape(random) if shapes and random.random() < 0.9 else (),
                used_by=used,
                loose_from=loose,
            )
        )
    beds = min(random.choice([0, 0, 1]), sum(piece.bed for piece in made))
    done = frozenset(random.sample(range(sections), 1)) if random.random() < 0.2 else frozenset[int]()
    return MovingProblem(
        places=tuple(places),
        pieces=tuple(made),
        ways=tuple(sorted(ways)),
        sets=tuple(sets),
        before=((0, 1),) if random.random() < 0.2 else (),
        setup=20,
        wait=9,
        beds=beds,
        clear={0: frozenset({random.randrange(1, sections + stores)})} if random.random() < 0.3 else {},
        fields=_fields(random, sections),
        nowhere=nowhere,
        done=done,
        curing=((random.randrange(sections), random.randint(1, 2)),) if random.random() < 0.2 else (),
        opening=comes and random.random() < 0.5,
        lived_in=random.random() < 0.5,
        reach=frozenset({random.randrange(sections + stores)}) if random.random() < 0.3 else frozenset(),
    )


def _place(random: Random, number: int, sections: int, nowhere: int, *, shapes: bool) -> Place:
    if number == nowhere:
        return Place(name="nowhere", capacity=0, as_passage=-1)
    capacity = random.randint(4, 12)
    plan = None
    if shapes and random.random() < 0.8:
        width, depth = random.choice([40, 50, 60, 80]), random.choice([40, 60, 90])
        ways = ((Rect(0, 0, 20, depth),), (Rect(width - 20, 0, 20, depth),))[: random.choice([0, 1, 2])]
        blocked = (Rect(width - 10, depth - 10, 10, 10),) if random.random() < 0.3 else ()
        plan = FloorPlan(width=width, depth=depth, blocked=blocked, walkways=ways)
        if random.random() < 0.7:  # area allows anything, the rectangles decide
            return Place(
                name=f"place {number}", capacity=30, as_passage=30, worked=number < sections, sleeps=True, floor=plan
            )
    return Place(
        name=f"place {number}",
        capacity=capacity,
        as_passage=capacity - random.choice([0, 3, 3, 14]),
        worked=number < sections,
        sleeps=random.random() < 0.7,
        toilet=random.random() < 0.25,
        cures=random.choice([0, 0, 1, 2, 3]) if number < sections else 0,
        floor=plan,
    )


def _shape(random: Random) -> tuple[tuple[int, int], ...]:
    one = random.choice([(20, 20), (30, 30), (40, 20), (60, 20), (90, 10), (50, 40)])
    return (one, (20, 20)) if random.random() < 0.15 else (one,)


def _fields(random: Random, sections: int) -> tuple[tuple[tuple[tuple[int, int], ...], ...], ...]:
    if sections < 3 or random.random() < 0.5:
        return ()
    a, b, c = random.sample(range(3), 3)
    return ((((a, b), (b, c)), ((c, b), (b, a))),)


def heaped(seed: int) -> MovingProblem:
    """Return a house where area allows everything and rectangles decide: two rooms, a hall before them, and a store."""
    random = Random(seed)
    count = 4
    places = []
    for number in range(count):
        width, depth = random.choice([50, 60, 80]), random.choice([60, 80, 90])
        ways = ((Rect(0, 0, 20, depth),), (Rect(width - 20, 0, 20, depth),))[: random.choice([1, 1, 2])]
        places.append(
            Place(
                name=f"place {number}", capacity=90, as_passage=90, worked=number < 2, sleeps=True,
                floor=FloorPlan(
                    width=width, depth=depth, walkways=ways,
                    blocked=(Rect(width - 10, depth - 10, 10, 10),) if random.random() < 0.2 else (),
                ),
            )
        )  # fmt: skip
    pieces = []
    for number in range(random.choice([2, 3, 3])):
        weight, home = random.randint(1, 3), random.choice([0, 0, 1, 2])
        pieces.append(
            Piece(
                name=f"piece {number}", home=home, footprint=1, allowed=frozenset(range(count)),
                moves=tuple(tuple(weight * abs(a - b) for b in range(count)) for a in range(count)),
                nights=(0,) * count, shape=(random.choice([(40, 20), (60, 20), (50, 40), (30, 30), (90, 10), (40, 40)]),),
            )
        )  # fmt: skip
    pieces += [pieces[0]] * random.choice([0, 1])
    other = (OUTSIDE, random.choice([1, 3]))
    return MovingProblem(
        places=tuple(places), pieces=tuple(pieces), ways=((OUTSIDE, 2), (2, 0), (2, 1), other, (3, 0)),
        sets=(frozenset({0}), frozenset({1})), setup=20, wait=9,
    )  # fmt: skip
