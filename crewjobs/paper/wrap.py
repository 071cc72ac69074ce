"""Wrapping by display width: what a terminal or a message really shows in so many columns."""

from collections.abc import Iterator

from crewjobs.drawing.columns import char_width as char_width
from crewjobs.drawing.columns import display_width as display_width
from crewjobs.paper.directions import with_its_number


def wrap(text: str, width: int, *, first: str = "", rest: str = "") -> list[str]:
    """`text` in lines of at most `width` columns, led by `first`, then by `rest`.

    Breaks at spaces, inside a word only where the word alone is too wide; not before a number in
    what was typed as one and is read from right to left: alone on a line it numbers nothing. Needs at
    least two columns beside the lead: one wide character. Always gives one line or more.
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
    return [
        f"{first if place == 0 else rest}{line}".replace("\u00a0", " ").rstrip() for place, line in enumerate(lines)
    ]


def _pieces(text: str, room: int) -> Iterator[str]:
    """Words, those wider than the room cut to fit."""
    for word in with_its_number(" ".join(text.split())).split(" ") if text.strip() else ():
        piece, used = "", 0
        for char in word:
            size = char_width(char)
            if piece and used + size > room:
                yield piece
                piece, used = "", 0
            piece, used = piece + char, used + size
        yield piece
