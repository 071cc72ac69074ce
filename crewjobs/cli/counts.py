"""Counts as they are typed: whole, or off a roll in a metric shop metres to the centimetre."""

from __future__ import annotations

import re
from typing import Final

COUNT: Final = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,2})?")


def number(text: str) -> float:
    """Return a count; whether it may be broken is for who knows the material to say.

    Raises:
        ValueError: it is no number, or has more than two places.
    """
    if "." in text and COUNT.fullmatch(text):
        return float(text)
    return int(text)
