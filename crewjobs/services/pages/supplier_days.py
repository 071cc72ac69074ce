"""How many days suppliers took from the order to the last of a delivery, by what is recorded of earlier ones."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from statistics import median_high
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_wall

ENOUGH: Final = 3
"""So few deliveries say how long the next one takes; fewer say nothing. Ours."""
LOOKED_BACK: Final = 40
"""So many jobs that are over are looked at beside the live ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """The middle of the days a supplier took (the later of two), over so many deliveries."""

    days: int
    deliveries: int


def supplier_days(records: Iterable[JobRecord]) -> Mapping[str, Took]:
    """Return by supplier how many days its deliveries took, where enough are known."""
    found: defaultdict[str, list[int]] = defaultdict(list)
    for record in records:
        for supplier, ordered, came in _deliveries(record):
            day = to_wall(record.job.site.zone, came).date()
            if day >= ordered:
                found[supplier].append((day - ordered).days)
    return {
        supplier: Took(days=median_high(days), deliveries=len(days))
        for supplier, days in found.items()
        if len(days) >= ENOUGH
    }


def _deliveries(record: JobRecord) -> Iterator[tuple[str, date, datetime]]:
    """Yield each delivery that came whole: of a material ordered on one day from one supplier, and each goods line."""
    for material in record.job.materials:
        lines = [order for order in record.job.orders if order.material == material.name]
        sources = {(order.supplier, order.ordered) for order in lines}
        lots = [lot for lot in record.lots if lot.material == material.name]
        whole = sum(lot.cartons for lot in lots) >= sum(order.cartons for order in lines)
        if len(sources) == 1 and lots and whole:
            supplier, ordered = sources.pop()
            if supplier and ordered is not None:
                yield supplier, ordered, max(lot.arrived_at for lot in lots)
    for line in record.job.goods:
        came = [one for one in record.goods_come if one.line == line.name]
        if line.supplier and line.ordered is not None and sum(one.count for one in came) >= line.count:
            yield line.supplier, line.ordered, max(one.at for one in came)
