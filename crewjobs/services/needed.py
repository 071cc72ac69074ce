"""How much of a material is bought: by its layout where one was kept, by its roll, else by area."""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.engines.estimating.sizing import take_off
from crewjobs.services.wording import roll_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """So many cartons (running feet off a roll), and how that was found, ready to follow a count."""

    count: int
    how: str
    laid_out: bool


def needed(record: JobRecord, material: Material) -> Needed:
    """Return what to buy of a material, with the usual reserve and one carton kept in the house."""
    count = take_off(record.job, material)
    if material.is_sheet:
        return Needed(count=count, how=roll_words(material, count), laid_out=False)
    planks = _laid_out(record, material)
    if planks is None:
        return Needed(count=count, how=f"{material.counted(count)} by area and a tenth", laid_out=False)
    from crewjobs.engines.take_off.planks import cartons_of

    cartons = cartons_of(record.job, material, planks).cartons
    return Needed(count=cartons, how=f"{material.counted(cartons)} as laid out", laid_out=True)


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
