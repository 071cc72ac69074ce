"""Clashing promises and ways out of them, in sentences for people."""

from __future__ import annotations

from collections.abc import Sequence

from crewjobs.domain.units import span_words
from crewjobs.domain.wall import spans_words, to_wall
from crewjobs.domain.wording import counted, day_words, hours_command, listed, moment_words
from crewjobs.engines.answering.clashes import Clash
from crewjobs.engines.answering.shortage import Shortage
from crewjobs.engines.answering.standing import promised_jobs
from crewjobs.engines.answering.standing_words import jobs_words
from crewjobs.engines.answering.ways_out import Slip, WayKind, WayOut
from crewjobs.engines.planning.problem import PlanProblem

MANY = 12
"""So many jobs are named one by one."""
FEW = 4
"""So many jobs are named where it is not known which of them clash."""
NAMED = 3
"""So many jobs are named in what a way does to others."""


def clash_sentence(problem: PlanProblem, clash: Clash, short: Shortage | None) -> str:
    """Return which promises clash, and what was tried or proved."""
    named = _named(problem, clash.jobs)
    if short is not None:
        who = short.crew or "all crews together"
        asked = f"takes {who} {span_words(short.work_min)} at the least"
        work = "their work" if short.jobs == clash.jobs else f"the work of {jobs_words(short.jobs)}"
        return (
            f"Jobs {named} cannot all keep their promises: {work} {asked}, and by {day_words(short.until, problem.today)} there are "
            f"{span_words(short.has_min)}."
        )
    if not clash.smallest and len(clash.jobs) > FEW:
        return (
            f"No plan found keeps the promise of job {clash.late} together with the others that can be kept; there was no "
            "time to find out which of them it clashes with."
        )
    if not clash.smallest:
        return f"No plan found keeps these promises together: jobs {named}."
    if len(clash.jobs) == 2:
        return f"No plan found keeps the promises of jobs {named} together; each without the other can be kept."
    rest = "any two of them can be kept" if len(clash.jobs) == 3 else "without any one of them the others can be kept"
    return f"No plan found keeps the promises of jobs {named} together; {rest}."


def apart_sentence(problem: PlanProblem, pairs: Sequence[Clash], shorts: Sequence[Shortage] = ()) -> str:
    """Return of pairs that share a job, or of all pairs of three jobs, which promises cannot be kept together.

    `shorts` are the hours that are short for each pair, of one crew and until one day, where hours are why.
    """
    jobs = sorted({job for pair in pairs for job in pair.jobs})
    shared = [job for job in jobs if all(job in pair.jobs for pair in pairs)]
    days = _days_of(problem)
    if shared:
        same = len({days[job] for job in jobs}) == 1
        one, *rest = [f"{n}" if same else f"{n} ({days[n]})" for n in sorted(jobs, key=lambda n: (n != shared[0], n))]
        none = f"neither {rest[0]} nor {rest[1]}" if len(rest) == 2 else f"none of {listed(rest, most=MANY)}"
        found = f"Job {one} can be kept with {none}{f' (all {days[shared[0]]})' if same else ''}"
        each = "it can be kept without them, and each of them without it"
        two = "with any of them its work"
    else:
        found = f"No two of the promises of jobs {_named(problem, jobs)} can be kept together"
        each, two = "each without the others can be kept", "the work of two"
    if not shorts:
        return f"{found} in any plan found; {each}."
    who, least = shorts[0].crew or "all crews together", min(short.work_min for short in shorts)
    there = f"by {day_words(shorts[0].until, problem.today)} there are {span_words(shorts[0].has_min)}"
    return f"{found}: {two} takes {who} {span_words(least)} at the least, and {there}."


def _days_of(problem: PlanProblem) -> dict[int, str]:
    """Return the promised days by job."""
    return {
        record.job.number: day_words(record.job.promised, problem.today)
        for record in promised_jobs(problem)
        if record.job.promised is not None
    }


def _named(problem: PlanProblem, jobs: Sequence[int]) -> str:
    """Return the jobs of a clash with their promised days, one for all where it is the same."""
    days = {
        r.job.number: day_words(r.job.promised, problem.today)
        for r in promised_jobs(problem)
        if r.job.promised is not None
    }
    all_days = {days[number] for number in jobs}
    if len(all_days) == 1 and len(jobs) > 1:
        both = "both" if len(jobs) == 2 else "all"
        return f"{listed([str(number) for number in jobs], most=MANY)} ({both} {all_days.pop()})"
    return listed([f"{number} ({days[number]})" for number in jobs], most=MANY)


def way_sentence(problem: PlanProblem, way: WayOut) -> str:
    """Return what can be done, what it wins and whom it costs what, against the plan in force."""
    return f"{_done(way, problem)}{_wins(way)}{_others(way, problem)}."


