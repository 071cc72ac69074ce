"""Values of a file's tables as one line of a form, and back. What is typed and cannot be a value stays text: the file's reader says so."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted, with_point
from crewjobs.files.toml_text import assignments
from crewjobs.services.clock import read_day, read_gone_day
from crewjobs.services.rates.rate_units import POUND_KG


class Kind(StrEnum):
    """How a line is read."""

    TEXT = "text"
    WHOLE = "whole number"
    NUMBER = "number"
    WEIGHT = "weight"
    FLAG = "yes or no"
    CHOICE = "one of several"
    TICKS = "some of several"
    ZONE = "time zone"
    DAY = "day"
    GONE_DAY = "day that has come"
    MOMENT = "moment"
    DAYS = "days"
    HOURS = "hours by weekday"
    NAMES = "names"
    PEOPLE = "people with their cards"
    LAYERS = "layers of a floor"
    COUNTS = "things with their count"
    FURNITURE = "furniture"
    POINTS = "corner points"
    LENGTHS = "lengths"
    WHOLES = "whole numbers"
    PARTS = "sections with their length"
    REST = "keys of the file"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What words are read with: the day it is, the sections of the room in hand, its furniture so far."""

    today: date
    sections: Sequence[str] = ()
    furniture: Sequence[object] = ()


def value_of(kind: Kind, text: str, reading: Reading) -> object:
    """Return what a line stands for in its table, None for a line that leaves its key out.

    Raises:
        Refused: it cannot be read; most other faults are left to the reader of the tables.
    """
    if not text.strip():
        return None
    return _READ[kind](text.strip(), reading)


def text_of(kind: Kind, value: object) -> str:
    """Return a value of a table as its line; empty for None."""
    return "" if value is None else _WRITE.get(kind, str)(value)


def _whole(text: str, _: Reading) -> object:
    return int(text) if re.fullmatch(r"-?\d{1,18}", text, re.ASCII) else text


def _number(text: str, reading: Reading) -> object:
    # One comma before one or two digits is a decimal point, as it is before a unit; 1,500 is not read as one and a half.
    text = re.sub(r"^(\d{1,12}),(\d{1,2})$", r"\1.\2", text, flags=re.ASCII)
    return float(text) if re.fullmatch(r"\d{1,12}\.\d{1,12}", text, re.ASCII) else _whole(text, reading)


_WEIGHT: Final = re.compile(r"(\d{1,6}(?:\.\d{1,6})?)\s*(lbs?|kg)\.?", re.ASCII | re.IGNORECASE)


def _weight(text: str, reading: Reading) -> object:
    """Return pounds from ``32``, ``32 lb`` or ``14.5 kg``."""
    found = _WEIGHT.fullmatch(with_point(text))
    if found is None:
        return _number(text, reading)
    return round(float(found[1]) / (POUND_KG if found[2].casefold() == "kg" else 1), 2)


def _items(text: str) -> list[str]:
    """Return what stands between commas or semicolons, without what is empty."""
    return [item.strip() for item in re.split(r"[,;\n]", text) if item.strip()]


_APART: Final = re.compile(r"[;\n]|(?<!\d),|,(?!\d)", re.ASCII)
"""Where lengths stand in a list it is parted like `_items`, but a comma between two digits is a decimal one: ``2,5 m``."""


def with_lengths(text: str) -> list[str]:
    """Return what stands between commas or semicolons of a list with lengths in it, without what is empty."""
    return [item.strip() for item in _APART.split(text) if item.strip()]


def section_names(text: str) -> list[str]:
    """Return the names of the sections a line cuts a room into: of ``window half: 2,5 m, door half`` both halves."""
    names = (item.partition(":")[0].strip() for item in with_lengths(text))
    return [name for name in names if name]


def _names(text: str, _: Reading) -> object:
    return _items(text)


def _day(text: str, reading: Reading) -> object:
    return read_day(text, reading.today)


def _gone_day(text: str, reading: Reading) -> object:
    return read_gone_day(text, reading.today)


_RUN: Final = re.compile(r"(.+?)\s+(?:to|-|–)\s+(.+)")


_REGION: Final = re.compile(r"[A-Z]{2}(?:-[A-Z0-9]{1,3})?", re.ASCII)
"""A country, or a part of one, as ISO 3166 writes them: ``US``, ``US-TX``."""


def holidays_of(region: str, today: date) -> list[date]:
    """Return the public holidays of a region from today to the end of next year.

    Raises:
        Refused: none are known of it.
    """
    from holidays import country_holidays  # tables of many countries: loaded only where one is asked for

    country, _, part = region.partition("-")
    try:
        found = country_holidays(country, subdiv=part or None, years=(today.year, today.year + 1))
    except NotImplementedError:
        raise Refused(
            f"no holidays are known of {quoted(region)}: write such as US, US-TX, CA-ON or DE, or the days."
        ) from None
    return sorted(day for day in found if day >= today)


