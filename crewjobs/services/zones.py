"""Time zones by any part of their name."""

from __future__ import annotations

from functools import lru_cache
from zoneinfo import available_timezones

_NO_PLACES = ("Etc/", "posix/", "right/", "SystemV/")


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
