"""Rooms made at random: rectangles with jogs, Ls, doorway throats, closets and islands. On the half inch, like a tape."""

from __future__ import annotations

from random import Random

from shapely import Polygon, box

from crewjobs.domain.units import INCH
from crewjobs.engines.laying.model import Field

HALF = INCH // 2


def room(random: Random, area_ft2: float, name: str) -> Field:
    """Return a room of about this area."""
    ratio = random.uniform(1.0, 1.8)
    wide = round((area_ft2 * 144 * ratio) ** 0.5 * 2) / 2
    deep = round((area_ft2 * 144 / ratio) ** 0.5 * 2) / 2
    if random.random() < 0.4:
        wide, deep = deep, wide
    shape = box(0, 0, wide, deep)
    for corner in random.sample(range(4), random.choice((0, 1, 1, 2))):
        shape = shape.difference(_corner(random, wide, deep, corner, large=random.random() < 0.35))
    for _ in range(random.choice((1, 1, 2, 3))):
        shape = shape.union(_throat(random, wide, deep, shape))
    if random.random() < 0.4:
        shape = shape.union(_closet(random, wide, deep, shape))
    if area_ft2 > 180 and random.random() < 0.4:
        island = _island(random, wide, deep)
        if shape.buffer(-24).contains(island):
            shape = shape.difference(island)
    return as_field(shape, name)


def as_field(shape: Polygon, name: str) -> Field:
    """Return a polygon in inches as a field."""
    if shape.geom_type != "Polygon":
        shape = max(shape.geoms, key=lambda one: one.area)
    shape = shape.simplify(0)
    left, low, *_ = shape.bounds

    def ring(coords):
        return tuple((round((x - left) * INCH), round((y - low) * INCH)) for x, y in list(coords)[:-1])

    return Field(
        name=name, outline=ring(shape.exterior.coords), holes=tuple(ring(one.coords) for one in shape.interiors)
    )


def _half(random: Random, low: float, high: float) -> float:
    return random.randint(round(low * 2), max(round(low * 2), round(high * 2))) / 2


def _corner(random: Random, wide: float, deep: float, corner: int, *, large: bool) -> Polygon:
    part = (0.25, 0.5) if large else (0.05, 0.2)
    w, d = _half(random, wide * part[0], wide * part[1]), _half(random, deep * part[0], deep * part[1])
    x, y = (0.0 if corner % 2 == 0 else wide - w), (0.0 if corner < 2 else deep - d)
    return box(x, y, x + w, y + d)


def _throat(random: Random, wide: float, deep: float, shape: Polygon) -> Polygon:
    """A doorway's throat on one of the walls, where there is wall."""
    for _ in range(20):
        opening, thick = random.choice((28.0, 30.0, 32.0, 36.0, 60.0)), random.choice((4.5, 5.0, 6.0))
        throat, back = _at_wall(random, wide, deep, opening, thick)
        if shape.contains(back):
            return throat
    return Polygon()


def _closet(random: Random, wide: float, deep: float, shape: Polygon) -> Polygon:
    """A closet behind a throat."""
    for _ in range(20):
        opening, thick = random.choice((30.0, 48.0, 60.0)), 4.5
        side = random.randrange(4)
        throat, back = _at_wall(random, wide, deep, opening, thick, side)
        if not shape.contains(back):
            continue
        left, low, right, high = throat.bounds
        more, depth = _half(random, 2, 18), _half(random, 24, 30)
        match side:
            case 0:
                inner = box(left - more, low - depth, right + more, low)
            case 1:
                inner = box(left - more, high, right + more, high + depth)
            case 2:
                inner = box(left - depth, low - more, left, high + more)
            case _:
                inner = box(right, low - more, right + depth, high + more)
        if not inner.intersects(shape):
            return throat.union(inner)
    return Polygon()


def _at_wall(
    random: Random, wide: float, deep: float, opening: float, thick: float, side: int | None = None
) -> tuple[Polygon, Polygon]:
    """Return a throat outside a wall and the strip of floor before it."""
    side = random.randrange(4) if side is None else side
    at = _half(random, 3, (wide if side < 2 else deep) - opening - 3)
    match side:
        case 0:
            return box(at, -thick, at + opening, 0), box(at, 0.5, at + opening, 1)
        case 1:
            return box(at, deep, at + opening, deep + thick), box(at, deep - 1, at + opening, deep - 0.5)
        case 2:
            return box(-thick, at, 0, at + opening), box(0.5, at, 1, at + opening)
        case _:
            return box(wide, at, wide + thick, at + opening), box(wide - 1, at, wide - 0.5, at + opening)


def _island(random: Random, wide: float, deep: float) -> Polygon:
    w, d = _half(random, 24, 42), _half(random, 48, 90)
    if random.random() < 0.5:
        w, d = d, w
    x, y = _half(random, 36, max(36, wide - w - 36)), _half(random, 36, max(36, deep - d - 36))
    return box(x, y, x + w, y + d)
