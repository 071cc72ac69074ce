"""Houses people live in, made at random from usual rooms: for the tests that judge furniture stages from outside."""

from __future__ import annotations

from random import Random

from crewjobs.domain.furniture import Keeps, Piece
from crewjobs.domain.house import Covering, Fixture, FixtureKind, Layer, Opening, Room, Site, Transition
from crewjobs.domain.job import Customer, Job
from crewjobs.domain.material import FloorKind, Material, Method, OrderLine
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH
from crewjobs.files.usual_furniture import usual_furniture

ROOMS = ("living room", "bedroom", "kid's room", "office", "dining room", "nursery")
SIZES = {
    "living room": (18, 13), "bedroom": (13, 12), "kid's room": (11, 10), "office": (11, 10), "dining room": (13, 11),
    "nursery": (11, 9),
}  # fmt: skip


def lived_in(seed: int, *, rooms: int = 3) -> Job:
    """Return a house around a hall: furnished rooms, some cut in two or three, a kitchen, a bath and a garage."""
    random = Random(seed)
    kinds = random.sample(ROOMS, rooms)
    glued = random.random() < 0.3
    made = [_room(random, kind) for kind in kinds]
    hall = Room(name="hall", outline=_box(random.choice((12, 15)), 4), floor=random.choice(("plank", None)))
    made += [
        hall,
        Room(
            name="kitchen",
            outline=_box(13, 11),
            fixtures=(Fixture(kind=FixtureKind.REFRIGERATOR), Fixture(kind=FixtureKind.ELECTRIC_RANGE)),
            floor=random.choice(("plank", None, None)),
            keeps=random.choice(tuple(Keeps)),
        ),
        Room(name="bath", outline=_box(8, 5), fixtures=(Fixture(kind=FixtureKind.TOILET),)),
        Room(
            name="garage",
            outline=_box(random.choice((10, 20)), 11),
            keeps=Keeps.FURNITURE,
            power=random.random() < 0.5,
            furniture=(Piece(name="box", count=random.randrange(1, 12)),),
        ),
    ]
    openings = [Opening(between=("hall", "outside"), width=36 * INCH)]
    for room in made:
        if room.name in ("hall", "garage"):
            continue
        part = random.choice(room.cuts)[0] if room.cuts else ""
        continuous = random.random() < 0.4 and room.floor is not None and hall.floor is not None
        openings.append(
            Opening(
                between=("hall", room.name),
                parts=("", part),
                width=30 * INCH,
                door=not continuous,
                transition=Transition.CONTINUOUS if continuous else Transition.T_MOLD,
            )
        )
    openings.append(Opening(between=("kitchen", "garage"), width=32 * INCH, steps=2))
    floored = [room for room in made if room.floor]
    sleepers = any(kind in ("bedroom", "kid's room", "nursery") for kind in kinds)
    area = sum(room.outline.area_ft2 for room in floored)
    apart = Random(f"apart {seed}")  # so that what follows changes nothing of the house
    away = "a rented toilet" if apart.random() < 0.5 else ""
    if apart.random() < 0.4:
        openings.append(Opening(between=("kitchen", "outside"), width=32 * INCH))
    return Job(
        number=1,
        title="Lived in",
        customer=Customer(name="Tamsin Rook"),
        site=Site(
            address="3 Weir Street",
            zone="America/Chicago",
            beds=random.choice((0, 1, 1, None)) if sleepers else 0,
            toilet_meanwhile=away,
        ),
        rooms=tuple(made),
        openings=tuple(openings),
        materials=(
            Material(
                name="plank",
                kind=FloorKind.CLICK_VINYL,
                method=Method.GLUED if glued else Method.FLOATING,
                plank_width=7 * INCH,
                plank_length=48 * INCH,
                carton_ft2=23.8,
                acclimation_min=48 * 60,
                carton_lb=34,
            ),
        ),
        orders=(OrderLine(material="plank", cartons=int(area / 21) + 2),),
    )


def _box(length: int, width: int) -> Outline:
    return Outline.rectangle(length * FOOT, width * FOOT)


def _room(random: Random, kind: str) -> Room:
    length, width = SIZES[kind]
    length += random.randrange(3)
    parts = random.choice((1, 1, 2, 3)) if length > 12 else 1
    names = ("near", "middle", "far")[:parts] if parts > 1 else ()
    cuts = [(name, length * FOOT // parts) for name in names]
    if cuts:
        cuts[-1] = (cuts[-1][0], length * FOOT - sum(cut for _, cut in cuts[:-1]))
    people = {piece.name: piece.people for piece in usual_furniture().pieces}
    usual = usual_furniture().of_room(kind)
    assert usual is not None
    return Room(
        name=kind,
        outline=_box(length, width),
        layers=(Layer(covering=Covering.CARPET, year=2001),),
        floor="plank",
        level_ft2=random.choice((0.0, 0.0, 0.0, 12.0)),
        furniture=tuple(Piece(name=name, count=count, people=people[name]) for name, count in usual),
        cuts=tuple(cuts),
    )
