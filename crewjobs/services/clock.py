"""The only clock, and moments as people type them."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from time import monotonic
from typing import Final, Protocol

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall, zone_of

DEMO_NOW: Final = datetime(2026, 3, 2, 12, 30, tzinfo=UTC)
"""Where a demo database's clock stands: Monday 2 March 2026, 06:30 in America/Chicago."""


FIRST_YEAR: Final = 1990
LAST_YEAR: Final = 2199
"""No job of a shop lies outside; a year beyond is a slip of the finger."""
DAY_NAMES: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
SHORTEST: Final = 3
"""Letters of a weekday that are enough."""


class Clock(Protocol):
    """Tells the instant, aware and in UTC."""

    def now(self) -> datetime:
        """Return the instant, to the whole minute."""
        ...


class SystemClock:
    """The computer's clock, in whole minutes as people type them.

    With seconds in it, what is recorded now would come after what is recorded for this minute as it is typed, and
    cartons carried in at eleven would be past an elevator booked until eleven.
    """

    def now(self) -> datetime:
        """Return the instant, to the whole minute: the one that runs."""
        return datetime.now(UTC).replace(second=0, microsecond=0)  # noqa: TID251 - this is the one place


class FixedClock:
    """A clock that stands, for the demo, for `--now` and for tests."""

    def __init__(self, at: datetime) -> None:
        self._at = at.astimezone(UTC)

    def now(self) -> datetime:
        """Return the instant it stands at."""
        return self._at


def deadline(seconds: float) -> Callable[[], bool]:
    """Return what says whether so many seconds from now are over, by the computer's own steady clock."""
    end = monotonic() + seconds
    return lambda: monotonic() >= end


_DAYS_BACK = {"today": 0, "yesterday": 1}
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})")
_RIGHT = "write 14:30, 'yesterday 16:00', 'fri 14:00' or '2026-03-06 14:30'"


def read_moment(text: str, zone: str, now: datetime) -> datetime:
    """Return a moment as typed, in the site's wall time, as an instant.

    Empty means now; a bare time is today's; a weekday is the last one that has come.

    Raises:
        Refused: not a moment, a date that does not exist, or a wall time the clock change skips.
    """
    words = text.strip().lower().replace("t", " ", 1) if re.match(r"\d{4}-", text.strip()) else text.strip().lower()
    if not words:
        return now
    today = to_wall(zone, now).date()
    day_word, _, time_word = words.rpartition(" ")
    day = _read_day(day_word.strip(), today, text)
    found = _CLOCK.fullmatch(time_word)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        raise Refused(f"{quoted(text)} is not a moment: {_RIGHT}.")
    return _instant(day, int(found[1]), int(found[2]), zone, text)


def gone_text(text: str, zone: str, now: datetime) -> str:
    """Return a moment that has come, as typed, written with its date (``2026-03-02 14:30``); empty stays empty.

    Raises:
        Refused: as `read_moment`, or it has not come.
    """
    if not text.strip():
        return ""
    moment = read_moment(text, zone, now)
    if moment > now:
        raise Refused(f"{quoted(text)} has not come yet: only what has happened is recorded.")
    return f"{to_wall(zone, moment):%Y-%m-%d %H:%M}"


def read_ahead(text: str, zone: str, now: datetime) -> datetime:
    """Return a moment to come as typed (until when, promised for), in the site's wall time, as an instant.

    A bare time is today's, a weekday the next one that comes: ``thu 7:00``, ``tomorrow 12:00``, ``2026-03-05 07:00``.

    Raises:
        Refused: not a moment, a date that does not exist, or a wall time the clock change skips.
    """
    plain = text.strip()
    words = plain.lower().replace("t", " ", 1) if re.match(r"\d{4}-", plain) else plain.lower()
    day_word, _, time_word = words.rpartition(" ")
    found = _CLOCK.fullmatch(time_word)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        raise Refused(
            f"{quoted(text)} is not a moment to come: write 'thu 7:00', 'tomorrow 12:00' or '2026-03-05 07:00'."
        )
    today = to_wall(zone, now).date()
    day = read_day(day_word.strip(), today, text) if day_word.strip() else today
    return _instant(day, int(found[1]), int(found[2]), zone, text)


