"""Two plans side by side: what moves from one to the other, for the people who were told the first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from crewjobs.domain.plan import Placement, WeekPlan
from crewjobs.domain.wall import to_wall

SAME = timedelta(hours=1)
"""A visit that begins within an hour of where it was, on the same day with the same crew, has not moved for people: it is
not told as a move. It is still another plan (`agree`)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Tasks of a job that were with one crew on one day (of the site) and are now elsewhere.

    `was` and `now` are the instants at which the first of them began and begins, None where they had or have no place.
    """

    job: int
    tasks: tuple[int, ...]
    was_crew: str
    was: datetime | None
    crew: str
    now: datetime | None


def moves(before: WeekPlan, after: WeekPlan, zones: Mapping[int, str]) -> tuple[Move, ...]:
    """Return what moves, by when it was or will be; `zones` are the sites' time zones by job.

    Work the plan before does not speak of is new and had no place; work the plan after does not speak of was done since,
    and has not moved.
    """
    return tuple(sorted(_moves(before, after, zones), key=lambda move: (_first(move), move.job, move.tasks)))


def agree(before: WeekPlan, after: WeekPlan, zones: Mapping[int, str]) -> bool:
    """Return whether all that a plan `after` places lies where the plan before has it, so that this one can stay in force.

    What is still to begin when the plan after is made lies with the same people from the same quarter hour to the same;
    where some of a block was done ahead, the rest of it lies inside its place.
    Of what the plan before has begun by then only the rest is placed anew, from that moment on, maybe in parts: it is with
    the same crew and ends on the same day, within the hour. More moves nobody: what follows it lies where it was.
    """
    old, new = _by_task(before), _by_task(after)
    if not new.keys() <= old.keys():
        return False
    for key, now in new.items():
        was = old[key]
        if was.start > after.made_at:
            same = (was.start, was.end) == (now.start, now.end)
            ahead = any((key[0], task) not in new for task in was.tasks)
            inside = ahead and was.start <= now.start and now.end <= was.end
            if (was.crew, was.people) != (now.crew, now.people) or not (same or inside):
                return False
            continue
        rest = [new[key[0], task] for task in was.tasks if (key[0], task) in new]
        last = max(one.end for one in rest)
        days = {to_wall(zones[key[0]], end - timedelta(minutes=1)).date() for end in (was.end, last)}
        if {one.crew for one in rest} != {was.crew} or len(days) > 1 or abs(last - was.end) > SAME:
            return False
    return True


def _first(move: Move) -> datetime:
    known = [moment for moment in (move.was, move.now) if moment is not None]
    return min(known)


def _moves(before: WeekPlan, after: WeekPlan, zones: Mapping[int, str]) -> Iterator[Move]:
    old, new = _by_task(before), _by_task(after)
    still = {(entry.job, task) for entry in after.left_out for task in entry.tasks}
    found: dict[tuple[int, str, date | None, str, date | None], list[tuple[int, Placement | None, Placement | None]]]
    found = {}
    for key in sorted({*old, *new}):
        was, now = old.get(key), new.get(key)
        if now is None and key not in still:
            continue
        zone = zones[key[0]]
        if was is not None and now is not None and _stays(was, now, zone):
            continue
        crews = (was.crew if was else "", now.crew if now else "")
        days = [to_wall(zone, one.start).date() if one else None for one in (was, now)]
        found.setdefault((key[0], crews[0], days[0], crews[1], days[1]), []).append((key[1], was, now))
    for (job, was_crew, _, crew, _), tasks in found.items():
        yield Move(
            job=job,
            tasks=tuple(task for task, _, _ in tasks),
            was_crew=was_crew,
            was=min((was.start for _, was, _ in tasks if was), default=None),
            crew=crew,
            now=min((now.start for _, _, now in tasks if now), default=None),
        )


def _by_task(plan: WeekPlan) -> dict[tuple[int, int], Placement]:
    return {(placed.key.job, task): placed for placed in plan.placements for task in placed.tasks}


def _stays(was: Placement, now: Placement, zone: str) -> bool:
    same_day = to_wall(zone, was.start).date() == to_wall(zone, now.start).date()
    return was.crew == now.crew and same_day and abs(was.start - now.start) <= SAME
