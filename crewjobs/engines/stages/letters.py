"""The marks of things in a drawing and its legend."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from typing import Final

_LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"


def letters() -> Iterator[str]:
    """Yield A, B, … Z, AA, AB and on, without I and O, which are read as figures."""
    for number in count():
        mark, rest = "", number
        while rest >= 0:
            mark, rest = _LETTERS[rest % len(_LETTERS)] + mark, rest // len(_LETTERS) - 1
        yield mark
