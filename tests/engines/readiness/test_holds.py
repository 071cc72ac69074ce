"""Why a task may not start."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from crewjobs.domain.goods import LotUse
from crewjobs.domain.material import FloorKind, Lot, OrderLine
from crewjobs.domain.tasks import Driver, Phase, Scope, ScopeKind
from crewjobs.engines.readiness.holds import HoldKind, cannot_be_planned, holds, known_instants
from tests.builders import central, link, material, record, task, utc

PLANK = material()
CARRIED = central("2026-03-06", "14:00")
ORDER = OrderLine(material=PLANK.name, cartons=22, ordered=date(2026, 2, 20), due=CARRIED)
LOT = Lot(material=PLANK.name, name="A", cartons=22, arrived_at=CARRIED, moved_in_at=CARRIED)
OF_PLANK = Scope(kind=ScopeKind.MATERIAL, name=PLANK.name)
CARRY = task(1, "carry in", phase=Phase.HOUSE, unit=Driver.CARTONS, scope=OF_PLANK)
LAY = task(2, "lay", needs_material=PLANK.name)


def house(lots=(LOT,), orders=(ORDER,), carried=True):
    first = task(
        1, "carry in", phase=Phase.HOUSE, unit=Driver.CARTONS, scope=OF_PLANK, done_at=CARRIED if carried else None
    )
    return record([first, LAY], [link(1, 2, 48, "acclimating")], materials=[PLANK], orders=orders, lots=lots)


def test_laying_before_the_planks_are_acclimated_is_held_until_the_instant():
    """One minute early there is exactly one hold, it names the instant; at the instant there is none."""
    ready = central("2026-03-08", "15:00")
    early = holds(house(), LAY, ready - timedelta(minutes=1))
    assert [(hold.kind, hold.until) for hold in early] == [(HoldKind.MATERIAL, ready)]
    assert holds(house(), LAY, ready) == ()


def test_each_lot_runs_its_own_clock():
    """A second lot carried in later holds the floor laid of both, although the carry-in was ticked with the first."""
    second = Lot(
        material=PLANK.name, name="B", cartons=2, arrived_at=CARRIED, moved_in_at=CARRIED + timedelta(hours=20)
    )
    first = Lot(material=PLANK.name, name="A", cartons=20, arrived_at=CARRIED, moved_in_at=CARRIED)
    both = tuple(LotUse(material=PLANK.name, lot=name, because="one run on two trucks") for name in "AB")
    found = holds(replace(house(lots=(first, second)), lot_uses=both), LAY, CARRIED + timedelta(hours=50))
    assert [hold.until for hold in found] == [CARRIED + timedelta(hours=68)]


def test_what_is_missing_is_named():
    """Not ordered, not all here, not in the rooms: each is its own hold without an end by itself."""
    none = holds(house(lots=(), orders=(), carried=False), LAY, CARRIED)
    assert none[0].what == "harbor plank is not ordered"
    assert none[0].until is None
    part = Lot(material=PLANK.name, name="A", cartons=20, arrived_at=CARRIED, moved_in_at=CARRIED)
    assert "20 of 22 cartons" in holds(house(lots=(part,)), LAY, CARRIED + timedelta(days=4))[0].what
    outside = Lot(material=PLANK.name, name="A", cartons=22, arrived_at=CARRIED)
    assert "not in the rooms" in holds(house(lots=(outside,), carried=False), LAY, CARRIED + timedelta(days=4))[0].what


def test_an_unfinished_task_before_it_holds():
    """A predecessor that is not done holds, one that is not needed does not."""
    lay = task(2, "lay")
    open_before = record([task(1, "prime"), lay], [link(1, 2)])
    assert [(hold.kind, hold.task) for hold in holds(open_before, lay, utc(2026, 3, 2))] == [(HoldKind.BEFORE, 1)]


def test_a_tick_for_yesterday_is_judged_by_yesterday():
    """What was done after the moment asked about does not count at that moment."""
    lay = task(2, "lay")
    poured = utc(2026, 3, 2, 12)
    later = record([task(1, "prime", done_at=poured), lay], [link(1, 2)])
    assert holds(later, lay, poured - timedelta(minutes=1)) != ()
    assert holds(later, lay, poured) == ()


def test_wood_waits_for_its_reading_and_then_for_nothing():
    """Past the planned days the reading still holds; with the reading ticked early the clock no longer does."""
    oak = material("oak", FloorKind.SOLID_WOOD, hours=120)
    order = OrderLine(material="oak", cartons=5, ordered=date(2026, 2, 1))
    came = Lot(material="oak", name="A", cartons=5, arrived_at=CARRIED, moved_in_at=CARRIED)
    of_oak = Scope(kind=ScopeKind.MATERIAL, name="oak")
    carry = task(1, "carry in", phase=Phase.HOUSE, unit=Driver.CARTONS, scope=of_oak, done_at=CARRIED)
    lay = task(3, "nail", needs_material="oak")

    def wood(read_at):
        reading = task(2, "reading", phase=Phase.ACCLIMATE, scope=of_oak, done_at=read_at)
        links = [link(1, 2), link(2, 3), link(1, 3, 120, "acclimating")]
        return record([carry, reading, lay], links, materials=[oak], orders=[order], lots=[came])

    past = CARRIED + timedelta(days=9)
    assert [hold.task for hold in holds(wood(None), lay, past)] == [2]
    early = CARRIED + timedelta(days=2)
    assert holds(wood(early), lay, early) == ()


def test_the_planner_sees_the_same_instants():
    """What holds with an end is what the planner plans from; what has no date is what it cannot plan."""
    running = house()
    assert {fact.at for fact in known_instants(running, CARRIED + timedelta(hours=1))[2]} == {
        central("2026-03-08", "15:00")
    }
    late = house(lots=(), carried=False)
    assert "new delivery date" in cannot_be_planned(late, CARRIED + timedelta(hours=1))[1]
    assert cannot_be_planned(late, CARRIED - timedelta(hours=1)) == {}
    assert {fact.at for fact in known_instants(late, CARRIED - timedelta(hours=1))[1]} == {CARRIED}


def test_cartons_are_counted_when_they_have_come():
    """Counting waits for the truck like carrying in does, and is planned from the same instant."""
    count = task(1, "count", phase=Phase.ACCLIMATE, scope=OF_PLANK, unit=Driver.CARTONS)
    due = record([count], materials=[PLANK], orders=[ORDER])
    before = CARRIED - timedelta(hours=1)
    assert [hold.what for hold in holds(due, count, before)] == ["0 of 22 cartons of harbor plank have come"]
    assert {fact.at for fact in known_instants(due, before)[1]} == {CARRIED}


def test_every_instant_the_planner_sees_says_what_it_is():
    """A running lot, a running cure and a due truck each come with words, never with an instant alone."""
    poured = task(3, "pour", done_at=CARRIED)
    base = house()
    running = record(
        [*base.tasks, poured, task(4, "cover")],
        [*base.links, link(3, 4, 24, "leveler cures")],
        materials=[PLANK],
        orders=[ORDER],
        lots=[LOT],
    )
    late = house(lots=(), carried=False)
    facts = [f for facts in known_instants(running, CARRIED + timedelta(hours=1)).values() for f in facts]
    facts += [f for facts in known_instants(late, CARRIED - timedelta(hours=1)).values() for f in facts]
    assert len(facts) >= 4
    assert all(fact.reason.split(" (")[0].strip() for fact in facts), facts
