"""Real fit on the floor: what is said to stand overlaps nothing, and published packings are found."""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest

from crewjobs.engines.moving import fitting
from crewjobs.engines.moving.fitting import Fits, FloorPlan, Rect, Standing, stand

SQUARED_RECTANGLE = (18, 15, 14, 10, 9, 8, 7, 4, 1)
"""Nine squares of different sizes that fill 32 by 33 without a gap: Z. Moron, Przeglad Mat. Fiz. 3 (1925)."""


def _stands(floor: FloorPlan, pieces: list[tuple[int, int]], found: Standing) -> None:
    """Hold a standing: inside, nothing over anything, each piece its size or turned, one walkway free."""
    assert len(found.at) == len(pieces)
    for rect, (width, depth) in zip(found.at, pieces, strict=True):
        assert sorted((rect.width, rect.depth)) == sorted((width + width % 2, depth + depth % 2))
        assert rect.x >= 0
        assert rect.y >= 0
        assert rect.x + rect.width <= floor.width
        assert rect.y + rect.depth <= floor.depth
    free = floor.walkways[found.walkway] if floor.walkways else ()
    everything = [*found.at, *floor.blocked]
    assert not any(a.overlaps(b) for a, b in combinations(found.at, 2))
    assert not any(rect.overlaps(other) for rect in found.at for other in (*floor.blocked, *free))
    assert everything


@pytest.mark.parametrize("seed", range(60))
def test_what_stands_overlaps_nothing(seed: int) -> None:
    """Rooms with a chimney and walkways, filled more or less: whatever is said to fit really stands."""
    random = Random(seed)
    floor = FloorPlan(
        width=random.randint(80, 160),
        depth=random.randint(80, 160),
        blocked=(Rect(0, 0, random.randint(10, 30), random.randint(10, 30)),),
        walkways=((Rect(34, 0, 32, 80),), (Rect(40, 30, 32, 40), Rect(40, 30, 40, 32))) if seed % 2 else (),
    )
    pieces = [(random.randint(12, 80), random.randint(12, 40)) for _ in range(random.randint(3, 9))]
    found = stand(floor, pieces, effort=0.5)
    if found.fits is Fits.YES:
        _stands(floor, pieces, found)


def test_a_published_packing_without_a_gap_is_found() -> None:
    """The squared rectangle of 1925, two inches a unit, is packed; with one row less it is known not to fit."""
    pieces = [(2 * side, 2 * side) for side in SQUARED_RECTANGLE]
    floor = FloorPlan(width=64, depth=66)
    found = stand(floor, pieces, effort=60)
    assert found.fits is Fits.YES
    _stands(floor, pieces, found)
    assert stand(FloorPlan(width=64, depth=64), pieces).fits is Fits.NO


def test_length_not_area_keeps_a_rug_out() -> None:
    """A rug of 96 inches does not fit a strip of 40 by 90, whatever its area; in one of 40 by 96 it does."""
    assert stand(FloorPlan(width=40, depth=90), [(96, 30)]).fits is Fits.NO
    assert stand(FloorPlan(width=40, depth=96), [(96, 30)]).fits is Fits.YES


def test_a_walkway_takes_floor() -> None:
    """Two pieces that fill a strip fit as long as nobody has to walk through it."""
    pieces = [(40, 40), (40, 40)]
    assert stand(FloorPlan(width=40, depth=80), pieces).fits is Fits.YES
    walked = FloorPlan(width=40, depth=80, walkways=((Rect(0, 0, 32, 80),),))
    assert stand(walked, pieces).fits is Fits.NO


def test_without_the_solver_what_is_not_found_is_undecided(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver is not installed a tight floor is undecided, and an easy one fits."""
    monkeypatch.setattr(fitting, "available", lambda: False)
    pieces = [(2 * side, 2 * side) for side in SQUARED_RECTANGLE]
    assert stand(FloorPlan(width=64, depth=66), pieces).fits is Fits.UNDECIDED
    assert stand(FloorPlan(width=100, depth=100), [(30, 20), (40, 40)]).fits is Fits.YES
