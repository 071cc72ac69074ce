"""What goes in comes out: values through the database and through their plain form."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Applies, TemplateWait
from crewjobs.domain.work import ExtraWork
from crewjobs.storage import open_database
from crewjobs.storage.columns import instant_text
from crewjobs.storage.plain import builder, plain
from tests import thorough
from tests.builders import record, task
from tests.storage import strategies as any_of

NOW = datetime(2026, 3, 2, 12, 30, tzinfo=UTC)
few = settings(max_examples=thorough.examples(12, 4), deadline=None)


def through(write, read):
    """Return what `read` finds in a new database after `write`."""
    with TemporaryDirectory() as folder:
        database = open_database(Path(folder) / "a.sqlite3")
        with database.unit_of_work(who="Sam") as uow:
            write(uow)
            uow.commit("written", at=NOW)
        with database.reading() as uow:
            return read(uow)


@given(any_of.job_records())
@few
def test_a_job_comes_back_as_it_went_in(wanted):
    """Any job with anything that happened to it is read as it was added, whatever its order, signs and fractions."""
    assert through(lambda uow: uow.add_job(wanted), lambda uow: uow.job(wanted.job.number)) == wanted


def test_a_callback_comes_back_with_its_tie_and_its_work(database):
    """A job that comes back to another is read, listed and named as its callback; what it stands on stays."""
    work = (ExtraWork(what="board swapped", place="living", minutes=90, people=2, needs="the carton"),)
    back = record(number=2)
    back = replace(back, job=replace(back.job, callback_of=1, work=work))
    with database.unit_of_work() as uow:
        uow.add_job(record())
        uow.commit("added", at=NOW)
    with database.unit_of_work() as uow:
        uow.add_job(back)
        uow.commit("called back", at=NOW)
    with database.reading() as uow:
        assert uow.job(2) == back
        (tie,) = uow.callbacks()
        assert (tie.number, tie.of, tie.title) == (2, 1, back.job.title)
        assert (tie.of_title, tie.of_state) == (record().job.title, record().job.state.value)
        assert [one.callback_of for one in uow.job_summaries(everything=True)] == [None, 1]
    with database.unit_of_work() as uow, pytest.raises(Refused, match=r"change 2 .* came after it"):
        uow.undo(1, at=NOW)


def test_nothing_comes_back_to_a_job_that_is_not_there(database):
    """The database itself refuses a callback of no job."""
    back = record(number=2)
    with database.unit_of_work() as uow:
        uow.add_job(replace(back, job=replace(back.job, callback_of=1)))
        with pytest.raises(Refused, match="look again"):
            uow.commit("called back", at=NOW)


@given(any_of.job_records(st.just(7), st.just(1)), any_of.job_records(st.just(7), st.just(1)))
@few
def test_an_edited_job_comes_back_as_it_was_left(before, after):
    """Whatever a job is changed into, it is read as it was saved, with the next version."""
    if {lot.material for lot in after.lots} - {material.name for material in after.job.materials}:
        return

    def write(uow):
        uow.add_job(before)
        uow.save_job(before, after)

    expected = replace(after, version=1 if before == after else 2)
    assert through(write, lambda uow: uow.job(7)) == expected


@given(any_of.shops(), any_of.shops())
@few
def test_a_shop_comes_back_as_it_was_saved_last(first, second):
    """Any shop, saved over any other, is read as it was saved."""

    def write(uow):
        uow.save_shop(first)
        uow.save_shop(second)

    assert through(write, lambda uow: uow.shop()) == second


@given(any_of.plans())
@few
def test_a_plan_comes_back_as_it_was_saved(wanted):
    """Any plan is read as it was saved, with its number."""

    def write(uow):
        uow.add_job(record())
        assert uow.save_plan(wanted) == 1

    assert through(write, lambda uow: uow.latest_plan()) == replace(wanted, number=1)


@given(any_of.overrides, any_of.overrides)
@few
def test_template_overrides_come_back_as_they_were_saved_last(first, second):
    """Any overrides, saved over any others, are read as they were saved, by key."""

    def write(uow):
        uow.save_overrides(first)
        uow.save_overrides(second)

    assert through(write, lambda uow: uow.overrides()) == second


@given(st.from_type(Applies) | st.from_type(TemplateWait) | any_of.jobs())
@few
def test_a_plain_form_is_json_and_builds_the_value_again(value):
    """Plain forms survive JSON and build an equal value, nested values, sets, choices and absent ones included."""
    assert builder(type(value))(json.loads(json.dumps(plain(value), allow_nan=False))) == value


def test_a_plain_form_lacking_a_field_takes_its_default():
    """What was stored before a field was there is read with the field's default."""
    kept = plain(task(1).estimate) | {"unheard of": 1}
    assert builder(type(task(1).estimate))(kept) == task(1).estimate


@given(*[st.datetimes(datetime(1000, 1, 1), datetime(3000, 1, 1))] * 2, st.integers(-14 * 60, 14 * 60))
def test_the_order_of_stored_instants_is_the_order_of_time(one, other, offset):
    """Instants as text compare as they do in time, in whatever zone they were given."""
    first, second = one.replace(tzinfo=UTC), other.replace(tzinfo=timezone(timedelta(minutes=offset)))
    assert (instant_text(first) < instant_text(second)) == (first < second)


def test_an_instant_without_a_zone_is_not_stored():
    """No instant is kept of which nobody knows when it was."""
    with pytest.raises(ValueError, match="no zone"):
        instant_text(datetime(2026, 3, 2))


def test_a_part_of_a_job_keeps_its_number_and_no_number_is_given_twice(database):
    """A room that stays keeps its number; that of a room taken out is never given to another one."""
    first = record()
    [living] = first.job.rooms

    def rooms(*names):
        return replace(first.job, rooms=tuple(replace(living, name=name) for name in names))

    def save(job):
        with database.unit_of_work() as uow:
            before = uow.job(1)
            uow.save_job(before, replace(before, job=job))
            uow.commit("rooms changed", at=NOW)
        with sqlite3.connect(database.path) as connection:
            return dict(connection.execute("SELECT name, number FROM room"))

    with database.unit_of_work() as uow:
        uow.add_job(first)
        uow.commit("added", at=NOW)
    numbers = save(rooms("living", "hall", "den"))
    assert save(rooms("den", "living", "study")) == {
        "living": numbers["living"],
        "den": numbers["den"],
        "study": max(numbers.values()) + 1,
    }
    assert save(rooms("living", "porch"))["porch"] == max(numbers.values()) + 2
