"""The pace that is kept: as good as learned anew after anything that happens, never in the way, never needed."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.job import JobRecord
from crewjobs.engines.learning.pace import learn
from crewjobs.engines.learning.predicting import rate
from crewjobs.services.rates import learned as seam
from crewjobs.services.rates.learned import known, learned, pace_to_plan
from crewjobs.services.rates.paces import days_worked
from crewjobs.storage.database import open_database
from tests.services.conftest import Shop, kept
from tests.services.evenings.test_evening import TUESDAY
from tests.services.rates.test_rates import make_worked


def make_season(shop: Shop) -> None:
    """Twelve dens more, in the weeks before the one that was worked, each a bit slower than the next."""
    make_worked(shop)
    record = shop.record()
    with shop.office._database.unit_of_work(who="tester") as uow:
        for place, number in enumerate(range(11, 23)):
            uow.add_job(earlier(record, number, weeks=place + 1, minutes=400 + 15 * place))
        uow.commit("dens", at=shop.clock.now())


def earlier(record: JobRecord, number: int, *, weeks: int, minutes: int, **job: object) -> JobRecord:
    """Return a job as one that was done so many weeks before, by two people in so many minutes."""
    ago, (hours,) = timedelta(weeks=weeks), record.crew_hours
    tasks = tuple(
        replace(task, started_at=task.started_at and task.started_at - ago, done_at=task.done_at and task.done_at - ago)
        for task in record.tasks
    )
    start = hours.start - ago
    said = replace(hours, people=2, break_min=0, start=start, stop=start + timedelta(minutes=minutes))
    return replace(record, job=replace(record.job, number=number, **job), tasks=tasks, crew_hours=(said,))


worked = kept(make_worked)
season = kept(make_season)


def anew(shop: Shop):
    """Return the pace as it is learned from all records, nothing kept."""
    with shop.office._database.reading() as uow:
        return learn(days_worked(uow.worked_jobs(), uow.shop(), shop.clock.now()), pins=uow.rate_pins())


def same(shop: Shop) -> None:
    """Assert that the pace everybody asks is the one learned anew, and its days all there are."""
    with shop.office._database.reading() as uow:
        found, days = known(uow, shop.clock.now()), days_worked(uow.worked_jobs(), uow.shop(), shop.clock.now())
    assert sorted(found.days, key=repr) == sorted(days, key=repr)
    wanted, pace = anew(shop), found.pace
    assert set(pace.places) == set(wanted.places)
    order = [pace.places[effect] for effect in wanted.places]
    np.testing.assert_allclose(pace.mean[order], wanted.mean, atol=1e-9)
    np.testing.assert_allclose(pace.cov[np.ix_(order, order)], wanted.cov, atol=1e-9)
    assert (dict(pace.jobs), pace.odd, dict(pace.pins)) == (dict(wanted.jobs), wanted.odd, dict(wanted.pins))
    with shop.office._database.reading() as uow:
        planned_by = pace_to_plan(uow, shop.clock.now())
    for crew, template in wanted.jobs:
        assert rate(planned_by, crew, template).factor == pytest.approx(rate(wanted, crew, template).factor)
        assert rate(planned_by, crew, template).spread == pytest.approx(rate(wanted, crew, template).spread)


def parts(shop: Shop) -> dict[str, bytes]:
    """Return what is kept."""
    with closing(sqlite3.connect(shop.path)) as file:
        return dict(file.execute("SELECT part, kept FROM kept_pace"))


def times_again(shop: Shop, **typed: str) -> None:
    """Put Tuesday's hours of Birch right."""
    shop.office.evening("Birch", TUESDAY, EveningEntry(houses=(HouseEntry(house=1, **typed),), again=True))


def open_task(shop: Shop) -> int:
    """Return a task that nobody has begun."""
    return next(task.number for task in shop.record().tasks if task.open and task.started_at is None)


def with_callback(shop: Shop) -> None:
    """Add a callback with hours of its own."""
    with shop.office._database.unit_of_work(who="tester") as uow:
        uow.add_job(earlier(uow.job(4), 30, weeks=1, minutes=120, callback_of=4))
        uow.commit("callback", at=shop.clock.now())


def with_sub(shop: Shop) -> None:
    """Make Birch a sub: none of its hours tells a pace any more."""
    with shop.office._database.unit_of_work(who="tester") as uow:
        old = uow.shop()
        crews = tuple(replace(crew, sub=old.crews[-1].sub) if crew.name == "Birch" else crew for crew in old.crews)
        uow.save_shop(replace(old, crews=crews))
        uow.commit("sub", at=shop.clock.now())


def test_what_is_kept_is_what_is_learned_anew_after_anything(worked):
    """Ticks, evenings put right, undo, pins, an edit, a callback's hours, a crew that becomes a sub: within 1e-9, each asked twice.

    With so few jobs any change of one is a tenth of them, so all is learned anew.
    """
    office = worked.office
    steps = [
        lambda: None,
        lambda: times_again(worked, stop="14:00"),
        lambda: times_again(worked, people="2", wait="30 truck"),
        lambda: office.undo(),
        lambda: office.tick(4, [open_task(worked)], because="seen"),
        lambda: with_callback(worked),
        lambda: with_sub(worked),
        lambda: office.undo(),
        lambda: office.pin_rate("Birch", "haul-out", "1.5x"),
        lambda: office.undo(),
        lambda: office.edit(4, office.job(4).version, {"title": "Den"}),
        lambda: office.edit(4, office.job(4).version, {"state": "closed"}),
    ]
    for step in steps:
        step()
        same(worked)
        office.rates()
        same(worked)
        assert set(parts(worked)) == {"stands_on", "days", "pace", "rates"}


