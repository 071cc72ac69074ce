"""The layout of a material's planks in a house as it was found: enough to tell every piece of it again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedAnew:
    """The rest of a layout planned anew once so many rows of a field lie: its walls were moved by what was measured.

    `right` and `far` are by how much the wall to the right and the one opposite the first row are farther away (1/4064 inch).
    The rest is as in `FloorLayout`, for what was not laid then.
    """

    field: int
    rows: int
    right: int
    far: int
    starts: tuple[int, ...]
    planks: tuple[int, ...]
    count: int
    bound: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorLayout:
    """A layout of all fields of one material. It is in force as long as the rooms are as they were (`basis`).

    `walls` is the side each field starts at, `starts` the first piece of every run (1/4064 inch), `planks` the plank every piece
    comes from, in laying order; `count` is how many planks are opened, `bound` what no layout opens fewer than.
    """

    material: str
    at: datetime
    walls: tuple[str, ...]
    starts: tuple[int, ...]
    planks: tuple[int, ...]
    count: int
    bound: int
    basis: str
    anew: tuple[PlannedAnew, ...] = ()
