"""Figures in a metric shop: what is given without a unit is metric, and the answer comes in metric."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from crewjobs.domain.metric_words import told_in
from crewjobs.engines.climate.movement import PVC_PER_F
from crewjobs.storage.units_at import units_at as units_at

if TYPE_CHECKING:
    from crewjobs.services.figuring.figures import FigureAnswer

EXAMPLES: Final = {
    "emc": "emc temp=21 rh=40",
    "dew-point": "dew-point temp=21 rh=50",
    "slab-holes": "slab-holes area=230",
    "slab-depth": "slab-depth thickness=100 sides=1",
    "wood-movement": 'wood-movement width=130 species="red oak" cut=flat from=6 to=10',
    "vinyl-movement": "vinyl-movement length=12 from=16 to=27",
    "level-change": "level-change height=10",
    "lift": "lift weight=20 h=580 v=380 d=1240 angle=0 per-min=0.2 hours=1 grip=fair",
    "grinder-airflow": "grinder-airflow wheel=125",
    "first-row": "first-row width=3230 plank=150 gap=6",
    "cartons": "cartons area=11 waste=10 cover=2.2",
    "leveler": "leveler area=5.6 depth=6",
}
"""What is asked for example; others ask for nothing that has two units."""
_ANSWERS: Final = {
    "in": (25.4, "mm"), "lb": (0.45359237, "kg"), "cfm": (1.69901082, "m³/h"), "lb/1000 ft²/24 h": (4.88242764, "g/m²/24 h"),
}  # fmt: skip
_WHOLE_FROM: Final = 10.0
"""From so many millimetres on an answer is told in whole ones."""


def in_metric(found: FigureAnswer) -> FigureAnswer:
    """Return an answer with value, rule and note in metric; the source names its rule as it is published."""
    per = f"{PVC_PER_F:g} for each °F"
    rule = told_in(found.rule.replace(per, f"{PVC_PER_F * 1.8:g} for each °C"), "metric")
    source = told_in(found.source, "metric") if found.source.startswith("common practice") else found.source
    value, unit = found.value, told_in(f"1 {found.unit}", "metric").removeprefix("1 ") if found.unit else ""
    if isinstance(value, float | int) and found.unit in _ANSWERS:
        factor, unit = _ANSWERS[found.unit]
        value = float(value) * factor
        value = round(value, 2 if unit == "mm" and abs(value) < _WHOLE_FROM else 0 if unit in ("mm", "m³/h") else 1)
    elif isinstance(value, float) and found.unit == "°F":
        value, unit = round((value - 32) / 1.8, 1), "°C"
    return replace(found, value=value, unit=unit, rule=rule, note=told_in(found.note, "metric"), source=source)
