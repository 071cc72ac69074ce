"""A subfloor that was read under the straightedge: what it holds, until when, and what plans it anyway."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import pytest

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import WayTaken
from crewjobs.domain.job import JobRecord
from crewjobs.domain.reading import Reading, ReadingKind
from crewjobs.domain.tasks import Scope, ScopeKind, Task, TaskKey
from crewjobs.engines.readiness.flat import LEVELS, UNEVEN
from crewjobs.engines.readiness.hold import HoldKind
from crewjobs.engines.readiness.holds import cannot_be_planned, holds
from crewjobs.files.catalogue import finding_kinds, read_catalogue
from tests.builders import central, material, record, task

PLANK = material()
EIGHT, NINE, TEN = (central("2026-03-02", f"{hour:02}:00") for hour in (8, 9, 10))
QUARTER = 0.25


def in_room(number: int, template: str, **given) -> Task:
    made = task(number, template, **given)
    return replace(made, key=TaskKey(template=template, scope=Scope(kind=ScopeKind.SECTION, name="living")))


def flat(*values: float, at: datetime = EIGHT) -> Reading:
    return Reading(kind=ReadingKind.FLATNESS, at=at, room="living", values=values)


def room(*readings: Reading, more: tuple[Task, ...] = ()) -> JobRecord:
    rows = in_room(1, "lay-click-vinyl", needs_material=PLANK.name)
    return replace(record([rows, *more], materials=[PLANK]), readings=readings)


def level(found: JobRecord, at: datetime = TEN) -> list[str]:
    return [hold.what for hold in holds(found, found.tasks[0], at) if hold.kind is HoldKind.LEVEL]


@pytest.mark.parametrize(
    ("gap", "held"), [(3 / 16, False), (QUARTER, True)]
)  # ASTM F710: 3/16 in 10 ft for resilient floors
def test_the_limit(gap: float, held: bool) -> None:
    """At the limit it is flat; over it the rows are held, and the words say both."""
    found = level(room(flat(1 / 8, gap)))
    assert bool(found) is held
    assert not held or '1/4" under the straightedge, 3/16" in 10 ft at most' in found[0]


def test_nothing_read_says_nothing_and_the_last_reading_counts() -> None:
    """Read flat again after it was not: nothing is held; what is read later does not hold before."""
    assert not level(room())
    assert not level(room(flat(QUARTER), flat(1 / 8, at=NINE)))
    assert not level(room(flat(QUARTER, at=TEN)), NINE)


def test_who_levels_decides_whether_it_can_be_planned() -> None:
    """With nobody to level it there is no day; with leveling to come, or done since, rows are planned and held until it is read."""
    alone = room(flat(QUARTER))

    def nobody(found: JobRecord) -> bool:
        return "no task levels it" in cannot_be_planned(found, TEN)[1]

    assert nobody(alone)
    to_come = room(flat(QUARTER), more=(in_room(2, "patch"),))
    done = room(flat(QUARTER), more=(replace(in_room(2, "patch"), started_at=EIGHT, done_at=NINE),))
    before = room(flat(QUARTER, at=TEN), more=(replace(in_room(2, "patch"), started_at=EIGHT, done_at=NINE),))
    elsewhere = room(flat(QUARTER), more=(task(2, "patch"),))
    for found in (to_come, done):
        assert not nobody(found)
        assert level(found)
    for found in (before, elsewhere):
        assert nobody(found)


def test_a_way_on_from_a_dip_stands_for_the_reading() -> None:
    """Leveled or accepted by the lead after it was read: the reading holds nothing any more; one taken later does again."""
    dip = Finding(place="living", kind="dip", at=EIGHT, what="dip", by="Ines Varga", holds=(1,))
    way = WayTaken(found_at=EIGHT, place="living", kind="dip", way="leveled", at=NINE, by="Ines Varga")
    found = replace(room(flat(QUARTER)), findings=(dip,), ways_taken=(way,))
    assert level(found, EIGHT)
    assert not level(found)
    assert level(replace(found, readings=(flat(QUARTER), flat(QUARTER, at=TEN))))


def test_templates_and_kinds_are_the_catalogues() -> None:
    """What levels and what is uneven exist by those names."""
    assert {template.key for template in read_catalogue().templates} >= LEVELS
    assert {kind.key for kind in finding_kinds()} >= UNEVEN
