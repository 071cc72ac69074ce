"""What holds in every stage, put into a solver's model: the floor of each place, the crew's way, and beds to sleep in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from crewjobs.engines.moving.kinds import Kinds, Step, numbers


def hold_stage(
    model: Any, kinds: Kinds, step: Step, at: Mapping[tuple[int, int], Any], name: str, on: Any = True
) -> None:
    """Hold a stage in a model: `at[k, z]` is how many pieces of kind k stand in place z, all 0 where it is not `on`."""
    _hold_places(model, kinds, step, at, name, on)
    if kinds.beds(step):
        slept = [var for (k, b), var in at.items() if kinds.bed[k] and kinds.sleeps[b]]
        model.add(sum(slept) >= kinds.beds(step) * on)


def _hold_places(model: Any, kinds: Kinds, step: Step, at: Mapping[tuple[int, int], Any], name: str, on: Any) -> None:
    """Hold every place's capacity, less where the crew walks through on the way it takes, and what was found not to fit."""
    always = kinds.access.always(step.worked, step.curing)
    walked: dict[int, Any] = {}
    for ways in kinds.access.ways(step.worked, step.curing):
        open_ways = sorted({way & ~always for way in ways})
        if 0 in open_ways:
            continue
        takes = [model.new_bool_var(f"way {name} {way}") for way in open_ways]
        model.add_exactly_one(takes)
        for way, taken in zip(open_ways, takes, strict=True):
            for place in numbers(way):
                if place not in walked:
                    walked[place] = model.new_bool_var(f"walked {name} {place}")
                model.add_implication(taken, walked[place])
    floor = kinds.floor(step)
    for place in range(kinds.size[1]):
        load = [int(kinds.footprint[k]) * var for (k, b), var in at.items() if b == place]
        if not load:
            continue
        full, narrow = int(floor[place]), int(min(floor[place], kinds.as_passage[place]))
        if always >> place & 1:
            model.add(sum(load) <= narrow)
        elif place in walked:
            model.add(sum(load) <= full - (full - narrow) * walked[place])
        else:
            model.add(sum(load) <= full)
    for place in kinds.cuts.places():
        on_way: Any = bool(always >> place & 1) or walked.get(place, False)
        kinds.cuts.hold(model, place, at, on_way, name, on)
