"""The demo's past as a list of what happened."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.files.history_events import Arrival, MovedIn, Ready, TaskName
from crewjobs.files.history_file import EVENTS, SHOP, Happened, read_history
from crewjobs.services.demonstration import demo_past
from tests.files.samples import changed

ZONES = {4: "America/Chicago", 5: "America/Los_Angeles"}
PAST = """
[[happened]]
job = 4
at = "2026-02-27 14:00"
arrived = { material = "harbor plank", cartons = 12, in_rooms = true }

[[happened]]
job = 4
at = "2026-02-27 14:30"
ready = { asked = "Odalys Brandt" }

[[happened]]
job = 5
at = "2026-02-27 14:00"
moved_in = { material = "harbor plank" }

[[happened]]
job = 4
at = "2026-02-27 16:30"
ticked = ["carpet-out: living, window half", "protect-house"]
because = "the customer asked for it"
crew = "Birch"
"""


def test_what_happened_is_read_in_order() -> None:
    """Each entry becomes a typed value at an instant of its own site."""
    assert read_history(PAST, "history.toml", ZONES) == (
        Happened(
            job=4,
            at=datetime(2026, 2, 27, 20, tzinfo=UTC),
            arrived=Arrival(material="harbor plank", cartons=12, lot="A", in_rooms=True),
        ),
        Happened(job=4, at=datetime(2026, 2, 27, 20, 30, tzinfo=UTC), ready=Ready(asked="Odalys Brandt")),
        Happened(job=5, at=datetime(2026, 2, 27, 22, tzinfo=UTC), moved_in=MovedIn(material="harbor plank", lot="A")),
        Happened(
            job=4,
            at=datetime(2026, 2, 27, 22, 30, tzinfo=UTC),
            ticked=(TaskName(template="carpet-out", where="living, window half"), TaskName(template="protect-house")),
            because="the customer asked for it",
            crew="Birch",
        ),
    )


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("job = 5", "job = 9", "happened 3, key 'job': there is no job 9"),
        ('"2026-02-27 16:30"', '"2026-02-27 13:30"', "list what happened in order"),
        ('"2026-02-27 16:30"', '"2026-02-30 13:30"', "happened 4, key 'at': '2026-02-30 13:30' does not exist"),
        ("ticked =", "tickt =", "happened 4, key 'tickt': unknown key; did you mean 'ticked'?"),
        ("cartons = 12", "cartons = 0", "happened 1, arrived, key 'cartons': '0' is not between 1"),
        ('moved_in = { material = "harbor plank" }', "", "happened 3: give exactly one of arrived, moved_in, checked"),
        ('"protect-house"', '": house"', "names no task"),
    ],
)
def test_each_fault_has_its_sentence(old: str, new: str, sentence: str) -> None:
    """One mistake in a good file: the file is refused, and the sentence says where and what would be right."""
    with pytest.raises(Refused) as caught:
        read_history(changed(PAST, old, new), "history.toml", ZONES)
    assert any(sentence in fault for fault in caught.value.sentences), caught.value.sentences


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        ('not_ready = { items = ["pant"] }', "happened 1, not_ready, key 'items', item 1: 'pant' is not known"),
        ('waiting_on = { who = "plumber" }', "happened 1, waiting_on, key 'what': missing"),
        ('waiting_on = { who = "baker", what = "rolls" }', "happened 1, waiting_on, key 'who': 'baker' is not known"),
        ('goods = { goods = "stair nose", count = 0 }', "happened 1, goods, key 'count': '0' is not between 1"),
        ('how_far = { task = ": den", done = 9, whole = 19, unit = "rows" }', "names no task"),
        ('asked = { of = "" }', "happened 1, asked, key 'of': it is empty"),
        ('closed = { because = "done" }\nmoney = { fact = "deposit" }', "happened 1: give exactly one of arrived"),
    ],
)
def test_events_of_every_kind_are_checked(event: str, sentence: str) -> None:
    """What an event lacks or cannot be is said with its place."""
    with pytest.raises(Refused) as caught:
        read_history(f'[[happened]]\njob = 4\nat = "2026-02-27 14:00"\n{event}\n', "history.toml", ZONES)
    assert any(sentence in fault for fault in caught.value.sentences), caught.value.sentences


def test_only_people_away_are_the_shops() -> None:
    """Somebody away happens to the shop and needs no job; anything else does."""
    zones = {SHOP: "America/Chicago", **ZONES}
    away = '[[happened]]\nat = "2026-02-27 14:00"\naway = { worker = "Tobiah Lund", day = 2026-03-03 }\n'
    (happened,) = read_history(away, "history.toml", zones)
    assert happened.job == SHOP
    with pytest.raises(Refused, match="happened 1, key 'job': missing; write the number of the job"):
        read_history(
            away.replace('away = { worker = "Tobiah Lund", day = 2026-03-03 }', 'asked = { of = "A" }'), "h", zones
        )


def test_the_demo_can_tell_every_event() -> None:
    """No event can be written that the demo does not tell to a use case."""
    assert set(EVENTS) == {*demo_past._TOLD, "started", "ticked", "crew_hours", "callback", "change_order"}
