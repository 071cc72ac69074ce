"""Wrapping by display width: what a terminal or a message really shows in so many columns."""

import unicodedata
from collections.abc import Iterator

_ZERO_WIDTH = ("Mn", "Me", "Cf")


def char_width(char: str) -> int:
    """Columns one character takes: 0 for marks and joiners, 2 for East Asian wide, else 1."""
    if unicodedata.category(char) in _ZERO_WIDTH:
        return 0
    return 2 if unicodedata.east_asian_width(char) in ("W", "F") else 1


def display_width(text: str) -> int:
    """Columns a text takes on one line."""
    return sum(char_width(char) for char in text)


def wrap(text: str, width: int, *, first: str = "", rest: str = "") -> list[str]:
    """`text` in lines of at most `width` columns, led by `first`, then by `rest`.

    Breaks at spaces, inside a word only where the word alone is too wide. Needs at least two
    columns beside the lead: one wide character. Always gives one line or more.
    """
    lines: list[str] = []
    line, room = "", width - display_width(first)
    for word in _pieces(text, width - max(display_width(first), display_width(rest))):
        joined = f"{line} {word}" if line else word
        if line and display_width(joined) > room:
            lines.append(line)
            line, room = word, width - display_width(rest)
        else:
            line = joined
    lines.append(line)
    return [f"{first if place == 0 else rest}{line}".rstrip() for place, line in enumerate(lines)]


def _pieces(text: str, room: int) -> Iterator[str]:
    """Words, those wider than the room cut to fit."""
    for word in text.split():
        piece, used = "", 0
        for char in word:
            size = char_width(char)
            if piece and used + size > room:
                yield piece
                piece, used = "", 0
            piece, used = piece + char, used + size
        yield piece
