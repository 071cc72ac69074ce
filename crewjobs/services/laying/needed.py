"""How much of a material is bought: by its layout where one was kept, by its roll, else by area."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.engines.estimating.sizing import take_off
from crewjobs.engines.estimating.waste import waste_of
from crewjobs.engines.take_off.ways import Way, way_of
from crewjobs.services.laying.pattern_words import area_words
from crewjobs.services.wording import roll_words

if TYPE_CHECKING:
    from crewjobs.engines.take_off.planks import Cartons


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """So many cartons (running feet off a roll), and how that was found, ready to follow a count.

    `pieces` are those that are laid, stairs too, and `per_carton` how many a carton brings; 0 where they are not counted. `kept` is
    what of a count by area stays in the house.
    """

    count: int
    how: str
    laid_out: bool
    pieces: int = 0
    per_carton: int = 0
    kept: int = 0

    @property
    def laid(self) -> int:
        """How much of it is laid at the least: without the reserve where pieces are counted, else without the carton to keep."""
        if self.pieces:
            return -(-self.pieces // self.per_carton)
        return self.count - self.kept

    def carried_by(self, lots: Mapping[str, int]) -> tuple[str, ...]:
        """Return which lots (cartons that can be laid, by name) each alone carry all that is laid: the rest is reserve."""
        if not self.pieces:
            return ()
        return tuple(name for name, cartons in lots.items() if cartons * self.per_carton >= self.pieces)


def needed(record: JobRecord, material: Material) -> Needed:
    """Return what to buy of a material, with the usual reserve and one carton kept in the house."""
    count = take_off(record.job, material)
    if material.is_sheet:
        return Needed(count=count, how=roll_words(material, count), laid_out=False)
    if way_of(material) is not Way.ROWS:
        return _set_out(record, material, count)
    planks = _laid_out(record, material)
    if planks is None:
        how = f"{material.counted(count)} by {area_words(waste_of(material))}"
        return Needed(count=count, how=how, laid_out=False, kept=1)
    from crewjobs.engines.take_off.planks import cartons_of

    return _counted(material, cartons_of(record.job, material, planks), "as laid out")


def _counted(material: Material, found: Cartons, how: str) -> Needed:
    return Needed(
        count=found.cartons,
        how=f"{material.counted(found.cartons)} {how}",
        laid_out=True,
        pieces=found.planks + found.stairs,
        per_carton=found.per_carton,
    )


def _set_out(record: JobRecord, material: Material, by_area: int) -> Needed:
    """Return what a floor takes that is not laid in rows of equal planks: it is computed at once, nothing of it is kept."""
    found = _count_set_out(record.job, material)
    if found is None:
        how = f"{material.counted(by_area)} by {area_words(waste_of(material))}"
        return Needed(count=by_area, how=how, laid_out=False, kept=1)
    if isinstance(found, int):
        return Needed(count=found, how=f"{material.counted(found)} as set out", laid_out=True)
    return _counted(material, found, "as set out")


@lru_cache(maxsize=64)
def _count_set_out(job: Job, material: Material) -> Cartons | int | None:
    """Return the cartons with their pieces; their number alone where lengths are mixed and pieces say nothing."""
    from crewjobs.engines.take_off.herringbone import herringbone_floor  # geometry is loaded only where it is used
    from crewjobs.engines.take_off.mixed import cartons_by_cover, mixed_floor
    from crewjobs.engines.take_off.planks import cartons_of
    from crewjobs.engines.take_off.tiled import tiled_floor

    try:
        match way_of(material):
            case Way.RANDOM_LENGTHS:
                return cartons_by_cover(job, material, mixed_floor(job, material).layout).cartons
            case Way.TILES:
                return cartons_of(job, material, tiled_floor(job, material).tiles)
            case _:
                return cartons_of(job, material, herringbone_floor(job, material).planks)
    except Refused:  # rooms that cannot be laid so: `crewjobs layout` says why
        return None


def _laid_out(record: JobRecord, material: Material) -> int | None:
    """Return the planks of the layout kept of a material, if it is of the rooms as they are."""
    known = record.layout_of(material.name)
    if known is None:
        return None
    from crewjobs.engines.take_off.floors import is_current  # only for jobs that were laid out

    try:
        return known.count if is_current(known, record.job, material) else None
    except Refused:  # a plank whose rules no longer hold together
        return None
