"""A logger's file: the air read every few minutes, as text with a heading and one line for each reading.

Loggers differ in all but that. What is found: the heading's line, the delimiter, which columns are time, temperature and
humidity (and the room, where one file is of several), °F or °C. Times with an offset are instants; all others are wall times of a
zone, and an hour that the clocks show twice is told apart by the order of the lines.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.reading import MOST_SAMPLES, AirSample
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import exists, zone_of
from crewjobs.files.air_table import fahrenheit
from crewjobs.files.values import shown

_PREAMBLE: Final = 40
"""Lines above the heading: the logger's name, its serial number, its settings."""
_DELIMITERS: Final = (",", ";", "\t")
_CELSIUS: Final = re.compile(r"(?:°|deg\.?|[\s_(\[,/])\s*c\b|celsius", re.IGNORECASE)
_FAHRENHEIT: Final = re.compile(r"(?:°|deg\.?|[\s_(\[,/])\s*f\b|fahrenheit", re.IGNORECASE)
_DAY: Final = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})")
_TIME: Final = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d{1,6})?)?\s*([ap]\.?m\.?)?", re.IGNORECASE)
_OFFSET: Final = re.compile(r"(z|utc|gmt|[+-]\d{2}:?\d{2})$", re.IGNORECASE)
_HEAD: Final = 'time, temperature and humidity, such as "time,temperature °F,humidity %"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """What a logger's file holds: samples by room (empty where it names none) in the order of time, how many lines were there twice, and
    whether it was written in °C.
    """

    samples: dict[str, tuple[AirSample, ...]]
    twice: int
    celsius: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    day: int | None
    time: int
    temperature: int
    humidity: int | None
    room: int | None
    celsius: bool


def read_logger(text: str, source: str, zone: str, unit: str = "") -> Logged:
    """Return what a logger's file holds.

    Args:
        text: the file.
        source: its name, for sentences.
        zone: whose wall times those without an offset are.
        unit: ``F`` or ``C`` where the heading does not say it, or says it wrong.

    Raises:
        Refused: no heading, a line that is not a reading or says otherwise than another of the same time, a time that does not exist in
            the zone, no or too many readings.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    number, delimiter, columns = _heading(lines, source, unit)
    found: dict[str, list[AirSample]] = {}
    seen: dict[tuple[str, datetime], tuple[int, AirSample]] = {}
    twice, last = 0, dict[str, datetime]()
    for offset, line in enumerate(lines[number + 1 :], start=number + 2):
        cells = _split(line, delimiter)
        if not any(cell.strip() for cell in cells):
            continue
        where = f"{source}: line {offset}"
        room = _cell(cells, columns.room).strip()
        try:
            at = _instant(cells, columns, zone, last.get(room))
            sample = _sample(cells, columns, at, decimal_comma=delimiter != ",")
        except Refused as fault:
            raise Refused(f"{where}: {fault.sentences[0]}") from None
        last[room] = at
        if (before := seen.get((room, at))) is not None:
            if before[1] != sample:
                raise Refused(
                    f"{where}: it is of the same time as line {before[0]} and says otherwise: leave in the one that is right."
                )
            twice += 1
            continue
        seen[room, at] = (offset, sample)
        found.setdefault(room, []).append(sample)
        if len(seen) > MOST_SAMPLES:
            raise Refused(f"{source}: more than {MOST_SAMPLES} readings: give the part of it that the job is about.")
    if not found:
        raise Refused(f"{source}: there is no reading under its heading.")
    return Logged(
        samples={room: tuple(sorted(taken, key=lambda one: one.at)) for room, taken in found.items()},
        twice=twice,
        celsius=columns.celsius,
    )


def _heading(lines: Sequence[str], source: str, unit: str) -> tuple[int, str, _Columns]:
    for number, line in enumerate(lines[:_PREAMBLE]):
        for delimiter in _DELIMITERS:
            names = [name.strip() for name in _split(line, delimiter)]
            columns = _columns(names, source, unit) if len(names) > 1 else None
            if columns is not None:
                return number, delimiter, columns
    raise Refused(f"{source}: no line in it names its columns: {_HEAD}.")


def _split(line: str, delimiter: str) -> list[str]:
    """Return the cells of one line; a reading never goes over two."""
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:  # a cell longer than anybody's
        return []


