"""Words of rows and sentences that need a site or a task."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta

from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.tasks import Driver, Task
from crewjobs.domain.units import (
    FOOT,
    JOINERS,
    MILLIMETRE,
    UnitSystem,
    exact_length,
    format_area,
    format_length,
    quoted,
    span_words,
)
from crewjobs.domain.wall import hour_words, to_wall
from crewjobs.domain.wording import dated_words, day_words, listed, moment_words
from crewjobs.engines.estimating.quantities import step_ft2
from crewjobs.engines.estimating.rolls import HOW_TAKEN_OFF

LONGEST_LINE = 200
"""Characters of a title, a lot's name, a reason."""


def at_site(zone: str, instant: datetime, near: date | None = None) -> str:
    """Return an instant in the words of the site's own time, with its year where that is not the year of `near`."""
    return moment_words(to_wall(zone, instant), near)


def span_at_site(zone: str, start: datetime, end: datetime) -> str:
    """Return a stretch of one day in the site's own time, such as ``Thu 5 Mar 09:00-11:00``."""
    return f"{day_words(to_wall(zone, start).date())} {to_wall(zone, start):%H:%M}-{hour_words(to_wall(zone, end))}"


def dated(zone: str, instant: datetime) -> str:
    """Return an instant with its year, for sentences in which the year may be the fault."""
    wall = to_wall(zone, instant)
    return f"{dated_words(wall.date())} {hour_words(wall)}"


def task_words(task: Task) -> str:
    """Return a task as people name it: ``task 14 'Lay rows' (living)``."""
    return f"task {task.number} '{task.title}' ({task.where})"


def handed_over(record: JobRecord) -> Iterator[str]:
    """Yield that work under way goes on with who began it, whoever else is free, and how another crew takes it over."""
    begun = [task for task in record.tasks if task.open and task.started_at is not None and task.crew]
    if begun:
        crews = listed(list(dict.fromkeys(task.crew for task in begun)))
        command = f"`crewjobs how-far {record.job.number} {begun[0].number} HOW-FAR --crew CREW`"
        yield f"What {crews} began there goes on with {crews} in every plan: {command} hands it to another crew."


def no_crew(name: str, shop: Shop) -> str:
    """Return the sentence for a crew the shop does not have, with those it has."""
    known = ", ".join(crew.name for crew in shop.crews)
    return f"there is no crew {quoted(name)}" + (f": the crews are {known}." if known else ": the shop has none yet.")


def hours_words(span: timedelta) -> str:
    """Return a span as ``2 h``, ``5 h 24 min`` or ``45 min``."""
    return span_words(round(span.total_seconds() / 60))


def read_line(text: str, what: str) -> str:
    """Return a line a person typed, without the blanks around it.

    Raises:
        Refused: it is longer than 200 characters or holds a control character.
    """
    line = text.strip()
    if len(line) > LONGEST_LINE or not all(c.isprintable() or c in JOINERS for c in line):
        raise Refused(f"{what} {quoted(line)}: at most {LONGEST_LINE} characters on one line, no control characters.")
    return line


def counted_of(material: Material, count: int, whole: int) -> str:
    """Return ``14 of 27 cartons``, or as the shop counts a roll: ``14 of 27 running ft``, ``4.27 of 8.23 m``."""
    return f"{material.number(count)} of {material.number(whole)} {material.unit}"


def roll_words(material: Material, feet: int) -> str:
    """Return a take-off of sheet goods with what it is: ``27 running ft off a 12' roll (by roll width, …)``."""
    return f"{material.counted(feet)} off a {_roll_width(material)} roll ({HOW_TAKEN_OFF})"


def _roll_width(material: Material) -> str:
    return format_length(material.plank_width, "metric") if material.in_metres else exact_length(material.plank_width)


def ordered_words(job: Job, material: Material, need: int) -> str:
    """Return how what is on order stands to what is needed, to go on a sentence, and whether it was placed; empty where nothing is."""
    orders = [order for order in job.orders if order.material == material.name]
    total = sum(order.cartons for order in orders)
    if not total:
        return ""
    off = (
        f", {material.number(need - total)} short"
        if total < need
        else f", {material.number(total - need)} more"
        if total > need
        else ""
    )
    if all(order.ordered is None for order in orders):
        return f"; on the order, not placed yet, are {material.counted(total)}{off}"
    waiting = sum(order.cartons for order in orders if order.ordered is None)
    unplaced = f" ({material.number(waiting)} of them not placed yet)" if waiting else ""
    return f"; ordered are {material.counted(total)}{unplaced}{off}"


def step_words(job: Job, material: Material, units: UnitSystem) -> str:
    """Return how steps of a material are counted by area: ``4.5 ft² a step``, by their width where that was measured."""
    steps = sorted({step_ft2(stairs) for stairs in job.stairs if stairs.floor == material.name})
    return f"{listed([format_area(one, units) for one in steps])} a step"


def told_of(job: Job, text: str, units: UnitSystem) -> str:
    """Return a sentence of the program's own about a job in the units of the shop; names of the job stay as typed."""
    return text if units == "us" else assumed(job, [text], units)[0]


def assumed(job: Job, sentences: Iterable[str], units: UnitSystem) -> tuple[str, ...]:
    """Return what was assumed of a job, told in the units of the shop; names of the job stay as typed."""
    names = [
        *(room.name for room in job.rooms),
        *(one.name for one in job.openings),
        *(one.name for one in job.materials),
    ]
    return tuple(told_in(sentence, units, names) for sentence in sentences)


def quantity_words(task: Task, units: UnitSystem) -> str:
    """Return a task's size with its unit: ``185 ft²``, ``42 ft``, ``3 doors``; empty for what is done once."""
    return amount_words(task.quantity, task.unit, units)


def amount_words(amount: float, unit: Driver, units: UnitSystem) -> str:
    """Return an amount in a driver's unit, in feet or metres as the shop has it."""
    if unit is Driver.ONCE:
        return ""
    if unit is Driver.AREA:
        return format_area(amount, units)
    if unit in (Driver.PERIMETER, Driver.SEAMS, Driver.RUNNING_FEET) and units == "metric":
        return f"{amount * FOOT / (1000 * MILLIMETRE):.1f} m"  # an amount of work, not a length to cut
    if unit is Driver.FIXTURES:
        return f"{amount:.0f}"
    if unit is Driver.HOURS:
        return f"{round(amount, 2):g} h"
    if unit is Driver.POUNDS and units == "metric":
        return f"{amount * 0.45359237:.0f} kg"
    one = unit.value[:-1] if amount == 1 and unit.value.endswith("s") else unit.value
    return f"{amount:.0f} {one}"
