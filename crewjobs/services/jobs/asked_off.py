"""Whom a job that is over has asked for something that it needs no more, and who comes if nobody tells them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import NamedTuple

from crewjobs.domain.evening import Finding
from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import ENDED, JobRecord, JobState
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import upper
from crewjobs.engines.readiness.found import way_taken
from crewjobs.engines.readiness.others import asked_words, still_out, who_words
from crewjobs.services.asked.telling import told_off
from crewjobs.services.findings.asked_together import waited_for_in
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.findings.same_house import held_elsewhere
from crewjobs.services.wording import at_site


class AskedOff(NamedTuple):
    """Somebody who was asked and is not needed any more: for what, why he counts on it, what to tell him; `found`: because of a finding."""

    waits: WaitingOn
    of: str
    tell: str
    found: bool


def asked_off(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[AskedOff]:
    """Yield whom a job that is over has asked and nobody has told yet that he is not needed; nobody of a job that goes on.

    `others` are the other jobs of its house. Who was asked because of a finding is asked still while a job of the house that is not
    called off waits for the answer: what was found is there whoever lays the floor.
    """
    off = record.job.state is JobState.CALLED_OFF
    if told_off(record) or not (off or record.job.state in ENDED):
        return
    for waits in still_out(record, now):
        because = _because(record, waits, now)
        if waits.to_be_asked or (because and (not off or _asked_still(others, because, waits, now))):
            continue  # nobody was asked yet; or he is asked still
        yield AskedOff(
            waits=waits,
            of=_asked_and_promised(record, waits) if because or not off else asked_words(waits),
            tell=f"call them off, or let them come as agreed with {record.job.customer.name}"
            if because
            else "tell them that it is no longer needed",
            found=bool(because),
        )


def asked_off_sentences(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[str]:
    """Yield whom to tell that a job that is over needs him no more."""
    yield from (f"{upper(one.of)}: {one.tell}." for one in asked_off(record, others, now))


def _asked_still(others: Sequence[JobRecord], because: Sequence[Finding], waits: WaitingOn, now: datetime) -> bool:
    still = [other for other in others if other.job.state is not JobState.CALLED_OFF]
    return bool(waited_for_in(still, waits)) or any(held_elsewhere(still, finding, now) for finding in because)


def _asked_and_promised(record: JobRecord, waits: WaitingOn) -> str:
    until = (
        f", promised for {at_site(record.job.site.zone, waits.promised)}" if waits.promised and not waits.usual else ""
    )
    return f"{who_words(waits)} was asked for {quoted(waits.what)}{until}"


def still_asked(record: JobRecord, now: datetime) -> tuple[WaitingOn, ...]:
    """Return whom a job waits for; of one that is done only who was asked about what was found and is not settled."""
    out = still_out(record, now)
    if record.job.state not in ENDED:
        return out
    return tuple(waits for waits in out if _because(record, waits, now))


def _because(record: JobRecord, waits: WaitingOn, now: datetime) -> list[Finding]:
    """Return what was found and is not settled because of which somebody was asked."""
    return [one for one in record.findings if way_taken(record, one, now) is None and because_of(one, waits)]
