"""Which places nobody goes into for what was found there, and what one comes to only through them; until a way on is taken."""

from __future__ import annotations

from datetime import datetime

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, WHOLE_HOUSE, WayTaken
from crewjobs.domain.job import JobRecord
from crewjobs.domain.reach import cut_off


def ways_of(record: JobRecord, finding: Finding) -> tuple[WayTaken, ...]:
    """Return the ways on from a finding. Of a kind found again in the same place and minute each has its own, in their order."""
    ways = tuple(way for way in record.ways_taken if (way.found_at, way.place, way.kind) == _named(finding))
    same = [one for one in record.findings if _named(one) == _named(finding)] if ways else []
    if len(same) < 2:
        return ways
    # The one meant, not one that is equal to it: a way on from the first must not open what the second holds.
    nth = next((n for n, one in enumerate(same) if one is finding), len(same) - 1)
    return ways[nth : nth + 1]


def _named(finding: Finding) -> tuple[datetime, str, str]:
    """Return what a way on names its finding by."""
    return finding.at, finding.place, finding.kind


def shut_for_found(record: JobRecord) -> set[str]:
    """Return where something was found for which nobody goes in, and no way on is taken."""
    return {one.place for one in record.findings if one.kind in NOBODY_IN and not ways_of(record, one)}


def cut_off_by(record: JobRecord, finding: Finding) -> frozenset[str]:
    """Return the rooms and stairs one comes to only through where something was found for which nobody goes in: they are shut too.

    Once a way on is taken they are open again. Of what it cuts off only together with others, what they cut off without it is theirs.
    """
    if finding.kind not in NOBODY_IN or finding.place == WHOLE_HOUSE or ways_of(record, finding):
        return frozenset()
    others = shut_for_found(record) - {finding.place}
    alone = cut_off(record.job, {finding.place})
    return alone | (cut_off(record.job, others | {finding.place}) - cut_off(record.job, others))
