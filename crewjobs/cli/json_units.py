"""The unit of every figure that `--json` prints, by the name of its field, for its schema.

A name that carries its unit (`area_ft2`, `drive_min`) needs no word here; other names do. Some rows say the
unit of a figure themselves, in another field. A count of things, or the number of one, has none.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

LABOR_HOURS: Final = "h of one person"
SHARE: Final = "share from 0 to 1"
SIBLING: Final = "as its field unit says"

_ENDS: Final[Mapping[str, str]] = {
    "_ft2": "ft²",
    "_min": "min",
    "_in": "in",
    "_lb": "lb",
    "_feet": "running ft",
    "_percent": "%",
}
_LABOR: Final = frozenset({"book_min", "estimated_min", "high_min", "likely_min", "low_min", "taken_min"})
_NAMES: Final[Mapping[str, str]] = {
    **dict.fromkeys(("hours", "spread", "spent", "spent_rest", "hours_left"), LABOR_HOURS),
    **dict.fromkeys(_LABOR, "min of one person"),
    "man_days": "man-days of 8 h",
    "minutes": "min",
    "minutes_left": "min by the clock",
    "pause": "min",
    "feet": "running ft",
    "odds": "%",
    "correlation": "rank correlation from 0 to 1",
    **dict.fromkeys(("chance", "before", "error", "promised_chance"), SHARE),
    **dict.fromkeys(("crew_days", "crew_days_then"), "days of a crew at the house"),
    **dict.fromkeys(("days_late", "days_later"), "days"),
}
_OF_ROWS: Final[Mapping[str, str]] = {
    "WaitRow.done": SHARE,
    "CarryRow.minutes": "min of one person",
    "StageRow.minutes": "min of one person",
    "RoomsView.minutes": "min of one person",
    "CrewAhead.phases": "min of one person",
    "RatesView.days": "days",
    **dict.fromkeys(("Drawing.width", "Drawing.depth", "Drawing.line"), "in"),
    "Drawing.per_inch": "parts of an inch",
    **dict.fromkeys(("RateRow.book", "RateRow.own", "RateRow.low", "RateRow.high"), SIBLING),
    "RateRow.factor": "times the book's minutes",
    **dict.fromkeys(("RateRow.pace", "RateRow.slow", "RateRow.quick"), "times the book's pace"),
    **dict.fromkeys(("MaterialRow.cartons_ordered", "MaterialRow.cartons_come"), SIBLING),
    **dict.fromkeys(("PlanksRow.cartons", "PlanksRow.thumb", "PlanksRow.ordered"), SIBLING),
    **dict.fromkeys(("GoodsRow.count", "SupplyRow.count"), SIBLING),
    "PlanksRow.bound": "as its field piece says",
    "PlanksRow.planks": "as its field piece says",
    "PlanksRow.left_planks": "as its field piece says",
    "FigureAnswer.value": SIBLING,
    "ExportTable.rows": "as its column in columns says",
    **{
        f"{row}.{name}": "in"
        for row in ("Polygon", "Box", "Line", "Words", "Tile")
        for name in ("corners", "x", "y", "width", "depth", "start", "end", "inner")
    },
}


def unit_of(row: str, name: str) -> str:
    """Return the unit of a figure of a row, empty where nothing is known of it but that it is a number."""
    known = _OF_ROWS.get(f"{row}.{name}") or _NAMES.get(name)
    return known or next((unit for end, unit in _ENDS.items() if name.endswith(end)), "")
