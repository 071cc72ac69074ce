"""The furniture that comes with the program: how large pieces usually are and what usually stands in a room."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from crewjobs.domain.furniture import UsualFurniture, UsualPiece
from crewjobs.files.values import read_two_lengths


@cache
def usual_furniture() -> UsualFurniture:
    """Return it, read once: its file does not change while the program runs."""
    data = tomllib.loads((files("crewjobs") / "catalogue" / "furniture.toml").read_text(encoding="utf-8"))
    entries = {**data["piece"], **data["appliance"]}
    return UsualFurniture(
        pieces=tuple(_piece(name, entry) for name, entry in entries.items()),
        rooms=tuple((kind, tuple(pieces.items())) for kind, pieces in data["room"].items()),
        words=tuple((word, name) for name, entry in entries.items() for word in entry.get("words", ())),
    )


def _piece(name: str, entry: Mapping[str, Any]) -> UsualPiece:
    length, width = read_two_lengths(entry["size"], "a size")
    return UsualPiece(
        name=name,
        length=length,
        width=width,
        weight_lb=entry["lb"],
        people=entry.get("people", 1),
        set_down_min=entry.get("set_down", 0),
        stack=entry.get("stack", 1),
        power=entry.get("power", False),
        sleeps=entry.get("sleeps", 0),
    )
