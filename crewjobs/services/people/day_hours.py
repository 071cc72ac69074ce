"""A crew's hours on one day: others than its usual ones, or none, recorded as a fact; and what they are."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Away, Crew, DayHours, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import Span, clock, spans_words, to_wall
from crewjobs.domain.wording import day_words, typed, upper
from crewjobs.engines.planning.roster import with_parts
from crewjobs.services.people.away import visits_to_move
from crewjobs.services.rows import Done
from crewjobs.services.weeks.plan_faults import WEEKDAYS
from crewjobs.services.wording import no_crew, read_line

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

OFF: Final = "off"
"""The hours, as typed, of a day off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHoursRow:
    """A crew's hours on a day as ``08:00-12:00``, none where it does not work; `usual` as every week.

    `recorded` says that hours were recorded for that day, and `why` what for; `sentence` says all of it.
    """

    crew: str
    day: date
    hours: tuple[str, ...]
    usual: tuple[str, ...]
    recorded: bool
    why: str
    sentence: str


def check_works(crew: Crew, day: date, holidays: Collection[date], *, hours: bool) -> None:
    """Refuse a working day that is one already, or none at all; with `hours` of its own it may be a longer one.

    Raises:
        Refused: a holiday of the shop, or the crew works that day anyhow.
    """
    if day in holidays:
        raise Refused(f"{day_words(day)} is a holiday of the shop: no crew works then.")
    if crew.comes(day) and not hours:
        raise Refused(
            f"{crew.name} works on {day_words(day)} anyhow: give hours to suppose others, such as 7:00-18:00."
        )


def record(uow: UnitOfWork, now: datetime, crew: str, day: date, hours: str, *, because: str = "") -> Done:
    """Record a crew's hours on a day in the place of its usual ones; ``off`` is a day off.

    Hours as every week again take back what was recorded for that day.

    Raises:
        Refused: no such crew, or a part of one, a day gone by, a holiday, hours that are none, or nothing would change.
    """
    shop, away = uow.shop(), uow.away()
    chosen = _find(shop, away, crew)
    reason, spans = read_line(because, "the reason"), read_day_hours(hours)
    _check_ahead(shop, now, day)
    check_works(chosen, day, shop.holidays, hours=True)
    chosen.hours.with_single(day, spans)  # refuses what is no day's hours
    if spans == _spans(chosen, day):
        already = " already" if spans or chosen.off(day) else ""
        raise Refused(f"{_stands(shop, chosen, day)}{already}: nothing changes.")
    if spans == chosen.usual(day):
        return _as_usual(uow, now, shop, chosen, day, reason)
    uow.save_day_hours(DayHours(crew=chosen.name, day=day, spans=spans, why=reason))
    what = _does(chosen.name, day, spans) + (f" ({reason})" if reason else "")
    return _done(uow, now, chosen, day, what)


def as_usual(uow: UnitOfWork, now: datetime, crew: str, day: date, *, because: str = "") -> Done:
    """Take back the hours recorded for a crew on a day.

    Raises:
        Refused: no such crew, or a part of one, a day gone by, or none are recorded for it.
    """
    shop = uow.shop()
    chosen = _find(shop, uow.away(), crew)
    reason = read_line(because, "the reason")
    _check_ahead(shop, now, day)
    if chosen.hours.single(day) is None:
        on = day_words(day, to_wall(shop.zone, now).date())
        raise Refused(f"no other hours are recorded for {chosen.name} on {on}: nothing changes.")
    return _as_usual(uow, now, shop, chosen, day, reason)


def hours_of(uow: UnitOfWork, crew: str, day: date) -> DayHoursRow:
    """Return a crew's hours on a day, whether they are recorded for it, and why.

    Raises:
        Refused: no such crew, or a part of one.
    """
    shop = uow.shop()
    chosen = _find(shop, uow.away(), crew)
    spans, usual = _spans(chosen, day) if day not in shop.holidays else (), chosen.usual(day)
    known = next((one for one in uow.day_hours() if (one.crew, one.day) == (chosen.name, day)), None)
    sentence = _stands(shop, chosen, day)
    if known is not None and day not in shop.holidays:
        sentence += f" instead of {spans_words(usual)}" if usual else " instead of not at all" if spans else ""
        sentence += f", as recorded ({known.why})" if known.why else ", as recorded"
    return DayHoursRow(
        crew=chosen.name,
        day=day,
        hours=tuple(map(_span, spans)),
        usual=tuple(map(_span, usual)),
        recorded=known is not None,
        why=known.why if known is not None else "",
        sentence=f"{sentence}.",
    )


def read_day_hours(text: str) -> tuple[Span, ...]:
    """Return the hours of one day as typed, such as ``7:00-12:00, 12:30-15:30``; none for ``off``.

    Raises:
        Refused: they are none.
    """
    from crewjobs.files.hours import read_spans

    try:
        spans = read_spans(text)
    except Refused:
        spans = None
    if spans is None or (not spans and text.strip().casefold() != OFF):
        raise Refused(f"{quoted(text)} are no hours of a day: write such as 8:00-12:00, by the 24-hour clock.")
    return spans


def day_hours_lines(shop: Shop, entries: Sequence[DayHours], day: date) -> tuple[str, ...]:
    """Return the hours recorded for the shop's crews on a day, such as ``Birch works 08:00-12:00 (stock-taking)``."""
    names = {crew.name for crew in shop.crews}
    return tuple(
        (f"{entry.crew} works {spans_words(entry.spans)}" if entry.spans else f"{entry.crew} off")
        + (f" ({entry.why})" if entry.why else "")
        for entry in entries
        if entry.day == day and entry.crew in names
    )


