"""What holds in every stage, put into a solver's model: the floor of each place, everybody's way, and beds to sleep in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.step import Step, numbers


def hold_stage(
    model: Any,
    kinds: Kinds,
    step: Step,
    at: Mapping[tuple[int, int], Any],
    name: str,
    on: Any = True,
    *,
    count_beds: bool = False,
) -> Any:
    """Hold a stage in a model: `at[k, z]` is how many pieces of kind k stand in place z, all 0 where it is not `on`.

    Return how many beds are slept in, which the model may choose to be fewer; 0 where none has to be, unless they are
    to be counted.
    """
    always = kinds.always(step)
    walked: dict[int, Any] = {}
    for number, ways in enumerate(kinds.access.asked(step)):
        open_ways = sorted({way & ~always for way in ways})
        if 0 not in open_ways:
            _take(model, open_ways, walked, f"{name} {number}", True)
    slept = _slept(model, kinds, step, at, walked, always, name) if count_beds or kinds.beds(step) else 0
    if kinds.beds(step):
        model.add(slept >= kinds.beds(step) * on)
    _hold_places(model, kinds, step, at, name, on, walked, always)
    return slept


def _take(model: Any, ways: list[int], walked: dict[int, Any], name: str, where: Any) -> None:
    """Hold that one of some ways is walked where a literal is true."""
    takes = []
    for way in ways:
        if way.bit_count() == 1:
            taken = _walked(model, walked, way.bit_length() - 1, name)
        else:
            taken = model.new_bool_var(f"way {name} {way}")
            for place in numbers(way):
                model.add_implication(taken, _walked(model, walked, place, name))
        takes.append(taken)
    model.add_bool_or(takes if where is True else [*takes, where.negated()])


def _walked(model: Any, walked: dict[int, Any], place: int, name: str) -> Any:
    if place not in walked:
        walked[place] = model.new_bool_var(f"walked {name} {place}")
    return walked[place]


def _slept(
    model: Any,
    kinds: Kinds,
    step: Step,
    at: Mapping[tuple[int, int], Any],
    walked: dict[int, Any],
    always: int,
    name: str,
) -> Any:
    """Return how many beds are slept in: those in places that sleep, and that are reached in the evening."""
    terms: list[Any] = []
    for place, ways in kinds.access.to_beds(step).items():
        standing = [(int(kinds.count[k]), var) for (k, z), var in at.items() if z == place and kinds.bed[k]]
        open_ways = sorted({way & ~always for way in ways})
        if not standing:
            continue
        if 0 in open_ways:
            terms += [var for _, var in standing]
            continue
        reached = model.new_bool_var(f"to bed {name} {place}")
        _take(model, open_ways, walked, f"{name} bed {place}", reached)
        most = sum(count for count, _ in standing)
        counted = model.new_int_var(0, most, f"slept {name} {place}")
        model.add(counted <= sum(var for _, var in standing))
        model.add(counted <= most * reached)
        terms.append(counted)
    return sum(terms)


def _hold_places(
    model: Any,
    kinds: Kinds,
    step: Step,
    at: Mapping[tuple[int, int], Any],
    name: str,
    on: Any,
    walked: Mapping[int, Any],
    always: int,
) -> None:
    """Hold every place's capacity, less where somebody walks through on the way taken, and what was found not to fit."""
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
