"""Time zones by any part of their name."""

from __future__ import annotations

from functools import lru_cache
from typing import Final
from zoneinfo import available_timezones

from crewjobs.domain.units import UnitSystem

_NO_PLACES = ("Etc/", "posix/", "right/", "SystemV/")


_FEET: Final = ("America/", "US/", "Pacific/Honolulu", "Etc/", "UTC")
"""Zones, and machines that were not told theirs, where floors are measured in feet and paper is letter; elsewhere metres and A4. Either can be chosen."""


def measures_in(zone: str) -> tuple[UnitSystem, str]:
    """Return the units and the paper that are usual in a zone."""
    return ("us", "letter") if zone.startswith(_FEET) else ("metric", "a4")


@lru_cache(maxsize=1)
def zones() -> tuple[str, ...]:
    """Return the names of all time zones of a place, such as ``America/Chicago``."""
    return tuple(sorted(name for name in available_timezones() if "/" in name and not name.startswith(_NO_PLACES)))


def zones_like(text: str, most: int) -> tuple[str, ...]:
    """Return the zones in whose names all typed words are, those where a part begins with the first of them before others."""
    words = text.replace("_", " ").replace("/", " ").casefold().split()
    if not words:
        return ()
    plain = {name: name.replace("_", " ").casefold() for name in zones()}
    found = [name for name, spelled in plain.items() if all(word in spelled for word in words)]
    return tuple(
        sorted(found, key=lambda name: not f"/{plain[name].rpartition('/')[2]}".startswith(f"/{words[0]}"))[:most]
    )
