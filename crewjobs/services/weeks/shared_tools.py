"""The tools crews share: which tasks need them for the plan, and where one was last for the truck list."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.engines.planning.tools import shared
from crewjobs.services.weeks.visits import Planned, Stretch
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.storage.unit_of_work import UnitOfWork

STILL_THERE: Final = timedelta(days=4)
"""Over a weekend a tool waits where it was; after longer it is looked for in the shop. Common practice, no source."""


def tool_needs(uow: UnitOfWork, shop: Shop, records: Iterable[JobRecord]) -> dict[tuple[int, int], frozenset[str]]:
    """Return which of the shop's shared tools open tasks (job, task) need, by the templates in force."""
    if not shop.tools:
        return {}
    from crewjobs.services.jobs.catalogues import catalogue_of

    catalogue = catalogue_of(uow)
    found = {
        (record.job.number, task.number): _tools(shop, catalogue, task)
        for record in records
        for task in record.tasks
        if task.open
    }
    return {key: tools for key, tools in found.items() if tools}


def _tools(shop: Shop, catalogue: Catalogue, task: Task) -> frozenset[str]:
    template = catalogue.template(task.key.template)
    return shared(shop, template.load) if template else frozenset()


def last_at(found: Planned, stretches: Sequence[Stretch], catalogue: Catalogue) -> Mapping[str, str]:
    """Return, by the tool's name, where the plan has a shared tool last before a crew's day, if that is another house.

    Of a tool the shop has several of nobody can say which one that is.
    """
    said: dict[str, str] = {}
    mine = {stretch.record.job.number for stretch in stretches}
    for tool in found.shop.tools:
        starts = [
            stretch.start
            for stretch in stretches
            if any(tool.name in _tools(found.shop, catalogue, task) for task in stretch.tasks)
        ]
        if tool.count > 1 or not starts:
            continue
        first = min(starts)
        before = [
            placed
            for placed in found.plan.placements
            if placed.end <= first and placed.key.job in found.records
            and any(
                tool.name in _tools(found.shop, catalogue, found.records[placed.key.job].task(number))
                for number in placed.tasks
            )
        ]  # fmt: skip
        last = max(before, key=lambda placed: (placed.end, placed.key), default=None)
        if last is not None and last.key.job not in mine and first - last.end <= STILL_THERE:
            site = found.records[last.key.job].job.site
            said[tool.name] = f"at job {last.key.job}, {site.address}, until {at_site(found.shop.zone, last.end)}"
    return said
