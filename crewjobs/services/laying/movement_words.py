"""What floors do with the seasons, in words: longest runs, and what they grow held against the gap at their walls."""

from __future__ import annotations

from collections.abc import Iterator

from crewjobs.domain.material import Material
from crewjobs.domain.units import INCH, UnitSystem, format_cut, format_length
from crewjobs.engines.take_off.floors import HouseFloor
from crewjobs.engines.take_off.movement import Moves, RunOf, runs_of

_SOURCE = {
    Moves.HEAT: "rigid PVC, engineering handbook tables; a filled core does less, its maker says how much",
    Moves.MOISTURE: "USDA Wood Handbook, an upper bound: boards hold one another",
}


def movement_words(house: HouseFloor, field: int, units: UnitSystem, *, all_of_it: bool = False) -> Iterator[str]:
    """Yield what a field's runs ask for: a break to be asked about, a gap too small; with `all_of_it` also what the gaps take."""
    name = house.fields[field].field.name
    for run in runs_of(house.material, house.floor.fields[field]):
        if run.breaks:
            yield _break(house.material, name, run, units)
        if run.grows is not None and (all_of_it or run.over):
            yield _growth(name, run, units)


def _break(material: Material, name: str, run: RunOf, units: UnitSystem) -> str:
    assert run.longest is not None
    low, high = (format_length(length, units) for length in run.longest)
    return (
        f"{name} runs {format_length(run.length, units)} {run.way}: makers of {material.kind} set the longest run without a break "
        f"from {low} to {high} (general guides): look at its sheet, and plan a strip where it is shorter."
    )


def _growth(name: str, run: RunOf, units: UnitSystem) -> str:
    assert run.grows is not None
    grows, gap = format_cut(round(run.grows), units), format_cut(run.gap, units)
    low, high = run.between
    span = _temperatures(low, high, units) if run.moves is Moves.HEAT else f"from {low:.1f} to {high:.1f} % moisture"
    half = format_cut(round(run.grows / 2), units)
    told = f"{name}: {span} it grows {grows} over {format_length(run.length, units)} {run.way} ({_SOURCE[run.moves]})"
    if not run.over:
        return f"{told}: {half} at each end, the gap of {gap} takes it; base and shoe have to cover {_covered(run, units)}."
    if run.moves is Moves.MOISTURE:
        return (
            f"{told}: {half} at each end, far more than the gap of {gap}: rows are started from the middle of the room, or spaced as the maker "
            "says, and the room is kept at its normal; no gap at a wall takes all of it."
        )
    least = format_cut(-(-round(run.grows / 2) // (INCH // 16)) * (INCH // 16), units)
    return f"{told}: {half} at each end, more than the gap of {gap}: leave {least} where trim and maker allow it, or break the run."


def _covered(run: RunOf, units: UnitSystem) -> str:
    """Return what is open at a wall when a floor that was laid at its widest has drawn in."""
    assert run.grows is not None
    return format_cut(round(run.gap + run.grows / 2), units)


def _temperatures(low: float, high: float, units: UnitSystem) -> str:
    if units == "metric":
        return f"from {(low - 32) / 1.8:.0f} to {(high - 32) / 1.8:.0f} °C"
    return f"from {low:g} to {high:g} °F"
