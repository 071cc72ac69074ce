"""The demo's past as a list of what happened."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.files.history_file import Arrival, Happened, MovedIn, Ready, TaskName, read_history
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
        ('moved_in = { material = "harbor plank" }', "", "happened 3: give exactly one of arrived, moved_in, ready"),
        ('"protect-house"', '": house"', "names no task"),
    ],
)
def test_each_fault_has_its_sentence(old: str, new: str, sentence: str) -> None:
    """One mistake in a good file: the file is refused, and the sentence says where and what would be right."""
    with pytest.raises(Refused) as caught:
        read_history(changed(PAST, old, new), "history.toml", ZONES)
    assert any(sentence in fault for fault in caught.value.sentences), caught.value.sentences
