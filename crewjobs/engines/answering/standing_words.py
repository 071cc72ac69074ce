"""How a promise stands, in sentences for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.units import exact_wait, format_hours
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, moment_words
from crewjobs.engines.answering.chain_words import Told
from crewjobs.engines.answering.standing import Alone, Need, Standing


def standing_sentences(found: Standing, chain: Told, zone: str) -> Iterator[str]:
    """Yield one sentence on how a promise stands, and for a late job what it would be with every crew free."""
    day = day_words(found.promised)
    if found.end is None:
        yield f"Promised {day}: the plan does not finish it, so the promise is not kept."
        return
    hours = f"{format_hours(found.between_min).removesuffix(' h')} working hours of {found.crew}"
    if found.holds:
        yield f"Promised {day}: it holds, with {hours} to spare."
        return
    days = f"{found.days_late} day{'' if found.days_late == 1 else 's'}"
    yield f"Promised {day}: it is {days} late, {hours} after the promise."
    if found.alone is not None:
        yield _alone(found.alone, chain, zone)
        if found.alone.late and found.alone.need is not None:
            yield need_sentence(found.alone.need, zone)


def _alone(alone: Alone, chain: Told, zone: str) -> str:
    end = _when(alone.told.end, zone)
    if not alone.late:
        others = jobs_words(chain.waits_for)
        waits = f"; it waits for {others}" if others else ""
        return f"With every crew free it would end {end}{waits}."
    if alone.proved and alone.told.because == chain.because:
        return "Even with every crew free it ends no sooner, so the promise cannot be kept."
    if alone.proved:
        return f"The promise cannot be kept even with every crew free: it would end {end}: {alone.told.because}."
    return f"With every crew free the planner finds no end before {end} either: {alone.told.because}."


def need_sentence(need: Need, zone: str) -> str:
    """Return the hours needed after the last fact against the hours there are before the promise."""
    wait = f" and {exact_wait(need.wait_min)} of drying and curing" if need.wait_min else ""
    work = f"{format_hours(need.work_min)} of work{wait}"
    if need.since >= need.until:
        return f"By {_when(need.since, zone)} the promised day is over, and {work} are still to come."
    return (
        f"From {_when(need.since, zone)} to the end of the promised day {need.crew} has {format_hours(need.has_min)} "
        f"there, and {work} are to come."
    )


def jobs_words(jobs: Sequence[int]) -> str:
    """Return ``job 3`` or ``jobs 3, 5 and 8``, empty for none."""
    if not jobs:
        return ""
    return f"job{'' if len(jobs) == 1 else 's'} {listed([str(job) for job in jobs], most=12)}"


def _when(instant: datetime, zone: str) -> str:
    return moment_words(to_wall(zone, instant))
