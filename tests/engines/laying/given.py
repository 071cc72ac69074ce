"""Products, rooms and problems for tests: sizes in inches."""

from __future__ import annotations

from collections.abc import Sequence

from crewjobs.domain.units import INCH
from crewjobs.engines.laying.floors import Floor, Laid, floor_of
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.model import Field, Product


def inches(value: float) -> int:
    """Return inches in 1/4064 inch."""
    return round(value * INCH)


def product(length: float = 48, width: float = 7, **rules: float) -> Product:
    """Return a plank with rules in inches."""
    return Product(length=inches(length), width=inches(width), **{name: inches(value) for name, value in rules.items()})


def field(
    corners: Sequence[tuple[float, float]], holes: Sequence[Sequence[tuple[float, float]]] = (), name: str = "den"
) -> Field:
    """Return a field from corners in inches."""

    def ring(points: Sequence[tuple[float, float]]) -> tuple[tuple[int, int], ...]:
        return tuple((inches(x), inches(y)) for x, y in points)

    return Field(name=name, outline=ring(corners), holes=tuple(ring(hole) for hole in holes))


def rectangle(wide: float, deep: float, name: str = "den") -> Field:
    """Return a plain room."""
    return field([(0, 0), (wide, 0), (wide, deep), (0, deep)], name=name)


def floor(plank: Product, *fields: Field, wall: Wall = Wall.TOP) -> Floor:
    """Return fields laid from one wall each."""
    return floor_of(plank, [Laid(field=one, wall=wall) for one in fields])
