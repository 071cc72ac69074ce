"""The take-off of sheet goods: running feet, the drops as they are cut, whether one roll carries them, what is left."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import UnitSystem, format_area
from crewjobs.engines.estimating.places import floored_rooms
from crewjobs.engines.estimating.roll_choice import RollPlan
from crewjobs.services.laying.layout_rows import PlanksRow
from crewjobs.services.laying.sheet_view import drop_rows, fault_words, other_words, plan_of, rest_words, sure_words
from crewjobs.services.wording import counted_of, ordered_words, roll_words


def sheet_row(record: JobRecord, material: Material, units: UnitSystem) -> PlanksRow:
    """Return what sheet goods take by their cut plan; the same feet as the order page says."""
    job, plan = record.job, plan_of(record.job, material)
    ordered = sum(order.cartons for order in job.orders if order.material == material.name)
    area = sum(room.net_ft2 for room in floored_rooms(job) if room.floor == material.name)
    return PlanksRow(
        material=material.name,
        kind=str(material.kind),
        area_ft2=area,
        planks=len(plan.drops),
        bound=len(plan.drops),
        proved=plan.proved,
        cartons=material.told(plan.feet),
        thumb=material.told(plan.feet),
        ordered=material.told(ordered),
        unit=material.unit,
        left_planks=0,
        sentence=f"{format_area(area, units)}: {roll_words(material, plan.feet)}. {sure_words(plan, material)}{_order(job, material, plan.feet)}",
        fields=(
            *(row.sentence for row in drop_rows(plan, units)),
            *(f"! {words}" for words in fault_words(plan, units)),
            *other_words(plan, material, units),
        ),
        lots=tuple(_lots(record, material, plan)),
        left=tuple(rest_words(plan, units)),
    )


def _order(job: Job, material: Material, need: int) -> str:
    words = ordered_words(job, material, need).removeprefix("; ")
    return f" {words[0].upper()}{words[1:]}." if words else ""


def _lots(record: JobRecord, material: Material, plan: RollPlan) -> Iterator[str]:
    for lot in record.lots:
        if lot.material == material.name:
            carries = "alone carries all of it" if lot.usable >= plan.feet else "alone does not carry it"
            yield f"lot {lot.name} {carries}: {counted_of(material, lot.usable, plan.feet)}"
