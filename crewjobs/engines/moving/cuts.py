"""What was found not to fit, kept so that it is not tried again: combinatorial Benders cuts.

Named after J.-F. Côté, M. Haouari and M. Iori, "Combinatorial Benders decomposition for the two-dimensional bin packing
problem", INFORMS Journal on Computing 33 (2021): a plan is made by floor area alone, every place is then asked whether its
rectangles really stand, and a smallest set of pieces that does not is forbidden from then on.

A cut has rows of kinds, each with a number: it is broken where every row counts at least so many pieces in a place. One without
rows is always broken: a place through which nobody gets even when it is empty.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """Pieces that do not stand together: `rows` has the shape (rows, kinds) and holds 0 or 1, `least` a number a row."""

    rows: Ints
    least: Ints

    def broken(self, counts: Ints) -> bool:
        """Return whether so many of each kind do not stand together."""
        return bool((self.rows @ counts >= self.least).all())

    def closed_to(self, counts: Ints) -> Flags:
        """Return for each kind whether one more would not stand with so many of each."""
        closed: Flags = np.all((self.rows @ counts)[:, None] + self.rows >= self.least[:, None], axis=0)
        return closed


class Cuts:
    """The cuts of a house by place: those that always hold, and those that hold while the crew walks through."""

    def __init__(self) -> None:
        self._always: dict[int, list[Cut]] = {}
        self._walked: dict[int, list[Cut]] = {}
        self.count = 0
        """How many were added."""

    def add(self, place: int, cut: Cut, *, walked: bool) -> None:
        """Forbid a set in a place, or only while the crew walks through it."""
        self.count += 1
        (self._walked if walked else self._always).setdefault(place, []).append(cut)

    def places(self) -> tuple[int, ...]:
        """Return the places that have cuts."""
        return tuple(sorted({*self._always, *self._walked}))

    def at(self, place: int, *, walked: bool) -> list[Cut]:
        """Return the cuts that hold in a place while the crew walks through it, or does not."""
        always = self._always.get(place, [])
        return [*always, *self._walked.get(place, [])] if walked else always

    def hold(self, model: Any, place: int, at: Mapping[tuple[int, int], Any], walked: Any, name: str, on: Any) -> None:
        """Hold a place's cuts in a model where it is `on`; `walked`: whether the crew walks through (a literal, True, False)."""
        for cut in self.at(place, walked=False):
            _hold(model, cut, place, at, [], name, on)
        if walked is not False:
            for cut in self._walked.get(place, []):
                _hold(model, cut, place, at, [] if walked is True else [walked.negated()], name, on)


def _hold(
    model: Any, cut: Cut, place: int, at: Mapping[tuple[int, int], Any], unless: list[Any], name: str, on: Any
) -> None:
    """Hold that some row of a cut counts fewer, or that one of `unless` is true."""
    sides = []
    for row, least in zip(cut.rows, cut.least.tolist(), strict=True):
        standing = [at[int(k), place] for k in np.nonzero(row)[0] if (int(k), place) in at]
        if not standing:
            return  # none of these can stand here at all
        sides.append(sum(standing) <= least - 1)
    if len(sides) == 1 and not unless:
        model.add(sides[0])
        return
    literals = [*unless]
    if not sides and on is not True:  # nobody gets through whatever stands there: so the stage is not
        literals.append(on.negated())
    for number, side in enumerate(sides):
        literal = model.new_bool_var(f"fits {name}.{place}.{number}")
        model.add(side).only_enforce_if(literal)
        literals.append(literal)
    model.add_bool_or(literals)
