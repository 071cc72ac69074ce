"""Houses so small that their best plan is worked out by hand: one rule each, at the edge where it begins to bite."""

from __future__ import annotations

import pytest

from tests.engines.moving.array_dp import best_plan
from tests.engines.moving.every_plan import least_cost
from tests.engines.moving.instances import Instance, Item, Passage, Zone, read_instance, to_dict
from tests.engines.moving.replay import replay

CARRY = 5.0  # minutes from any zone to any other, in every house here
SETUP, WAIT, NIGHT = 60, 90, 10


def _piece(home: str, *, ft2: float = 10, bed: bool = False, only: tuple[str, ...] = ()) -> dict[str, object]:
    return {"home": home, "ft2": ft2, "bed": bed, "only": only}


def _house(
    zones: dict[str, int],
    *pieces: dict[str, object],
    ways: tuple[tuple[str, str], ...] = (),
    stores: tuple[str, ...] = (),
    cures: tuple[str, ...] = (),
    precedence: tuple[tuple[str, str], ...] = (),
    beds: int = 0,
) -> Instance:
    """Return a house of zones of these areas, packed full; every zone has a door of its own unless ways are given.

    A zone `room/part` belongs to its room; parts of a room are not worked together.
    """
    return Instance(
        name="by-hand",
        description=(),
        zones={
            name: Zone(
                name=name,
                area=area,
                packing_factor=1,
                capacity_ft2=area,
                capacity_as_passage_ft2=area - 10,
                worked=name not in stores,
                room=name.split("/")[0],
                power=True,
                sleep=name not in stores,
                outdoor=False,
            )
            for name, area in zones.items()
        },
        passages=tuple(
            Passage(a=a, b=b, distance_ft=10, doors=1, steps=0)
            for a, b in (ways or tuple(("outside", name) for name in zones))
        ),
        outside="outside",
        walkway_ft2=10,
        work_sets=tuple((name,) for name in zones if name not in stores),
        precedence=precedence,
        cure_zones=cures,
        setup_min=SETUP,
        wait_min=WAIT,
        beds_needed=beds,
        items=tuple(
            Item(
                id=f"{number}",
                name="bed" if piece["bed"] else "boxes",
                home=str(piece["home"]),
                footprint_ft2=float(str(piece["ft2"])),
                weight_lb=50,
                persons=1,
                setdown_min=2,
                is_bed=bool(piece["bed"]),
                allowed=tuple(piece["only"] or zones),  # type: ignore[arg-type]
                night_cost_min=NIGHT if piece["bed"] else 0,
                move_minutes={a: {b: 0.0 if a == b else CARRY for b in zones} for a in zones},
            )
            for number, piece in enumerate(pieces)
        ),
    )


CASES: dict[str, tuple[Instance, float | None]] = {
    "out and back": (_house({"den": 80, "shed": 20}, _piece("den"), stores=("shed",)), SETUP + 2 * CARRY),
    "a store filled to its last foot": (
        _house({"den": 80, "shed": 20}, _piece("den", ft2=20), stores=("shed",)),
        SETUP + 2 * CARRY,
    ),
    "a hundredth more than the store": (
        _house({"den": 80, "shed": 20}, _piece("den", ft2=20.01), stores=("shed",)),
        None,
    ),
    "a hall filled to its walkway": (
        _house(
            {"den": 80, "hall": 30},
            _piece("den", ft2=20),
            stores=("hall",),
            ways=(("outside", "hall"), ("hall", "den")),
        ),
        SETUP + 2 * CARRY,
    ),
    "a hundredth on the walkway": (
        _house(
            {"den": 80, "hall": 30},
            _piece("den", ft2=20.01),
            stores=("hall",),
            ways=(("outside", "hall"), ("hall", "den")),
        ),
        None,
    ),
    "a hall smaller than its walkway": (
        _house({"den": 80, "hall": 9}, stores=("hall",), ways=(("outside", "hall"), ("hall", "den"))),
        None,
    ),
    "another way round a full hall": (
        _house(
            {"den": 80, "hall": 30, "porch": 12},
            _piece("den", ft2=25),
            stores=("hall", "porch"),
            ways=(("outside", "hall"), ("hall", "den"), ("outside", "porch"), ("porch", "den")),
        ),
        SETUP + 2 * CARRY,
    ),
    "the piece that stays where the floor is laid": (
        _house({"den": 80, "shed": 20}, _piece("den", only=("den",)), stores=("shed",)),
        None,
    ),
    "a bed in the other half of its room costs no night": (
        _house({"den/near": 80, "den/far": 80}, _piece("den/far", bed=True), beds=1),
        2 * SETUP + 2 * CARRY,
    ),
    "a bed in another room costs its night": (
        _house({"den": 80, "loft": 80}, _piece("den", bed=True), beds=1),
        2 * SETUP + 2 * CARRY + NIGHT,
    ),
    "a bed in a store is not slept in": (
        _house({"den": 80, "shed": 80}, _piece("den", bed=True), stores=("shed",), beds=1),
        None,
    ),
    "one of two beds is slept in, both are away from home": (
        _house(
            {"den": 80, "loft": 20, "shed": 80},
            _piece("den", bed=True),
            _piece("den", bed=True),
            stores=("shed",),
            beds=1,
        ),
        2 * SETUP + 4 * CARRY + 2 * NIGHT,
    ),
    "fresh glue is waited for": (
        # The loft's own piece may only go to the den, which cures.
        _house(
            {"den": 80, "loft": 80},
            _piece("loft", only=("den", "loft")),
            cures=("den",),
            precedence=(("den", "loft"),),
        ),
        2 * SETUP + WAIT + 2 * CARRY,
    ),
    "glue cures while another room is worked": (
        _house(
            {"den": 80, "loft": 80, "hall": 80},
            _piece("loft", only=("den", "loft")),
            cures=("den", "hall"),
            precedence=(("den", "hall"), ("hall", "loft")),
        ),
        3 * SETUP + 2 * CARRY,
    ),
    "the last glue is not waited for": (
        _house({"den": 80, "shed": 20}, _piece("den"), stores=("shed",), cures=("den",)),
        SETUP + 2 * CARRY,
    ),
    "a bed's night in the wait": (
        # It stays at home through den and wait, and is away for the loft's own night only.
        _house(
            {"den": 80, "loft": 80},
            _piece("loft", bed=True),
            cures=("den",),
            precedence=(("den", "loft"),),
            beds=1,
        ),
        2 * SETUP + WAIT + 2 * CARRY + NIGHT,
    ),
    "over-full at the start, and nobody asks": (
        _house({"den": 80, "shed": 200}, _piece("den", ft2=100), stores=("shed",)),
        SETUP + 2 * CARRY,
    ),
    "seams in a circle": (
        _house({"den": 80, "loft": 80}, precedence=(("den", "loft"), ("loft", "den"))),
        None,
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_a_house_worked_out_by_hand(case: str) -> None:
    """Oracle and enumeration give the cost worked out by hand, the plan replays at it, and no plan is said where none is."""
    house, cost = CASES[case]
    assert read_instance(to_dict(house)) == house
    assert least_cost(house, waits=2) == cost
    found = best_plan(house)
    assert (found and found[0]) == cost
    if found is not None:
        assert replay(house, found[1]) == (cost, [])
