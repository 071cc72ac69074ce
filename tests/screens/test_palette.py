"""Both palettes can be read: contrast as WCAG 2.2 defines it, inks told apart by people of every color vision, and none needed."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest
from coloraide import Color as Judged
from rich.color import ColorType
from textual.color import Color
from textual.geometry import Region
from textual.theme import Theme

from crewjobs.screens.app import CrewApp
from crewjobs.screens.palette import DAYLIGHT, LAMP
from crewjobs.screens.widgets.field import Field
from tests.screens.conftest import press
from tests.screens.fake_office import FakeOffice
from tests.screens.test_without_colors import blinked_off


def luminance(color: str) -> float:
    """Relative luminance of an sRGB color.

    Source: Web Content Accessibility Guidelines 2.2, definition of relative luminance, w3.org/TR/WCAG22.
    """
    parts = [part / 255 for part in Color.parse(color).rgb]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21. Source: Web Content Accessibility Guidelines 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_is_right() -> None:
    """Black on white is 21 to 1, as the guidelines say."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize(("theme", "size"), [(LAMP, (80, 24)), (DAYLIGHT, (40, 20))], ids=["lamp", "daylight"])
async def test_the_field_in_use_is_plain_to_see(
    size: tuple[int, int], theme: Theme, office: FakeOffice, make_app: Callable[[FakeOffice], CrewApp]
) -> None:
    """Some of its ground stands out by 3 to 1 (WCAG 2.2, 2.4.13), its cursor blinked away, and nothing else of the form does.

    Lines, choices, boxes and buttons: of a finding, of what was agreed, of a new job, of the evening.
    """
    app = make_app(office)
    kinds, surface = set(), value(theme, "surface")
    async with app.run_test(size=size) as pilot:
        app.theme = theme.name
        for keys in (("4", "F"), ("3", "e"), ("plus",), ("4", "h")):
            await press(pilot, *keys)
            form = app.screen.query_one("#frame").region
            for _ in range(9):
                blinked_off(app.focused)
                await pilot.pause()
                for _ in range(50):
                    place = hand(app)
                    seen = grounds(app)
                    strong = {ground for ground in set(seen) if contrast(ground, surface) >= 3}
                    marked = [
                        place.contains(number % size[0], number // size[0])
                        for number, ground in enumerate(seen)
                        if ground in strong and form.contains(number % size[0], number // size[0])
                    ]
                    if marked and all(marked):
                        break
                    await pilot.pause(0.02)  # it is painted a frame after it was brought into sight
                assert marked, (keys, app.focused)
                assert all(marked), (keys, app.focused)
                kinds.add(type(app.focused).__name__)
                await press(pilot, "tab")
            await press(pilot, "escape", "escape")
    assert kinds >= {"HintedInput", "Choice", "YesNo", "Button"}


def hand(app: CrewApp) -> Region:
    """Where the field in use stands, with the words before it."""
    focused = app.focused
    assert focused is not None
    return next((node.region for node in focused.ancestors_with_self if isinstance(node, Field)), focused.region)


def grounds(app: CrewApp) -> list[str]:
    """The ground of each cell in sight."""
    cells: list[str] = []
    for line in app.screen._compositor.render_strips(app.size):
        for segment in line:
            style = segment.style
            ground = style.bgcolor.get_truecolor().hex if style and style.bgcolor else "#000000"
            cells += [ground] * segment.cell_length
    return cells


@pytest.mark.parametrize("theme", [LAMP, DAYLIGHT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ink", ["foreground", "accent", "warning", "ink-soft"])
@pytest.mark.parametrize("paper", ["background", "surface", "panel", "here", "here-dim"])
def test_text_can_be_read(theme: Theme, ink: str, paper: str) -> None:
    """Every ink on every ground has at least 4.5 to 1 (WCAG 2.2, success criterion 1.4.3, level AA)."""

    assert contrast(value(theme, ink), value(theme, paper)) >= 4.5


def value(theme: Theme, name: str) -> str:
    """A color of a palette by its name."""
    found = theme.variables.get(name) or getattr(theme, name)
    assert isinstance(found, str)
    return found


INKS = ("foreground", "accent", "warning", "ink-soft")
"""What is written, what can be acted on, what stops the work, what is said beside: the inks that tell things apart."""
APART = 10.0
"""CIEDE2000 at least between two inks: common practice, no source; about 1 is just seen side by side (from memory)."""
SIGHTS: dict[str, tuple[str, str] | None] = {
    "usual": None,
    "protanopia": ("protan", "vienot"),
    "deuteranopia": ("deutan", "vienot"),
    "tritanopia": ("tritan", "brettel"),
    "protanopia, second source": ("protan", "machado"),
    "deuteranopia, second source": ("deutan", "machado"),
    "tritanopia, second source": ("tritan", "machado"),
}
"""Color visions, simulated by coloraide with matrices of Viénot, Brettel & Mollon (1999), Digital video colourmaps for
checking the legibility of displays by dichromats; of Brettel, Viénot & Mollon (1997), which tritanopia needs; and, as a
second source, of Machado, Oliveira & Fernandes (2009), A physiologically-based model for simulation of color vision
deficiency. The papers are named from memory; their figures are coloraide's."""


def as_seen(color: str, sight: tuple[str, str] | None) -> Judged:
    """Return a color as somebody of that color vision is simulated to see it."""
    judged = Judged(color)
    return judged if sight is None else judged.filter(sight[0], method=sight[1])


@pytest.mark.parametrize("theme", [LAMP, DAYLIGHT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("sight", SIGHTS)
def test_inks_are_told_apart(theme: Theme, sight: str) -> None:
    """Any two inks differ enough (CIEDE2000, ISO/CIE 11664-6) in every one of the three common deficiencies."""
    for one, other in combinations(INKS, 2):
        seen = [as_seen(value(theme, name), SIGHTS[sight]) for name in (one, other)]
        assert seen[0].delta_e(seen[1], method="2000") >= APART, (one, other)


def test_the_judge_of_distances_is_right() -> None:
    """The first pair of the published test data of CIEDE2000: 2.0425.

    Source: Sharma, Wu & Dalal (2005), The CIEDE2000 color-difference formula: implementation notes, table 1 (from memory).
    """
    one, other = Judged("lab-d65", [50, 2.6772, -79.7751]), Judged("lab-d65", [50, 0, -82.7485])
    assert one.delta_e(other, method="2000", space="lab-d65") == pytest.approx(2.0425, abs=5e-4)


def test_the_judge_of_sights_is_right() -> None:
    """It sees what is confused: red and green of equal lightness come close without red cones or green ones, not otherwise."""
    red, green = "#b05a3c", "#7f7a3c"
    apart = Judged(red).delta_e(Judged(green), method="2000")
    for sight in ("deuteranopia", "deuteranopia, second source"):
        near = as_seen(red, SIGHTS[sight]).delta_e(as_seen(green, SIGHTS[sight]), method="2000")
        assert near < apart / 2


@pytest.mark.parametrize("keys", [("1",), ("2",), ("3", "enter"), ("4",), ("5",), ("6",), ("4", "w")], ids="-".join)
async def test_without_colors_there_are_none(
    keys: tuple[str, ...],
    office: FakeOffice,
    make_app: Callable[[FakeOffice], CrewApp],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With NO_COLOR set nothing is colored, and what is selected is still told: by its mark, or underlined or reversed."""
    monkeypatch.setenv("NO_COLOR", "1")
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *keys)
        strips = app.screen._compositor.render_strips(app.size)
        segments = [segment for strip in strips for segment in strip if segment.style is not None]
        colors = {color for one in segments for color in (one.style.color, one.style.bgcolor) if color is not None}
        assert {color.type for color in colors} <= {ColorType.DEFAULT}
        marked = [one for one in segments if "▌" in one.text or one.style.underline or one.style.reverse]
        assert marked
