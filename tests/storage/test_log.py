"""The change log holds every write, gives nothing private away, and is only ever added to."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import event

from crewjobs.domain.errors import Refused
from crewjobs.storage import database as database_module
from crewjobs.storage import open_database, records
from tests.storage.actions import NOW, add, change, house, job, log, planned, tick, title, undo


def rows(database):
    """Return the log's rows as they lie in the file."""
    with closing(sqlite3.connect(database.path)) as connection:
        return [connection.execute(f"SELECT * FROM {name}").fetchall() for name in sorted(records.LOG)]


def test_a_tick_logs_its_row_and_nothing_else(database):
    """A fact touches one row of its job; the version is bookkeeping and no change of its own."""
    add(database)
    change(database, tick(2))
    _, found = rows(database)
    assert [(table, key) for number, _, table, key, *_ in found if number == 2] == [("task", "[1,2]")]


def test_a_change_says_who_when_what_and_of_which_job(database):
    """The log names the person, the instant, the sentence and the job."""
    with database.unit_of_work(who="Sam") as uow:
        uow.add_job(house(4))
        number = uow.commit("job 4 added", at=NOW + timedelta(microseconds=1), job=4)
    with database.reading() as uow:
        [found] = uow.changes(10)
        assert uow.last_change_number() == number == found.number
    assert (found.who, found.at, found.what, found.job) == ("Sam", NOW + timedelta(microseconds=1), "job 4 added", 4)


def test_changes_are_listed_newest_first_up_to_a_limit_and_by_job(database):
    """The list starts with the newest change and can be that of one job."""
    for number in (1, 2, 3):
        add(database, house(number), f"job {number}")
    with database.reading() as uow:
        assert [found.what for found in uow.changes(2)] == ["job 3", "job 2"]
        assert [found.what for found in uow.changes(9, job=2)] == ["job 2"]


def test_a_plan_after_an_undo_is_caused_by_it_and_goes_with_it(database):
    """A plan made because of an undo goes when the undo is taken back."""
    add(database)
    change(database, tick(1))
    taken = undo(database)
    planned(database, caused_by=taken.change)
    undo(database, taken.change)
    assert job(database).task(1).done_at == NOW
    with database.reading() as uow:
        assert uow.latest_plan() is None


def test_a_chain_of_causes_is_kept_as_the_first(database):
    """What came with something that came with a change goes with that change too."""
    add(database)
    first = change(database, tick(1))
    second = planned(database, caused_by=first)
    planned(database, caused_by=second)
    with database.reading() as uow:
        assert [found.caused_by for found in uow.changes(2)] == [first, first]


def test_private_values_are_nowhere_in_the_log(database):
    """Phones, mail and entry notes are logged as changed, in additions, edits and undo alike."""
    secrets = ("555-0142", "o@b.example", "key under the pot")

    def private(before, phone, mail, notes):
        customer = replace(before.job.customer, phone=phone, mail=mail)
        site = replace(before.job.site, entry_notes=notes)
        return replace(before, job=replace(before.job, customer=customer, site=site))

    added = add(database, private(house(), *secrets))
    change(database, lambda before: private(before, *(f"new {secret}" for secret in secrets)))
    change(database, lambda before: private(before, "", "", ""))
    with pytest.raises(Refused):
        undo(database, added)
    changed, found = rows(database)
    assert "changed" in str(found)
    assert not [secret for secret in secrets if secret in str(changed) + str(found)]


def test_the_log_is_only_added_to(database, monkeypatch):
    """Over adding, ticking, editing, planning and undoing, no statement changes or removes a line of the log."""
    statements = []
    engine = database_module._engine

    def listening(path, begin):
        made = engine(path, begin)
        event.listen(made, "before_cursor_execute", lambda *args: statements.append(args[2].split("WHERE")[0]))
        return made

    monkeypatch.setattr(database_module, "_engine", listening)
    opened = open_database(database.path)
    seen = []
    steps = [
        lambda: add(opened),
        lambda: change(opened, tick(1)),
        lambda: change(opened, title("blue")),
        lambda: planned(opened, caused_by=3),
        lambda: undo(opened),
        lambda: undo(opened, 5),
        lambda: undo(opened),
        lambda: undo(opened),
    ]
    for step in steps:
        step()
        now = rows(opened)
        assert all(line in new for old, new in zip(seen, now, strict=False) for line in old)
        seen = now
    touching = [s for s in statements if s.startswith(("UPDATE", "DELETE")) and "change" in s]
    assert touching == []
    assert any(s.startswith("INSERT INTO change ") for s in statements)


def test_nothing_is_kept_without_a_commit(database):
    """A transaction left without `commit`, also by an error, never happened."""
    with database.unit_of_work() as uow:
        uow.add_job(house())
    with pytest.raises(Refused, match="there is no job 9"):
        add_and_fail(database)
    assert log(database) == []
    with database.reading() as uow:
        assert uow.job_numbers() == ()


def add_and_fail(database):
    """Add a job and run into a refusal before the commit."""
    with database.unit_of_work() as uow:
        uow.add_job(house())
        uow.job(9)


def test_a_transaction_that_reads_cannot_write(database):
    """Reading gives no way to write."""
    with database.reading() as uow, pytest.raises(RuntimeError, match="only reads"):
        uow.add_job(house())


def test_after_a_commit_the_same_transaction_can_make_another_change(database):
    """Two commits of one unit of work are two changes, each with its own rows."""
    with database.unit_of_work() as uow:
        uow.add_job(house())
        uow.commit("added", at=NOW)
        before = uow.job(1)
        uow.save_job(before, title("blue")(before))
        uow.commit("painted", at=NOW)
    undo(database)
    assert job(database).job == house().job


def test_a_change_within_one_transaction_and_back_is_none(database):
    """What is changed and changed back before the commit leaves no row in the log."""
    add(database)
    with database.unit_of_work() as uow:
        before = uow.job(1)
        between = uow.save_job(before, title("blue")(before))
        uow.save_job(between, title(before.job.title)(between))
        uow.commit("nothing", at=NOW)
    assert not [line for line in rows(database)[1] if line[0] == 2]
