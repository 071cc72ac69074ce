"""A house nobody has measured yet: one square room, for an answer on the telephone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from math import sqrt
from typing import Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.furniture import Piece
from crewjobs.domain.house import Covering, Layer, Opening, Room, Site
from crewjobs.domain.job import Customer, Job
from crewjobs.domain.material import SHEET_GOODS, USUAL_ACCLIMATION_MIN, USUAL_METHOD, FloorKind, Material, OrderLine
from crewjobs.domain.outline import Outline
from crewjobs.domain.units import FOOT, INCH, exact_length, exact_wait, format_area
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.estimating.quantities import cartons_needed

ROOM: Final = "room"
BUILT: Final = 2000
"""A house and floors of that year have neither lead paint nor asbestos to be thought of."""
DOOR: Final = 36 * INCH
FT2_A_PIECE: Final = 40.0
"""Floor to one piece of furniture, carried by two: common practice, no source."""
PLANKS: Final = {  # common practice, no source: width, length, ft² a carton
    FloorKind.CLICK_VINYL: (7 * INCH, 48 * INCH, 23.8),
    FloorKind.GLUED_VINYL: (7 * INCH, 48 * INCH, 35.0),
    FloorKind.LAMINATE: (8 * INCH, 48 * INCH, 21.3),
    FloorKind.ENGINEERED_WOOD: (7 * INCH, 72 * INCH, 24.5),
    FloorKind.SOLID_WOOD: (3 * INCH, 84 * INCH, 20.0),
}
ROLL: Final = 12 * FOOT


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainHouse:
    """What is known of it. `area_ft2` in ft², `drive_min` one way; `ready` is when the material can be there (UTC)."""

    kind: FloorKind
    area_ft2: float
    drive_min: int
    furnished: bool
    removes: tuple[Covering, ...]
    built: int | None
    ready: datetime

    def job(self, number: int, shop: Shop, today: date) -> Job:
        """Return it as a booked job without a promise, its material ordered today."""
        side = max(1, round(sqrt(self.area_ft2) * FOOT))
        material = self.material()
        count = cartons_needed(self.area_ft2, material.carton_ft2)
        layers = tuple(Layer(covering=covering, year=self.built or BUILT) for covering in self.removes)
        return Job(
            number=number,
            title=f"{format_area(self.area_ft2, shop.units)} of {self.kind}",
            customer=Customer(name="a caller"),
            site=Site(
                address="not known yet",
                zone=shop.zone,
                year_built=self.built or BUILT,
                occupied=self.furnished,
                drive_min=self.drive_min,
            ),
            rooms=(
                Room(
                    name=ROOM,
                    outline=Outline.rectangle(side, side),
                    layers=layers,
                    floor=material.name,
                    furniture=self._furniture(),
                ),
            ),
            openings=(Opening(between=(ROOM, "outside"), width=min(DOOR, side)),),
            materials=(material,),
            orders=(OrderLine(material=material.name, cartons=count, ordered=today, due=self.ready),),
        )

    def material(self) -> Material:
        """Return the floor: a usual size, method and acclimation of its kind."""
        name, method, wait = str(self.kind), USUAL_METHOD[self.kind], USUAL_ACCLIMATION_MIN[self.kind]
        if self.kind in SHEET_GOODS:
            return Material.sheet(name=name, kind=self.kind, method=method, roll_width=ROLL, acclimation_min=wait)
        width, length, carton = PLANKS[self.kind]
        return Material(
            name=name,
            kind=self.kind,
            method=method,
            plank_width=width,
            plank_length=length,
            carton_ft2=carton,
            acclimation_min=wait,
        )

    def _furniture(self) -> tuple[Piece, ...]:
        if not self.furnished:
            return ()
        return (Piece(name="furniture", count=min(200, max(1, round(self.area_ft2 / FT2_A_PIECE))), people=2),)

    def assumed(self) -> Iterator[str]:
        """Yield what is taken for true, since nobody has measured."""
        side = round(sqrt(self.area_ft2) * FOOT / INCH) * INCH
        pieces = sum(piece.count for piece in self._furniture())
        yield f"one square room, {exact_length(side)} a side, one door, on plywood, at the street's level"
        yield f"{counted(pieces, 'piece')} of furniture, people live there" if pieces else "empty, nobody lives there"
        taken = listed([str(covering) for covering in self.removes])
        yield f"{taken} comes up, put in {self.built or BUILT}" if taken else "nothing comes up, the base is reused"
        year = f"built in {self.built}" if self.built else "built after 1980"
        yield f"{year}, {self.drive_min} min of drive from the shop"
        wait = exact_wait(USUAL_ACCLIMATION_MIN[self.kind])
        yield f"{self.kind} laid {USUAL_METHOD[self.kind]}, {wait} in the rooms before: the carton's own sheet outranks it"
