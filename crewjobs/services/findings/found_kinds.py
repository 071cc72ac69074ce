"""Findings as people say them: their kind, their place, and how many working days an answer takes."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from difflib import get_close_matches
from typing import Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.found import WHOLE_HOUSE, FoundKind
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.units import UnitSystem, format_area, quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, upper
from crewjobs.files.catalogue import finding_kinds
from crewjobs.services.clock import DAY_END_MIN

HOUSE: Final = WHOLE_HOUSE


def kinds_to_pick() -> tuple[tuple[str, str], ...]:
    """Return the kinds of findings as words to pick from, each with its name."""
    return tuple((upper(kind.key), kind.key) for kind in finding_kinds())


def words_of_kinds() -> dict[str, tuple[str, ...]]:
    """Return what people call each kind of finding, by its words to pick from."""
    return {upper(kind.key): kind.words for kind in finding_kinds()}


def area_said(area_ft2: float, units: UnitSystem) -> str:
    """Return an area of something seen as it was said: ``12 ft²``, ``1.1 m²``."""
    return f"{area_ft2:g} ft²" if units == "us" else format_area(area_ft2, units)


def read_found(catalogue: Catalogue, text: str) -> FoundKind:
    """Return the kind of finding that people's words mean.

    Raises:
        Refused: none, or more than one.
    """
    plain = " ".join(text.casefold().replace("-", " ").split())
    kinds = catalogue.findings
    exact = [kind for kind in kinds if plain == kind.key or plain in kind.words]
    found = exact or [kind for kind in kinds if any(word in plain for word in kind.words)]
    if len(found) == 1:
        return found[0]
    names = listed([kind.key for kind in kinds], most=len(kinds))
    close = get_close_matches(plain[:40], [kind.key for kind in kinds], n=1)
    meant = f" (did you mean {close[0]}?)" if close and not found else ""
    if found:
        raise Refused(f"{quoted(text)} may be {listed([kind.key for kind in found], most=4)}: say which.")
    raise Refused(f"{quoted(text)} is no kind of finding{meant}: there are {names}.")


def place_named(record: JobRecord, text: str) -> str:
    """Return a job's own name for a room, stairs or the house.

    Raises:
        Refused: the job has no such place.
    """
    wanted = " ".join(text.casefold().split())
    names = [*(room.name for room in record.job.rooms), *(flight.name for flight in record.job.stairs), HOUSE]
    found = next((name for name in names if name.casefold() == wanted), None)
    if found is None:
        raise Refused(
            f"there is no place {quoted(text)} in job {record.job.number}: there are {listed([quoted(n) for n in names], most=12)}."
        )
    return found


def first_working_day(shop: Shop, zone: str, moment: datetime) -> date:
    """Return the day an instant is on, or the next one on which the shop works where that day is over or is none."""
    wall = to_wall(zone, moment)
    day = wall.date()
    if wall.hour * 60 + wall.minute >= DAY_END_MIN or not _works(shop, day):
        return working_days_after(shop, day, 1)
    return day


def _works(shop: Shop, day: date) -> bool:
    return not any(shop.hours.days) or (bool(shop.hours.on(day)) and day not in shop.holidays)


def working_days_after(shop: Shop, day: date, count: int) -> date:
    """Return the day so many of the shop's working days after one: days with hours that are no holidays."""
    for _ in range(count):
        day += timedelta(days=1)
        while not _works(shop, day):
            day += timedelta(days=1)
    return day
