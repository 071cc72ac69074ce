"""Taking changes back, and what keeps one from being taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, event

from crewjobs.domain.errors import Refused
from crewjobs.domain.material import Lot
from crewjobs.domain.plan import Pin
from crewjobs.storage import open_database
from tests import thorough
from tests.builders import task
from tests.storage import strategies as any_of
from tests.storage.actions import NOW, add, change, house, job, latest, log, planned, shop, tick, title, undo


def test_undo_writes_the_old_values_back_as_a_new_change(database):
    """After an undo the job is as it was, its version has risen, and the log holds one change more."""
    add(database)
    before = job(database)
    change(database, tick(2), "task 2 done")
    taken = undo(database)
    assert job(database) == replace(before, version=3)
    assert (taken.undone, taken.change, taken.what, taken.job) == (2, 3, "task 2 done", 1)
    assert log(database) == [(1, "added", None), (2, "task 2 done", 3), (3, "taken back: task 2 done", None)]


def test_what_is_put_back_stands_in_the_log_as_that(database):
    """Taken back, put back, taken back again: each says it of the act itself, not of one another."""
    add(database)
    change(database, tick(2), "task 2 done")
    for number in (2, 3, 4):
        with database.unit_of_work(who="") as uow:
            uow.undo(number, at=NOW)
    assert [what for _, what, _ in log(database)][2:] == [
        "taken back: task 2 done",
        "put back: task 2 done",
        "taken back: task 2 done",
    ]


def test_undo_again_walks_further_back(database):
    """Undo repeated takes back one earlier change after the other, and says when there is none left."""
    add(database)
    states = [job(database)]
    for words in ("blue", "red"):
        change(database, title(words))
        states.append(job(database))
    for state in (states[1], states[0]):
        undo(database)
        assert job(database).job == state.job
    undo(database)
    with database.reading() as uow:
        assert uow.job_numbers() == ()
    with pytest.raises(Refused, match="nothing to take back"):
        undo(database)


def test_undo_of_an_undo_does_it_again(database):
    """Taking an undo back brings the first change again, and it can be taken back once more."""
    add(database)
    change(database, tick(2))
    done = job(database).tasks
    first = undo(database)
    undo(database, first.change)
    assert job(database).tasks == done
    assert [undone for _, _, undone in log(database)] == [None, None, 4, None]
    assert undo(database).undone == 2


def test_an_added_job_comes_back_whole_when_its_undo_is_undone(database):
    """Adding taken back and brought again gives the same job, with a version no screen has seen."""
    add(database)
    before = job(database)
    undo(database, undo(database).change)
    assert replace(job(database), version=1) == before
    assert job(database).version > before.version


def test_undo_is_refused_when_the_row_was_changed_since(database):
    """A change whose row is no longer as it left it stays; the sentence names the later change; nothing moves."""
    add(database)
    first = change(database, title("blue"), "painted blue")
    change(database, title("red"), "painted red")
    before = (job(database), log(database))
    with pytest.raises(Refused, match=r"change 2 \(painted blue\) cannot be taken back: change 3 \(painted red\)"):
        undo(database, first)
    assert (job(database), log(database)) == before


def test_an_earlier_tick_can_be_taken_back_while_a_later_one_stays(database):
    """Ticks of different tasks do not stand on each other: each checks its own row."""
    add(database)
    first = change(database, tick(1))
    change(database, tick(2))
    undo(database, first)
    assert [t.done_at for t in job(database).tasks] == [None, NOW, None]


def test_undo_is_refused_when_something_newer_stands_on_the_row(database):
    """A job to which cartons have come since is not taken away under them."""
    added = add(database)
    lot = Lot(material="harbor plank", name="A", cartons=9, arrived_at=NOW)
    change(database, lambda before: replace(before, lots=(lot,)), "lot A came")
    with pytest.raises(Refused, match=r"change 1 .* cannot be taken back: change 2 \(lot A came\) came after it"):
        undo(database, added)
    assert job(database).lots == (lot,)


def many(database, count: int) -> int:
    """Add jobs in one change, as an import does."""
    with database.unit_of_work(who="") as uow:
        for number in range(11, 11 + count):
            uow.add_job(house(number))
        return uow.commit(f"{count} added", at=NOW)


def test_one_of_many_on_which_something_stands_keeps_all_of_them(database):
    """The first job something stands on is named, not the one something was done to first."""
    add(database)
    added = many(database, 3)
    lot = Lot(material="harbor plank", name="A", cartons=9, arrived_at=NOW)
    for number in (13, 12):
        with database.unit_of_work(who="") as uow:
            uow.save_job(uow.job(number), replace(uow.job(number), lots=(lot,)))
            uow.commit(f"lot A came to {number}", at=NOW)
    with pytest.raises(Refused, match=r"cannot be taken back: change \d+ \(lot A came to 12\) came after it"):
        undo(database, added)
    with database.reading() as uow:
        assert uow.job_numbers() == (1, 11, 12, 13)


def test_what_a_change_of_many_jobs_takes_to_undo_grows_with_its_rows_alone(database):
    """Whether anything stands on them is looked for once for all, not once for each row and table that could."""
    add(database)
    asked: list[int] = []
    for count in (5, 25):
        many(database, count)
        seen: list[str] = []

        def note(*said: object, seen: list[str] = seen) -> None:
            seen.append(str(said[2]))

        event.listen(Engine, "before_cursor_execute", note)
        try:
            undo(database)
        finally:
            event.remove(Engine, "before_cursor_execute", note)
        asked.append(sum(words.startswith("SELECT") for words in seen))
    rows = 20 * 30  # more than a job of three tasks has: each is found once, and what was done to it later
    assert asked[1] - asked[0] < rows, asked


def test_undo_is_refused_when_what_it_brings_back_has_no_place_any_more(database):
    """A link taken out does not come back when its task went too."""
    add(database)
    first = change(database, lambda before: replace(before, links=()))
    change(database, lambda before: replace(before, tasks=before.tasks[:1]))
    with pytest.raises(Refused, match=r"change 2 .* cannot be taken back: what it stands on was changed since"):
        undo(database, first)
    assert job(database).links == ()


@pytest.mark.parametrize(
    ("number", "sentence"), [(99, "there is no change 99"), (2, "taken back already, by change 3")]
)
def test_undo_names_what_is_wrong_with_a_number(database, number, sentence):
    """A change that is not there, or taken back already, is refused in a sentence."""
    add(database)
    change(database, title("blue"))
    undo(database)
    with pytest.raises(Refused, match=sentence):
        undo(database, number)


def test_a_change_committed_as_final_is_not_taken_back(database):
    """`undoable=False` keeps a change."""
    with database.unit_of_work() as uow:
        uow.add_job(house())
        uow.commit("loaded", at=NOW, undoable=False)
    with pytest.raises(Refused, match=r"change 1 \(loaded\) cannot be taken back"):
        undo(database)


def test_a_rule_of_the_trade_can_refuse_an_undo(database):
    """`check` sees the job as it would be; when it refuses nothing has happened."""
    add(database)
    change(database, tick(1))
    seen = []

    def check(uow, number):
        seen.append(uow.job(number).task(1).done_at)
        raise Refused("task 2 stands on task 1.")

    with pytest.raises(Refused, match="stands on"):
        undo(database, check=check)
    assert seen == [None]
    assert job(database).task(1).done_at == NOW
    assert len(log(database)) == 2


def test_a_plan_taken_back_leaves_the_one_before_in_force(database):
    """Plans are versions: undo withdraws the newest, undo of that brings it again, and none is lost."""
    planned(database)
    planned(database, until=NOW + timedelta(days=1))
    second = latest(database)
    taken = undo(database)
    assert latest(database).number == 1
    undo(database, taken.change)
    assert latest(database) == second
    assert planned(database) == 5
    assert latest(database).number == 3


def test_a_plan_goes_with_the_tick_that_caused_it(database):
    """One undo takes back the tick and the plan made after it; bringing it again brings both."""
    add(database)
    planned(database)
    ticking = change(database, tick(1))
    planned(database, until=NOW + timedelta(days=1), caused_by=ticking)
    taken = undo(database)
    assert taken.undone == ticking
    assert (job(database).task(1).done_at, latest(database).number) == (None, 1)
    assert [undone for _, _, undone in log(database)] == [None, None, 5, 5, None]
    undo(database, taken.change)
    assert (job(database).task(1).done_at, latest(database).number) == (NOW, 2)
    assert [undone for _, _, undone in log(database)] == [None, None, None, None, 6, None]


def test_a_plan_that_came_with_a_tick_is_not_taken_back_alone(database):
    """What came with a change goes only with it."""
    add(database)
    caused = planned(database, caused_by=change(database, tick(1)))
    with pytest.raises(Refused, match="change 3 came with change 2"):
        undo(database, caused)


def test_private_values_are_not_in_the_log_and_not_undone(database):
    """The log says of a phone only that it changed: the new one stays, that is told, and older changes can be reached."""
    add(database)

    def phone(before):
        customer = replace(before.job.customer, phone="555-0142", mail="o@b.example")
        site = replace(before.job.site, entry_notes="key under the blue pot")
        return replace(before, job=replace(before.job, customer=customer, site=site))

    change(database, tick(1))
    change(database, phone, "phone entered")
    taken = undo(database)
    assert (taken.private_stays, taken.private_gone) == (True, False)
    assert job(database).job.customer.phone == "555-0142"
    undo(database)
    assert job(database).task(1).done_at is None


def test_a_job_is_not_taken_away_over_a_phone_entered_since(database):
    """That a private value was changed later is seen although the log does not hold it."""
    added = add(database)
    phone = replace(job(database).job.customer, phone="555-0142")
    change(database, lambda before: replace(before, job=replace(before.job, customer=phone)), "phone entered")
    with pytest.raises(Refused, match=r"change 2 \(phone entered\) came after it"):
        undo(database, added)


@pytest.mark.parametrize("again", [0, 1])
def test_under_a_phone_that_was_taken_back_older_changes_are_reached(database, again):
    """What undo says it would take back next it takes back, also the job itself; so after the phone is put back and taken back once more."""
    added = add(database)
    change(database, tick(1))
    phone = replace(job(database).job.customer, phone="555-0142")
    change(database, lambda before: replace(before, job=replace(before.job, customer=phone)), "phone entered")
    taken = undo(database)
    for _ in range(again):
        undo(database, taken.change)
        with pytest.raises(Refused, match="came after it"):
            undo(database, added)
        taken = undo(database)
    undo(database)
    assert job(database).task(1).done_at is None
    assert undo(database).undone == added
    with database.reading() as uow:
        assert uow.job_numbers() == ()


def test_a_job_with_a_phone_taken_back_comes_again_without_it(database):
    """All of it is there again but what the log never held, and that is told; a job without any comes again whole."""
    wanted = house()
    phone = replace(wanted.job.customer, phone="555-0142")
    add(database, replace(wanted, job=replace(wanted.job, customer=phone)))
    taken = undo(database)
    assert (taken.private_stays, taken.private_gone) == (False, False)
    again = undo(database, taken.change)
    assert (again.private_stays, again.private_gone) == (False, True)
    assert job(database).job == replace(wanted.job, customer=replace(phone, phone=""))
    undo(database, undo(database).change)


def test_the_number_of_a_job_taken_back_is_not_given_again(database):
    """The next number is above every number a job ever had."""
    add(database, house(4))
    undo(database)
    with database.reading() as uow:
        assert uow.job_numbers() == ()
        assert uow.next_number() == 5


def test_undo_of_a_shop_brings_back_its_crews(database):
    """Shop, crews and holidays are taken back like anything else."""
    first = replace(shop("North", "South"), holidays=frozenset({date(2026, 7, 3)}))
    for wanted in (first, shop("South", "West")):
        with database.unit_of_work() as uow:
            uow.save_shop(wanted)
            uow.commit("shop loaded", at=NOW)
    undo(database)
    with database.reading() as uow:
        assert uow.shop() == first


def test_undo_of_a_task_taken_out_brings_back_its_pin(database):
    """A pin goes with its task, in the same change, and comes back with it."""
    add(database, replace(house(), links=()))
    pin = Pin(job=1, task=3, crew="North", day=date(2026, 3, 4))
    with database.unit_of_work() as uow:
        uow.save_shop(shop("North"))
        uow.save_pin(pin)
        uow.commit("pinned", at=NOW)
    change(database, lambda before: replace(before, tasks=before.tasks[:2]))
    with database.reading() as uow:
        assert uow.pins() == ()
    undo(database)
    with database.reading() as uow:
        assert uow.pins() == (pin,)
        assert uow.job(1).tasks == house().tasks


steps = st.lists(
    st.one_of(
        st.tuples(st.just("title"), any_of.names),
        st.tuples(st.just("tick"), st.integers(1, 3)),
        st.tuples(st.just("rooms"), any_of.names),
        st.tuples(st.just("tasks"), st.integers(0, 5)),
        st.tuples(st.just("links"), st.booleans()),
        st.tuples(st.just("plan"), st.booleans()),
        st.tuples(st.just("add"), st.integers(2, 9)),
    ),
    max_size=8,
)


def act(database, kind, value):
    """Do one random thing."""
    if kind == "title":
        change(database, title(value))
    elif kind == "tick":
        change(database, tick(value))
    elif kind == "rooms":
        change(database, lambda b: replace(b, job=replace(b.job, rooms=(replace(b.job.rooms[0], name=value),))))
    elif kind == "tasks":
        more = tuple(task(n) for n in range(4, 4 + value))
        change(database, lambda b: replace(b, tasks=(*more, *(t for t in b.tasks if t.number <= 3))))
    elif kind == "links":
        change(database, lambda b: replace(b, links=house().links if value else ()))
    elif kind == "plan":
        planned(database, caused_by=change(database, tick(2)) if value else None)
    else:
        add(database, house(value))


@given(steps)
@settings(max_examples=thorough.examples(12, 4), deadline=None)
def test_undoing_everything_ends_where_it_began(wanted):
    """After any changes, undo until nothing is left gives the first state again, but for the job's version."""
    with TemporaryDirectory() as folder:
        database = open_database(Path(folder) / "a.sqlite3")
        with database.unit_of_work() as uow:
            uow.add_job(house())
            uow.commit("added", at=NOW, undoable=False)
        before = job(database)
        for kind, value in wanted:
            if kind != "add" or value not in numbers(database):
                act(database, kind, value)
        undo_all(database)
        assert replace(job(database), version=1) == before
        assert (numbers(database), latest(database)) == ((1,), None)


def numbers(database):
    """Return the jobs' numbers."""
    with database.reading() as uow:
        return uow.job_numbers()


def undo_all(database):
    """Undo until only the first change is left."""
    sentence = ""
    while not sentence:
        try:
            undo(database)
        except Refused as refused:
            sentence = str(refused)
    assert sentence == "change 1 (added) cannot be taken back."
