"""Rates set by hand: a crew takes so long for work of a template, whatever its hours tell; what they tell stands beside it."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import RatePin
from crewjobs.domain.tasks import TaskTemplate
from crewjobs.domain.units import UnitSystem, format_area, quoted
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.learning.pace import Pace
from crewjobs.engines.learning.predicting import rate
from crewjobs.services.rates.learned import learned
from crewjobs.services.rates.rate_units import read_factor, unit_of
from crewjobs.services.rows import Done
from crewjobs.services.wording import no_crew, read_line

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.storage.unit_of_work import UnitOfWork


def pin_rate(uow: UnitOfWork, catalogue: Catalogue, now: datetime, crew: str, template: str, typed: str) -> Done:
    """Set a crew's rate at a template by hand, as typed (see `rate_units.read_factor`).

    Raises:
        Refused: no such crew or template, a sub, a rate that is none, or one that is pinned so already.
    """
    shop = uow.shop()
    chosen, found = _crew(shop, crew), template_named(catalogue, template)
    if chosen.sub is not None:
        raise Refused(f"{sub_words(chosen, shop.units)}: nothing of it is pinned.")
    pin = RatePin(
        crew=chosen.name, template=found.key, factor=read_factor(read_line(typed, "the rate"), found, shop.units)
    )
    if pin in uow.rate_pins():
        raise Refused(f"{pinned_words(found, pin, shop.units)} already: nothing changes.")
    uow.save_rate_pin(pin)
    what = f"{chosen.name}: {pinned_words(found, pin, shop.units)}"
    beside = learned_words(learned(uow, now), chosen.name, found, shop.units)
    change = uow.commit(what, at=now)
    return Done(sentence=f"{upper(what)}; {beside}.", change=change, then=("Plan again to use it.",))


def unpin_rate(uow: UnitOfWork, catalogue: Catalogue, now: datetime, crew: str, template: str) -> Done:
    """Let a crew's rate at a template be as it is learned again; also of a crew or a template that is there no more.

    Raises:
        Refused: no such rate is pinned.
    """
    shop, wanted = uow.shop(), read_line(crew, "the crew").casefold()
    try:
        keys = {template_named(catalogue, template).key}
    except Refused:
        keys = {template.strip()}
    pin = next((one for one in uow.rate_pins() if one.crew.casefold() == wanted and one.template in keys), None)
    if pin is None:
        of_crew = [one.template for one in uow.rate_pins() if one.crew.casefold() == wanted]
        there = f"pinned are {listed(of_crew, most=9)}" if of_crew else "none of its rates is"
        raise Refused(f"{quoted(template)} of {quoted(crew)} is not pinned; {there}.")
    uow.drop_rate_pin(pin)
    found = catalogue.template(pin.template)
    what = f"{pin.crew}: {found.title if found is not None else pin.template} no longer pinned"
    beside = (
        learned_words(learned(uow, now), pin.crew, found, shop.units) if found is not None else "it counts as learned"
    )
    return Done(sentence=f"{upper(what)}; {beside}.", change=uow.commit(what, at=now), then=("Plan again to use it.",))


def template_named(catalogue: Catalogue, name: str) -> TaskTemplate:
    """Return the template of a key or a title.

    Raises:
        Refused: there is none, or several have the title.
    """
    wanted = " ".join(name.split()).casefold()
    exact = [one for one in catalogue.templates if one.key.casefold() == wanted]
    found = exact or [one for one in catalogue.templates if one.title.casefold() == wanted]
    if not found:
        raise Refused(f"there is no task template {quoted(name)}: `crewjobs templates` lists them.")
    if len(found) > 1:
        raise Refused(f"{quoted(name)} is {listed([one.key for one in found], most=9)}: name one of them.")
    return found[0]


def pinned_words(template: TaskTemplate, pin: RatePin, units: UnitSystem) -> str:
    """Return ``click plank pinned to 260 ft² a man-day, 0.92 × the book's time``."""
    unit = unit_of(template, units)
    return f"{template.title} pinned to {unit.words(unit.own(pin.factor))}, {pin.factor:.2f} × the book's time"


def learned_words(pace: Pace, crew: str, template: TaskTemplate, units: UnitSystem) -> str:
    """Return what a crew's hours tell of a template, whatever is pinned: ``learned are 240 ft², 80 % 200–290, from 5 jobs``."""
    found, unit = rate(pace.pinned(()), crew, template.key), unit_of(template, units)
    if not found.jobs:
        return f"its own hours tell nothing of it yet, the book says {unit.words(unit.book)}"
    low, high = sorted((unit.own(found.low), unit.own(found.high)))
    band = f"80 %: {unit.band(low, high)}"
    return f"its hours tell {unit.words(unit.own(found.factor))} ({band}, {counted(found.jobs, 'job')})"


def sub_words(crew: Crew, units: UnitSystem) -> str:
    """Return that a sub has a capacity, and which."""
    assert crew.sub is not None
    does = [format_area(crew.sub.area_ft2, units)] if crew.sub.area_ft2 else []
    does += [counted(crew.sub.steps, "step")] if crew.sub.steps else []
    return f"{crew.name} is a sub: it has a capacity ({' or '.join(does)} in a full day), not rates"


def _crew(shop: Shop, name: str) -> Crew:
    wanted = read_line(name, "the crew").casefold()
    found = next((one for one in shop.crews if one.name.casefold() == wanted), None)
    if found is None:
        raise Refused(no_crew(name, shop))
    return found
