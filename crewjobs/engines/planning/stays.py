"""Where one person is over a day, and the first time they are free for an hour at a house."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

QUARTER = timedelta(minutes=15)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A person at a house between two instants (UTC); `drive_min` are the minutes from the shop to it."""

    job: int
    address: str
    drive_min: int
    start: datetime
    end: datetime


def drive_between(one: Stay, other: Stay) -> timedelta:
    """Return the drive between two houses: none within one, else by way of the shop, as the planner reckons."""
    same = one.job == other.job or one.address == other.address
    return timedelta() if same else timedelta(minutes=one.drive_min + other.drive_min)


def clash(stays: Iterable[Stay], wanted: Stay) -> Stay | None:
    """Return the first stay that leaves no time for another one and the drive between them; None if all do."""
    for stay in sorted(stays, key=lambda stay: stay.start):
        drive = drive_between(stay, wanted)
        if wanted.start < stay.end + drive and stay.start < wanted.end + drive:
            return stay
    return None


def first_free(
    stays: Sequence[Stay], windows: Iterable[tuple[datetime, datetime]], wanted: Stay, not_before: datetime
) -> datetime | None:
    """Return the first quarter hour at which a stay as long as `wanted` fits; None if none does.

    `windows` are the stretches in which both the person and the house have time, in order; the drive to and from
    other stays is kept free, the drive from and to the shop is not counted.
    """
    length = wanted.end - wanted.start
    for opens, closes in windows:
        start = _quarter(max(opens, not_before))
        while start + length <= closes:
            here = Stay(
                job=wanted.job, address=wanted.address, drive_min=wanted.drive_min, start=start, end=start + length
            )
            taken = clash(stays, here)
            if taken is None:
                return start
            start = _quarter(taken.end + drive_between(taken, here))
    return None


def _quarter(instant: datetime) -> datetime:
    """Return the first quarter hour at or after an instant."""
    whole = instant.replace(minute=0, second=0, microsecond=0)
    return whole + -(-(instant - whole) // QUARTER) * QUARTER
