"""A key means the same everywhere: every binding of the screens, gathered and held against one table."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator

from textual.binding import Binding
from textual.dom import DOMNode

import crewjobs.screens
from crewjobs.screens.keys import MEANINGS


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
