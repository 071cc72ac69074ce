"""Screens as pictures, at the three sizes they are made for. Nothing in them depends on the machine or the hour."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from urllib.parse import unquote

import pytest
from textual.pilot import Pilot

from crewjobs.screens.app import CrewApp
from tests.screens.conftest import press, settled
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]

PICTURES = {
    "waiting_120": ((120, 36), ()),
    "waiting_40": ((40, 20), ("down", "down", "down")),
    "week_120": ((120, 36), ("2",)),
    "week_80": ((80, 24), ("2", "down")),
    "jobs_80": ((80, 24), ("3",)),
    "job_120": ((120, 36), ("3", "enter")),
    "why_40": ((40, 20), ("3", "enter", "y")),
    "what_if_80": ((80, 24), ("2", "i")),
    "when_40": ((40, 20), ("2", "i", "end", "enter")),
    "on_site_40": ((40, 20), ("4",)),
    "rooms_120": ((120, 36), ("5", "right")),
    "rooms_80": ((80, 24), ("5", "right", "right")),
    "rooms_40": ((40, 20), ("5",)),
    "rooms_bare_80": ((80, 24), ("5", "right_square_bracket")),
    "layout_120": ((120, 36), ("5", "L")),
    "layout_40": ((40, 20), ("5", "L", "right")),
    "rates_120": ((120, 36), ("6",)),
    "rates_80": ((80, 24), ("6", "down")),
    "rates_40": ((40, 20), ("6",)),
    "estimates_120": ((120, 36), ("6", "v", "down")),
    "estimates_40": ((40, 20), ("6", "v")),
    "odds_40": ((40, 20), ("3", "enter", "c", "enter")),
    "refused_40": ((40, 20), ("4", "right", "enter")),
    "help_80": ((80, 24), ("question_mark",)),
    "daylight_80": ((80, 24), ("b",)),
}


@pytest.mark.parametrize("name", PICTURES)
def test_screen_looks_as_it_did(
    name: str, office: FakeOffice, make_app: MakeApp, snap_compare: Callable[..., bool]
) -> None:
    """A screen at its size looks as it was last found good."""
    size, keys = PICTURES[name]

    async def before(pilot: Pilot[None]) -> None:
        await settled(pilot)
        await press(pilot, *keys)
        focused = pilot.app.focused
        if focused is not None and hasattr(focused, "cursor_blink"):
            focused.cursor_blink = False
            await pilot.pause()

    app = make_app(office)
    app.title = "crewjobs"
    assert snap_compare(app, terminal_size=size, run_before=before)


def test_the_picture_of_the_readme_is_one_of_these() -> None:
    """What the README shows is a picture that is compared here, so that it stays true."""
    top = Path(__file__).parents[2]
    (shown,) = re.findall(r"!\[[^\]]+\]\(([^)]+\.svg)\)", (top / "README.md").read_text(encoding="utf-8"))
    picture = top / unquote(shown)
    assert picture.is_file()
    assert picture.stem in {f"test_screen_looks_as_it_did[{name}]" for name in PICTURES}
