"""A stage of an order without its pieces, and places as bits of a number."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """What is worked in a stage (none: a wait), and what cures meanwhile, as bits of places.

    `phase` says where the things are that come and go (`Kinds.phase`); `opening` marks the carry-in.
    """

    worked: int
    curing: int
    phase: int = 0
    opening: bool = False


def bits(places: Iterable[int]) -> int:
    """Return places as bits of a number."""
    return sum(1 << place for place in places)


def numbers(places: int) -> Iterable[int]:
    """Yield the places whose bits are set."""
    while places:
        low = places & -places
        yield low.bit_length() - 1
        places ^= low