def dear_sentence(problem: PlanProblem, number: int, way: WayOut) -> str:
    """Return what a promise costs others that can be kept, but only at the cost of other promises, or of work that then has no end."""
    promised = next(record.job.promised for record in promised_jobs(problem) if record.job.number == number)
    day = day_words(promised, problem.today) if promised else ""
    endless = [*(slip.job for slip in way.slips if slip.later is None), *way.open_end]
    lost = [slip.job for slip in way.slips if slip.held and slip.later is not None]
    costs = [f"{_some(endless)} {'has' if len(endless) == 1 else 'have'} no end"] if endless else []
    costs += [f"{_some(lost)} {'is' if len(lost) == 1 else 'are'} late"] if lost else []
    return f"Job {number} is promised {day}; a plan that keeps it was found, but in it {' and '.join(costs)}."


def way_command(problem: PlanProblem, way: WayOut) -> str:
    """Return the command that records a crew's hours as a way out has them, empty where it is about none."""
    crew = next((crew for crew in problem.shop.crews if crew.name == way.crew), None)
    if crew is None or way.day is None:
        return ""
    return hours_command(crew.name, way.day, way.spans, usual=way.spans == crew.usual(way.day))


def _done(way: WayOut, problem: PlanProblem) -> str:
    hold = f"{_some(way.keeps)} {'hold' if len(way.keeps) > 1 else 'holds'}"
    if way.kind is WayKind.SLIP and way.job is not None:
        slip = next((one for one in way.slips if one.job == way.job), None)
        keep = f"Keep {_some(way.keeps)}" if way.keeps else "Let the promise go"
        keep += ", as in this plan" if way.as_is else ""
        return f"{keep}: then job {way.job} {_ends(slip, problem)}" if slip is not None else keep
    day = day_words(way.day, problem.today) if way.day else ""
    if way.kind is WayKind.SATURDAY:
        return f"{way.crew} works {day} {spans_words(way.spans)}: then {hold}"
    if way.kind is WayKind.DAY_OFF:
        return f"{way.crew} gives its day off on {day} back: then {hold}"
    return f"In another order of the work {_some(way.wins)} {'hold' if len(way.wins) > 1 else 'holds'} too"


def _ends(slip: Slip, problem: PlanProblem) -> str:
    if slip.end is None:
        return "has no end within the plan"
    return f"ends {_at(slip, problem)}, {_days(slip.days)} after its promise"


def _wins(way: WayOut) -> str:
    """Return which promises hold that do not hold in the plan in force, where that is not said yet."""
    wins = [] if way.kind is WayKind.ORDER else list(way.wins)
    if not wins or (way.kind is not WayKind.SLIP and set(wins) <= set(way.keeps)):
        return ""
    return f"; late in this plan and kept then: {_some(wins)}"


def _others(way: WayOut, problem: PlanProblem) -> str:
    """Return how the promises beside the one let go stand: what is lost, what ends later than now, what stays late."""
    slips = [slip for slip in way.slips if slip.job != way.job]
    lost = [slip for slip in slips if slip.held and slip.end is not None]
    later = [slip for slip in slips if not slip.held and slip.later]
    endless = [*(slip.job for slip in slips if slip.later is None), *way.open_end]
    known = {*endless, *(slip.job for slip in (*lost, *later))}
    late = [slip.job for slip in slips if slip.job not in known]
    worse = [f"job {slip.job} slips to {_at(slip, problem)}" for slip in lost[:NAMED]]
    worse += [f"{counted(len(lost) - NAMED, 'promise')} more are lost"] if len(lost) > NAMED else []
    room = max(0, NAMED - len(lost))
    worse += [
        f"job {slip.job} ends {_at(slip, problem)}, {_days(slip.later or 0)} later than in this plan"
        for slip in later[:room]
    ]
    rest = len(later) - room
    if rest > 0:
        worse.append(f"{counted(rest, 'late job')}{' more' if room else ''} {'ends' if rest == 1 else 'end'} later")
    if endless:
        worse.append(f"{_some(endless)} {'has' if len(endless) == 1 else 'have'} no end within the plan")
    stay = [f"{_some(late)} {'stays' if len(late) == 1 else 'stay'} late"] if late else []
    if worse:
        return ", but " + "; ".join([*worse, *stay])
    if stay:
        return "; " + stay[0]
    return ", and all other promises hold" if way.job is not None else ", and so do all other promises"


def _some(jobs: Sequence[int]) -> str:
    """Return jobs, three of them by number: ``jobs 3, 5, 8 and 4 more``."""
    named = [str(job) for job in jobs]
    return f"job{'' if len(named) == 1 else 's'} {listed(named, most=NAMED + 1)}"


def _days(days: int) -> str:
    return counted(days, "day")


def _at(slip: Slip, problem: PlanProblem) -> str:
    zone = next(record.job.site.zone for record in problem.jobs if record.job.number == slip.job)
    return moment_words(to_wall(zone, slip.end), problem.today) if slip.end is not None else ""
