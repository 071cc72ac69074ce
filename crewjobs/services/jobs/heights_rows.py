"""What heights show: frozen rows, every word ready to print."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightRow:
    """One thing a new floor meets by its height; `look`: it is to be settled before material is ordered."""

    kind: str
    where: str
    sentence: str
    look: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightsView:
    """How high each floor stands over its subfloor now and then, what it meets, and what thicknesses were taken as usual."""

    job: int
    title: str
    rooms: tuple[str, ...]
    rows: tuple[HeightRow, ...]
    taken_as: tuple[str, ...]
