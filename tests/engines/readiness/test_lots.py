"""Which lot goes into which room, whether it carries them, and what it holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.goods import LotUse, NewDate
from crewjobs.domain.house import Room, Stairs
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Lot, OrderLine
from crewjobs.domain.outline import Outline
from crewjobs.domain.tasks import Driver, Phase, Scope, ScopeKind
from crewjobs.domain.units import FOOT
from crewjobs.domain.waits import WaitState
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.holds import HoldKind, cannot_be_planned, holds, known_instants
from crewjobs.engines.readiness.lots import cover_of, lot_groups, place_ft2
from tests.builders import central, link, material, record, task

PLANK = material()
CAME = central("2026-03-02", "10:00")
READY = CAME + timedelta(hours=48)
ORDER = OrderLine(material=PLANK.name, cartons=26, ordered=date(2026, 2, 20), due=CAME)
LIVING = task(2, "lay", needs_material=PLANK.name)
HALL = task(3, "lay", needs_material=PLANK.name, scope=Scope(kind=ScopeKind.ROOM, name="hall"))


def lot(name: str, cartons: int, **facts) -> Lot:
    return Lot(material=PLANK.name, name=name, cartons=cartons, arrived_at=CAME, moved_in_at=CAME, **facts)


def use(name: str, *rooms: str, because: str = "") -> LotUse:
    return LotUse(material=PLANK.name, lot=name, rooms=rooms, because=because)


def room(name: str, length: int, width: int) -> Room:
    return Room(name=name, outline=Outline.rectangle(length * FOOT, width * FOOT), floor=PLANK.name)


def house(lots: Sequence[Lot], uses: Sequence[LotUse] = (), new: Sequence[NewDate] = ()) -> JobRecord:
    """A living room of 420 ft² and a hall of 100 ft²."""
    of_plank = Scope(kind=ScopeKind.MATERIAL, name=PLANK.name)
    carry = task(1, "carry in", phase=Phase.HOUSE, unit=Driver.CARTONS, scope=of_plank, done_at=CAME)
    links = [link(1, 2, 48, "acclimating"), link(1, 3, 48, "acclimating")]
    base = record([carry, LIVING, HALL], links, materials=[PLANK], orders=[ORDER], lots=lots)
    job = replace(base.job, rooms=(room("living", 28, 15), room("hall", 20, 5)))
    return replace(base, job=job, lot_uses=tuple(uses), new_dates=tuple(new))


def held(house: JobRecord, at=READY) -> dict[int, list[str]]:
    """What material and lots hold, by task."""
    kinds = (HoldKind.MATERIAL, HoldKind.LOT)
    return {t.number: [h.what for h in holds(house, t, at) if h.kind in kinds] for t in (LIVING, HALL)}


A, B = lot("A", 24), lot("B", 2)


def test_two_lots_hold_until_the_lead_says_which_goes_where():
    """Acclimated and all here, the rooms still wait for the lead's word; with it they go on."""
    asked = ["two lots of harbor plank: say which rooms each goes into"]
    assert held(house([A, B])) == {2: asked, 3: asked}
    assert cannot_be_planned(house([A, B]), READY) == {2: asked[0], 3: asked[0]}
    assert held(house([A, B], [use("A")])) == {2: [], 3: []}
    assert cannot_be_planned(house([A, B], [use("A")]), READY) == {}


def test_a_single_lot_needs_no_word():
    """All 26 cartons of one lot: nothing is asked."""
    assert held(house([lot("A", 26)])) == {2: [], 3: []}


def test_a_room_waits_only_for_its_own_lot():
    """Lot B came in a day later: the hall waits for it, the living room does not."""
    late = replace(lot("B", 5), moved_in_at=CAME + timedelta(days=1))
    split = house([lot("A", 21), late], [use("A", "living"), use("B", "hall")])
    assert held(split) == {2: [], 3: ["lot B of harbor plank acclimates 48 h"]}
    assert {fact.at for fact in known_instants(split, READY)[3]} == {READY + timedelta(days=1)}
    assert 2 not in known_instants(split, READY)


def test_a_room_left_out_is_asked_for():
    """A word that leaves the hall out holds the hall alone."""
    assert held(house([A, B], [use("A", "living")])) == {2: [], 3: ["harbor plank: say which lot goes into hall"]}


def test_rooms_go_on_when_their_lot_covers_them_although_cartons_are_missing():
    """24 of 26 cartons are here: with the word they cover 520 ft² and nothing waits for the rest, without it all do."""
    assert held(house([A])) == {2: ["24 of 26 cartons of harbor plank have come, and it is late"]} | {
        3: ["24 of 26 cartons of harbor plank have come, and it is late"]
    }
    told = house([A], [use("A")])
    assert held(told) == {2: [], 3: []}
    assert material_clock(told, PLANK, READY).state is WaitState.READY
    assert cannot_be_planned(told, READY) == {}


def test_cartons_that_do_not_cover_hold_unless_the_lead_gave_a_reason():
    """21 cartons cover 500 of 520 ft²: held with what is short; said with a reason they are laid."""
    (words,) = held(house([lot("A", 21)], [use("A")]))[2]
    assert words.startswith("lot A of harbor plank: 21 cartons can be laid, its rooms take 22")
    assert held(house([lot("A", 21)], [use("A", because="closet stays carpet")])) == {2: [], 3: []}


