"""A floor of boards of random lengths: racked from the shares the maker gives, and the cartons it comes to by cover.

What is in a carton is not known before it is opened, so that this is an estimate: a plan of rows that can be laid if the boards
come in these shares.
"""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.domain.job import Job
from crewjobs.domain.material import Material
from crewjobs.domain.units import square_feet
from crewjobs.engines.estimating.places import floored_stairs
from crewjobs.engines.estimating.quantities import SPARE_CARTONS, USUAL_WASTE, cartons_needed, steps_ft2, whole_units
from crewjobs.engines.estimating.waste import waste_of
from crewjobs.engines.laying.mixed_lengths import MixedBoards, MixedLayout, rack
from crewjobs.engines.take_off.floors import HouseFloor, house_floor
from crewjobs.engines.take_off.planks import OFF_GRADE


@dataclass(frozen=True, slots=True, kw_only=True)
class MixedFloor:
    """Rows of all fields of a material with the boards racked in them; runs are those of the floor's problem."""

    house: HouseFloor
    layout: MixedLayout


@dataclass(frozen=True, slots=True, kw_only=True)
class CartonsByCover:
    """What to buy by cover: floor boards of the layout, stairs by area, a reserve (all ft²), and whole cartons kept.

    `area_ft2` is the rooms' area, `thumb` what area, the usual waste and one carton more comes to.
    """

    area_ft2: float
    boards_ft2: float
    stairs_ft2: float
    reserve_ft2: float
    carton_ft2: float
    kept: int
    thumb: int

    @property
    def cartons(self) -> int:
        """Return the cartons to buy."""
        return whole_units(self.boards_ft2 + self.stairs_ft2 + self.reserve_ft2, self.carton_ft2) + self.kept

    @property
    def left_ft2(self) -> float:
        """Return what is left, in ft², when nothing of the reserve was needed, the kept carton included."""
        return self.cartons * self.carton_ft2 - self.boards_ft2 - self.stairs_ft2


def mixed_floor(job: Job, material: Material) -> MixedFloor:
    """Return a floor of boards of random lengths, racked.

    Raises:
        Refused: rooms or rules that cannot be laid: which, and what can be changed.
    """
    house = house_floor(job, material)
    product, total = house.floor.problem.product, sum(share for _, share in material.lengths)
    boards = MixedBoards(
        shares={length: share / total for length, share in material.lengths},
        width=product.width,
        kerf=product.kerf,
        min_piece=product.min_piece,
        stagger=product.stagger,
        second_row=product.second_row,
    )
    return MixedFloor(house=house, layout=rack(boards, house.floor.problem.runs))


def cartons_by_cover(
    job: Job, material: Material, layout: MixedLayout, *, reserve: float | None = None, kept: int = SPARE_CARTONS
) -> CartonsByCover:
    """Return what to buy for racked boards; `reserve` is a share of them, as usual for wood where none is given."""
    area = sum(room.net_ft2 for room in job.rooms if room.floor == material.name)
    steps = sum(steps_ft2(flight) for flight in floored_stairs(job) if flight.floor == material.name)
    boards, stairs = square_feet(2 * layout.running * material.plank_width), steps * (1 + USUAL_WASTE)
    return CartonsByCover(
        area_ft2=area,
        boards_ft2=boards,
        stairs_ft2=stairs,
        reserve_ft2=(boards + stairs) * (OFF_GRADE if reserve is None else reserve),
        carton_ft2=material.carton_ft2,
        kept=kept,
        thumb=cartons_needed(area + steps, material.carton_ft2, waste=waste_of(material), extra=SPARE_CARTONS),
    )
