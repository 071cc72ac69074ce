"""What was printed: a fact that left the house. Which sheet somebody holds is told by its revision."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum


class SheetKind(StrEnum):
    """The kinds of pages that are printed."""

    DAY_PLAN = "day plan"
    WEEK_SHEET = "week sheet"
    NOTICE = "notice"
    HOUSE_READY = "house-ready questions"
    JOB_RECORD = "job record"
    SHOPPING_LIST = "shopping list"


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedSheet:
    """One revision of a sheet, as it was printed first; `printed_at` is UTC.

    `kind` and `about` tell which sheet it is, such as a day plan and ``Birch 2026-03-03``; `name` is what people call it.
    Revisions of a sheet count from 1 and rise where it says something else than before: `digest` is of all that it said but
    when it was printed and on which paper. `day` is the first day it speaks of, None for one that is of no day; `job` the
    job it is of, None for one of several.
    """

    kind: SheetKind
    about: str
    revision: int
    name: str
    day: date | None
    job: int | None
    plan: int
    digest: str
    printed_at: datetime