def read_from(text: str, zone: str, now: datetime) -> datetime:
    """Return from when something is looked at ahead, as typed: as `read_ahead`, and empty means now.

    Raises:
        Refused: as `read_ahead`.
    """
    return read_ahead(text, zone, now) if text.strip() else now


def read_past_day(text: str, today: date) -> date:
    """Return a day that has come, as typed: empty or ``today``, ``yesterday``, a weekday (the last one), ``2026-03-02``.

    Raises:
        Refused: not a day, or a date that does not exist.
    """
    return _read_day(text.strip().lower(), today, text)


def _weekday(word: str) -> int | None:
    """Return the number of a weekday written out or short (``tue``, ``tues``), None for anything else or anything more."""
    found = (number for number, name in enumerate(DAY_NAMES) if len(word) >= SHORTEST and name.startswith(word))
    return next(found, None)


def _read_day(word: str, today: date, text: str) -> date:
    if not word:
        return today
    if word in _DAYS_BACK:
        return today - timedelta(days=_DAYS_BACK[word])
    weekday = _weekday(word)
    if weekday is not None:
        return today - timedelta(days=(today.weekday() - weekday) % 7)
    return read_day(word, today, text)


def read_gone_day(text: str, today: date) -> date:
    """Return a day on which something happened, as typed; empty means today, a weekday is the last one that has come.

    Raises:
        Refused: not a day, or a date that does not exist.
    """
    return _read_day(text.strip().lower(), today, text)


DAY_END_MIN: Final = 17 * 60
"""A day without an hour, for what somebody promised: by the end of that day."""


def read_promised(text: str, zone: str, now: datetime) -> datetime:
    """Return an instant that somebody promised, as typed: ``2026-03-18``, ``wed 10:00``, ``tomorrow``.

    A weekday is the next one that comes; without an hour it is 17:00 of that day.

    Raises:
        Refused: not a day or a moment, or one that does not exist.
    """
    if _CLOCK.fullmatch(text.strip().rpartition(" ")[2]):
        return read_ahead(text, zone, now)
    day = read_day(text, to_wall(zone, now).date())
    return _instant(day, *divmod(DAY_END_MIN, 60), zone, text)


def read_day(word: str, today: date, text: str = "") -> date:
    """Return a day as typed: ``2026-03-03``, ``today``, ``tomorrow`` or a weekday, the next one that comes.

    Raises:
        Refused: not a day, or a date that does not exist.
    """
    import pendulum
    from pendulum.parsing.exceptions import ParserError

    plain = word.strip().lower()
    if plain in ("today", "tomorrow"):
        return today + timedelta(days=plain == "tomorrow")
    weekday = _weekday(plain)
    if weekday is not None:
        return today + timedelta(days=(weekday - today.weekday()) % 7)
    try:
        parsed = pendulum.parse(plain, exact=True) if re.fullmatch(r"\d{4}-\d{2}-\d{2}", plain) else None
    except (ParserError, ValueError):
        raise Refused(f"{quoted(text or word)}: there is no such date.") from None
    if not isinstance(parsed, date):
        raise Refused(f"{quoted(text or word)} is not a day: write it as 2026-03-03, today, tomorrow or tue.")
    if not FIRST_YEAR <= parsed.year <= LAST_YEAR:
        raise Refused(f"{quoted(text or word)} is out of reach: give a day between {FIRST_YEAR} and {LAST_YEAR}.")
    return date(parsed.year, parsed.month, parsed.day)


def _instant(day: date, hour: int, minute: int, zone: str, text: str) -> datetime:
    import pendulum
    from pendulum.tz.exceptions import NonExistingTime

    zone_of(zone)
    try:
        wall = pendulum.timezone(zone).convert(
            datetime(day.year, day.month, day.day, hour, minute),  # noqa: DTZ001 - the zone is put on here
            raise_on_unknown_times=True,
        )
    except NonExistingTime:
        raise Refused(f"{quoted(text)}: the clocks skip that time in {zone} on that day.") from None
    except pendulum.tz.exceptions.AmbiguousTime:
        wall = pendulum.timezone(zone).convert(datetime(day.year, day.month, day.day, hour, minute))  # noqa: DTZ001
    return wall.astimezone(UTC)
