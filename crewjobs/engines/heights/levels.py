"""What goes between two floors of different height.

Source: 2010 ADA Standards 303 and 405 (303.3 read in the federal text of the same numbering). Private houses are not bound by them:
they are the default against tripping.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

PLAIN_IN: Final = 0.25
"""May stand vertical."""
BEVEL_IN: Final = 0.5
"""May be beveled; above it a ramp."""
BEVEL_RUN: Final = 2.0
"""Inches of run for an inch of rise, no steeper."""
RAMP_RUN: Final = 12.0


class Edge(StrEnum):
    """How a change of level is made."""

    LEVEL = "level"
    PLAIN = "plain edge"
    BEVEL = "bevel"
    RAMP = "ramp"


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelChange:
    """A change of level in inches: how it is made, how much of it may stand vertical, and the run of the rest."""

    height: float
    edge: Edge
    vertical: float
    run: float


def level_change(height: float) -> LevelChange:
    """Return how a change of level in inches, up or down, is made: plain to 1/4 in, beveled 1:2 to 1/2 in, else a ramp of 1:12.

    Of what is beveled a quarter of an inch may stand vertical; a ramp rises over its whole height.
    """
    high = abs(height)
    if high == 0:
        return LevelChange(height=high, edge=Edge.LEVEL, vertical=0, run=0)
    if high <= PLAIN_IN:
        return LevelChange(height=high, edge=Edge.PLAIN, vertical=high, run=0)
    if high <= BEVEL_IN:
        return LevelChange(height=high, edge=Edge.BEVEL, vertical=PLAIN_IN, run=BEVEL_RUN * (high - PLAIN_IN))
    return LevelChange(height=high, edge=Edge.RAMP, vertical=0, run=RAMP_RUN * high)
