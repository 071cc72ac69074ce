"""Furnished houses for the judge: what they are, how they are read and written, and how they are made up.

The one door to `model`, `reading` and `houses`.
"""

from __future__ import annotations

from tests.engines.moving.houses import generated
from tests.engines.moving.model import Expected, Instance, Item, Passage, Stage, Zone, tenths
from tests.engines.moving.reading import read_instance, to_dict

__all__ = [
    "Expected",
    "Instance",
    "Item",
    "Passage",
    "Stage",
    "Zone",
    "generated",
    "read_instance",
    "tenths",
    "to_dict",
]
