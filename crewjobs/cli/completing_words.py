"""The fixed words that arguments take, and the values of options that take several, for a shell that completes a line."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping, Sequence
from typing import Final

from argcomplete.lexers import split_line

from crewjobs.domain.agreed import VisitKind
from crewjobs.domain.house_ready import Other, ReadyItem
from crewjobs.domain.job import JobState
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import WEEKDAYS
from crewjobs.services.names import figures_to_ask, keys_of_figure, kinds_found, kinds_read, ways_on

DAYS: Final = ("today", "tomorrow", *WEEKDAYS)
FIXED: Final[Mapping[str, Mapping[str, Sequence[str]]]] = {
    "visit": {"kind": [kind.value.replace(" ", "-") for kind in VisitKind]},
    "amend": {"state": [state.value for state in JobState]},
    "ready": {"item": tuple(ReadyItem), "not_ready": tuple(ReadyItem)},
    "ask": {"who": tuple(Other)},
    "money": {"fact": ("deposit", "asked", "received")},
    "tick": {"phase": tuple(Phase)},
    "day-plan": {"day": DAYS},
    "away": {"day": DAYS},
    "hours": {"day": DAYS},
}
"""Words an argument takes though it takes others too, or reads them itself."""
VALUES: Final[Mapping[tuple[str, str], Sequence[str]]] = {
    ("what-if", "off"): ("crews and people", "days"),
    ("what-if", "works"): ("crews", "days"),
    ("what-if", "crew"): ("", "like", "crews", "from", "days"),
    ("what-if", "late"): ("jobs", "materials and goods", "days"),
    ("what-if", "promise"): ("jobs", "days"),
    ("what-if", "visit"): ("booked jobs", "days", "of", "crews", "to", "crews", "days"),
}
"""What each value of an option in turn is: names from the database, days, or a word."""


def told_words(command: str, dest: str, args: argparse.Namespace) -> dict[str, str] | None:
    """Return the words an argument takes, each with what it says; None where it takes none that are known."""
    if dest in FIXED.get(command, {}):
        return dict.fromkeys(FIXED[command][dest], "")
    match command, dest:
        case "found", "kind":
            return dict.fromkeys(kinds_found(), "")
        case "found", "way":
            return ways_on(getattr(args, "kind", None) or "")
        case "reading", "kind":
            return dict.fromkeys(kinds_read(), "")
        case "figure", "name":
            return figures_to_ask()
        case "figure", "values":
            return keys_of_figure(getattr(args, "name", None) or "")
    return None


def kinds_after(kinds: Sequence[str], before: Sequence[str]) -> list[str]:
    """Return what may come after the values `before`: the next kind, or both words where ``of CREW`` may be left away."""
    if "of" in kinds and len(before) >= (place := kinds.index("of")):
        if len(before) == place:
            return ["of", "to"]
        if before[place] != "of":
            kinds = [*kinds[:place], *kinds[place + 2 :]]
    return [kinds[len(before)]] if len(before) < len(kinds) else []


def values_before(action: argparse.Action) -> list[str]:
    """Return the values of an option that stand before the one that is typed, by the line the shell holds."""
    line = os.environ.get("COMP_LINE", "").encode()[: int(os.environ.get("COMP_POINT", "0"))]  # the shell counts bytes
    words = split_line(line.decode(errors="ignore"))[3]
    last = max((place for place, word in enumerate(words) if word in action.option_strings), default=len(words))
    return words[last + 1 :]
