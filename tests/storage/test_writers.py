"""Several programs at once, edits against an older state, and a program killed at any moment."""

from __future__ import annotations

import multiprocessing
import random
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, suppress
from dataclasses import replace

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.storage import open_database
from tests.builders import record, task
from tests.storage.actions import NOW, add, change, house, job, log, tick, title
from tests.storage.ticker import tick_for_ever, ticked_at


def killed_after(database, seconds, context):
    """Let the ticker run for a while from its first tick on, kill it, and return what it had told."""
    here, there = context.Pipe(duplex=False)
    program = context.Process(target=tick_for_ever, args=(database.path, there))
    program.start()
    there.close()
    told = [here.recv()]  # from here on it is at work
    program.join(timeout=seconds)
    program.kill()
    program.join()
    with suppress(EOFError, OSError):  # a message cut off by the kill told nobody anything
        while True:
            told.append(here.recv())
    return told


def test_a_killed_program_loses_no_acknowledged_tick(database):
    """Killed at thirty moments, every tick that was told is there, with its change, and the file is whole."""
    add(database, record([task(number) for number in range(1, 21)]))
    quick = "forkserver" in multiprocessing.get_all_start_methods()
    context = multiprocessing.get_context("forkserver" if quick else "spawn")
    context.set_forkserver_preload(["__main__", "tests.storage.ticker"])
    moments = random.Random(20260302)
    rounds = [killed_after(database, moments.uniform(0, 0.08), context) for _ in range(30)]
    with closing(sqlite3.connect(database.path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    with database.reading() as uow:
        kept = {change.number: change.what for change in uow.changes(100_000)}
    newest = {what: number for number, what in sorted(kept.items())}
    assert sum(map(len, rounds)) > len(rounds)  # some were killed later than at their first tick
    assert {number for told in rounds for number in told} <= kept.keys()
    assert sorted(kept) == list(range(1, len(kept) + 1))
    assert job(database).version == len(kept)
    for found in job(database).tasks:
        last = newest.get(f"task {found.number} done")
        assert found.done_at == (ticked_at(last) if last else None)


def test_writers_at_once_lose_nothing_of_each_other(database):
    """Four writers that tick different tasks at the same time all get through, one after the other."""
    add(database, record([task(number) for number in range(1, 41)]))

    def work(first):
        opened = open_database(database.path)
        for number in range(first, first + 10):
            change(opened, tick(number), f"task {number}")

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(work, (1, 11, 21, 31)))
    assert all(not t.open for t in job(database).tasks)
    assert job(database).version == 41
    assert [number for number, *_ in log(database)] == list(range(1, 42))


def test_readers_see_whole_changes_while_somebody_writes(database):
    """A reader sees each change whole or not at all: two tasks ticked together are never seen apart."""
    add(database)

    def flip(before):
        done = NOW if before.task(1).done_at is None else None
        return replace(before, tasks=tuple(replace(t, done_at=done) for t in before.tasks))

    def read(_):
        return [len({t.done_at for t in job(database).tasks}) for _ in range(30)]

    with ThreadPoolExecutor(3) as pool:
        seen = pool.map(read, range(2))
        for _ in range(20):
            change(database, flip)
        assert {count for counts in seen for count in counts} == {1}


def test_one_reading_transaction_sees_one_state(database):
    """A reader that began before a change does not see a part of it; the writer waits for it at most for a moment."""
    add(database)
    with database.reading() as uow:
        before = uow.job(1)
        with database.unit_of_work() as writer:
            writer.save_job(before, title("blue")(before))
            assert uow.job(1) == before


def test_an_edit_of_an_older_state_is_refused_and_names_the_change(database):
    """An edit made on what a screen saw before somebody else's change is refused, also if only a part changed."""
    add(database)
    seen = job(database)
    change(database, tick(1), "task 1 done")
    with pytest.raises(Refused, match=r"job 1 was changed meanwhile \(task 1 done\): look again and repeat\."):
        save(database, seen, title("blue")(seen))
    assert job(database).job == seen.job


def save(database, before, after):
    """Save what became of a state that was read earlier."""
    with database.unit_of_work() as uow:
        uow.save_job(before, after)
        uow.commit("edited", at=NOW, job=1)


@pytest.mark.parametrize(
    "edit",
    [
        title("blue"),
        tick(1),
        lambda b: replace(b, links=b.links[:1]),
        lambda b: replace(b, job=replace(b.job, customer=replace(b.job.customer, phone="555-0142"))),
        lambda b: replace(b, job=replace(b.job, rooms=(replace(b.job.rooms[0], pad=True),))),
    ],
)
def test_every_change_raises_the_jobs_version_by_one(database, edit):
    """The version rises with every change, also when only a part of the job changed."""
    add(database)
    change(database, edit)
    assert job(database) == replace(edit(house()), version=2)


def test_saving_what_is_so_already_changes_nothing(database):
    """An edit without a difference raises no version."""
    add(database)
    change(database, lambda before: before)
    assert job(database).version == 1


def test_what_is_saved_is_returned_with_its_version(database):
    """The next edit in the same transaction goes on from what `save_job` returned."""
    add(database)
    with database.unit_of_work() as uow:
        before = uow.job(1)
        between = uow.save_job(before, title("blue")(before))
        after = uow.save_job(between, tick(1)(between))
        uow.commit("both", at=NOW)
    assert job(database) == after
    assert after.version == 3
