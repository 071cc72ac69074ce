"""What goes back to a supplier: damaged cartons, lots of another color, and full cartons left over once the floors are laid.

What is left over is reckoned by net area: what came and can be laid, less what the places take by their area, less the
one full carton that stays in the house (common practice, no source). Rows take more than their area for cuts, so it is
the most there can be: the crew counts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.material import Lot, Material
from crewjobs.engines.readiness.lots import LotGroup, cover_of, lot_groups, lots_here, places_of, usable

STAYS = 1
"""Full cartons that stay in the house."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToGoBack:
    """Of one material: cartons (running feet of sheet goods) damaged by lot, of another color by lot, left over, returned.

    `laid` is whether its floors are laid: before that nothing is left over, but of a job called off all of it. `kept` is what stays in the house of what is
    left over.
    """

    material: Material
    damaged: tuple[tuple[str, int], ...]
    off_color: tuple[tuple[str, int], ...]
    left_over: int
    kept: int
    laid: bool
    went_back: int

    @property
    def most(self) -> int:
        """Return the most that can still go back, with what would stay in the house."""
        there = sum(count for _, count in (*self.damaged, *self.off_color)) + self.left_over + self.kept
        return max(0, there - self.went_back)

    @property
    def still(self) -> int:
        """Return what is still to go back."""
        return max(0, self.most - self.kept)


def to_go_back(record: JobRecord, material: Material, at: datetime) -> ToGoBack:
    """Return what goes back of a material, by what had come, been found, laid and returned by an instant."""
    here = lots_here(record, material.name, at)
    checked = [lot for lot in here if lot.checked_at is not None and lot.checked_at <= at]
    used = {use.lot for use in record.lot_uses if use.material == material.name}
    off = [lot for lot in checked if lot.color_differs and lot.name not in used]
    laid, ended = _laid(record, material, at), record.job.state is JobState.CALLED_OFF
    over = sum(_left_over(record, material, at, off)) if laid and not material.is_sheet else 0
    kept = min(STAYS, over)
    if ended and not laid:  # what lies there goes back, at most all that can be used
        over, kept = sum(usable(lot, at) for lot in here if lot not in off), 0
    return ToGoBack(
        material=material,
        damaged=tuple((lot.name, lot.damaged) for lot in checked if lot.damaged),
        off_color=tuple((lot.name, count) for lot in off if (count := lot.cartons - lot.damaged)),
        left_over=over - kept,
        kept=kept,
        laid=laid,
        went_back=sum(back.count for back in record.went_back if back.material == material.name and back.at <= at),
    )


def _laid(record: JobRecord, material: Material, at: datetime) -> bool:
    laying = [task for task in record.tasks if task.needs_material == material.name and not task.not_needed]
    return bool(laying) and all(task.done_at is not None and task.done_at <= at for task in laying)


def _left_over(record: JobRecord, material: Material, at: datetime, off: list[Lot]) -> Iterator[int]:
    """Yield the full cartons left of each group of lots, by area, and of each lot that went nowhere."""
    here = [lot for lot in lots_here(record, material.name, at) if lot not in off]
    groups = lot_groups(record, material)
    if not groups:
        names, places = tuple(lot.name for lot in here), places_of(record.job, material.name)
        groups = (LotGroup(material=material, lots=names, places=places, anyway=False),)
    for group in groups:
        cover = cover_of(record, group, at)
        yield max(0, cover.cartons - cover.needs_cartons)
    placed = {name for group in groups for name in group.lots}
    yield from (usable(lot, at) for lot in here if lot.name not in placed)