def test_damaged_cartons_are_missing():
    """26 came and 3 cannot be laid: 23 of 26, and the new date for the rest is what the plan goes by."""
    hurt = [lot("A", 26, damaged=3, checked_at=CAME)]
    assert "23 of 26 cartons of harbor plank have come (3 more came damaged)" in held(house(hurt))[2][0]
    due = READY + timedelta(days=3)
    new = house(hurt, new=[NewDate(line=PLANK.name, at=CAME, due=due)])
    assert {fact.at for fact in known_instants(new, READY)[2]} == {due, due + timedelta(hours=48)}


def test_a_color_that_differs_holds_until_the_lead_decides_with_a_reason():
    """The word alone is not enough, the reason is."""
    off = [lot("A", 26, color_differs=True, checked_at=CAME)]
    asked = ["lot A of harbor plank differs in color from the signed sample: the lead decides, with a reason"]
    assert held(house(off))[2] == asked
    assert held(house(off, [use("A")]))[2] == asked
    assert held(house(off, [use("A", because="customer looked and takes it")]))[2] == []


def test_a_late_truck_has_a_new_date_by_the_suppliers_word():
    """Late by its order, due by the latest word, without a date where nobody can say."""
    now = CAME + timedelta(hours=1)
    assert material_clock(house([]), PLANK, now).state is WaitState.LATE
    new = NewDate(line=PLANK.name, at=now, due=now + timedelta(days=5))
    clock = material_clock(house([], new=[new]), PLANK, now)
    assert (clock.state, clock.due) == (WaitState.DUE, new.due)
    open_end = house([], new=[replace(new, due=None)])
    assert cannot_be_planned(open_end, now)[2] == "harbor plank is back-ordered without a delivery date"


def test_planks_of_a_special_order_wait_for_the_deposit():
    """Not placed and no deposit in: hold and plan name the deposit; placed, they do not ask for it."""
    base = house([])
    special = replace(ORDER, ordered=None, due=None, special=True)
    waiting = replace(base, job=replace(base.job, orders=(special,)))
    assert held(waiting)[2] == ["harbor plank is not ordered: the deposit releases it"]
    assert cannot_be_planned(waiting, READY)[2] == "harbor plank is not ordered: the deposit releases it"
    assert not material_clock(base, PLANK, READY).needs_deposit


def test_stairs_count_by_the_step():
    """Ten steps of the same plank are 45 ft² beside the rooms' 520. 4.5 ft² a step: common practice, no source."""
    base = house([A]).job
    job = replace(base, stairs=(Stairs(name="main stairs", steps=10, floor=PLANK.name),))
    assert place_ft2(job, ("living", "hall", "main stairs")) == pytest.approx(565)


def test_24_cartons_cover_571_square_feet():
    """24 cartons of 23.8 ft² are 571.2 ft²; 520 ft² of rooms leave 51.2 ft² for cuts. Source: the arithmetic itself."""
    told = house([A, B], [use("A")])
    (group,) = lot_groups(told, PLANK)
    cover = cover_of(told, group, READY)
    assert (cover.covers_ft2, cover.needs_ft2) == (pytest.approx(571.2), pytest.approx(520))
    assert cover.spare_ft2 == pytest.approx(51.2)


LOTS = st.lists(
    st.tuples(st.integers(1, 30), st.integers(0, 5), st.integers(-30, 60), st.booleans()), min_size=1, max_size=3
)


@given(
    lots=LOTS,
    living=st.sampled_from(("", "A", "B", "C")),
    hall=st.sampled_from(("", "A", "B", "C")),
    reason=st.sampled_from(("", "said so")),
    now=st.integers(-40, 120),
)
def test_a_laying_task_starts_exactly_when_its_own_lot_is_here_whole_enough_and_acclimated(
    lots, living, hall, reason, now
):
    """With a word said for its room a task is free if and only if its own lot has come, covers, and lay 48 hours."""
    at = CAME + timedelta(hours=now)
    made = [
        Lot(
            material=PLANK.name,
            name=name,
            cartons=cartons,
            arrived_at=CAME + timedelta(hours=hour),
            moved_in_at=CAME + timedelta(hours=hour) if inside else None,
            damaged=min(damaged, cartons),
        )
        for name, (cartons, damaged, hour, inside) in zip("ABC", lots, strict=False)
    ]
    rooms: dict[str, list[str]] = {}
    for place, name in (("living", living), ("hall", hall)):
        if name:
            rooms.setdefault(name, []).append(place)
    told = house(made, [use(name, *places, because=reason) for name, places in rooms.items()])
    if not living:
        return
    mine = next((one for one in made if one.name == living), None)
    needs = place_ft2(told.job, rooms[living])
    free = (
        mine is not None
        and mine.arrived_at <= at
        and mine.usable > 0
        and (mine.usable * PLANK.carton_ft2 >= needs - 0.05 or bool(reason))
        and mine.moved_in_at is not None
        and mine.moved_in_at + timedelta(hours=48) <= at
    )
    assert (not held(told, at)[2]) == free
