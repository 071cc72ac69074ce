"""People not where they usually are on a day: out (the shop's lead too), lent, or a part of the crew working by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from crewjobs.domain.crew import Away, Crew, Shop, Worker
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.planning.roster import present, with_parts
from crewjobs.services.rows import Done
from crewjobs.services.weeks.visits import planned, work_words
from crewjobs.services.wording import read_line

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

BACK_DAYS = 7
"""How many days later it may still be recorded that somebody was away."""


def away(
    uow: UnitOfWork, now: datetime, worker: str, day: date, *, to: str = "", because: str = "", again: bool = False
) -> Done:
    """Record that a person is not with their crew on a day: out, or with `to` (another crew, or a name no crew has).

    Several people sent to one name that no crew has work together that day. The shop's lead, in no crew, can only be
    out. `again` moves somebody who is away that day already. The plan in force stays as it is until it is made again.

    Raises:
        Refused: no such person, a day too long gone or off, away already, or nobody would change place.
    """
    shop = uow.shop()
    reason, place = read_line(because, "the reason"), read_line(to, "where to")
    if is_lead(shop, worker):
        return _lead_out(uow, shop, now, day, place, reason, again=again)
    crew, person = find_worker(shop, worker)
    today = to_wall(shop.zone, now).date()
    if day < today - timedelta(days=BACK_DAYS):
        raise Refused(
            f"{day_words(day, today)} is more than {BACK_DAYS} days ago: who was away then is no longer recorded."
        )
    if not crew.comes(day) or day in shop.holidays:
        raise Refused(f"{crew.name} does not work on {day_words(day, today)}: nobody is away from it.")
    there = {one.name.casefold(): one.name for one in shop.crews}.get(place.casefold(), place)
    if there == crew.name:
        raise Refused(f"{person.name} is in {crew.name} already.")
    if there and any(one.name == there and not one.comes(day) for one in shop.crews):
        raise Refused(f"{there} does not work on {day_words(day, today)}.")
    known = _of(uow, crew.name, person.name, day)
    if known is not None and not again:
        raise Refused(
            f"{person.name} is {away_place(shop, known)} on {day_words(day, today)} already: nobody is in two places at once."
        )
    entry = Away(crew=crew.name, worker=person.name, day=day, to=there, why=reason)
    uow.save_away(entry)
    what = f"{_words(shop, entry)} on {day_words(day)}" + (f" ({reason})" if reason else "")
    then = (*(() if there else visits_to_move(uow, shop, person.name, day)), *_touched(uow, crew, person, day))
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now), then=then)


def back(uow: UnitOfWork, now: datetime, worker: str, day: date) -> Done:
    """Record that a person is with their crew on a day after all.

    Raises:
        Refused: no such person, or not away that day.
    """
    shop = uow.shop()
    if shop.lead is not None and is_lead(shop, worker):
        crew_name, name, there = "", shop.lead.name, "at work"
    else:
        crew, person = find_worker(shop, worker)
        crew_name, name, there = crew.name, person.name, f"with {crew.name}"
    known, today = _of(uow, crew_name, name, day), to_wall(shop.zone, now).date()
    if known is None:
        raise Refused(f"{name} is not away on {day_words(day, today)}.")
    uow.drop_away(known)
    what = f"{name} is {there} on {day_words(day)} after all"
    if not crew_name:
        return Done(sentence=f"{what}.", change=uow.commit(what, at=now))
    return Done(sentence=f"{what}.", change=uow.commit(what, at=now), then=("Plan again to use it.",))


def is_lead(shop: Shop, name: str) -> bool:
    """Return whether a name is that of the shop's lead who is in no crew; a first name where it is the only one."""
    if shop.lead is None or any(one.name == shop.lead.name for crew in shop.crews for one in crew.workers):
        return False
    wanted, whole = name.strip().casefold(), shop.lead.name.casefold()
    firsts = [one.name.casefold().split()[:1] for crew in shop.crews for one in crew.workers]
    return wanted == whole or (whole.split()[:1] == [wanted] and [wanted] not in firsts)


def _lead_out(uow: UnitOfWork, shop: Shop, now: datetime, day: date, place: str, reason: str, *, again: bool) -> Done:
    """Record that the shop's lead is out on a day: nobody's work changes, but their small visits need another time."""
    assert shop.lead is not None
    name, today = shop.lead.name, to_wall(shop.zone, now).date()
    if place:
        raise Refused(f"{name} is in no crew and leads the shop: they can be out, not work with {quoted(place)}.")
    if day < today - timedelta(days=BACK_DAYS):
        raise Refused(
            f"{day_words(day, today)} is more than {BACK_DAYS} days ago: who was away then is no longer recorded."
        )
    if day in shop.holidays or not shop.lead.hours.on(day):
        raise Refused(f"{name} does not work on {day_words(day, today)}: nobody is away then.")
    if _of(uow, "", name, day) is not None and not again:
        raise Refused(f"{name} is out on {day_words(day, today)} already: nobody is in two places at once.")
    entry = Away(crew="", worker=name, day=day, why=reason)
    uow.save_away(entry)
    what = f"{_words(shop, entry)} on {day_words(day)}" + (f" ({reason})" if reason else "")
    then = tuple(visits_to_move(uow, shop, name, day))
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now), then=then)


