"""Changes of level."""

from __future__ import annotations

import pytest

from crewjobs.engines.heights.levels import Edge, level_change


@pytest.mark.parametrize(
    ("height", "edge", "vertical", "run"),
    [
        (0, Edge.LEVEL, 0, 0),
        (1 / 4, Edge.PLAIN, 1 / 4, 0),  # ADA 303.2
        (3 / 8, Edge.BEVEL, 1 / 4, 1 / 4),  # 303.3: 1/8 in at 1:2
        (1 / 2, Edge.BEVEL, 1 / 4, 1 / 2),
        (9 / 16, Edge.RAMP, 0, 6.75),  # 303.4, 405: 1:12
        (-3 / 8, Edge.BEVEL, 1 / 4, 1 / 4),
    ],
)
def test_published_limits(height: float, edge: Edge, vertical: float, run: float) -> None:
    """2010 ADA Standards 303 (303.2 in secondary texts, 303.3 and 303.4 read); the runs derived from their slopes."""
    found = level_change(height)
    assert (found.edge, found.vertical, found.run) == (edge, pytest.approx(vertical), pytest.approx(run))
