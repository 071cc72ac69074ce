"""A line to type in whose example, shown while it is empty, fits it: cut at a word, or left away."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from rich.cells import cell_len
from textual.widgets import Input

if TYPE_CHECKING:
    from textual import events


class HintedInput(Input):
    """An input with as much of its placeholder as there is room for."""

    def __init__(self, value: str = "", placeholder: str = "", **given: Any) -> None:
        super().__init__(value, placeholder=placeholder, **given)
        self._hint = placeholder

    def on_resize(self, _event: events.Resize) -> None:
        """Show what fits now."""
        self.placeholder = fitted(self._hint, self.scrollable_content_region.width)


def fitted(hint: str, width: int) -> str:
    """Return a hint in at most `width` cells: whole, its first words and an ellipsis, or nothing; brackets stay in pairs."""
    if cell_len(hint) <= width:
        return hint
    before, after = ("(", ")") if hint.startswith("(") and hint.endswith(")") else ("", "")
    inner = hint.removeprefix(before).removesuffix(after)
    ends = [found.start() for found in re.finditer("[,;] ", inner)]
    words = inner[: ends[0] if ends else None].split()
    shorter = [inner[:end] for end in reversed(ends)]  # between two things rather than within one
    shorter += [" ".join(words[:n]) for n in range(len(words) - 1, 0, -1)]
    for told in (one.rstrip(",;: …") for one in shorter):
        cut = f"{before}{told} …{after}"
        if told.count("(") == told.count(")") and cell_len(cut) <= width:
            return cut
    return ""
