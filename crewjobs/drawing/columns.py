"""Columns that a text takes where every character has one, two or none: on a terminal, in a message."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

_ZERO_WIDTH = ("Mn", "Me", "Cf")
_MARKS = frozenset(map(chr, range(0xFDD0, 0xFDF0)))
"""Noncharacters: marks within the program that are never printed."""


@lru_cache(maxsize=4096)
def char_width(char: str) -> int:
    """Columns one character takes: 0 for marks and joiners, 2 for East Asian wide, else 1."""
    if unicodedata.category(char) in _ZERO_WIDTH or char in _MARKS:
        return 0
    return 2 if unicodedata.east_asian_width(char) in ("W", "F") else 1


def display_width(text: str) -> int:
    """Columns a text takes on one line."""
    if text.isascii():
        return len(text)
    return sum(char_width(char) for char in text)


def cut_to(text: str, columns: int) -> str:
    """Return as much of a text as fits into so many columns, with … where it was cut."""
    if display_width(text) <= columns:
        return text
    kept, used = "", 1
    for char in text:
        used += char_width(char)
        if used > columns:
            break
        kept += char
    return kept.rstrip() + "…"
