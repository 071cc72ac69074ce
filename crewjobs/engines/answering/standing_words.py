"""How a promise stands, in a sentence for people."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from crewjobs.domain.units import span_words
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, listed, moment_words
from crewjobs.engines.answering.chain_words import Told
from crewjobs.engines.answering.standing import Alone, Need, Standing


def standing_sentence(found: Standing, chain: Told, zone: str, *, can_hold: bool = False) -> str:
    """Return how a promise stands in one sentence, for a late job with what it would be with every crew free.

    `can_hold` says that another plan was found that keeps it.
    """
    day = day_words(found.promised, chain.today)
    if found.end is None:
        return f"Promised {day}: the plan does not finish it, so the promise is not kept."
    if found.holds:
        spare = f", {found.spare.words}" if found.spare is not None else ""
        return f"Promised {day}: it holds{spare}."
    late = f"Promised {day}: it is {counted(found.days_late, 'day')} late"
    if found.alone is None:
        return f"{late}."
    if can_hold and found.alone.late:
        return f"{late}, and another plan keeps it."
    return f"{late}{_alone(found.alone, chain, found.promised, zone)}."


def _alone(alone: Alone, chain: Told, promised: date, zone: str) -> str:
    """Return what a late job would be with every crew free: what cannot be is said only where it is proved."""
    end = _when(alone.told.end, zone, chain.today)
    if not alone.late:
        others = jobs_words(chain.waits_for)
        waits = f"; it waits for {others}" if others else ""
        return f", and with every crew free it would end {end}{waits}"
    why = need_words(alone.need, promised, zone, chain.today) if alone.need is not None else ""
    if not why and alone.told.because != chain.because:
        why = alone.told.because
    because = f": {why}" if why else ""
    if not alone.proved:
        return f", and no plan was found that keeps it even with every crew free{because}"
    sooner = "" if alone.told.end == chain.end else f" (a plan was found that ends it {end})"
    return f", and cannot be kept even with every crew free{sooner}{because}"


def need_words(need: Need, promised: date, zone: str, today: date) -> str:
    """Return the hours needed after the last fact against the hours there are before the promise."""
    wait = f" and {span_words(need.wait_min)} of drying and curing" if need.wait_min else ""
    work = f"{span_words(need.work_min)} of work{wait}"
    if need.since >= need.until:
        days = (to_wall(zone, need.since).date() - promised).days
        return f"{need.what} {_when(need.since, zone, today)}, {counted(days, 'day')} after the promise, and {work} are to come"
    return (
        f"from {_when(need.since, zone, today)} to the end of the promised day {need.crew} has {span_words(need.has_min)} "
        f"there, and {work} are to come"
    )


def jobs_words(jobs: Sequence[int]) -> str:
    """Return ``job 3`` or ``jobs 3, 5 and 8``, empty for none."""
    if not jobs:
        return ""
    return f"job{'' if len(jobs) == 1 else 's'} {listed([str(job) for job in jobs], most=12)}"


def _when(instant: datetime, zone: str, today: date) -> str:
    return moment_words(to_wall(zone, instant), today)
