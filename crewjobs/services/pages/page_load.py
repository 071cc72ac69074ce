"""What goes on the truck for a day: material that waits at the shop, tools, supplies with how much of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from crewjobs.domain.job import Job
from crewjobs.domain.material import Method
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.tasks import Catalogue, Driver, Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.paper.model import LoadGroup, LoadItem
from crewjobs.services.jobs.jobs import amount_words
from crewjobs.services.weeks.visits import Stretch

COUNTED = frozenset({Driver.AREA, Driver.PERIMETER, Driver.STEPS, Driver.OPENINGS, Driver.FIXTURES})
"""Drivers that say how much of a supply a task takes; other tasks say only that it is needed."""
ADHESIVE_AND_PAD, ADHESIVE, PAD = (f"{what} of this material" for what in ("adhesive and pad", "adhesive", "pad"))
"""What the load of carrying in names, and what a job has of it."""
SHARED = frozenset(
    {
        "cardboard",
        "cardboard for templates",
        "contractor bags",
        "duct tape",
        "filler",
        "floor protection",
        "hardboard sheets",
        "nails",
        "painter's tape",
        "plastic sheet",
        "rags",
        "rags and cleaner",
        "shims",
        "spacers",
        "tape",
    }
)
"""Supplies whose amount no task's size tells."""


def load_items(
    stretches: Sequence[Stretch],
    catalogue: Catalogue,
    units: UnitSystem,
    truck: Sequence[str],
    last: Mapping[str, str] = MappingProxyType({}),
    numbers: Sequence[int] = (),
) -> tuple[LoadItem, ...]:
    """Return the load list: material, then tools, then supplies, each once with the houses it is for.

    What stands on the crew's `truck` every day is left out by its name; `last` says where a shared tool was last. `numbers` are
    those of the houses on the page, where these are not all of them.
    """
    of_page = list(zip(numbers or range(1, len(stretches) + 1), stretches, strict=True))
    on_truck = {name.casefold() for name in truck}
    houses: dict[str, list[int]] = {}
    amounts: dict[str, dict[Driver, float]] = {}
    for number, stretch in of_page:
        for task in stretch.tasks:
            template = catalogue.template(task.key.template)
            for listed in template.load if template and task.open else ():
                name = _of_the_job(stretch.record.job, task, listed)
                if not name:
                    continue
                if name.casefold() in on_truck:
                    continue
                if number not in houses.setdefault(name, []):
                    houses[name].append(number)
                if task.unit in COUNTED and name not in SHARED:
                    sums = amounts.setdefault(name, {})
                    sums[task.unit] = sums.get(task.unit, 0) + task.quantity
    material = [item for number, stretch in of_page for item in _material(stretch, number)]
    names = sorted(houses)
    notes = {name.casefold(): note for name, note in last.items()}
    taken = catalogue.supplies | {ADHESIVE, PAD}
    own = taken | catalogue.bag
    tools = [
        _item("tools", "", told_in(name, units), houses[name], stretches, notes.get(name.casefold(), ""))
        for name in names
        if name not in own
    ]
    bag = [name for name in names if name in catalogue.bag]
    if bag:
        tools.insert(0, LoadItem(group="tools", quantity="", what="Hand tool bag", note=told_in(", ".join(bag), units)))
    supplies = [
        _item("supplies", _amount(amounts.get(name, {}), units), told_in(name, units), houses[name], stretches)
        for name in names
        if name in taken
    ]
    return (*material, *tools, *supplies)


def _of_the_job(job: Job, task: Task, name: str) -> str:
    """Return what a task's load is on this job: of adhesive and pad what its material has; empty where it has neither."""
    if name != ADHESIVE_AND_PAD:
        return name
    material = job.material(task.key.scope.name)
    glued = material.method is Method.GLUED
    padded = any(room.pad and room.floor == material.name for room in job.rooms)
    if glued and padded:
        return name
    return ADHESIVE if glued else PAD if padded else ""


def _item(
    group: LoadGroup, amount: str, name: str, houses: Sequence[int], stretches: Sequence[Stretch], note: str = ""
) -> LoadItem:
    everywhere = len(houses) == len(stretches)
    what = upper(name) + (f", {amount}" if amount else "")
    return LoadItem(group=group, quantity="", what=what, houses=() if everywhere else tuple(houses), note=note)


def _amount(sums: dict[Driver, float], units: UnitSystem) -> str:
    return " + ".join(f"for {amount_words(total, unit, units)}" for unit, total in sums.items())


def _material(stretch: Stretch, number: int) -> list[LoadItem]:
    """Return cartons and rolls that have come and go into the rooms today; what a truck brings is said at the house."""
    items = []
    for task in stretch.tasks:
        name = task.key.scope.name
        waiting = sum(lot.cartons for lot in stretch.record.lots if lot.material == name and lot.moved_in_at is None)
        if is_carry_in(task) and task.open and waiting:
            material = stretch.record.job.material(name)
            note = "goes into the rooms today"
            items.append(
                LoadItem(group="material", quantity=material.counted(waiting), what=name, houses=(number,), note=note)
            )
    return items
