"""Events keep their identity over plans, and a program that imports the files ends with the plan, whoever was sent which."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from crewjobs.domain.calendar import EventKind, WrittenEvent, crew_calendar, job_calendar
from crewjobs.services.calendars.calendar_events import PlannedEvent, Said
from crewjobs.services.calendars.calendar_written import NO_LONGER, named, to_write
from tests import thorough

NOW = datetime(2026, 3, 2, 12, tzinfo=UTC)
CREWS = ("Birch", "Cedar", "Rowan")


def visit(tasks, day, crew="Birch", *, job=4, hour=14):
    """Return a visit of an hour on a day from 2 March on."""
    start = NOW.replace(hour=hour) + timedelta(days=day)
    said = Said(summary=f"job {job}", address="9 Quarry Road", lines=tuple(map(str, tasks)))
    return PlannedEvent(
        job=job,
        kind=EventKind.VISIT,
        what="",
        tasks=tuple(tasks),
        start=start,
        end=start + timedelta(hours=1),
        day=None,
        crew=crew,
        to_crew=said,
        to_house=Said(summary="at the house"),
    )


def midnight(at: datetime) -> datetime:
    """Return when the day of an instant began."""
    return at.replace(hour=0, minute=0, second=0, microsecond=0)


class Shop:
    """What calendars said, and what programs that import them know."""

    def __init__(self) -> None:
        self.rows: dict[tuple[str, str], WrittenEvent] = {}
        self.known: dict[str, dict[str, tuple]] = {name: {} for name in (*CREWS, "lead")}
        self.at = NOW

    @property
    def written(self):
        return tuple(self.rows.values())

    def file(self, crew, events):
        """Write a crew's file and return what it says."""
        crews = named(events, self.written, seed="s", to_crews=True, now=self.at)
        mine = [one for one in crews if one.event.crew == crew]
        said = to_write(crew_calendar(crew), mine, self.written, self.at, today=midnight(self.at))
        self.rows |= {(one.row.calendar, one.row.uid): one.row for one in said}
        return said

    def send(self, reader, said):
        """Have a program import a file: the higher number counts, and equal numbers say the same."""
        for one in said:
            row = one.row
            content = (row.sequence, row.cancelled, row.start, row.end, row.digest)
            known = self.known[reader].get(row.uid)
            if known is not None and known[0] == row.sequence:
                assert known[1:4] == content[1:4]
            if known is None or row.sequence > known[0]:
                self.known[reader][row.uid] = content

    def shown(self, reader):
        return sorted(content[2:4] for content in self.known[reader].values() if not content[1])


@pytest.mark.parametrize("seed", thorough.of(range(60), 12))
def test_whoever_is_sent_which_files_ends_with_the_plan(seed):
    """Plans drawn at random, some files sent and some not, in any order: once all are, the lead sees the plan, and each crew its own.

    A file written again says nothing new.
    """
    random, shop = Random(seed), Shop()
    for _ in range(6):
        events = []
        for job in (4, 5):
            slots = random.sample([(day, crew) for day in range(5) for crew in CREWS], random.randint(0, 4))
            events += [
                visit(random.sample(range(6), random.randint(1, 3)), d, c, job=job, hour=10 + job) for d, c in slots
            ]
        for crew in random.sample(CREWS, random.randint(0, 3)):
            said = shop.file(crew, events)
            shop.send(crew, said)
            shop.send("lead", said)
    files = {crew: shop.file(crew, events) for crew in random.sample(CREWS, 3)}
    for crew in random.sample(CREWS, 3):
        shop.send(crew, files[crew])
        shop.send("lead", files[crew])
    assert shop.shown("lead") == sorted((one.start, one.end) for one in events)
    for crew in CREWS:
        assert shop.shown(crew) == sorted((one.start, one.end) for one in events if one.crew == crew)
        assert all(one.row == one.before for one in shop.file(crew, events))


def test_a_visit_moved_to_another_day_is_the_same():
    """The same work on another day has its UID and the next number."""
    shop = Shop()
    [before] = shop.file("Birch", [visit([1, 2], 0)])
    [after] = shop.file("Birch", [visit([1, 2], 3)])
    assert (after.row.uid, after.row.sequence) == (before.row.uid, before.row.sequence + 1)
    assert after.row.start == before.row.start + timedelta(days=3)


def test_a_visit_moved_to_another_crew_is_the_same_and_counts_above_its_cancellation():
    """Cancelled for one crew, confirmed for the other, whichever file is written first."""
    for order in (("Birch", "Cedar"), ("Cedar", "Birch")):
        shop = Shop()
        [before] = shop.file("Birch", [visit([1, 2], 0)])
        files = {crew: shop.file(crew, [visit([1, 2], 0, "Cedar")]) for crew in order}
        [gone], [there] = files["Birch"], files["Cedar"]
        assert gone.row.uid == there.row.uid == before.row.uid
        assert (gone.row.cancelled, there.row.cancelled) == (True, False)
        assert before.row.sequence < gone.row.sequence < there.row.sequence


