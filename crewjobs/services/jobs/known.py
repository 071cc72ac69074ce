"""The task templates that pages and warnings know by name. A test holds them to the catalogue."""

from __future__ import annotations

from typing import Final

FURNITURE_OUT: Final = "move-furniture-out"
TOILET_OUT: Final = "toilet-out"
TOILET_BACK: Final = "toilet-back"
WOOD_READING: Final = "wood-reading"
GAS_APPLIANCES_OUT: Final = "gas-appliances-out"
GAS_APPLIANCES_BACK: Final = "gas-appliances-back"
LABORATORY_ANSWER: Final = "laboratory-answer"
APPLIANCES_OUT: Final = "appliances-out"
PLUMBED_APPLIANCES_OUT: Final = "plumbed-appliances-out"
HAND_OVER: Final = "walk-through-after"
WALK_BEFORE: Final = "walk-through-before"
PROTECTION_DOWN: Final = "protect-house"
"""The task from which on the air handler is off while there is work, and its grille covered."""
VENTS_BACK: Final = "vents-back"
PROTECTION_UP: Final = "uncover-house"
"""The task by whose title the air handler runs again."""
PLYWOOD_IN: Final = "carry-in-plywood"
AROUND_OBSTACLES: Final = "around-obstacles"
"""The task that is done as the rows reach what comes through the floor."""
READINGS: Final = frozenset({WOOD_READING, "room-reading", "wood-subfloor-reading", "slab-test-read"})
"""Tasks in which a meter is read."""
LAYING: Final = frozenset(
    {
        "lay-click-vinyl",
        "lay-laminate",
        "lay-floating-wood",
        "lay-glued-vinyl",
        "lay-glued-wood",
        "nail-first-rows",
        "lay-nailed",
        "nail-last-rows",
        "rough-cut-sheet",
    }
)
"""Tasks in which planks are cut and laid, or drops are cut."""
