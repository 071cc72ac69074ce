"""Words every sentence of the program shares: days, moments, lists."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from datetime import date, datetime
from shlex import quote
from typing import Final

from crewjobs.domain.wall import Span, hour_words

_READ_BY_A_SHELL: Final = frozenset('"$`\\!')
"""What a shell still reads inside quotation marks."""
TAKEN_BACK: Final = "taken back: "
PUT_BACK: Final = "put back: "
"""How the log's sentences begin of what an undo did, and of an undo that was undone."""


def undone_words(what: str) -> str:
    """Return the log's sentence of taking back what another sentence says; taking back an undo puts back."""
    if what.startswith(TAKEN_BACK):
        return PUT_BACK + what.removeprefix(TAKEN_BACK)
    return TAKEN_BACK + what.removeprefix(PUT_BACK)


def act_words(what: str) -> str:
    """Return what a sentence of the log is about, be it done, taken back or put back."""
    return what.removeprefix(TAKEN_BACK).removeprefix(PUT_BACK)


def alike(text: str) -> str:
    """Return by what a name or an address is known again, whatever its case and blanks."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def day_words(day: date, near: date | None = None) -> str:
    """Return a date as ``Tue 3 Mar``, and where that is not the year of `near` with its own: ``Tue 5 Jan 2027``."""
    return f"{day:%a} {day.day} {day:%b}" if near is None or day.year == near.year else dated_words(day)


def dated_words(day: date) -> str:
    """Return a date with its year always, for sentences in which the year may be the fault."""
    return f"{day:%a} {day.day} {day:%b} {day.year}"


def days_words(first: date, last: date) -> str:
    """Return one day, or from which to which: ``Thu 26 to Fri 27 Feb``, ``Sat 28 Feb to Mon 2 Mar``."""
    if first == last:
        return day_words(last)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first:%a} {first.day} to {day_words(last)}"
    return f"{day_words(first)} to {day_words(last)}"


def moment_words(moment: datetime, near: date | None = None) -> str:
    """Return a wall time as ``Tue 3 Mar 14:00``, with its year where that is not the year of `near`.

    By a house's own clock it says so where the shop's shows another: ``Tue 3 Mar 14:00 New York time``.
    """
    return f"{day_words(moment.date(), near)} {hour_words(moment)}"


def listed(words: Sequence[str], most: int = 4, of: str = "") -> str:
    """Return ``a, b and c``; of more than `most` the rest is counted: ``a and 4 more``, with `of` ``a and 4 more rooms``."""
    if not words:
        return ""
    shown = (
        list(words)
        if len(words) <= most
        else [*words[: most - 1], f"{len(words) - most + 1} more{f' {of}' if of else ''}"]
    )
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun: ``1 visit``, ``3 visits``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def chance_words(chance: float) -> str:
    """Return a chance as ``83 %``; near its ends as over 99 or under 1 %, for nothing is sure."""
    if chance > 0.99:
        return "over 99 %"
    return "under 1 %" if chance < 0.01 else f"{chance * 100:.0f} %"


def upper(words: str) -> str:
    """Return the words with their first letter as a capital."""
    return words[:1].upper() + words[1:]


def typed(name: str) -> str:
    """Return a name as it is typed in a command: in quotation marks where it is more than one plain word.

    A shell gives back the very name: what it would read in those stands in single ones.
    """
    plain = name.isalnum() or (name.isascii() and name.replace("-", "").replace("_", "").isalnum())
    if plain and not name.startswith("-"):
        return name
    return quote(name) if _READ_BY_A_SHELL.intersection(name) else f'"{name}"'


def hours_command(crew: str, day: date, spans: Sequence[Span], *, usual: bool = False) -> str:
    """Return the command that records a crew's hours on a day; none: a day off, `usual`: as every week again."""
    hours = ",".join(f"{_typed_minute(span.start)}-{_typed_minute(span.end)}" for span in spans)
    return f"crewjobs hours {typed(crew)} {day.isoformat()} {'--usual' if usual else hours or '--off'}"


def _typed_minute(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"