def test_of_two_visits_that_share_work_each_is_the_one_that_does_most_of_it():
    """Their days changed places: each keeps its UID by its work, not by the day it is nearest to."""
    shop = Shop()
    long, short = shop.file("Birch", [visit([1, 2, 3], 1), visit([3], 2)])
    again = shop.file("Birch", [visit([3], 1), visit([1, 2, 3], 2)])
    assert [one.row.uid for one in again] == [short.row.uid, long.row.uid]


def test_a_visit_put_in_before_others_takes_none_of_their_uids():
    """A new first visit is new; those there were stay as they were written."""
    shop = Shop()
    old = [visit([1], 1), visit([2, 3], 2)]
    first = shop.file("Birch", old)
    again = shop.file("Birch", [visit([9], 0), *old])
    assert [one.row for one in again[1:]] == [one.row for one in first]
    assert again[0].new
    assert again[0].row.uid not in {one.row.uid for one in first}


def test_a_visit_cancelled_is_told_until_its_day_is_past_and_comes_back_as_itself():
    """Cancelled with a higher number, in every file the same; planned again it has its UID and a higher number still; past, silence."""
    shop = Shop()
    [there] = shop.file("Birch", [visit([1], 1)])
    [gone] = shop.file("Birch", [])
    assert (gone.row.sequence, gone.row.cancelled, gone.row.summary) == (1, True, f"{NO_LONGER}job 4")
    assert [one.row for one in shop.file("Birch", [])] == [gone.row]
    [back] = shop.file("Birch", [visit([1], 1)])
    assert (back.row.uid, back.row.sequence, back.row.cancelled) == (there.row.uid, 2, False)
    [gone] = shop.file("Birch", [])
    shop.at = NOW + timedelta(days=1)
    assert [one.row for one in shop.file("Birch", [])] == [gone.row]
    shop.at = NOW + timedelta(days=2)
    assert shop.file("Birch", []) == ()


def test_what_has_gone_by_is_neither_told_again_nor_cancelled():
    """A day later the visit of the day before stands as it was; the rest of its work is a visit of its own."""
    shop = Shop()
    [there] = shop.file("Birch", [visit([1, 2], 0)])
    shop.at = NOW + timedelta(days=1)
    [rest] = shop.file("Birch", [visit([2], 1)])
    assert rest.row.uid != there.row.uid
    assert shop.rows[there.row.calendar, there.row.uid] == there.row


def test_what_was_begun_stays_and_its_rest_is_another_visit():
    """Somebody was there and the rest goes on tomorrow: neither moved nor cancelled; while it goes on it is the same."""
    shop = Shop()
    [there] = shop.file("Birch", [visit([1, 2], 0)])
    shop.at = there.row.start + timedelta(minutes=30)
    been = {there.row.uid}
    [rest] = named([visit([2], 1)], shop.written, seed="s", to_crews=True, now=shop.at, been=been)
    assert rest.uid != there.row.uid
    assert [
        one.row.uid for one in to_write("crew Birch", [rest], shop.written, shop.at, been, today=midnight(shop.at))
    ] == [rest.uid]
    [same] = named([visit([2], 0)], shop.written, seed="s", to_crews=True, now=shop.at, been=been)
    assert same.uid == there.row.uid


def test_a_word_that_changes_raises_the_number_and_nothing_else_does():
    """The address changed: the next number and instant of change; written again: neither."""
    shop = Shop()
    event = visit([1], 1)
    shop.file("Birch", [event])
    shop.at = NOW + timedelta(hours=1)
    moved = replace(event, to_crew=replace(event.to_crew, address="10 Quarry Road"))
    [after] = shop.file("Birch", [moved])
    assert (after.row.sequence, after.row.changed_at) == (1, shop.at)
    shop.at = NOW + timedelta(hours=1, minutes=30)
    [again] = shop.file("Birch", [moved])
    assert (again.row, again.changed) == (after.row, False)


def test_the_customer_is_told_under_other_uids_than_the_crew():
    """Who imports both calendars has two events, not one that changes its words each time."""
    event = visit([1], 1)
    [crew] = named([event], (), seed="s", to_crews=True, now=NOW)
    [house] = named([event], (), seed="s", to_crews=False, now=NOW)
    assert crew.uid != house.uid
    [told] = to_write(job_calendar(4), [house], (), NOW, today=midnight(NOW))
    assert (told.row.summary, told.said) == ("at the house", event.to_house)


def test_two_shops_never_share_a_uid():
    """A sub who works for two shops with a job 4 each keeps both."""
    uids = {named([visit([1], 1)], (), seed=seed, to_crews=True, now=NOW)[0].uid for seed in ("one", "other")}
    assert len(uids) == 2
