"""What goes back to a supplier, by area: 520 ft² of rooms in cartons of 23.8 ft² take 22 cartons (520 / 23.8 = 21.85)."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from crewjobs.domain.goods import WentBack
from crewjobs.domain.job import JobRecord
from crewjobs.engines.readiness.returns import to_go_back
from tests.engines.readiness.test_lots import CAME, HALL, LIVING, PLANK, READY, house, lot, use

LAID = READY + timedelta(hours=9)
LATER = LAID + timedelta(hours=1)


def laid(record: JobRecord) -> JobRecord:
    """Both rooms are laid."""
    done = [replace(task, started_at=READY, done_at=LAID) for task in (LIVING, HALL)]
    return replace(record, tasks=(record.tasks[0], *done))


def checked(name: str, cartons: int, damaged: int = 0, *, differs: bool = False):
    return replace(lot(name, cartons), checked_at=CAME, damaged=damaged, color_differs=differs)


def test_nothing_is_left_over_before_the_floors_are_laid():
    """26 cartons of one lot: before the last row none goes back, after it 26 − 22 − 1 that stays = 3."""
    whole = laid(house([lot("A", 26)]))
    before = to_go_back(whole, PLANK, READY)
    assert (before.laid, before.left_over, before.kept, before.still) == (False, 0, 0, 0)
    after = to_go_back(whole, PLANK, LATER)
    assert (after.laid, after.left_over, after.kept, after.still, after.most) == (True, 3, 1, 3, 4)


def test_damaged_cartons_go_back_at_once_and_are_not_left_over():
    """Two of 26 damaged: they go back from the check on; laid, 24 − 22 − 1 = 1 more."""
    hurt = laid(house([checked("A", 26, damaged=2)]))
    assert to_go_back(hurt, PLANK, READY).still == 2
    after = to_go_back(hurt, PLANK, LATER)
    assert (after.damaged, after.left_over, after.still) == ((("A", 2),), 1, 3)


def test_a_lot_that_went_nowhere_goes_back_whole():
    """24 of lot A go into the rooms, two of lot B nowhere: A leaves 24 − 22 = 2, B two, one of the four stays."""
    odd = laid(house([lot("A", 24), lot("B", 2)], [use("A")]))
    assert to_go_back(odd, PLANK, LATER).left_over == 3


def test_each_lot_is_cut_on_its_own():
    """420 ft² from A take 18 cartons, 100 ft² from B five: 19 and 6 leave one of each, of which one stays."""
    split = laid(house([lot("A", 19), lot("B", 6)], [use("A", "living"), use("B", "hall")]))
    found = to_go_back(split, PLANK, LATER)
    assert (found.left_over, found.kept) == (1, 1)


def test_another_color_goes_back_unless_it_is_laid():
    """A lot that differs from the signed sample goes back at once; said to be laid all the same, it does not."""
    other = house([checked("A", 24), checked("B", 2, differs=True)], [use("A")])
    assert to_go_back(other, PLANK, READY).off_color == (("B", 2),)
    kept = house([checked("A", 24), checked("B", 2, differs=True)], [use("A", "living"), use("B", "hall")])
    assert to_go_back(kept, PLANK, READY).off_color == ()


def test_the_last_full_carton_stays():
    """23 cartons leave one by area: it stays, nothing goes back."""
    found = to_go_back(laid(house([lot("A", 23)])), PLANK, LATER)
    assert (found.left_over, found.kept, found.still) == (0, 1, 0)


def test_what_went_back_is_taken_off():
    """Of three, two went back: one is still to go; the one that stays could go too, no more than that."""
    record = laid(house([lot("A", 26)]))
    gone = replace(record, went_back=(WentBack(material=PLANK.name, count=2, at=LATER),))
    found = to_go_back(gone, PLANK, LATER)
    assert (found.still, found.most) == (1, 2)
