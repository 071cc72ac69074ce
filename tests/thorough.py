"""How many made cases a test looks at: a few in every run, all of them where CREWJOBS_THOROUGH is set.

Seeds sample a space that no run covers. Every run has those that are quick and have found something; the others are for before a
release, or for whoever changes an engine.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Final, TypeVar

THOROUGH: Final = bool(os.environ.get("CREWJOBS_THOROUGH"))
Case = TypeVar("Case")


def of(every: Sequence[Case], usually: int | Sequence[Case]) -> Sequence[Case]:
    """Return all cases where it is to be thorough, else the usual ones: the first few, or those named."""
    if THOROUGH:
        return every
    return every[:usually] if isinstance(usually, int) else usually


def examples(thorough: int, usually: int) -> int:
    """Return how many examples Hypothesis draws."""
    return thorough if THOROUGH else usually


def in_fours(cases: Sequence[Case]) -> list[Sequence[Case]]:
    """Return cases four and four together, for tests in which making ready takes longer than a case."""
    return [cases[first : first + 4] for first in range(0, len(cases), 4)]
