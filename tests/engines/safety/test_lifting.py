"""The lifting equation against its own worked examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.engines.safety.lifting import LOAD_LB, Grip, Lift, recommended_weight

STOCK = Lift(reach=23, height=15, travel=49)
DISHES = {"reach": 20, "travel": 37, "turn": 30, "per_min": 5, "grip": Grip.GOOD}


@pytest.mark.parametrize(
    ("lift", "weight", "load", "index", "off"),
    [  # DHHS/NIOSH 94-110 ch. 3; results MEMORY. They come from rounded tables: exact multipliers give up to 0.4 lb less.
        (STOCK, 16.3, 44, 2.7, 0.5),  # example 1, origin
        (Lift(reach=23, height=64, travel=49), 14.5, 44, 3.0, 0.5),  # example 1, destination
        (Lift(reach=18, height=15, travel=21, turn=45), 18.9, 40, 2.1, 0.5),  # example 2, origin
        (Lift(height=44, **DISHES), 14.4, 20, 1.4, 0.2),  # example 4, origin
        (Lift(height=7, **DISHES), 13.3, 20, 1.5, 0.2),  # example 4, destination
    ],
)
def test_published_examples(lift: Lift, weight: float, load: float, index: float, off: float) -> None:
    """Recommended weight, and the load's share of it."""
    found = recommended_weight(lift)
    assert found == pytest.approx(weight, abs=off)
    assert found is not None
    assert load / found == pytest.approx(index, abs=0.15)


def test_the_ideal_lift_and_a_carton_off_the_floor() -> None:
    """51 lb where nothing takes away (94-110); a carton off the floor 28.9 lb (derived, exact multipliers)."""
    assert recommended_weight(Lift(reach=10, height=30, travel=10, grip=Grip.GOOD)) == pytest.approx(LOAD_LB)
    assert recommended_weight(Lift(reach=12, height=4, travel=26)) == pytest.approx(28.9, abs=0.1)


@pytest.mark.parametrize("beyond", [{"reach": 25.1}, {"height": 70.1}, {"turn": 135.1}, {"travel": 70.1}])
def test_beyond_its_limits_it_is_zero(beyond: dict[str, float]) -> None:
    """94-110: farther, higher, more twisted or moved farther than the equation goes."""
    lift = Lift(**{"reach": 12, "height": 30, "travel": 20, **beyond})
    assert recommended_weight(lift) == 0


def test_what_was_not_read_of_its_table_is_not_made_up() -> None:
    """Ten lifts a minute over two hours."""
    assert recommended_weight(Lift(reach=12, height=30, travel=20, per_min=10, hours=2)) is None


@given(st.floats(0, 40), st.floats(0, 80), st.floats(0, 80), st.floats(0, 180), st.sampled_from(Grip))
def test_never_more_than_51_lb(reach: float, height: float, travel: float, turn: float, grip: Grip) -> None:
    """Nor less than nothing."""
    found = recommended_weight(Lift(reach=reach, height=height, travel=travel, turn=turn, grip=grip))
    assert found is not None
    assert 0 <= found <= LOAD_LB
