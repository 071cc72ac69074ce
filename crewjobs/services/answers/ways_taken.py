"""A way out that somebody chooses: the plan that shows it becomes the proposal, with the crew's hours that it needs."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import DayHours
from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import spans_words
from crewjobs.domain.wording import counted, day_words
from crewjobs.engines.answering.clash_words import way_sentence
from crewjobs.engines.answering.ways_out import WayOut
from crewjobs.engines.planning.compare import moves
from crewjobs.services.rows import Done
from crewjobs.services.weeks.plan_problem import problem_of

if TYPE_CHECKING:
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork

CHOSEN: Final = "proposed as chosen"
"""What the change log says of a proposal that somebody chose: nothing that is looked for by itself takes its place."""


def take(database: Database, who: str, now: datetime, way: WayOut, based_on: int) -> Done:
    """Keep the plan of a way out as the proposal; record the crew's hours it needs in the same change.

    Raises:
        Refused: something was recorded since the change `based_on`, on which the way was found.
    """
    with database.unit_of_work(who=who) as uow:
        if uow.last_change_number() != based_on:
            raise Refused("more was recorded since this way out was found: ask again what can be done.")
        problem, in_force = problem_of(uow, now), uow.latest_plan()
        assert in_force is not None  # a way out is one of a plan
        hours = _hours(uow, way)
        number = uow.save_plan(replace(way.plan, based_on=based_on + 1, proposed=True))
        change = uow.commit(f"plan {number} {CHOSEN}{f', {hours}' if hours else ''}", at=now)
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    moved = len(moves(in_force, way.plan, zones))
    return Done(
        sentence=f"Plan {number} is proposed: {counted(moved, 'piece')} of work {'moves' if moved == 1 else 'move'}"
        f"{f'; recorded: {hours}' if hours else ''}.",
        change=change,
        plan=number,
        then=(way_sentence(problem, way),),
    )


def _hours(uow: UnitOfWork, way: WayOut) -> str:
    """Record the hours of a way out; return them in words, empty where it needs none."""
    if way.day is None:
        return ""
    crew = next(crew for crew in uow.shop().crews if crew.name == way.crew)
    if way.spans == crew.usual(way.day) and crew.hours.single(way.day) is not None:
        uow.drop_day_hours(DayHours(crew=crew.name, day=way.day, spans=()))
    else:
        uow.save_day_hours(DayHours(crew=crew.name, day=way.day, spans=way.spans, why=""))
    return f"{crew.name} works {spans_words(way.spans)} on {day_words(way.day)}"


def chosen(uow: UnitOfWork) -> int:
    """Return the number of the proposal that waits because somebody chose it, 0 where none does."""
    number = uow.proposed_number()
    head = f"plan {number} {CHOSEN}"
    return number if number and any(one.what.startswith(head) for one in uow.changes(limit=200)) else 0
