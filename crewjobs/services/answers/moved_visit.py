"""A visit of the plan in force, named by its job and day, supposed elsewhere: what the week's Try it asks, in words."""

from __future__ import annotations

from datetime import date

from crewjobs.domain.errors import Refused
from crewjobs.domain.wording import day_words, listed, typed
from crewjobs.services.rows import WeekView


def moved_visit(
    view: WeekView, job: int, day: date, of: str, crew: str, to: date, today: date
) -> tuple[int, tuple[int, ...], str, date]:
    """Return the visit of a job on a day of the week shown, with the crew and day it is moved to; `of` names its crew,
    and `today` tells which year needs no saying.

    Raises:
        Refused: the job has no visit with work that day, or more than one and no crew is named.
    """
    there = [visit for one in view.days if one.day == day for visit in one.visits if visit.job == job and visit.tasks]
    found = [visit for visit in there if not of or visit.crew.casefold() == of.strip().casefold()]
    if not there:
        raise Refused(
            f"job {job} has no visit on {day_words(day, today)} that could be moved: `crewjobs week {day}` has them."
        )
    if not found:
        raise Refused(
            f"{of} is not at job {job} on {day_words(day, today)}: who is there: {listed([one.crew for one in there])}."
        )
    crews = list(dict.fromkeys(one.crew for one in found))
    if len(crews) > 1:
        raise Refused(
            f"job {job} has visits of {listed(crews)} on {day_words(day, today)}: say which, "
            f"such as `--visit {job} {day} of {typed(crews[0])} to {typed(crew)} {to}`."
        )
    return job, tuple(task for one in found for task in one.tasks), crew, to
