"""Both palettes can be read: contrast as WCAG 2.2 defines it."""

from __future__ import annotations

import pytest
from textual.color import Color
from textual.theme import Theme

from crewjobs.screens.palette import DAYLIGHT, LAMP


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


@pytest.mark.parametrize("theme", [LAMP, DAYLIGHT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ink", ["foreground", "accent", "warning", "ink-soft"])
@pytest.mark.parametrize("paper", ["background", "surface", "panel", "here", "here-dim"])
def test_text_can_be_read(theme: Theme, ink: str, paper: str) -> None:
    """Every ink on every ground has at least 4.5 to 1 (WCAG 2.2, success criterion 1.4.3, level AA)."""

    def value(name: str) -> str:
        return theme.variables.get(name) or getattr(theme, name)

    assert contrast(value(ink), value(paper)) >= 4.5
