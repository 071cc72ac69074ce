"""What stands in a task's way, as values: a hold, and an instant fixed by facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class HoldKind(StrEnum):
    """What stands in the way."""

    MATERIAL = "material"
    LOT = "lot"
    WAIT = "wait"
    BEFORE = "not done before it"
    HOUSE = "house not ready"
    OTHERS = "waiting on others"
    TOO_LATE = "waited too long"
    MOISTURE = "moisture"
    LEVEL = "not level"
    DEW = "near the dew point"
    FOUND = "found"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """One reason why a task may not start.

    `what` says what is missing in words without a time, `until` the instant it ends by itself (None where
    somebody must act first). `task` is the unfinished task that is waited for, if it is one. `brief` is what
    runs until then and where, for a plan's reasons: ``leveler cures until (kitchen)``, the instant goes before the bracket.
    """

    kind: HoldKind
    what: str
    until: datetime | None = None
    task: int | None = None
    brief: str = ""


class FactKind(StrEnum):
    """What fixes an instant before which a task cannot start."""

    DUE = "delivery"
    ACCLIMATION = "acclimation"
    CURE = "cure"
    PROMISE = "promise of others"
    HOUSE = "house"
    OTHER = "fact"


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """An instant before which a task cannot start, fixed by facts, with the reason in words.

    Of hours that begin later than now, `of` is what they run for and `since` when they begin.
    """

    at: datetime
    reason: str
    kind: FactKind = FactKind.OTHER
    of: str = ""
    since: datetime | None = None
