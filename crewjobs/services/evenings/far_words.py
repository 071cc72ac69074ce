"""How far a task is, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.domain.evening import HowFar


def far_words(said: HowFar) -> str:
    """Return how far in words: ``rows 1–9 of 19``, ``90 of 185 ft²``, ``12 of 19 steps``, ``50 %``."""
    if said.unit == "%":
        return f"{said.done:g} %"
    if said.unit == "rows" and said.done >= 1:
        first = "row 1" if said.done == 1 else f"rows 1–{said.done:g}"
        return f"{first} of {said.whole:g}"
    return f"{said.done:g} of {said.whole:g} {said.unit}"


def left_words(said: HowFar) -> str:
    """Return what is left in words: ``10 of 19 rows left``, ``50 % left``."""
    if said.unit == "%":
        return f"{100 - said.done:g} % left"
    return f"{said.whole - said.done:g} of {said.whole:g} {said.unit} left"