def _days(text: str, reading: Reading) -> object:
    days: list[object] = []
    for item in _items(text):
        if _REGION.fullmatch(item):
            days += holidays_of(item, reading.today)
            continue
        run = _RUN.fullmatch(item)
        if run:
            days.append(" to ".join(read_day(word, reading.today).isoformat() for word in run.groups()))
        else:
            days.append(read_day(item, reading.today))
    return days


def _days_text(value: Any) -> str:
    return ", ".join(item.isoformat() if isinstance(item, date) else str(item) for item in value)


def _moment(text: str, reading: Reading) -> object:
    day, _, hour = text.rpartition(" ")
    if not day:
        raise Refused(f"{quoted(text)} is not a moment: write such as tue 8:00 or 2026-03-06 14:00.")
    return f"{read_day(day, reading.today).isoformat()} {hour}{'' if ':' in hour else ':00'}"


def _moment_text(value: object) -> str:
    return f"{value:%Y-%m-%d %H:%M}" if isinstance(value, datetime) else str(value)


_DAYS_WORD: Final = re.compile(r"([A-Za-z]+(?:\s*(?:-|–|to)\s*[A-Za-z]+)?)[\s:=]+(.*)", re.DOTALL)


_DAYS_APART: Final = re.compile(r";|,(?=\s*(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\b)", re.IGNORECASE)
"""Days are parted by ``;``, or by a comma where the next day follows: ``mon-fri 7-16, sat 8-12``."""


def _hours(text: str, _: Reading) -> object:
    hours: dict[str, str] = {}
    for item in (part.strip() for part in _DAYS_APART.split(text)):
        if not item:
            continue
        found = _DAYS_WORD.fullmatch(item)
        if found is None:
            raise Refused(
                f"{quoted(item)}: days come first, then hours, such as mon-fri 7:00-12:00, 12:30-15:30; sat 8:00-12:00."
            )
        days = re.sub(r"\s*(?:-|–|\bto\b)\s*", "-", found[1])
        if days in hours:
            raise Refused(f"{days} is given twice: name each day once.")
        hours[days] = found[2].strip()
    return hours


def _hours_text(value: Any) -> str:
    return "; ".join(f"{days} {spans}" for days, spans in value.items())


_PERSON: Final = re.compile(r"([^()]*)\(([^()]*)\)")


def _people(text: str, _: Reading) -> object:
    people: list[object] = []
    for item in re.split(r"[,;\n](?![^()]*\))", text):
        found = _PERSON.fullmatch(item.strip())
        if not item.strip():
            continue
        if item.count("(") != item.count(")"):  # a card would be lost as part of a name
            raise Refused(
                f"{quoted(item.strip())}: open and close the bracket behind the name, such as Maeve Ostrow (lead-safe renovator)."
            )
        if found is None:
            people.append(item.strip())
            continue
        words = [word.strip() for word in found[2].split(",") if word.strip()]
        cards = [word for word in words if word.casefold() != "lead"]
        table: dict[str, object] = {"name": found[1].strip()}
        if len(cards) < len(words):
            table["lead"] = True
        if cards:
            table["cards"] = cards
        people.append(table)
    return people


def _people_text(value: Any) -> str:
    return ", ".join(_person_text(one) for one in value)


def _person_text(one: Any) -> str:
    if not isinstance(one, Mapping):
        return str(one)
    words = [*(["lead"] if one.get("lead") else []), *one.get("cards", ())]
    return f"{one['name']} ({', '.join(words)})" if words else str(one["name"])


_LAYER: Final = re.compile(r"(.*?)(?:\s+(\d{4}))?(?:\s+(\d[\d\s.,/]*\s*(?:in|mm|cm|\"|″)))?", re.ASCII)


def _layers(text: str, _: Reading) -> object:
    layers: list[object] = []
    for item in with_lengths(text):
        found = _LAYER.fullmatch(item)
        if found is None or not (found[2] or found[3]):
            layers.append(item)
            continue
        layer: dict[str, object] = {"covering": found[1].strip()}
        if found[2]:
            layer["year"] = int(found[2])
        if found[3]:
            layer["thickness"] = found[3].strip()
        layers.append(layer)
    return layers


def _layers_text(value: Any) -> str:
    return ", ".join(
        " ".join(str(one[key]) for key in ("covering", "year", "thickness") if key in one)
        if isinstance(one, Mapping)
        else str(one)
        for one in value
    )


_COUNTED: Final = re.compile(r"(?:(\d{1,30})\s*[x×]?\s+)?(.+)", re.ASCII)


