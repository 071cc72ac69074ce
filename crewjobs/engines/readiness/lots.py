"""Which lot goes into which room: two lots do not mix in a room unless the lead says where, and a lot carries its rooms or not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from math import ceil
from typing import Final

from crewjobs.domain.goods import LotUse
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Lot, Material
from crewjobs.domain.tasks import Driver, Phase, ScopeKind, Task
from crewjobs.domain.wording import listed
from crewjobs.engines.estimating.quantities import steps_ft2
from crewjobs.engines.estimating.rolls import running_feet

SAME: Final = 0.05
"""ft² two areas may differ by and still be the same: covers are printed rounded."""
LOT_CHECKS: Final = frozenset({"count-lot-check", "roll-check"})
"""Templates of counting (or measuring) what came and checking its lot."""


def is_carry_in(task: Task) -> bool:
    """Return whether ticking the task moves the lots of a material into the rooms."""
    return task.key.scope.kind is ScopeKind.MATERIAL and task.phase is Phase.HOUSE


def needs_cartons(task: Task) -> bool:
    """Return whether the task is done with a material's cartons in hand: carrying them in, counting them."""
    return is_carry_in(task) or (
        task.key.scope.kind is ScopeKind.MATERIAL and task.unit in (Driver.CARTONS, Driver.RUNNING_FEET)
    )


def places_of(job: Job, material: str) -> tuple[str, ...]:
    """Return the rooms and stairs that get a material, in the job's order."""
    rooms = [room.name for room in job.rooms if room.floor == material]
    return (*rooms, *(stairs.name for stairs in job.stairs if stairs.floor == material))


def place_ft2(job: Job, places: Iterable[str]) -> float:
    """Return the net area of rooms and stairs in ft², stairs by the step."""
    wanted = set(places)
    rooms = sum(room.net_ft2 for room in job.rooms if room.name in wanted)
    return rooms + sum(steps_ft2(stairs) for stairs in job.stairs if stairs.name in wanted)


def lots_here(record: JobRecord, material: str, at: datetime) -> tuple[Lot, ...]:
    """Return the lots of a material that had come by an instant."""
    return tuple(lot for lot in record.lots if lot.material == material and lot.arrived_at <= at)


def usable(lot: Lot, at: datetime) -> int:
    """Return the cartons of a lot that could be laid, by what its check had found by an instant."""
    seen = lot.checked_at is None or lot.checked_at <= at
    return lot.usable if seen else lot.cartons


def check_task(record: JobRecord, material: str) -> Task | None:
    """Return the task of counting and checking what came of a material; None where it has none."""
    checks = (task for task in record.tasks if task.key.template in LOT_CHECKS and not task.not_needed)
    return next((task for task in checks if task.key.scope.name == material), None)


def unchecked_since(record: JobRecord, material: str, lots: Iterable[Lot], at: datetime) -> tuple[Lot, ...]:
    """Return the lots that came after what was there had been counted and checked, and were not checked by an instant.

    While that task is open it holds the laying itself, so this is empty then.
    """
    task = check_task(record, material)
    if task is None or task.done_at is None or task.done_at > at:
        return ()
    done = task.done_at
    return tuple(lot for lot in lots if lot.arrived_at > done and (lot.checked_at is None or lot.checked_at > at))


@dataclass(frozen=True, slots=True, kw_only=True)
class LotGroup:
    """Lots that go into the same places by the lead's word: mostly one, more where they share a room.

    `anyway`: the lead said why, so that too few cartons do not hold it.
    """

    material: Material
    lots: tuple[str, ...]
    places: tuple[str, ...]
    anyway: bool

    @property
    def words(self) -> str:
        """Return its lots: ``lot A``, ``lots A and B``."""
        return ("lot " if len(self.lots) == 1 else "lots ") + listed(self.lots)


