"""Woods of which a table says how they move, and how boards are sawn."""

from __future__ import annotations

from enum import StrEnum
from typing import Final


class Cut(StrEnum):
    """How a board was sawn from the log: it moves more across flat grain."""

    FLAT = "flat"
    QUARTER = "quarter"


SPECIES: Final = (
    "red oak", "white oak", "hard maple", "soft maple", "yellow birch", "white ash", "beech", "black cherry", "black walnut",
    "pecan", "hickory", "douglas-fir", "southern yellow pine",
)  # fmt: skip
