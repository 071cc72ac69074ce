"""Which column of a list was what of a job, kept for the next list with the same heading."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ListMapping:
    """What the columns of a heading are taken as, in their order; empty for those left alone."""

    heading: str
    taken_as: tuple[str, ...]


def heading_of(columns: Sequence[str]) -> str:
    """Return a heading as it is found again: its columns' names in their order, whatever their case."""
    return json.dumps([column.casefold() for column in columns], ensure_ascii=False)
