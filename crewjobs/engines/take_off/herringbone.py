"""Herringbone floors of a house: every field with its planks and its center line."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from crewjobs.domain.job import Job
from crewjobs.domain.material import Material
from crewjobs.engines.laying.patterns import Herringbone, herringbone
from crewjobs.engines.take_off.fields import HouseField, fields_of
from crewjobs.engines.take_off.rules import product_of
from crewjobs.engines.take_off.set_out import Runs, extent_of, runs_of


@dataclass(frozen=True, slots=True, kw_only=True)
class HerringboneField:
    """A field with its planks."""

    house: HouseField
    runs: Runs
    layout: Herringbone


@dataclass(frozen=True, slots=True, kw_only=True)
class HerringboneFloor:
    """All fields of a material that is laid in a herringbone."""

    material: Material
    fields: tuple[HerringboneField, ...]
    taken_as: tuple[str, ...]

    def field_of(self, room: str) -> int:
        """Return the number of the field a room is part of."""
        return next(n for n, one in enumerate(self.fields) if any(place.room == room for place in one.house.rooms))

    @property
    def planks(self) -> int:
        """Return the planks it takes: every one that touches the floor."""
        return sum(one.layout.planks for one in self.fields)

    @property
    def working_line(self) -> int:
        """Return how far to either side of a line through the points the corners of planks lie (1/4064 inch).

        An end stands at 45 degrees to the line with its middle on it, so that its corners are half a width times the sine off it.
        """
        return round(self.material.plank_width / 2 / sqrt(2))


def herringbone_floor(job: Job, material: Material) -> HerringboneFloor:
    """Return a material's floor in a herringbone.

    Raises:
        Refused: rooms that cannot be laid, or far too many planks.
    """
    product, taken_as, found = product_of(material), list[str](), []
    for field in fields_of(job, material.name, taken_as):
        runs = runs_of(job, field)
        left, low, right, high = extent_of(job, field, product.gap)
        center = (left + right) / 2, (low + high) / 2
        layout = herringbone(product, field.field, along_x=runs.along_x, center=center)
        found.append(HerringboneField(house=field, runs=runs, layout=layout))
    return HerringboneFloor(material=material, fields=tuple(found), taken_as=tuple(taken_as))
