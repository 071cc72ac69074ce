"""Screens driven by tests: style sheets are parsed once in a process, and a test waits no longer than something moves.

An app parses its style sheets anew, which takes a tenth of a test's time; equal text under equal variables gives equal
rules, and within an app Textual shares them itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from textual.app import App
from textual.css.stylesheet import Stylesheet
from textual.screen import Screen


def at_rest(app: App[Any]) -> bool:
    """Return whether nothing is on its way: no worker, no message, no layout, no painting, on no screen that is in sight."""
    return (
        not len(app.workers)
        and not app._next_callbacks
        and app._message_queue.empty()
        and all(_is_drawn(screen) for screen in app.screen_stack)  # a dialog leaves what lies behind it in sight
    )


def _is_drawn(screen: Screen[Any]) -> bool:
    return not (
        screen._layout_required
        or screen._scroll_required
        or screen._repaint_required
        or screen._recompose_required
        or screen._dirty_widgets
        or screen._callbacks
    ) and all(one._message_queue.empty() and not one._next_callbacks for one in screen.walk_children(with_self=True))


@contextmanager
def installed() -> Iterator[None]:
    """Have style sheets parsed once."""
    parse, parsed = Stylesheet._parse_rules, {}

    def parse_once(sheet: Stylesheet, css: str, read_from: Any, *rest: Any, **named: Any) -> Any:
        key = (css, read_from, rest, tuple(named.items()), tuple(sheet._variables.items()))
        if key not in parsed:
            parsed[key] = parse(sheet, css, read_from, *rest, **named)
        return parsed[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Stylesheet, "_parse_rules", parse_once)
        yield