def visits_to_move(uow: UnitOfWork, shop: Shop, name: str, day: date) -> Iterator[str]:
    """Yield the small visits somebody who is out cannot make that day, each with how it gets another time."""
    for booked in uow.small_visits(to_utc(shop.zone, day, 0)):
        visit, start = booked.visit, to_wall(shop.zone, booked.visit.start)
        if visit.who == name and visit.done_at is None and start.date() == day:
            kind = visit.kind.value.replace(" ", "-")
            yield (
                f"Job {booked.job}: the {visit.kind} of {name} at {start:%H:%M} needs a new time: "
                f"`crewjobs visit {booked.job} {kind} --off`, then `crewjobs visit {booked.job} {kind}` proposes one."
            )


def find_worker(shop: Shop, name: str) -> tuple[Crew, Worker]:
    """Return a person by name (the first name will do where it is the only one) and their crew.

    Raises:
        Refused: nobody or several people have it.
    """
    wanted = read_line(name, "the name").casefold()
    everyone = [(crew, worker) for crew in shop.crews for worker in crew.workers]
    found = [pair for pair in everyone if pair[1].name.casefold() == wanted] or [
        pair for pair in everyone if pair[1].name.casefold().split()[:1] == [wanted]
    ]
    if len(found) == 1:
        return found[0]
    if not found:
        raise Refused(f"there is nobody called {quoted(name)}: {listed([w.name for _, w in everyone], most=12)}.")
    raise Refused(f"{quoted(name)} may be {listed([f'{w.name} ({c.name})' for c, w in found])}: give the full name.")


def working_crews(uow: UnitOfWork, now: datetime) -> tuple[str, ...]:
    """Return the names of the shop's crews, and of their parts that work by themselves today or later."""
    shop = uow.shop()
    today = to_wall(shop.zone, now).date()
    parts = with_parts(shop, [one for one in uow.away() if one.day >= today]).crews[len(shop.crews) :]
    return (*(crew.name for crew in shop.crews), *(part.name for part in parts))


def away_words(shop: Shop, entries: Sequence[Away], crew: str, day: date, *, gone: bool = False) -> Iterator[str]:
    """Yield one sentence for everybody who is not with a crew on a day, and for everybody who is sent to it; `gone`: the day is over."""
    for entry in entries:
        if entry.day == day and crew in (entry.crew, entry.to):
            why = f" ({entry.why})" if entry.why else ""
            yield f"{_words(shop, entry)} {'that day' if gone else 'today'}{why}."


def away_place(shop: Shop, entry: Away) -> str:
    """Return ``out``, ``with Cedar``, or ``by themselves as 'Cedar two'``: how somebody works that day."""
    if not entry.to:
        return "out"
    return f"with {entry.to}" if _is_crew(shop, entry.to) else f"by themselves as {quoted(entry.to)}"


def _is_crew(shop: Shop, name: str) -> bool:
    """Return whether a name is that of one of the shop's crews, not of a part that works by itself."""
    return any(crew.name == name and not crew.only for crew in shop.crews)


def day_lines(shop: Shop, entries: Sequence[Away], day: date) -> tuple[str, ...]:
    """Return everybody who is not with their crew on a day, such as ``Noor Haddadin out (jury duty)``."""
    return tuple(
        f"{entry.worker} {away_place(shop, entry)}" + (f" ({entry.why})" if entry.why else "")
        for entry in entries
        if entry.day == day
    )


def _words(shop: Shop, entry: Away) -> str:
    if not entry.crew:
        return f"{entry.worker} is out"
    if not entry.to:
        return f"{entry.worker} of {entry.crew} is out"
    return f"{entry.worker} of {entry.crew} works {away_place(shop, entry)}"


def _of(uow: UnitOfWork, crew: str, worker: str, day: date) -> Away | None:
    return next((one for one in uow.away() if (one.crew, one.worker, one.day) == (crew, worker, day)), None)


def _touched(uow: UnitOfWork, crew: Crew, person: Worker, day: date) -> Iterator[str]:
    """Yield which planned visits need the person's card, or are now planned with more people than there are."""
    found = planned(uow)
    if found is None:
        return
    there = present(found.shop, found.away, crew.name, day)
    held = {card for worker in there for card in worker.cards}
    touched = False
    for stretch in found.day(crew.name, day):
        missing = sorted({task.card for task in stretch.tasks if task.open and task.card} - held)
        places = {place for piece in stretch.pieces for place in piece.people}
        job = f"job {stretch.record.job.number}, {work_words(stretch.tasks)}"
        if missing:
            cards = listed([quoted(card) for card in missing])
            yield f"{upper(job)}, needs the card {cards}, which only {person.name} holds."
        elif len(places) > len(there):
            yield f"{upper(job)}, is planned with {len(places)} people; {len(there) or 'nobody'} {'is' if len(there) < 2 else 'are'} there."
        touched = touched or bool(missing) or len(places) > len(there)
    yield "Plan again: the rest goes on with who is there." if touched else "Plan again to use it."
