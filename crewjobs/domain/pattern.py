"""How the pieces of a floor lie to each other: in straight rows, in a grid, at 45 degrees, in a herringbone; boards of mixed lengths."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import StrEnum
from math import isfinite
from typing import Final

from crewjobs.domain.bounds import LONGEST_PLANK
from crewjobs.domain.units import INCH, exact_length


class Pattern(StrEnum):
    """How the pieces of a floor lie."""

    STRAIGHT = "straight"
    DIAGONAL = "diagonal"
    HERRINGBONE = "herringbone"
    GRID = "grid"
    THIRD_OFFSET = "third offset"
    DIAGONAL_GRID = "diagonal grid"


ROWS: Final = frozenset({Pattern.STRAIGHT, Pattern.DIAGONAL})
"""Patterns of rows in which a cut piece starts the next row."""
GRIDS: Final = frozenset({Pattern.GRID, Pattern.THIRD_OFFSET, Pattern.DIAGONAL_GRID})
"""Patterns of tiles, whose joints run through."""
AT_45: Final = frozenset({Pattern.DIAGONAL, Pattern.DIAGONAL_GRID})
"""Patterns whose rows run at 45 degrees to the walls."""
MOST_LENGTHS: Final = 40
"""More lengths than any bundle of boards holds."""
WHOLE: Final = 100.0
"""Shares are percents of the running length."""
OFF: Final = 1.0
"""By so much their sum may be off 100, as shares are printed rounded."""
WIDEST_JOINT: Final = INCH // 2

Lengths = tuple[tuple[int, float], ...]
"""Lengths of boards (1/4064 inch), each with its percent of the running length."""


def equal_shares(lengths: Sequence[int]) -> Lengths:
    """Return lengths that come in equal shares of the running length."""
    return tuple((length, WHOLE / len(lengths)) for length in lengths)


def lengths_faults(lengths: Lengths, width: int) -> Iterator[str]:
    """Yield what is wrong with the lengths of boards so wide."""
    if not 2 <= len(lengths) <= MOST_LENGTHS:
        yield (
            f"boards of {len(lengths)} length{'s' * (len(lengths) != 1)}: random lengths are 2 to {MOST_LENGTHS}; of one length "
            "write its size as plank instead."
        )
        return
    seen = set[int]()
    for length, share in lengths:
        if length in seen:
            yield f"boards {exact_length(length)} long are there twice: give their share once."
        seen.add(length)
        if not width <= length <= LONGEST_PLANK:
            yield (
                f"a board {exact_length(length)} long: it is no shorter than it is wide ({exact_length(width)}), "
                f"{exact_length(LONGEST_PLANK)} at most."
            )
        if not (isfinite(share) and 0 < share <= WHOLE):
            yield f"boards {exact_length(length)} long have a share of {share:g}: it is more than 0 percent, 100 at most."
    total = sum(share for _, share in lengths)
    if isfinite(total) and abs(total - WHOLE) > OFF:
        yield f"the shares of all lengths sum to {total:g} percent: they are percents of the running length and sum to 100."
