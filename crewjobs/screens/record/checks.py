"""What a line of a form must be, looked at before anything is asked of the office: so every fault is said, each at its line.

Only the writing is looked at here, in no house's zone: whether a moment has come, or a crew exists, the office says.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.amounts import read_credit
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import parse_length, quoted
from crewjobs.screens.widgets.field import count_in, whole
from crewjobs.services import clock
from crewjobs.services.forms.kept_days import How
from crewjobs.services.wording import read_line

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem

_DAY: Final = date(2026, 3, 2)
_NOON: Final = datetime(2026, 3, 2, 12, tzinfo=UTC)
"""Some day: whether a line is a day or a moment does not hang on which day it is read."""
_ZONE: Final = "UTC"


def line(text: str) -> None:
    """Refuse what is too long for a line that is kept."""
    try:
        read_line(text, "this")
    except Refused as refused:
        raise Refused(refused.sentences[0].rpartition(": ")[2]) from None


def whatever(_text: str) -> None:
    """Refuse nothing: a path, or a list that the office takes apart."""


def moment(text: str) -> None:
    """Refuse what is no moment of today or before."""
    clock.read_moment(text, _ZONE, _NOON)


def ahead(text: str) -> None:
    """Refuse what is no moment to come."""
    clock.read_ahead(text, _ZONE, _NOON)


def promised(text: str) -> None:
    """Refuse what nobody can promise: no day, with or without an hour."""
    clock.read_promised(text, _ZONE, _NOON)


def day(text: str) -> None:
    """Refuse what is no day to come."""
    clock.read_day(text, _DAY)


def any_day(text: str) -> None:
    """Refuse what is no day, gone or to come."""
    clock.read_gone_day(text, _DAY)


def amount(text: str) -> None:
    """Refuse what is no amount of money, or credit."""
    read_credit(text)


def number(text: str) -> None:
    """Refuse what is no whole number."""
    if whole(text) is None:
        raise Refused(f"{quoted(text)} is not a whole number: write one such as 2.")


def count(text: str) -> None:
    """Refuse what is no count of cartons, or of metres off a roll."""
    if count_in(text, "m") is None:
        raise Refused(f"{quoted(text)} is not a count: write a whole number.")


def numbers(text: str) -> None:
    """Refuse what is not tasks' numbers."""
    if any(whole(word) is None for word in text.replace(",", " ").replace("#", " ").split()):
        raise Refused(f"{quoted(text)}: write the tasks' numbers, such as 12, 13.")


def year(text: str) -> None:
    """Refuse what is no year a layer can have gone in."""
    if not re.fullmatch(r"[0-9]{4}", text):
        raise Refused(f"{quoted(text)} is not a year: write the year a layer went in, such as 1962.")


def area(text: str) -> None:
    """Refuse what is no area."""
    from crewjobs.services.typed_values import read_area

    read_area(text)


def length(text: str) -> None:
    """Refuse what is no length."""
    parse_length(text)


def how_far(text: str) -> None:
    """Refuse what does not say how far something is."""
    from crewjobs.files.evening_text import read_how_far

    read_how_far(text)


def day_hours(text: str) -> None:
    """Refuse what is no hours of a day."""
    from crewjobs.services.people.day_hours import read_day_hours

    read_day_hours(text)


HOW: Final[Mapping[Callable[[str], None], How]] = {
    moment: How.MOMENT,
    ahead: How.AHEAD,
    promised: How.PROMISED,
    day: How.DAY,
    any_day: How.GONE_DAY,
}
"""How a line is read in which a day or an hour stands."""


def reading(kind: str, values: list[str], hours: str, units: UnitSystem) -> list[str]:
    """Return what is wrong with the values and the hours of a reading, each sentence behind its line's key."""
    from crewjobs.services.readings.reading_values import read_hours, read_values

    faults = []
    for key, read in (
        ("values", lambda: read_values(kind, values, units)),
        ("hours", lambda: read_hours(kind, hours)),
    ):
        try:
            read()
        except Refused as refused:
            faults += [f"{key}: {sentence}" for sentence in refused.sentences]
    return faults
