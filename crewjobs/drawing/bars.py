"""Bars of characters that screens and commands share: an estimate over the hours it took, and a rate's band on one scale.

What a bar means is told by its character and its word, never by a color.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import ceil, floor, log2
from typing import Final, NamedTuple

ESTIMATED: Final = "░"
TOOK: Final = "█"
BAND: Final = "━"
OWN: Final = "◆"
BOOK: Final = "┊"
BEYOND: Final = ("‹", "›")
"""Where a band goes on beyond the scale."""
LONGEST: Final = 24
"""Characters of the longest bar."""
BESIDE: Final = "    estimated   000.0 h"
"""What stands beside a bar and its name."""
LEAST: Final = 10
"""A bar shorter than that says little: names get lines of their own then."""
WIDEST: Final = 3
"""Doublings to each side that a scale shows at most."""


class Compared(NamedTuple):
    """Minutes of one person as estimated and as they were, under a name; the name may be empty."""

    name: str
    estimated_min: float
    took_min: float


class BarLine(NamedTuple):
    """One line: a name (once for the two bars of it, or alone on its line), what the bar is, the bar, its hours."""

    name: str
    what: str
    bar: str
    hours: str

    @property
    def text(self) -> str:
        """Return the whole line."""
        return "  ".join(
            part for part in (self.name, f"{self.what}  {self.bar} {self.hours}" if self.what else "") if part
        )


def compared_bars(rows: Iterable[Compared], columns: int, most_min: float | None = None) -> Iterator[BarLine]:
    """Yield two bars for each row, the estimate over the hours, all on one scale.

    Args:
        rows: what is compared.
        columns: how wide a line may be.
        most_min: minutes of the longest bar; of the rows' longest by default.
    """
    known = list(rows)
    most = most_min or max((max(one.estimated_min, one.took_min) for one in known), default=1.0)
    wide = max((len(one.name) for one in known), default=0)
    above = bool(wide) and columns - wide - len(BESIDE) < LEAST
    if above:
        wide = 0
    longest = max(1, min(LONGEST, columns - wide - len(BESIDE)))
    for one in known:
        if above:
            yield BarLine(one.name, "", "", "")
        for first, what, minutes in ((True, "estimated", one.estimated_min), (False, "took", one.took_min)):
            bar = (ESTIMATED if first else TOOK) * max(1, round(longest * minutes / most))
            name = one.name if first and not above else ""
            yield BarLine(f"{name:<{wide}}", f"{what:<9}", f"{bar:<{longest}}", f"{minutes / 60:5.1f} h")


class Scale(NamedTuple):
    """How many times the book's pace stand at both ends of a scale that doubles in equal steps."""

    low: float
    high: float

    def place(self, pace: float, columns: int) -> int:
        """Return the column of a pace, which may lie beyond the ends."""
        return round(log2(pace / self.low) / log2(self.high / self.low) * (columns - 1))


def scale_of(paces: Iterable[float]) -> Scale:
    """Return the scale on which all these paces and the book's stand, in whole doublings, at most three to a side."""
    every = list(paces)
    low = floor(log2(min(every, default=1.0)) + 1e-9)
    high = ceil(log2(max(every, default=1.0)) - 1e-9)
    return Scale(2.0 ** max(-WIDEST, min(-1, low)), 2.0 ** min(WIDEST, max(1, high)))


def scale_words(scale: Scale, columns: int) -> str:
    """Return the line above bands: ``¼       ½       book      2×``."""
    cells = [" "] * columns
    fractions = {0.125: "⅛", 0.25: "¼", 0.5: "½"}
    pace = scale.low
    while pace <= scale.high:
        word = "book" if pace == 1 else fractions.get(pace, f"{pace:.0f}×")
        start = min(max(scale.place(pace, columns) - len(word) // 2, 0), columns - len(word))
        if all(cell == " " for cell in cells[max(start - 1, 0) : start + len(word) + 1]):
            cells[start : start + len(word)] = word
        pace *= 2
    return "".join(cells)


def band_bar(slow: float, pace: float, quick: float, scale: Scale, columns: int) -> str:
    """Return a rate's band: ``  ━━━━◆━━━┊━  ``, slower to the left; ``┊`` is the book's pace.

    Args:
        slow, pace, quick: times the book's pace, the lower end of the band, the rate, the upper end.
        scale: what stands at both ends.
        columns: how wide it is, ends included.
    """
    cells = [" "] * columns
    left, right = scale.place(slow, columns), scale.place(quick, columns)
    for place in range(max(left, 0), min(right, columns - 1) + 1):
        cells[place] = BAND
    cells[scale.place(1.0, columns)] = BOOK
    if left < 0:
        cells[0] = BEYOND[0]
    if right >= columns:
        cells[-1] = BEYOND[1]
    cells[min(max(scale.place(pace, columns), 0), columns - 1)] = OWN
    return "".join(cells)
