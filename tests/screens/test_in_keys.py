"""What the office tells as commands, the screens tell as keys."""

from __future__ import annotations

import pytest

from crewjobs.cli.commands import COMMANDS
from crewjobs.screens.in_keys import KEYS, in_keys
from crewjobs.screens.keys import MEANINGS


@pytest.mark.parametrize(
    ("sentence", "told"),
    [
        ("settle it, then plan again: `crewjobs plan`", "settle it, then plan again: p in Week"),
        ("tell when: `crewjobs ready 7 --item power`; overdue", "tell when: r (house ready); overdue"),
        ("do it: `crewjobs tick 4 25`", "do it: Enter on task 25"),
        ("do it: `crewjobs tick 4 25 26`", "do it: Enter on tasks 25 and 26"),
        ("anew: `crewjobs moves 4 --from-here`", "anew: m in Rooms"),
        ("see `crewjobs heights 4`", "see `crewjobs heights 4`"),
        ("crewjobs plan", "crewjobs plan"),
    ],
)
def test_a_command_is_told_as_its_key(sentence: str, told: str) -> None:
    """A command with a key becomes it; one without, and what is none, stays."""
    assert in_keys(sentence) == told


def test_every_command_told_so_is_one() -> None:
    """No entry names a command that there is not, or a key that does not exist."""
    assert set(KEYS) <= {name for name, _ in COMMANDS}
    displays = {"^p": "ctrl+p", "Enter": "enter"}
    for words in KEYS.values():
        key = words.split()[0]
        assert displays.get(key, key) in {*MEANINGS, "ctrl+p"}, words