def single_day_words(crew: Crew, day: date, *, gone: bool = False) -> str:
    """Return for a crew's page that its hours are others than usual that day, empty where they are not; of a day `gone` by as it was."""
    usual, spans = crew.usual(day), _spans(crew, day)
    if not spans or spans == usual:
        return ""
    instead = f" instead of {spans_words(usual)}" if usual else ""
    return f"{crew.name} works {spans_words(spans)} {'that day' if gone else 'today'}{instead}."


def _as_usual(uow: UnitOfWork, now: datetime, shop: Shop, chosen: Crew, day: date, reason: str) -> Done:
    uow.drop_day_hours(DayHours(crew=chosen.name, day=day, spans=()))
    hours = spans_words(chosen.usual(day)) if day not in shop.holidays else ""
    what = f"{chosen.name} has its usual hours on {day_words(day)} again: {hours or 'none'}"
    return _done(uow, now, chosen, day, what + (f" ({reason})" if reason else ""))


def _done(uow: UnitOfWork, now: datetime, before: Crew, day: date, what: str) -> Done:
    """Commit what was written, and say what else it touches that day."""
    shop, away = uow.shop(), uow.away()
    after = next(crew for crew in shop.crews if crew.name == before.name)
    works = after.comes(day) and day not in shop.holidays
    then = (
        *(_of_a_sub(after) if works else ()),
        *_people(shop, away, after, day, works=works),
        *(() if works else _pins(uow, with_parts(shop, away), after, day)),
        *(() if works else _visits(uow, shop, away, after, day)),
        "Plan again to use it.",
    )
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now), then=then)


def _of_a_sub(crew: Crew) -> Iterator[str]:
    if crew.sub is not None:
        yield f"{crew.name} is a sub: it does as much that day as these hours are of the longest day of its week."


def _people(shop: Shop, away: Sequence[Away], crew: Crew, day: date, *, works: bool) -> Iterator[str]:
    """Yield what becomes of everybody who is recorded away from the crew that day, or sent to it."""
    names = {one.name for one in shop.crews}
    for entry in (one for one in away if one.day == day and crew.name in (one.crew, one.to)):
        back = f"`crewjobs away {typed(entry.worker)} {day.isoformat()} --back`"
        if entry.to == crew.name:
            lent = f"{entry.worker} of {entry.crew} is lent to {crew.name} that day"
            yield (
                f"{lent}, in its hours."
                if works
                else f"{lent}, which does not work: {back} has them with {entry.crew}."
            )
        elif not entry.to:
            yield f"{entry.worker} is recorded out that day all the same."
        elif entry.to in names:
            yield f"{entry.worker} works with {entry.to} that day, in its hours, all the same."
        else:
            yield f"{entry.worker} works by themselves as {quoted(entry.to)} that day, " + (
                f"in the hours of {crew.name}." if works else f"and is off with {crew.name}: they have its hours."
            )


def _pins(uow: UnitOfWork, working: Shop, crew: Crew, day: date) -> Iterator[str]:
    """Yield the open work pinned to a crew, or a part of it, on a day on which it does not work."""
    idle = {one.name for one in working.crews if one.name == crew.name or (day in one.only and not one.comes(day))}
    for pin in uow.pins():
        if pin.day == day and pin.crew in idle and uow.job(pin.job).task(pin.task).open:
            yield (
                f"Job {pin.job}: task {pin.task} is pinned to {pin.crew} that day: "
                f"`crewjobs unpin {pin.job} {pin.task}` lets the planner move it."
            )


def _visits(uow: UnitOfWork, shop: Shop, away: Sequence[Away], crew: Crew, day: date) -> Iterator[str]:
    """Yield the small visits that people of a crew cannot make on a day on which it does not work."""
    lent = {one.worker for one in away if one.day == day and one.crew == crew.name}
    leads = shop.lead.name if shop.lead is not None else ""
    for worker in crew.workers:
        if worker.name not in lent and worker.name != leads:
            yield from visits_to_move(uow, shop, worker.name, day)


def _find(shop: Shop, away: Sequence[Away], name: str) -> Crew:
    """Return a crew of the shop.

    Raises:
        Refused: there is none of that name, or it is a part of one, which has its hours.
    """
    wanted = read_line(name, "the crew").casefold()
    found = next((crew for crew in shop.crews if crew.name.casefold() == wanted), None)
    if found is not None:
        return found
    part = next((one for one in away if one.to.casefold() == wanted and wanted), None)
    if part is not None:
        raise Refused(f"{quoted(part.to)} is a part of {part.crew} and has its hours: record them for {part.crew}.")
    raise Refused(no_crew(name, shop))


def _check_ahead(shop: Shop, now: datetime, day: date) -> None:
    if day < (today := to_wall(shop.zone, now).date()):
        raise Refused(f"{day_words(day, today)} has gone by: hours are recorded for today or a day to come.")


def _spans(crew: Crew, day: date) -> tuple[Span, ...]:
    return crew.hours.on(day) if crew.comes(day) else ()


def _stands(shop: Shop, crew: Crew, day: date) -> str:
    """Return in words whether and when a crew works on a day, and where that is from."""
    if day in shop.holidays:
        return f"{day_words(day)} is a holiday of the shop: {crew.name} does not work"
    if not crew.comes(day) and not crew.off(day):
        return f"{crew.name} does not work on {WEEKDAYS[day.weekday()]}, and {day_words(day)} is one"
    return _does(crew.name, day, _spans(crew, day))


def _does(name: str, day: date, spans: Sequence[Span]) -> str:
    return f"{name} works {spans_words(spans)} on {day_words(day)}" if spans else f"{name} is off on {day_words(day)}"


def _span(span: Span) -> str:
    return f"{clock(span.start)}-{clock(span.end)}"
