"""A reader's sentence as it is meant in a form, where nothing is put in quotes or brackets and no key is spelled."""

from __future__ import annotations

import re
from typing import Final

_SAID: Final[tuple[tuple[str, str], ...]] = (
    (r": put it in quotes with its unit, such as", ": write it with its unit, such as"),
    (r"write it in quotes with its unit", "write it with its unit"),
    (r"\b((?:mon|tue|wed|thu|fri|sat|sun)[a-z-]*) = \"([^\"]*)\"", r"\1 \2"),
    (r"is not a whole number\.$", "is not a whole number: write its digits."),
    (r"is not a number\.$", "is not a number: write its digits."),
    (r"^shop: \w+ (\S+) is not ", r"'\1' is not "),
    (r'which = "by the window"', "by the window"),
    (r" in quotes, such as", ", such as"),
    (r"add a \[\[room\]\] with name, length and width", "add a room"),
    (
        r"(?i)walls are one for each of the two sides, .* along each room's corners",
        "write one wall for each of the two sides, From first, such as 2, 0, counted along each room's corners",
    ),
    (
        r"(?i)offsets are one for each of the two sides, .*",
        "write one length for each of the two sides, From first, such as 2', 0.",
    ),
    (r"use an IANA name such as", "type a city, and take what is listed, such as"),
    (r"there is no material ('.*') in this job", r"there is no floor \1 in this job"),
    (r"write it such as", "write such as"),
    (r'give it a strip, such as transition = "([^"]*)"', r"pick a strip as its transition, such as \1"),
    (r"such as \"([^\"]*)\" or \"([^\"]*)\"", r"such as \1 or \2"),
    (r"such as \"([^\"]*)\"", r"such as \1"),
)
"""What is said of a file, and what is said in its place."""


def plainly(words: str) -> str:
    """Return a sentence of the reader of files in the words of a form."""
    for said, meant in _SAID:
        words = re.sub(said, meant, words)
    return words


def begun(words: str) -> str:
    """Return a sentence with a capital, but for a unit that has none."""
    return words if words.startswith("pH ") else words[:1].upper() + words[1:]
