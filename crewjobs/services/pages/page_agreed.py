"""What a crew's page says of a house beside its tasks: what was agreed and seen before, what is hauled, what goes back.

No amount of money is ever on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.agreed import Walk
from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Driver, Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wording import listed
from crewjobs.paper.model import HouseFact
from crewjobs.services.jobs.known import FURNITURE_OUT
from crewjobs.services.materials.returns import RETURNS, day_lines
from crewjobs.services.wording import amount_words

_MOST = 6
_AGREED = (("rows", "direction"), ("color", "color"), ("lot", "lot"))


def agreed_facts(record: JobRecord, tasks: Sequence[Task], units: UnitSystem, now: datetime) -> Iterator[HouseFact]:
    """Yield what was agreed before the work, change orders, and for the day's tasks the weight out and the returns."""
    yield from _walked(record, tasks)
    if len(record.job.rooms) == 1 and any(task.key.template == FURNITURE_OUT and task.open for task in tasks):
        room = record.job.rooms[0].name
        words = f"no room but {room} is listed: ask where it stands meanwhile before it is moved"
        yield HouseFact(label="Furniture", text=words)
    extras = [order.what for order in record.change_orders if order.agreed is not None]
    if extras:
        yield HouseFact(label="Agreed extra", text="; ".join(extras))
    refused = [order.what for order in record.change_orders if order.declined is not None]
    if refused:
        yield HouseFact(label="Declined", text=f"{'; '.join(refused)}: not done")
    asked = [order.what for order in record.change_orders if order.agreed is None and order.declined is None]
    if asked:
        yield HouseFact(label="Not agreed", text=f"{'; '.join(asked)}: not done before the lead says so")
    pounds = sum(task.quantity for task in tasks if task.unit is Driver.POUNDS and task.open)
    if pounds:
        yield HouseFact(label="Haul-out", text=f"about {amount_words(pounds, Driver.POUNDS, units)}, estimated")
    if any(task.key.template == RETURNS for task in tasks):
        for line in day_lines(record, now):
            yield HouseFact(label="Back to supplier", text=line)


def _rows_lie(record: JobRecord) -> bool:
    """Return whether a floor of the job was begun: its direction, color and lot were chosen, recorded or not."""
    return any(
        task.needs_material and (task.started_at or task.done_at or latest(record.how_far, task.number))
        for task in record.tasks
    )


def _walked(record: JobRecord, tasks: Sequence[Task]) -> Iterator[HouseFact]:
    """Yield color, direction, lot and damage of the walk-throughs before the work; the latest word on each counts."""
    walks = sorted((walk for walk in record.walks if walk.walk is Walk.BEFORE), key=lambda walk: walk.at)
    lays = any(task.needs_material for task in tasks)
    if not walks and not lays:
        return
    said = {field: "" for _, field in _AGREED}
    for walk in walks:
        said = {field: getattr(walk, field) or known for field, known in said.items()}
    words = [f"{name} {said[field]}" for name, field in _AGREED if said[field]]
    open_ones = [name if name != "rows" else "direction of the rows" for name, field in _AGREED if not said[field]]
    if words:
        yield HouseFact(label="Agreed", text="; ".join(words))
    if open_ones:
        if _rows_lie(record):
            yield HouseFact(label="Not recorded", text=f"{listed(open_ones)}: ask before going on")
        else:
            yield HouseFact(label="To agree", text=f"{listed(open_ones)}: ask before the first row")
    seen = list(dict.fromkeys(f"{damage.place}: {damage.what}" for walk in walks for damage in walk.damage))
    if seen:
        shown = seen if len(seen) <= _MOST else [*seen[: _MOST - 1], f"{len(seen) - _MOST + 1} more, ask the lead"]
        yield HouseFact(label="Damaged before", text="; ".join(shown))
