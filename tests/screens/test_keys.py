"""A key means the same everywhere: every binding of the screens, gathered and held against one table."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator

import pytest
from textual.binding import Binding
from textual.dom import DOMNode

import crewjobs.screens
from crewjobs.screens.app import CrewApp
from crewjobs.screens.keys import MEANINGS
from tests.screens.conftest import press
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


def bound() -> Iterator[tuple[type, Binding, str]]:
    """Yield each class of ours that binds keys, the binding, and each of its keys."""
    for module in pkgutil.walk_packages(crewjobs.screens.__path__, "crewjobs.screens."):
        for found in vars(importlib.import_module(module.name)).values():
            ours = isinstance(found, type) and issubclass(found, DOMNode) and found.__module__ == module.name
            for binding in vars(found).get("BINDINGS", ()) if ours else ():
                for key in binding.key.split(","):
                    yield found, binding, key


def test_a_key_means_the_same_everywhere() -> None:
    """No key does one thing on one screen and another elsewhere: its action is the table's."""
    wrong = [
        f"{owner.__name__}: {key} does {binding.action}, not {MEANINGS.get(key, ('nothing',))[0]}"
        for owner, binding, key in bound()
        if binding.action.partition("(")[0] != MEANINGS.get(key, ("nothing",))[0]
    ]
    assert not wrong


def test_no_two_keys_mean_the_same_thing() -> None:
    """Who learns one meaning learns one key for it: only keys of the same hand movement share an action."""
    together = {
        "choose": {"enter", "space"},
        "help": {"question_mark", "f1"},
        "go": {"1", "2", "3", "4", "5", "6"},
        "walk": {"up", "down", "k", "j"},
        "step": {"left", "right"},
        "leaf": {"pageup", "pagedown"},
        "far": {"home", "end"},
        "turn": {"left_square_bracket", "right_square_bracket"},
    }
    by_action: dict[str, set[str]] = {}
    for key, (action, _) in MEANINGS.items():
        by_action.setdefault(action, set()).add(key)
    assert {action: keys for action, keys in by_action.items() if len(keys) > 1} == together


def test_the_table_says_nothing_of_keys_that_do_nothing() -> None:
    """Every key of the table is bound somewhere."""
    assert {key for _, _, key in bound()} == set(MEANINGS)


@pytest.mark.parametrize(
    ("keys", "did"),
    [
        (("6", "e", *"300", "ctrl+s"), "pin_rate"),
        (("2", "enter", "enter", "ctrl+s"), "pin"),
        (("2", "i", "enter", *"Birch", "enter", "ctrl+s"), "what if"),
        (("3", "enter", "c", "ctrl+s", "ctrl+s"), "edit"),
        (("4", "f", *"50 %", "ctrl+s"), "how_far"),
        (("4", "h", "ctrl+s"), "evening"),
    ],
)
async def test_ctrl_s_presses_the_main_button_of_every_dialog(
    office: FakeOffice, make_app: MakeApp, keys: tuple[str, ...], did: str
) -> None:
    """A rate by hand and the place of a visit are kept by it, too; what only looks something up is looked up."""
    app = make_app(office)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, *keys)
        assert [call[0] for call in office.calls] == [did]
