"""Who is to be asked because of a finding, and when an answer is usual: nobody has asked or promised yet."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import Asking, FoundKind, WayTaken
from crewjobs.domain.house_ready import Other, WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.engines.readiness.found import ways_of
from crewjobs.files.catalogue import finding_kinds
from crewjobs.services.clock import DAY_END_MIN
from crewjobs.services.findings.found_kinds import first_working_day, working_days_after

_AGAIN: Final = re.compile(r" \(\d+\)$")


def asked_for(
    record: JobRecord,
    kind: FoundKind,
    finding: Finding,
    shop: Shop,
    known: Finding | None,
    moment: datetime,
    others: Sequence[JobRecord] = (),
) -> Iterator[WaitingOn]:
    """Yield who is asked because of a finding at an instant, and was not already when less of it was `known`.

    `others` are the other jobs of the house: what is asked for is named otherwise than all that was asked in any of them.
    """
    zone = record.job.site.zone
    today, from_day = to_wall(zone, moment).date(), first_working_day(shop, zone, moment)
    for one in kind.asks:
        if not about(kind, one, finding) or (known is not None and about(kind, one, known)):
            continue
        usual = None if one.days is None else to_utc(zone, working_days_after(shop, from_day, one.days), DAY_END_MIN)
        yield WaitingOn(
            who=one.who,
            what=_not_asked_yet((record, *others), one.who, f"{one.what} in {finding.place}"),
            asked=today,
            asked_at=moment,
            promised=usual,
            holds=finding.holds,
            usual=True,
        )


def _not_asked_yet(records: Iterable[JobRecord], who: Other, what: str) -> str:
    """Return what somebody is asked for; asked for again it is numbered, since what was asked before stays in the record."""
    before = {waits.what.casefold() for record in records for waits in record.waiting_on if waits.who is who}
    asked, again = what, 2
    while asked.casefold() in before:
        asked, again = f"{what} ({again})", again + 1
    return asked


def to_ask_again(record: JobRecord, waits: WaitingOn, shop: Shop, now: datetime) -> WaitingOn:
    """Return what somebody was asked for who was told since that it is called off: nothing of what he said counts any more.

    Where it is because of a finding, nobody has asked him then, and his answer is usual as long after now as at first.
    """
    finding = next((one for one in record.findings if because_of(one, waits)), None)
    if finding is None:
        return replace(waits, promised=None, chased=())
    zone = record.job.site.zone
    kind = next((one for one in finding_kinds() if one.key == finding.kind), None)
    what = _AGAIN.sub("", waits.what)
    days = next(
        (
            one.days
            for one in (kind.asks if kind is not None else ())
            if one.who is waits.who and what.casefold() == f"{one.what} in {finding.place}".casefold()
        ),
        None,
    )
    from_day = first_working_day(shop, zone, now)
    usual = None if days is None else to_utc(zone, working_days_after(shop, from_day, days), DAY_END_MIN)
    return replace(waits, promised=usual, chased=(), usual=True)


def because_of(finding: Finding, waits: WaitingOn) -> bool:
    """Return whether somebody was asked because of a finding, when it was recorded."""
    return _asked_with(finding, waits) and waits.holds == finding.holds


def _asked_with(finding: Finding, waits: WaitingOn) -> bool:
    place = f" in {finding.place}".casefold()  # another job of the house may write it in other capitals
    there = any(what.casefold().endswith(place) for what in (waits.what, _AGAIN.sub("", waits.what)))
    return there and (waits.asked_at == finding.at or _asked_of_more(finding, waits))


def _asked_of_more(finding: Finding, waits: WaitingOn) -> bool:
    """Return whether somebody was asked once more of a finding was seen, or said of it, than when it was recorded."""
    if waits.asked_at is None or waits.asked_at < finding.at:
        return False
    kind = next((one for one in finding_kinds() if one.key == finding.kind), None)
    what = (waits.what.casefold(), _AGAIN.sub("", waits.what).casefold())
    return kind is not None and any(
        one.who is waits.who
        and (one.from_ft2 is not None or one.words)
        and f"{one.what} in {finding.place}".casefold() in what
        for one in kind.asks
    )


def answered_by(record: JobRecord, waits: WaitingOn) -> WayTaken | None:
    """Return the way on since which nobody waits for somebody's answer on a finding; None where none was, or the answer came before."""
    because = (one for one in record.findings if _asked_with(one, waits))  # what a finding holds may have changed since
    return next((way for one in because for way in ways_of(record, one) if way.at == waits.came_at), None)


def about(kind: FoundKind, asking: Asking, finding: Finding) -> bool:
    """Return whether somebody is asked about a finding: by how much of it is seen, or by what people said of it."""
    said = finding.what.casefold()
    if asking.words and any(word in said for ask in kind.asks for word in ask.words):
        return any(word in said for word in asking.words)
    return at_any_size(kind, finding) or asking.about(finding.area_ft2)


def at_any_size(kind: FoundKind, finding: Finding) -> bool:
    """Return whether what was said of a finding makes it one for others however little of it is seen."""
    return any(word in finding.what.casefold() for word in kind.any_size)


def templates_held(kind: FoundKind, finding: Finding) -> frozenset[str]:
    """Return the task templates a finding holds in its place: more of them where it is for others by its size or what was said."""
    large = at_any_size(kind, finding) or any(
        one.from_ft2 is not None and one.about(finding.area_ft2) for one in kind.asks
    )
    return kind.holds | (kind.holds_large if large else frozenset())


def laboratory_behind(record: JobRecord, shop: Shop, waits: WaitingOn, sampled: datetime) -> JobRecord:
    """Return a job whose laboratory answers the usual days after the sample of the same finding; a day it promised itself stays.

    Every word of the inspector moves it, not only the first: `sampled` is when the sample is promised for, or was taken.
    """
    finding = _sampled_for(record, waits)
    kind = next((one for one in finding_kinds() if finding is not None and one.key == finding.kind), None)
    days = next((one.days for one in kind.asks if one.who is Other.LABORATORY), None) if kind is not None else None
    if finding is None or days is None:
        return record
    zone = record.job.site.zone
    usual = to_utc(zone, working_days_after(shop, first_working_day(shop, zone, sampled), days), DAY_END_MIN)
    return replace(
        record,
        waiting_on=tuple(
            replace(one, promised=usual) if one.usual and _answers(one, finding) else one for one in record.waiting_on
        ),
    )


def promised_before_the_sample(record: JobRecord) -> Iterator[tuple[WaitingOn, datetime]]:
    """Yield each day a laboratory promised itself that lies before the sample it answers, with when that is or was taken (UTC)."""
    for waits in record.waiting_on:
        finding, sampled = _sampled_for(record, waits), waits.came_at or waits.promised
        if finding is None or sampled is None:
            continue
        for one in record.waiting_on:
            if _answers(one, finding) and not one.usual and one.promised is not None and one.promised < sampled:
                yield one, sampled


def _sampled_for(record: JobRecord, waits: WaitingOn) -> Finding | None:
    """Return the finding of which an inspector was asked for a sample; None where it is somebody else, or was asked by hand."""
    if waits.who is not Other.INSPECTOR:
        return None
    return next((one for one in record.findings if because_of(one, waits)), None)


def _answers(waits: WaitingOn, finding: Finding) -> bool:
    return waits.who is Other.LABORATORY and waits.came_at is None and because_of(finding, waits)
