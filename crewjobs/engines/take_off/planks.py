"""How many cartons a layout takes, with the reserve, beside the rule of thumb."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

from crewjobs.domain.job import Job
from crewjobs.domain.material import WOOD, Material
from crewjobs.domain.units import square_feet
from crewjobs.engines.estimating.places import floored_stairs
from crewjobs.engines.estimating.quantities import SPARE_CARTONS, USUAL_WASTE, cartons_needed, steps_ft2, whole_units
from crewjobs.engines.estimating.waste import waste_of
from crewjobs.engines.take_off.rules import in_carton

OFF_GRADE: Final = 0.05
"""Wood that cannot be laid where it shows; common practice, no source."""
DAMAGED: Final = 0.02
"""Planks of any other kind that come damaged or are cut wrong; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cartons:
    """What to buy of a material in cartons: planks the layout opens, those for stairs, a reserve, and whole cartons kept.

    `thumb` is what area, the usual waste and one carton more comes to.
    """

    area_ft2: float
    planks: int
    stairs: int
    reserve: int
    per_carton: int
    kept: int
    thumb: int

    @property
    def cartons(self) -> int:
        """Return the cartons to buy."""
        return whole_units(self.planks + self.stairs + self.reserve, self.per_carton) + self.kept

    @property
    def left(self) -> int:
        """Return the whole planks that are left when nothing of the reserve was needed, those of the kept carton too."""
        return self.cartons * self.per_carton - self.planks - self.stairs


def cartons_of(
    job: Job, material: Material, planks: int, *, reserve: float | None = None, kept: int = SPARE_CARTONS
) -> Cartons:
    """Return what to buy for a layout of so many planks; `reserve` is a share of them, by kind where none is given."""
    area = sum(room.net_ft2 for room in job.rooms if room.floor == material.name)
    steps = sum(steps_ft2(flight) for flight in floored_stairs(job) if flight.floor == material.name)
    plank = square_feet(2 * material.plank_width * material.plank_length)
    stairs = whole_units(steps * (1 + USUAL_WASTE), plank) if steps else 0
    share = reserve if reserve is not None else OFF_GRADE if material.kind in WOOD else DAMAGED
    return Cartons(
        area_ft2=area,
        planks=planks,
        stairs=stairs,
        reserve=ceil(round((planks + stairs) * share, 9)),
        per_carton=in_carton(material),
        kept=kept,
        thumb=cartons_needed(area + steps, material.carton_ft2, waste=waste_of(material), extra=SPARE_CARTONS),
    )


def carried(planks_of_fields: Sequence[int], lot_planks: int) -> int:
    """Return how many of the fields, in their order, a lot of so many planks carries from the first on."""
    count = 0
    for planks in planks_of_fields:
        lot_planks -= planks
        if lot_planks < 0:
            break
        count += 1
    return count
