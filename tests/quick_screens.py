"""Screens driven by tests: style sheets are parsed once in a process, and a test waits no longer than something moves.

An app parses its style sheets anew, which takes a tenth of a test's time; equal text under equal variables gives equal
rules, and within an app Textual shares them itself. A pause of Textual's takes at least 20 ms, after each key two of
them; most of a test of screens was waiting. Here it looks every 4 ms, and goes on for as long as something moves.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from textual import _wait
from textual.app import App
from textual.css.stylesheet import Stylesheet
from textual.message_pump import MessagePump
from textual.pilot import Pilot
from textual.screen import Screen

LOOK_AFTER = 0.004
"""Seconds between two looks whether a program goes on working."""
LOOKS_AT_MOST = 50
"""Looks at a screen on which something moves without end, such as a clock."""


def at_rest(app: App[Any]) -> bool:
    """Return whether nothing is on its way: no worker, no message, no layout and no painting on the screen in front."""
    return not len(app.workers) and _is_still(app)


def _is_still(app: App[Any]) -> bool:
    return app._exit or (  # what ends reads its messages no more
        _has_none_to_read(app)
        # What lies behind, also behind a dialog, lays itself out and paints when it is in front again.
        and _is_drawn(app.screen)
        and all(_has_read_its_messages(screen) for screen in app.screen_stack)
    )


def _is_drawn(screen: Screen[Any]) -> bool:
    return not (
        screen._layout_required
        or screen._scroll_required
        or screen._repaint_required
        or screen._recompose_required
        or screen._dirty_widgets
    )


def _has_read_its_messages(screen: Screen[Any]) -> bool:
    return not screen._callbacks and all(_has_none_to_read(one) for one in screen.walk_children(with_self=True))


def _has_none_to_read(pump: MessagePump) -> bool:
    """One that was taken out of the queue while another was handled lies in a place of its own."""
    return pump._message_queue.empty() and pump._pending_message is None and not pump._next_callbacks


@contextmanager
def installed() -> Iterator[None]:
    """Have style sheets parsed once, and pauses end as soon as nothing moves."""
    parse, parsed = Stylesheet._parse_rules, {}
    pause = Pilot.pause

    def parse_once(sheet: Stylesheet, css: str, read_from: Any, *rest: Any, **named: Any) -> Any:
        key = (css, read_from, rest, tuple(named.items()), tuple(sheet._variables.items()))
        if key not in parsed:
            parsed[key] = parse(sheet, css, read_from, *rest, **named)
        return parsed[key]

    async def pause_while_it_moves(pilot: Pilot[Any], delay: float | None = None) -> None:
        await pause(pilot, delay)
        for _ in range(LOOKS_AT_MOST if delay is None else 0):
            if _is_still(pilot.app):
                break
            await asyncio.sleep(LOOK_AFTER)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Stylesheet, "_parse_rules", parse_once)
        patch.setattr(Pilot, "pause", pause_while_it_moves)
        patch.setattr(_wait, "SLEEP_GRANULARITY", LOOK_AFTER)
        yield