def lot_groups(record: JobRecord, material: Material) -> tuple[LotGroup, ...]:
    """Return the lead's word on a material's lots, lots that share a place together; empty where nothing was said."""
    everywhere = places_of(record.job, material.name)
    groups: list[tuple[list[LotUse], set[str]]] = []
    for use in record.lot_uses:
        if use.material != material.name:
            continue
        uses, places = [use], set(use.rooms or everywhere)
        for other in [group for group in groups if group[1] & places]:
            groups.remove(other)
            uses, places = [*other[0], *uses], places | other[1]
        groups.append((uses, places))
    return tuple(
        LotGroup(
            material=material,
            lots=tuple(use.lot for use in uses),
            places=tuple(place for place in everywhere if place in places),
            anyway=any(use.because for use in uses),
        )
        for uses, places in groups
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """What a group's cartons cover against the net area they are for, both in ft²."""

    group: LotGroup
    cartons: int
    needs_ft2: float
    """Of sheet goods what the take-off by roll width covers, which is more than the rooms' net area."""

    @property
    def covers_ft2(self) -> float:
        """Return the area of the cartons that can be laid."""
        return self.cartons * self.group.material.carton_ft2

    @property
    def spare_ft2(self) -> float:
        """Return what is left for cuts; below zero where the net area is not covered."""
        return self.covers_ft2 - self.needs_ft2

    @property
    def enough(self) -> bool:
        """Return whether the net area is covered."""
        return self.spare_ft2 >= -SAME

    @property
    def needs_cartons(self) -> int:
        """Return the least cartons (running feet of sheet goods) that carry the places."""
        return ceil((self.needs_ft2 - SAME) / self.group.material.carton_ft2)


def cover_of(record: JobRecord, group: LotGroup, at: datetime) -> Cover:
    """Return how far the cartons of a group's lots carry, by what had come and was checked by an instant."""
    here = [lot for lot in lots_here(record, group.material.name, at) if lot.name in group.lots]
    return Cover(
        group=group,
        cartons=sum(usable(lot, at) for lot in here),
        needs_ft2=_needed_ft2(record.job, group.material, group.places),
    )


def _needed_ft2(job: Job, material: Material, places: Iterable[str]) -> float:
    """Return what carries some places in ft²: their net area, of sheet goods what comes off the roll for them."""
    if not material.is_sheet:
        return place_ft2(job, places)
    wanted = set(places)
    rooms = [room for room in job.rooms if room.name in wanted]
    return running_feet(rooms, material, job.openings) * material.carton_ft2


def group_of(record: JobRecord, task: Task, material: Material) -> LotGroup | None:
    """Return the lots a laying task is laid from by the lead's word; None where nothing was said for its place."""
    place = task.key.scope.name
    return next((group for group in lot_groups(record, material) if place in group.places), None)


def carries(record: JobRecord, group: LotGroup, at: datetime) -> bool:
    """Return whether a group's lots have come and cover their places, or are laid anyway by the lead's word."""
    names = {lot.name for lot in lots_here(record, group.material.name, at)}
    cover = cover_of(record, group, at)
    return set(group.lots) <= names and cover.cartons > 0 and (cover.enough or group.anyway)


def told_lots(record: JobRecord, material: Material, at: datetime) -> tuple[Lot, ...] | None:
    """Return the lots that carry all open laying of a material by the lead's word, so that nothing else must come.

    None where nothing was said, a place is left out, or a lot does not carry its places.
    """
    groups = lot_groups(record, material)
    if not groups:
        return None
    laying = {task.key.scope.name for task in record.tasks if task.needs_material == material.name and task.open}
    if not laying <= {place for group in groups for place in group.places}:
        return None
    used = [group for group in groups if laying & set(group.places)] or list(groups)
    if not all(carries(record, group, at) for group in used):
        return None
    names = {name for group in used for name in group.lots}
    return tuple(lot for lot in lots_here(record, material.name, at) if lot.name in names)


def lot_questions(record: JobRecord, task: Task, material: Material, at: datetime) -> Iterator[str]:
    """Yield what the lead must say about a material's lots before a task is laid, in words."""
    here = lots_here(record, material.name, at)
    said = [use for use in record.lot_uses if use.material == material.name]
    group = group_of(record, task, material)
    if said and group is None:
        yield f"{material.name}: say which lot goes into {task.key.scope.name}"
    elif not said and (whole := sum(usable(lot, at) > 0 for lot in here)) > 1:
        count = _NUMBERS.get(whole, str(whole))
        yield f"{count} lots of {material.name}: say which rooms each goes into"
    decided = {use.lot for use in said if use.because}
    for lot in here:
        mine = lot.name in group.lots if group else not said
        if mine and lot.color_differs and lot.name not in decided and _checked(lot, at):
            yield f"lot {lot.name} of {material.name} differs in color from the signed sample: the lead decides, with a reason"


_NUMBERS: Final = {2: "two", 3: "three", 4: "four"}


def _checked(lot: Lot, at: datetime) -> bool:
    return lot.checked_at is None or lot.checked_at <= at


def short_words(cover: Cover) -> str:
    """Return what a group's lots lack: ``lot A of harbor plank: 20 cartons can be laid, its rooms take 22``."""
    group, one = cover.group, len(cover.group.lots) == 1
    return (
        f"{group.words} of {group.material.name}: {group.material.counted(cover.cartons)} can be laid, "
        f"{'its' if one else 'their'} rooms take {group.material.number(cover.needs_cartons)}"
    )
