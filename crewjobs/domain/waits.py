"""What is waited for, and how far it is."""

from __future__ import annotations

from enum import StrEnum


class WaitState(StrEnum):
    """Worst first: what has no date at all, then what has missed it, then what is on its way."""

    NOT_ORDERED = "not ordered"
    LATE = "late"
    DUE = "due"
    ARRIVED = "arrived"  # at the house or the shop, not in the conditioned rooms: no clock runs yet
    ACCLIMATING = "acclimating"
    RUNNING = "running"  # a cure, a drying, a laboratory: a clock that a tick started
    READY = "ready"

    @property
    def rank(self) -> int:
        """Return its place, 0 the worst."""
        return list(WaitState).index(self)
