"""What is waited for, and how far it is."""

from __future__ import annotations

from enum import StrEnum


class WaitState(StrEnum):
    """Worst first: no date at all, a date missed, a house that would send a crew home, a job without a day; then what one call settles
    today (to ask, to decide, to tell), then what others owe without a date and with one, then what is here and on its way.
    """

    NOT_ORDERED = "not ordered"
    LATE = "late"
    NOT_READY = "not ready"  # a house: something was answered no
    NOT_PLANNED = "not planned"  # a booked job that the plan in force has no place for at all
    TO_ASK = "to ask"  # a house that nobody has asked, or whose day has come
    TO_DECIDE = "to decide"  # the lead's word: which lot goes where, which way on from a finding
    TO_TELL = "to tell"  # a customer, a new day
    ASKED = "asked"  # a house or somebody else, without an answer or a date
    PROMISED = "promised"  # by somebody else, for a date to come
    DUE = "due"
    ARRIVED = "arrived"  # at the house or the shop, not in the conditioned rooms: no clock runs yet
    ACCLIMATING = "acclimating"
    RUNNING = "running"  # a cure, a drying, a laboratory: a clock that a tick started
    READY = "ready"

    @property
    def rank(self) -> int:
        """Return its place, 0 the worst."""
        return list(WaitState).index(self)