def _columns(names: Sequence[str], source: str, unit: str) -> _Columns | None:
    """Return which columns are which, None where this is no heading.

    Raises:
        Refused: it is the heading, and nothing says whether it is °F or °C.
    """
    day = _named(names, "date", "day")
    time = _named(names, "time", "date", "timestamp")
    temperature = _named(names, "temp", "°f", "°c", "fahrenheit", "celsius", but="dew")
    if time is None or temperature is None:
        return None
    name = names[temperature]
    says = unit.upper().strip("° ") or ("C" if _CELSIUS.search(name) else "F" if _FAHRENHEIT.search(name) else "")
    if says not in ("C", "F"):
        raise Refused(f"{source}: {quoted(name)} does not say whether it is °F or °C: give --unit F or --unit C.")
    return _Columns(
        day=day if day != time else None,
        time=time,
        temperature=temperature,
        humidity=_named(names, "humid", "rh", "%"),
        room=_named(names, "room", "place", "location"),
        celsius=says == "C",
    )


def _named(names: Sequence[str], *parts: str, but: str = "") -> int | None:
    for part in parts:
        for number, name in enumerate(names):
            plain = name.casefold()
            if part in plain and not (but and but in plain):
                return number
    return None


def _cell(cells: Sequence[str], column: int | None) -> str:
    return cells[column] if column is not None and column < len(cells) else ""


def _sample(cells: Sequence[str], columns: _Columns, at: datetime, *, decimal_comma: bool) -> AirSample:
    temperature = _number(_cell(cells, columns.temperature), "temperature", decimal_comma)
    humid = _cell(cells, columns.humidity).strip()
    return AirSample(
        at=at,
        temp_f=fahrenheit(temperature) if columns.celsius else temperature,
        rh=_number(humid, "humidity", decimal_comma) if humid else None,
    )


def _number(text: str, what: str, decimal_comma: bool) -> float:
    plain = text.strip().removesuffix("%").rstrip("°FCfc ").strip()
    try:
        return float(plain.replace(",", ".") if decimal_comma else plain)
    except ValueError:
        raise Refused(f"{shown(text)} is no {what}: leave out lines that are no readings.") from None


def _instant(cells: Sequence[str], columns: _Columns, zone: str, last: datetime | None) -> datetime:
    text = " ".join(filter(None, (_cell(cells, columns.day).strip(), _cell(cells, columns.time).strip())))
    offset = _OFFSET.search(text)
    plain = text[: offset.start()].strip() if offset else text
    wall = _wall(plain.replace("T", " "), text)
    if offset:
        return _with_offset(wall, offset[1])
    if not exists(zone, wall.date(), wall.hour * 60 + wall.minute):
        raise Refused(
            f"{quoted(text)} does not exist in {zone}, where the clocks skip it: a logger that does not change with them "
            "is read with its own zone, such as --zone Etc/GMT+6."
        )
    placed = wall.replace(tzinfo=zone_of(zone))
    first, second = (placed.replace(fold=fold).astimezone(UTC) for fold in (0, 1))
    return (
        second if last is not None and first < last <= second else first
    )  # the hour that is there twice, the second time


def _with_offset(wall: datetime, offset: str) -> datetime:
    if offset[0] not in "+-":
        return wall.replace(tzinfo=UTC)
    minutes = 60 * int(offset[1:3]) + int(offset[-2:])
    return (wall - timedelta(minutes=minutes if offset[0] == "+" else -minutes)).replace(tzinfo=UTC)


def _wall(plain: str, text: str) -> datetime:
    """Return a wall time as loggers write it: year first, or month first with slashes, or day first with dots."""
    day, time = _DAY.search(plain), _TIME.search(plain)
    right = "write such as 2026-03-06 14:00, 3/6/2026 2:00 PM or 06.03.2026 14:00"
    if day is None or time is None:
        raise Refused(f"{quoted(text)} is no time of a reading: {right}.")
    first, sign, middle, end = day[1], day[2], day[3], day[4]
    if len(first) == 4:
        year, month, number = int(first), int(middle), int(end)
    elif sign == ".":
        year, month, number = int(end), int(middle), int(first)
    else:
        year, month, number = int(end), int(first), int(middle)
    hour = int(time[1])
    if time[4]:
        if not 1 <= hour <= 12:
            raise Refused(f"{quoted(text)} is no time of a reading: {right}.")
        hour = hour % 12 + 12 * (time[4][0].lower() == "p")
    try:
        return datetime(year + 2000 * (year < 100), month, number, hour, int(time[2]), int(time[3] or 0))  # noqa: DTZ001
    except ValueError:
        raise Refused(f"{quoted(text)}: there is no such time; {right}.") from None


def gaps(samples: Sequence[AirSample], longest: timedelta) -> Iterator[tuple[datetime, datetime]]:
    """Yield from when to when nothing was read for longer than a span."""
    for before, after in pairwise(samples):
        if after.at - before.at > longest:
            yield before.at, after.at
