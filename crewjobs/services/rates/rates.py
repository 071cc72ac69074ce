"""Each crew's own pace beside the book's, as far as hours are known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import HoursKind, LearnedRate, WorkedDay
from crewjobs.domain.tasks import Phase, Task, TaskTemplate
from crewjobs.domain.units import UnitSystem, format_hours
from crewjobs.domain.wording import counted, upper
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.predicting import condition_factor, rate
from crewjobs.engines.learning.scales import CONDITION
from crewjobs.services.rates.learned import known
from crewjobs.services.rates.paces import jobs_told
from crewjobs.services.rates.rate_pins import learned_words, pinned_words, sub_words
from crewjobs.services.rates.rate_units import unit_of
from crewjobs.services.rates.rates_rows import AskRow, CrewRates, RateRow, RatesView
from crewjobs.services.wording import no_crew

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.storage.unit_of_work import UnitOfWork

BAND: Final = "The band holds a crew's mean pace with a chance of 80 %."
BOOK: Final = "The book's rates are common practice, no source; hours are known a day at a time, for all that was done in it together."
NO_HOURS: Final = (
    "No crew's hours are recorded yet, so the book's rates stand. Write down in the evening what was done and the hours of it "
    "(`crewjobs evening`): then a crew's own pace is told here, and how sure it is."
)
FELT: Final = 0.005
"""A condition that moves minutes by less than that is not told."""


def rates_view(uow: UnitOfWork, catalogue: Catalogue, now: datetime, crew: str = "") -> RatesView:
    """Return the rates of all crews, or of one, learned from the hours of all jobs.

    Raises:
        Refused: neither the shop nor any record has that crew.
    """
    shop, what_is_known = uow.shop(), known(uow, now)
    days, pace = what_is_known.days, what_is_known.pace
    units = _own_tasks(uow, days, catalogue)
    names = _asked(shop, pace, crew)
    found = tuple(_of_crew(name, shop, pace, days, catalogue, units) for name in names)
    told = jobs_told(days)
    if not told:
        note = NO_HOURS
    else:
        hours = sum(day.labor_min for day in days if day.tells_pace)
        note = f"Learned from {format_hours(hours)} of one person at {counted(told, 'job')}. {BAND} {BOOK}"
    wanted = set(names)
    return RatesView(
        jobs=told,
        days=sum(day.tells_pace for day in days),
        note=note,
        crews=found,
        ask=tuple(
            AskRow(job=odd.day.job, crew=odd.day.crew, sentence=upper(odd.sentence))
            for odd in pace.odd
            if odd.day.crew in wanted
        ),
        conditions=() if crew.strip() else tuple(_conditions(pace)),
        apart=tuple(_apart([day for day in days if day.crew in wanted])),
    )


def _own_tasks(uow: UnitOfWork, days: Sequence[WorkedDay], catalogue: Catalogue) -> dict[str, Task]:
    """Return a task of each template that is a job's own and not the catalogue's: the latest there is."""
    listed = {template.key for template in catalogue.templates}
    jobs = {task.template: day.job for day in days for task in day.done if task.template not in listed}
    records = uow.worked_among(set(jobs.values())) if jobs else ()
    return {task.key.template: task for record in records for task in record.tasks if task.key.template in jobs}


def _asked(shop: Shop, pace: Pace, crew: str) -> tuple[str, ...]:
    """Return the crews that are asked about: those of the shop, then those whose hours alone are left."""
    left = sorted({name for name, _ in (*pace.jobs, *pace.pins)} - {one.name for one in shop.crews})
    every = (*(one.name for one in shop.crews), *left)
    if not crew.strip():
        return every
    found = tuple(name for name in every if name.casefold() == crew.strip().casefold())
    if not found:
        raise Refused(no_crew(crew, shop))
    return found


def _of_crew(
    name: str,
    shop: Shop,
    pace: Pace,
    days: Sequence[WorkedDay],
    catalogue: Catalogue,
    tasks: Mapping[str, Task],
) -> CrewRates:
    crew = next((one for one in shop.crews if one.name == name), None)
    order = {template.key: place for place, template in enumerate(catalogue.templates)}
    keys = sorted(
        {template for of, template in (*pace.jobs, *pace.pins) if of == name},
        key=lambda key: (-pace.jobs.get((name, key), 0), order.get(key, len(order)), key),
    )
    rows = tuple(_row(rate(pace, name, key), catalogue.template(key), tasks.get(key), shop.units) for key in keys)
    return CrewRates(
        crew=name,
        people=crew.people if crew is not None else 0,
        jobs=len({day.job for day in days if day.crew == name and day.tells_pace}),
        rows=rows,
        sub=crew is not None and crew.sub is not None,
        note=_crew_note(name, crew, rows, shop.units),
        pinned=tuple(_pinned(name, pace, catalogue, shop.units)),
    )


def _pinned(name: str, pace: Pace, catalogue: Catalogue, units: UnitSystem) -> Iterator[str]:
    """Yield each rate of a crew that is set by hand, with what was learned beside it."""
    for (crew, key), pin in sorted(pace.pins.items()):
        template = catalogue.template(key)
        if crew == name and template is not None:
            yield f"{upper(pinned_words(template, pin, units))}; {learned_words(pace, name, template, units)}."


def _crew_note(name: str, crew: Crew | None, rows: Sequence[RateRow], units: UnitSystem) -> str:
    if crew is not None and crew.sub is not None:
        return f"{sub_words(crew, units)}; no hours are asked of it."
    if crew is None:
        return f"{name} is no crew of the shop any more; its hours still tell of the shop's pace."
    return (
        ""
        if rows
        else (
            f"{name} has no hours at work that was ticked: it is planned by what other crews' hours tell of the shop, else by the book."
        )
    )


# -- one rate


def _row(learned: LearnedRate, template: TaskTemplate | None, task: Task | None, units: UnitSystem) -> RateRow:
    """Return a rate in the unit the shop reads: an amount a man-day, or minutes of what is done once."""
    told = unit_of(template, units)
    low, high = (
        told.own(learned.high if told.a_day else learned.low),
        told.own(learned.low if told.a_day else learned.high),
    )
    own = told.own(learned.factor)
    title = template.title if template is not None else task.title if task is not None else learned.template
    phase = template.phase if template is not None else task.phase if task is not None else Phase.HOUSE
    return RateRow(
        template=learned.template,
        phase=phase.value,
        title=title,
        unit=told.unit,
        book=told.book,
        own=own,
        low=low,
        high=high,
        factor=learned.factor,
        pace=1 / learned.factor,
        slow=1 / learned.high,
        quick=1 / learned.low,
        jobs=learned.jobs,
        pinned=learned.pinned,
        book_words=f"{told.number(told.book)} {told.unit}",
        own_words=told.number(own),
        band_words=told.band(low, high),
    )


# -- beside them


def _conditions(pace: Pace) -> Iterator[str]:
    """Yield what the hours say of each condition beyond what the book counts for it."""
    for name in sorted(effect[1] for effect in pace.places if effect[0] == CONDITION):
        times, low, high = condition_factor(pace, name)
        if abs(times - 1) >= FELT:
            more = f"{abs(times - 1) * 100:.0f} % {'longer' if times > 1 else 'less'}"
            yield f"{upper(name)}: {more} than the book's factor says (80 %: {_off(low)} to {_off(high)})."


def _off(factor: float) -> str:
    return f"{(factor - 1) * 100:+.0f} %".replace("-", "−")


def _apart(days: Sequence[WorkedDay]) -> Iterator[str]:
    """Yield what hours tell no pace, and why."""
    for kind in HoursKind:
        minutes = sum(day.labor_min for day in days if day.kind is kind)
        if kind is not HoursKind.WORK and minutes:
            yield f"{upper(kind.value)}: {format_hours(minutes)} of one person, kept apart."
    idle = [day for day in days if day.kind is HoursKind.WORK and not day.done]
    if idle:
        jobs = len({day.job for day in idle})
        yield (
            f"{format_hours(sum(day.labor_min for day in idle))} of one person at {counted(jobs, 'job')} on days on which "
            "nothing was ticked: they tell no pace."
        )
