"""How late deliveries, others and houses come, by the shop's own records: learned, looked up for a fact ahead, and told."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.learning.dates_kept import dates_kept, who_brings
from crewjobs.engines.learning.lateness import (
    BEFORE,
    CHANCE_WORTH,
    DAYS_WORTH,
    Late,
    Lateness,
    WordKind,
    learn_lateness,
    same_name,
)
from crewjobs.engines.planning.coming_late import HowLate
from crewjobs.engines.planning.problem import Earliest
from crewjobs.engines.readiness.hold import FactKind

KINDS: Final[Mapping[FactKind, WordKind]] = {
    FactKind.DUE: WordKind.DELIVERY,
    FactKind.PROMISE: WordKind.OTHERS,
    FactKind.HOUSE: WordKind.HOUSE,
}
"""The facts that may come late. Hours that follow a late delivery are late with the carrying-in they follow; those that run by
now are sure."""
MOST_NAMED: Final = 4

LateBy = Callable[[JobRecord, Earliest], HowLate | None]


def known_lateness(records: Iterable[JobRecord], now: datetime) -> Lateness:
    """Return how late what others bring and promise comes, by what came of every date in these jobs."""
    return learn_lateness(kept for record in records for kept in dates_kept(record, now))


def late_by(known: Lateness) -> LateBy:
    """Return what tells of a fact ahead of a job how late it may come; None where it is sure.

    Facts of one name, and of one kind where nobody has a name, are one source: what is unsure of them is the same for all.
    """

    def told(record: JobRecord, fact: Earliest) -> HowLate | None:
        kind = KINDS.get(fact.kind)
        if kind is None:
            return None
        name = who_says(record, fact)
        return how_late(known.of(kind, name), f"{kind} {same_name(name)}")

    return told


def how_late(found: Late, whose: str) -> HowLate:
    """Return what is known of how late a source comes, as the odds sample it."""
    return HowLate(
        chance=found.chance, mean_days=found.mean_days, dates=found.late + found.kept, lates=found.came, whose=whose
    )


def who_says(record: JobRecord, fact: Earliest) -> str:
    """Return whose date a fact is: the supplier, or who was asked; empty where nobody has a name."""
    if fact.kind is FactKind.DUE:
        return who_brings(record, fact.reason.removesuffix(" is due"))
    if fact.kind is FactKind.PROMISE:
        asked = (waits for waits in record.waiting_on if waits.came_at is None and waits.what in fact.reason)
        return next((waits.who.value for waits in asked), "")
    return ""


def lateness_words(known: Lateness) -> str:
    """Return how late each kind comes, with how many dates that stands on, in one sentence."""
    heads = {
        WordKind.DELIVERY: "a delivery is taken as late with",
        WordKind.OTHERS: "what others promised with",
        WordKind.HOUSE: "a house not ready yet with",
    }
    parts = [f"{head} {_words(known.kinds[kind])}{_named(known, kind)}" for kind, head in heads.items()]
    firsts = [f"{chance * 100:.0f} % and {days:g} days" for chance, days in BEFORE.values()]
    text = "; ".join(parts)
    return (
        f"{text[0].upper()}{text[1:]}. Before any dates these are {listed(firsts, most=3)}, worth {CHANCE_WORTH:g} dates and "
        f"{DAYS_WORTH:g} late ones (common practice, no source)."
    )


def _words(found: Late) -> str:
    behind = f"{counted(found.records, 'date')} behind it" if found.records else "no date behind it yet"
    lates = f", {found.lates} of them late" if found.lates else ""
    return f"{found.chance * 100:.0f} %, then by {found.mean_days:.1f} days on the average ({behind}{lates})"


def _named(known: Lateness, kind: WordKind) -> str:
    """Return who of a kind differs from it most, with the dates behind it."""
    mine = [(name, late) for (of, name), late in known.names.items() if of is kind]
    mine.sort(key=lambda one: (-one[1].records, one[0]))
    return "".join(f", {text}" for text in _each(mine[:MOST_NAMED]))


def _each(ones: Iterable[tuple[str, Late]]) -> Iterator[str]:
    for name, late in ones:
        yield f"{name} {late.chance * 100:.0f} % by {late.mean_days:.1f} days ({late.records})"