def _counts(text: str, _: Reading) -> object:
    counts: dict[str, object] = {}
    for item in _items(text):
        found = _COUNTED.fullmatch(item)
        name = found[2].strip() if found else item
        if name in counts:
            raise Refused(f"{quoted(name)} is there twice: give its count instead, such as 2 {name}.")
        counts[name] = int(found[1]) if found and found[1] else 1
    return counts


def _counts_text(value: Any) -> str:
    return ", ".join(name if count == 1 else f"{count} {name}" for name, count in value.items())


def _furniture(text: str, reading: Reading) -> object:
    from crewjobs.files.furniture_table import PieceTable, piece_data, pieces_of
    from crewjobs.files.furniture_text import read_furniture
    from crewjobs.files.job_keys import job_converter
    from crewjobs.services.moving.furnishing import known_of

    try:
        before = pieces_of([job_converter().structure(item, PieceTable) for item in reading.furniture])
    except (ExceptionGroup, Refused):
        before = ()
    return [piece_data(known_of(before, piece)) for piece in read_furniture(text, reading.sections)]


def _furniture_text(value: Any) -> str:
    from crewjobs.files.furniture_table import PieceTable, pieces_of
    from crewjobs.files.furniture_text import furniture_words
    from crewjobs.files.job_keys import job_converter

    return furniture_words(pieces_of([job_converter().structure(item, PieceTable) for item in value]))


def _points(text: str, _: Reading) -> object:
    points = [_point(point) for point in text.split(";") if point.strip()]
    if any(len(point) != 2 for point in points):
        raise Refused(
            "a corner is two lengths, to the right and down, corners apart by ;: 0, 0; 12', 0; 12', 9' 6; 0, 9' 6."
        )
    return points


def _point(text: str) -> list[str]:
    plain = [length.strip() for length in text.split(",")]
    return plain if len(plain) == 2 else with_lengths(text)


def _points_text(value: Any) -> str:
    return "; ".join(", ".join(str(length) for length in point) for point in value)


def _wholes(text: str, reading: Reading) -> object:
    return [_whole(item, reading) for item in _items(text)]


def _parts(text: str, _: Reading) -> object:
    parts: list[object] = []
    for item in with_lengths(text):
        name, _colon, length = item.partition(":")
        parts.append({"name": name.strip(), **({"length": length.strip()} if length.strip() else {})})
    return parts


def _parts_text(value: Any) -> str:
    return ", ".join(f"{one['name']}: {one['length']}" if "length" in one else str(one["name"]) for one in value)


def _rest(text: str, _: Reading) -> object:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError):
        raise Refused('write one key = value a line, as in a job file, such as joists = "along".') from None


def _rest_text(value: Any) -> str:
    return "\n".join(assignments(value))


def _joined(value: Any) -> str:
    return ", ".join(str(item) for item in value)


_READ: Final[dict[Kind, Callable[[str, Reading], object]]] = {
    Kind.TEXT: lambda text, _: text,
    Kind.CHOICE: lambda text, _: text,
    Kind.ZONE: lambda text, _: text,
    Kind.WHOLE: _whole,
    Kind.NUMBER: _number,
    Kind.WEIGHT: _weight,
    Kind.FLAG: lambda text, _: text == "yes" if text in ("yes", "no") else text,
    Kind.TICKS: _names,
    Kind.DAY: _day,
    Kind.GONE_DAY: _gone_day,
    Kind.DAYS: _days,
    Kind.MOMENT: _moment,
    Kind.HOURS: _hours,
    Kind.NAMES: _names,
    Kind.PEOPLE: _people,
    Kind.LAYERS: _layers,
    Kind.COUNTS: _counts,
    Kind.FURNITURE: _furniture,
    Kind.POINTS: _points,
    Kind.LENGTHS: _names,
    Kind.WHOLES: _wholes,
    Kind.PARTS: _parts,
    Kind.REST: _rest,
}
_WRITE: Final[dict[Kind, Callable[[Any], str]]] = {
    Kind.WEIGHT: lambda value: f"{value} lb",
    Kind.FLAG: lambda value: "yes" if value else "no",
    Kind.TICKS: _joined,
    Kind.DAYS: _days_text,
    Kind.MOMENT: _moment_text,
    Kind.HOURS: _hours_text,
    Kind.NAMES: _joined,
    Kind.PEOPLE: _people_text,
    Kind.LAYERS: _layers_text,
    Kind.COUNTS: _counts_text,
    Kind.FURNITURE: _furniture_text,
    Kind.POINTS: _points_text,
    Kind.LENGTHS: _joined,
    Kind.WHOLES: _joined,
    Kind.PARTS: _parts_text,
    Kind.REST: _rest_text,
}
