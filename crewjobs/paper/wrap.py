"""Wrapping by display width: what a terminal or a message really shows in so many columns."""

from collections.abc import Iterator

from crewjobs.drawing.columns import char_width as char_width
from crewjobs.drawing.columns import display_width as display_width
from crewjobs.paper.directions import with_its_number
from crewjobs.paper.measures import NO_BREAK, kept_whole


def wrap(text: str, width: int, *, first: str = "", rest: str = "") -> list[str]:
    """`text` in lines of at most `width` columns, led by `first`, then by `rest`.

    Breaks at spaces, inside a word only where the word alone is too wide; not within a measure, nor before a number in
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
        f"{first if place == 0 else rest}{line}".replace(NO_BREAK, " ").rstrip() for place, line in enumerate(lines)
    ]


def _pieces(text: str, room: int) -> Iterator[str]:
    """Words, those wider than the room cut to fit; what would be kept whole is cut at its spaces first."""
    words = kept_whole(with_its_number(" ".join(text.split()))).split(" ") if text.strip() else []
    for word in [part for one in words for part in (one.split(NO_BREAK) if display_width(one) > room else [one])]:
        piece, used = "", 0
        for char in word:
            size = char_width(char)
            if piece and used + size > room:
                yield piece
                piece, used = "", 0
            piece, used = piece + char, used + size
        yield piece
