"""The layout of a material's planks in a house as it was found: enough to tell every piece of it again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


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

    @property
    def proved(self) -> bool:
        """Return whether no layout takes fewer planks."""
        return self.count <= self.bound
