"""The top of every screen: the six screens by their keys, the shop, the time."""

from __future__ import annotations

from datetime import datetime

from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, Target, cell_len, width_of
from crewjobs.screens.widgets.drawn import Drawn
from crewjobs.screens.words import instant

PLACES = (
    ("waiting", "1 Waiting"),
    ("week", "2 Week"),
    ("jobs", "3 Jobs"),
    ("on_site", "4 On site"),
    ("rooms", "5 Rooms"),
    ("rates", "6 Rates"),
)
"""The screens in the order of their keys: the app's mode and what is written."""
_SHORT = {"waiting": "1 Wait", "on_site": "4 Site"}
"""What is written where six names have no room."""
_WIDE, _NARROW, _NARROWEST = 90, 57, 46
"""Columns from which names stand apart, are written in full, and are written with a blank after their key."""


class Headline(Drawn):
    """Which screen this is, by its name in bold and the heavy part of the rule below."""

    shop: reactive[str] = reactive("")
    demo: reactive[bool] = reactive(False)
    now: reactive[datetime | None] = reactive(None)
    busy: reactive[str] = reactive("")
    """What is at work for a key that was pressed: said in the place of shop and time."""

    def __init__(self, here: str) -> None:
        super().__init__()
        self.here = here

    def draw(self, width: int) -> list[Line]:
        """Names of the screens with a rule below."""
        lead, gap = (" ", " ") if _NARROW <= width < _WIDE else ("", "   " if width >= _WIDE else " ")
        names: Line = [] if lead else [Piece(" ")]
        before = after = 0
        for mode, full in PLACES:
            name = full if width >= _NARROW else _SHORT.get(mode, full)
            name = name if width >= _NARROWEST else name.replace(" ", "")
            if mode == self.here:
                before = width_of(names) + len(lead)
                after = before + cell_len(name)
            names.append(Piece(f"{lead}{name}{gap}", "strong" if mode == self.here else "muted", mode))
        room = width - width_of(names) - 1
        busy = f"{self.busy} …" if self.busy else ""
        below = cell_len(busy) > room
        right = "" if below else busy or self._where_and_when(room)
        rest = width - width_of(names) - cell_len(right)
        left, behind = before, max(width - after, 0)
        # On a phone the rule says what is at work, at its end or, with the last screen in front, at its beginning.
        busy = f" {busy} " if below else ""
        tail = busy if cell_len(busy) <= behind else ""
        lead_in = busy if not tail and cell_len(busy) <= left else ""
        rule: Line = [
            Piece(lead_in, "muted"),
            Piece("─" * (left - cell_len(lead_in)), "rule"),
            Piece("━" * (after - before), "bar"),
            Piece("─" * (behind - cell_len(tail)), "rule"),
            Piece(tail, "muted"),
        ]
        above: Line = [*names, Piece(" " * max(rest, 0)), Piece(right, "muted")]
        return [[piece for piece in line if piece.text] for line in (above, rule)]

    def _where_and_when(self, room: int) -> str:
        shop = f"{self.shop} (demo)" if self.demo and self.shop else self.shop
        when = instant(self.now) if self.now else ""
        demo = f"demo   {when}" if self.demo else when
        for text in (f"{shop}   {when}", demo, when):
            if cell_len(text) + 1 <= room:
                return f"{text.strip()} "
        return ""

    def clicked(self, target: Target) -> None:
        """Go to the screen that was clicked."""
        self.app.switch_mode(str(target))
