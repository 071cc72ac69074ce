"""Which column of a list is what of a job: guessed from the words of the heading, said by the person, or kept from the last list."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.files.values import nearest, plain_word

NOT_TAKEN: Final = ""
"""What a column is that is left alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """Something of a job that a column may hold: its name, what it is, and the words that headings use for it.

    `joins` is what stands between the cells where several columns are one (street and town), empty where there is only one.
    """

    name: str
    says: str
    words: tuple[str, ...]
    joins: str = ""


FIELDS: Final = (
    Field(
        name="customer",
        says="who pays",
        words=(
            "customer",
            "client",
            "customer name",
            "client name",
            "name",
            "homeowner",
            "owner",
            "contact",
            "last name",
            "first name",
        ),
        joins=" ",
    ),
    Field(
        name="address",
        says="where the floor is",
        words=(
            "address",
            "site",
            "site address",
            "job address",
            "street",
            "street address",
            "location",
            "city",
            "town",
            "zip",
            "postcode",
        ),
        joins=", ",
    ),
    Field(
        name="title",
        says="what the job is called; the customer's name where there is none",
        words=("title", "job", "job name", "project", "project name", "description", "work", "scope", "what"),
    ),
    Field(
        name="phone",
        says="the customer's phone",
        words=("phone", "telephone", "tel", "mobile", "cell", "cell phone", "phone number"),
    ),
    Field(name="mail", says="the customer's mail", words=("mail", "email", "e mail", "email address", "mail address")),
    Field(name="state", says="asked, quoted or booked", words=("state", "status", "stage")),
    Field(
        name="wished",
        says="the day the start is wished for",
        words=("wished", "wished start", "start", "start date", "requested", "requested date", "from"),
    ),
    Field(
        name="promised",
        says="the day it is promised to be done by",
        words=(
            "promised",
            "due",
            "due date",
            "deadline",
            "end",
            "end date",
            "finish",
            "finish by",
            "promised finish",
            "completion",
        ),
    ),
    Field(
        name="year_built",
        says="the year the house was built",
        words=("year built", "built", "year of house", "house built"),
    ),
    Field(
        name="drive_min",
        says="minutes from the shop to the house",
        words=("drive", "drive min", "drive minutes", "drive time"),
    ),
    Field(name="parking", says="where the truck stands", words=("parking",)),
    Field(name="pets", says="animals in the house", words=("pets", "pet", "animals")),
    Field(name="key_with", says="who has the key", words=("key", "key with", "key holder", "keys")),
)
BY_NAME: Final[Mapping[str, Field]] = {field.name: field for field in FIELDS}
NEEDED: Final = ("customer", "address")


def known_words(cells: Sequence[str]) -> int:
    """Return how many cells of a line name a column of a list of jobs."""
    return sum(bool(cell) and _guess(cell) != NOT_TAKEN for cell in cells)


def guessed(columns: Sequence[str]) -> tuple[str, ...]:
    """Return what each column is by its name; of two that could be the same the one whose word stands first, unless they are joined."""
    names = [_guess(column) for column in columns]
    best: dict[str, int] = {}
    for place, name in enumerate(names):
        if name and (name not in best or _rank(name, columns[place]) < _rank(name, columns[best[name]])):
            best[name] = place
    return tuple(
        name if name and (best[name] == place or _goes_on(name, columns[place])) else NOT_TAKEN
        for place, name in enumerate(names)
    )


_AREA: Final = re.compile(
    r"\b(area|sq\.? ?ft|square (feet|foot|met(er|re)s?)|ft2|ft²|m2|m²|sf|sqm)\b|ft²|m²", re.IGNORECASE
)


def tells_area(column: str) -> bool:
    """Return whether a column seems to hold the area of a floor."""
    return _AREA.search(column) is not None


def _plain(column: str) -> str:
    """Return the words of a column's name without its unit in brackets and its signs."""
    return plain_word(re.sub(r"[^\w\s]+", " ", re.sub(r"\(.*?\)|\[.*?\]", " ", column)))


def _guess(column: str) -> str:
    plain = _plain(column)
    return next((field.name for field in FIELDS if plain in field.words or plain_word(field.name) == plain), NOT_TAKEN)


_PARTS: Final = frozenset({"last name", "first name", "city", "town", "zip", "postcode"})
"""Words of a column that is only a part of what it is, beside another."""


def _rank(name: str, column: str) -> int:
    """Return how far down the words of a field a column's name stands."""
    plain, words = _plain(column), BY_NAME[name].words
    return words.index(plain) if plain in words else 0


def _goes_on(name: str, column: str) -> bool:
    return bool(BY_NAME[name].joins) and _plain(column) in _PARTS


def mapped(columns: Sequence[str], start: Sequence[str], words: Sequence[str]) -> tuple[str, ...]:
    """Return what each column is once a person has said ``Client=customer`` of some; ``Client=`` leaves a column alone.

    Raises:
        Refused: no such column or field, or a field said of two columns that cannot be joined.
    """
    found = list(start)
    said: dict[int, str] = {}
    faults: list[str] = []
    for word in words:
        column, sign, name = word.rpartition("=")
        place = _place(columns, column)
        wanted = plain_word(name).replace(" ", "_")
        if not sign:
            faults.append(
                f'{quoted(word)} maps nothing: write the column, =, and what it is, such as "Client=customer".'
            )
        elif place is None:
            near = nearest(column, list(columns))
            hint = (
                f"did you mean {quoted(near)}?" if near else f"it has {', '.join(quoted(one) for one in columns[:20])}."
            )
            faults.append(f"the list has no column {quoted(column)}; {hint}")
        elif wanted and wanted not in BY_NAME:
            near = nearest(name, list(BY_NAME))
            hint = f"did you mean {quoted(near)}?" if near else f"it is one of {', '.join(BY_NAME)}."
            faults.append(f"column {quoted(column)}: {quoted(name)} is nothing a list gives; {hint}")
        else:
            said[place] = wanted
    for place, name in said.items():
        for other, known in enumerate(found):
            if name and known == name and other not in said and not BY_NAME[name].joins:
                found[other] = NOT_TAKEN  # what was only guessed gives way to what was said
        found[place] = name
    faults += _twice(columns, found)
    if faults:
        raise Refused(faults)
    return tuple(found)


def _place(columns: Sequence[str], column: str) -> int | None:
    plain = " ".join(column.split()).casefold()
    return next((place for place, name in enumerate(columns) if name.casefold() == plain), None)


def _twice(columns: Sequence[str], found: Sequence[str]) -> list[str]:
    faults = []
    for name in dict.fromkeys(filter(None, found)):
        places = [columns[place] for place, known in enumerate(found) if known == name]
        if len(places) > 1 and not BY_NAME[name].joins:
            faults.append(f"{name} is said of {' and '.join(quoted(one) for one in places)}: of one column only.")
    return faults


def missing(found: Sequence[str]) -> list[str]:
    """Return a sentence for everything a list must give and no column of it does."""
    return [
        f"no column says {BY_NAME[name].says}: say which one is the {name}." for name in NEEDED if name not in found
    ]
