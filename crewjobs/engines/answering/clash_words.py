"""Clashing promises and ways out of them, in sentences for people."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from crewjobs.domain.units import format_hours
from crewjobs.domain.wall import spans_words, to_wall
from crewjobs.domain.wording import day_words, hours_command, listed, moment_words
from crewjobs.engines.answering.clashes import Clash
from crewjobs.engines.answering.shortage import Shortage
from crewjobs.engines.answering.standing import promised_jobs
from crewjobs.engines.answering.standing_words import jobs_words
from crewjobs.engines.answering.ways_out import Slip, WayKind, WayOut
from crewjobs.engines.planning.problem import PlanProblem

MANY = 12
"""So many jobs are named one by one."""


def clash_sentence(problem: PlanProblem, clash: Clash, short: Shortage | None) -> str:
    """Return which promises clash, and what was tried or proved."""
    days = {record.job.number: record.job.promised for record in promised_jobs(problem)}
    named = listed([f"{number} ({day_words(day)})" for number in clash.jobs if (day := days[number])], most=MANY)
    if short is not None:
        who = short.crew or "all crews together"
        asked = f"takes {who} {format_hours(short.work_min)} at the least"
        work = "their work" if short.jobs == clash.jobs else f"the work of {jobs_words(short.jobs)}"
        return (
            f"Jobs {named} cannot all keep their promises: {work} {asked}, and by {day_words(short.until)} there are "
            f"{format_hours(short.has_min)}."
        )
    if not clash.smallest:
        return f"These promises together are kept by no plan tried: jobs {named}."
    if len(clash.jobs) == 2:
        return f"No plan tried keeps the promises of jobs {named} together; each without the other can be kept."
    rest = "any two of them can be kept" if len(clash.jobs) == 3 else "without any one of them the others can be kept"
    return f"No plan tried keeps the promises of jobs {named} together; {rest}."


def way_sentence(problem: PlanProblem, way: WayOut, known_late: Sequence[int]) -> str:
    """Return what can be done and how all promises stand then; `known_late` are late in the plan in force too.

    What a crew's hours can do ends with the command that records them.
    """
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    others = [slip for slip in way.slips if slip.job != way.job]
    command = _command(problem, way)
    records = f": `{command}` records it" if command else ""
    return f"{_done(way, zones)}{_others(others, way.job is not None, zones, known_late)}{records}."


def _command(problem: PlanProblem, way: WayOut) -> str:
    """Return the command that records a crew's hours as a way out has them, empty where it is about none."""
    crew = next((crew for crew in problem.shop.crews if crew.name == way.crew), None)
    if crew is None or way.day is None:
        return ""
    return hours_command(crew.name, way.day, way.spans, usual=way.spans == crew.usual(way.day))


def _done(way: WayOut, zones: dict[int, str]) -> str:
    if way.kind is WayKind.SLIP and way.job is not None:
        slip = next((one for one in way.slips if one.job == way.job), None)
        keep = f"Keep {jobs_words(way.keeps)}" if way.keeps else "Let the promise go"
        if slip is None:
            return f"{keep}, and job {way.job} holds too"
        return f"{keep}: then job {way.job} {_ends(slip, zones)}"
    day = day_words(way.day) if way.day else ""
    if way.kind is WayKind.SATURDAY:
        return f"{way.crew} works {day} {spans_words(way.spans)}: then {jobs_words(way.keeps)} hold"
    if way.kind is WayKind.DAY_OFF:
        return f"{way.crew} gives its day off on {day} back: then {jobs_words(way.keeps)} hold"
    return f"In another order of the work {jobs_words(way.keeps)} {'hold' if len(way.keeps) > 1 else 'holds'} too"


def _ends(slip: Slip, zones: dict[int, str]) -> str:
    if slip.end is None:
        return "has no end within the plan"
    days = f"{slip.days} day{'' if slip.days == 1 else 's'}"
    return f"ends {_when(slip.end, zones[slip.job])}, {days} after its promise"


def _others(slips: Sequence[Slip], told: bool, zones: dict[int, str], known_late: Sequence[int]) -> str:
    """Return how the promises beside the one let go stand."""
    new = [slip for slip in slips if slip.job not in known_late]
    old = [slip for slip in slips if slip.job in known_late]
    parts = [f"job {slip.job} slips to {_to(slip, zones)}" for slip in new]
    if old:
        named = listed([f"{slip.job} ({_to(slip, zones)})" for slip in old], most=MANY)
        parts.append(f"job {named} stays late" if len(old) == 1 else f"jobs {named} stay late")
    if not parts:
        return ", and all other promises hold" if told else ", and so do all other promises"
    return ", but " + "; ".join(parts) if new else "; " + "; ".join(parts)


def _to(slip: Slip, zones: dict[int, str]) -> str:
    return "no end within the plan" if slip.end is None else _when(slip.end, zones[slip.job])


def _when(instant: datetime, zone: str) -> str:
    return moment_words(to_wall(zone, instant))
