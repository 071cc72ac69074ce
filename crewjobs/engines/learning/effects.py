"""Which effects make the pace of a task, and where each stands in the model's vector."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from crewjobs.domain.pace import WorkedDay
from crewjobs.engines.learning.scales import CONDITION, CREW, OWN, SHOP, TEMPLATE, Effect


def effects_of(crew: str, template: str, conditions: Collection[str] = ()) -> Iterator[Effect]:
    """Yield what a crew's pace at a template under conditions is made of: the log of its factor is their sum."""
    yield (SHOP,)
    yield (TEMPLATE, template)
    yield (CREW, crew)
    yield (OWN, crew, template)
    for condition in sorted(conditions):
        yield (CONDITION, condition)


def effects_seen(days: Iterable[WorkedDay]) -> tuple[Effect, ...]:
    """Return every effect that records say something about, sorted, so that the order of records does not matter."""
    seen = {
        effect for day in days for task in day.done for effect in effects_of(day.crew, task.template, task.conditions)
    }
    return tuple(sorted(seen))


def with_new(places: Mapping[Effect, int], days: Sequence[WorkedDay]) -> dict[Effect, int]:
    """Return the places of all effects, those that records bring anew behind the others."""
    known = dict(places)
    for effect in effects_seen(days):
        known.setdefault(effect, len(known))
    return known
