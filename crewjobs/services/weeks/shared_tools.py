"""The tools crews share: which tasks need them for the plan, and where one was last for the truck list."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.engines.planning.tools import shared
from crewjobs.services.weeks.visits import Planned, Stretch
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.domain.crew import SharedTool, Shop
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
    """Return, by the tool's name, where the plan has a shared tool before a crew's day first needs it, if that is another house.

    Its place is the last house where work with it has begun by then, over however many nights that goes on; a crew that leaves
    before the tool is free there is told to fetch it later. Of a tool the shop has several of nobody can say which one that is.
    """
    said: dict[str, str] = {}
    mine = {stretch.record.job.number for stretch in stretches}
    for tool in found.shop.tools:
        first = min(_starts_with(found, tool, stretches, catalogue), default=None)
        if tool.count > 1 or first is None:
            continue
        held = [one for one in _held(found, tool, catalogue) if one.since < first]
        last = max(held, key=lambda one: (one.since, one.until, one.job), default=None)
        if last is not None and last.job not in mine and first - last.until <= STILL_THERE:
            at, until = found.records[last.job].job.site.address, at_site(found.shop.zone, last.until)
            leaves = min(stretch.start for stretch in stretches)
            said[tool.name] = (
                f"fetch it from job {last.job}, {at}, after {until}"
                if last.until > leaves
                else f"at job {last.job}, {at}, until {until}"
            )
    return said


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """A house that has a tool by the plan: since work with it begins, until its block ends, nights included (UTC)."""

    job: int
    since: datetime
    until: datetime


def _starts_with(
    found: Planned, tool: SharedTool, stretches: Sequence[Stretch], catalogue: Catalogue
) -> Iterator[datetime]:
    """Yield when work with a tool begins in a crew's day, task by task."""
    for stretch in stretches:
        for piece in stretch.pieces:
            if tool.name in _tools(found.shop, catalogue, stretch.record.task(piece.task)):
                yield piece.start


def _held(found: Planned, tool: SharedTool, catalogue: Catalogue) -> Iterator[_Held]:
    """Yield the houses that have a tool by the plan, block by block."""
    for record in found.records.values():
        needing = {task.number for task in record.tasks if tool.name in _tools(found.shop, catalogue, task)}
        times = found.task_minutes(record) if needing else {}
        for placed in found.plan.placements:
            with_it = needing.intersection(placed.tasks) if placed.key.job == record.job.number else ()
            if with_it:
                yield _Held(job=record.job.number, since=min(times[task][0] for task in with_it), until=placed.end)