def test_the_plan_reads_the_rates_alone_until_hours_tell_something_new(season, monkeypatch):
    """After a tick on a day without hours nothing is learned; after other hours it is; what both ways say is one."""
    season.office.rates()
    asked = []
    monkeypatch.setattr(seam, "known", lambda *told: (asked.append(told), known(*told))[1])
    steps = [(lambda: season.office.tick(4, [open_task(season)], because="seen", at="2026-03-02 17:30"), False)]
    steps += [(lambda: season.office.edit(4, season.office.job(4).version, {"title": "Den"}), False)]
    steps += [(lambda: times_again(season, stop="14:00"), True)]
    for step, learns in steps:
        step()
        season.office.rates() if learns else None
        asked.clear()
        with season.office._database.reading() as uow:
            quick = pace_to_plan(uow, season.clock.now())
        assert not asked
        with season.office._database.reading() as uow:
            whole = learned(uow, season.clock.now())
        np.testing.assert_allclose(quick.mean, whole.mean, atol=1e-12)
        np.testing.assert_allclose(quick.cov, whole.cov, atol=1e-12)
    season.clock.set("2026-02-01", "12:00")
    with season.office._database.reading() as uow:
        earlier_pace = pace_to_plan(uow, season.clock.now())
    assert asked, "in February most of these hours have not come yet"
    assert len(earlier_pace.told) < len(whole.told)


def test_one_job_more_is_learned_on_from(season):
    """Of thirteen jobs one is put right: the scales stay, the rest is as `with_job` has it, rates within a hundredth of those anew."""
    season.office.rates()
    before = parts(season)
    times_again(season, stop="14:00")
    rows = {row.template: row for row in season.office.rates("Birch").crews[0].rows}
    assert parts(season)["pace"] != before["pace"]
    with season.office._database.reading() as uow:
        pace = learned(uow, season.clock.now())
    wanted = anew(season)
    assert pace.scales != wanted.scales
    for template, row in rows.items():
        assert row.factor == pytest.approx(rate_in(wanted, template).factor, rel=0.02)
        assert row.jobs == rate_in(wanted, template).jobs
    season.office.undo()
    season.office.rates()
    same(season)  # two of thirteen: learned anew


def rate_in(pace, template):
    """Return Birch's rate at a template."""
    return rate(pace, "Birch", template)


def test_a_job_taken_back_is_forgotten(season):
    """Undo of what brought jobs: none of their hours is known any more."""
    season.office.rates()
    season.office.undo()
    assert season.office.rates().jobs == 1
    same(season)


def test_a_change_that_is_of_no_hours_keeps_the_pace(season):
    """The kept pace and days stay byte for byte; only the change they stand on moves."""
    season.office.rates()
    before = parts(season)
    season.office.edit(4, season.office.job(4).version, {"title": "The den"})
    season.office.rates()
    after = parts(season)
    assert after["stands_on"] != before["stands_on"]
    assert (after["days"], after["pace"]) == (before["days"], before["pace"])


def test_another_moment_has_its_own_pace(season):
    """Seen from Monday the last den was not worked yet; what is kept is of Tuesday, and Tuesday sees it again."""
    season.office.rates()
    tuesday = season.clock.at
    season.clock.set("2026-03-02", "12:00")
    assert season.office.rates().jobs == 12
    season.clock.at = tuesday
    assert season.office.rates().jobs == 13
    same(season)


def test_pretending_keeps_nothing(season):
    """With another moment than now the file is not touched."""
    before = season.path.read_bytes()
    office = type(season.office)(season.office._database, season.clock, pretending=True)
    assert office.rates().jobs == 13
    assert season.path.read_bytes() == before


@pytest.mark.parametrize("part", ["stands_on", "days", "pace"])
def test_what_cannot_be_read_is_learned_anew(season, part):
    """A part that is broken is as good as none, and is put right."""
    season.office.rates()
    with closing(sqlite3.connect(season.path)) as file:
        file.execute("UPDATE kept_pace SET kept = ? WHERE part = ?", (b"[1, 2", part))
        file.commit()
    same(season)
    season.office.rates()
    same(season)
    assert parts(season)[part] != b"[1, 2"


def test_what_another_program_kept_is_learned_anew(season, monkeypatch):
    """Days made in another way are read from the records again."""
    season.office.rates()
    before = parts(season)["stands_on"]
    monkeypatch.setattr(seam, "VERSION", seam.VERSION + 1)
    season.office.rates()
    assert parts(season)["stands_on"] != before
    same(season)


def test_a_database_that_may_only_be_read_answers(season):
    """As does one in which another program is writing: rates are told, nothing is kept, nothing is said of it."""
    with closing(sqlite3.connect(season.path, isolation_level=None)) as other:
        other.execute("DELETE FROM kept_pace")
        other.execute("BEGIN IMMEDIATE")
        assert season.office.rates().jobs == 13
        assert parts(season) == {}
        other.execute("ROLLBACK")
    season.office.rates()
    assert set(parts(season)) == {"stands_on", "days", "pace", "rates"}


def test_a_copy_brings_along_what_is_kept(season, tmp_path):
    """A backup is whole: what is kept in it stands on its own records."""
    season.office.rates()
    copy = season.office._database.backup(tmp_path / "copy.sqlite3")
    times_again(season, stop="14:00")
    opened = open_database(copy, create=False)
    with opened.reading() as uow:
        assert len(known(uow, season.clock.now()).days) == 13
        assert uow.to_keep == {}


def test_a_tick_writes_nothing_of_it(season):
    """A tick neither reads nor keeps a pace; it stays as it was."""
    season.office.rates()
    before = parts(season)
    season.office.tick(4, [open_task(season)], because="seen")
    assert parts(season) == before
