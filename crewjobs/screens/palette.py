"""The program's own two palettes: a lamp at the kitchen table, and daylight.

Warm paper and ink, one blue for what can be acted on and for instants, one amber for what stops the work: two hues
that people of every color vision tell apart. Nothing is said by color alone; every state also has its word.
"""

from __future__ import annotations

from textual.theme import Theme

LAMP = Theme(
    name="lamp",
    dark=True,
    background="#1b1a17",
    surface="#22211d",
    panel="#2c2a25",
    foreground="#e8e2d4",
    primary="#86b6d9",
    secondary="#a8a08d",
    accent="#86b6d9",
    warning="#e3ab62",
    error="#e3ab62",
    success="#86b6d9",
    variables={
        "ink-soft": "#aaa290",
        "ink-rule": "#6a6455",
        "here": "#33393d",
        "here-dim": "#2a2a26",
        "border": "#6a6455",
        "scrollbar": "#4a463c",
        "scrollbar-hover": "#6a6455",
        "scrollbar-active": "#86b6d9",
        "scrollbar-background": "#1b1a17",
        "scrollbar-background-hover": "#1b1a17",
        "scrollbar-background-active": "#1b1a17",
        "scrollbar-corner-color": "#1b1a17",
        "input-cursor-background": "#e8e2d4",
        "input-cursor-foreground": "#1b1a17",
        "input-selection-background": "#3d5566",
    },
)

DAYLIGHT = Theme(
    name="daylight",
    dark=False,
    background="#faf7f0",
    surface="#f2ede2",
    panel="#e9e2d3",
    foreground="#26231c",
    primary="#14567f",
    secondary="#665e4e",
    accent="#14567f",
    warning="#8a4b00",
    error="#8a4b00",
    success="#14567f",
    variables={
        "ink-soft": "#625b4c",
        "ink-rule": "#a89f8b",
        "here": "#d9e6ee",
        "here-dim": "#ece6d8",
        "border": "#a89f8b",
        "scrollbar": "#cbc2ae",
        "scrollbar-hover": "#a89f8b",
        "scrollbar-active": "#14567f",
        "scrollbar-background": "#faf7f0",
        "scrollbar-background-hover": "#faf7f0",
        "scrollbar-background-active": "#faf7f0",
        "scrollbar-corner-color": "#faf7f0",
        "input-cursor-background": "#26231c",
        "input-cursor-foreground": "#faf7f0",
        "input-selection-background": "#b9d3e3",
    },
)
