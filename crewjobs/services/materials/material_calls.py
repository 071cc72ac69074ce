"""What to do next about a material that is waited for, and when its cartons can go up."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.units import UnitSystem, format_area, span_words
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import clock as clock_words
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, day_words, listed, moment_words, typed
from crewjobs.engines.readiness.carrying import can_go_up, next_slot, spans_on
from crewjobs.engines.readiness.clocks import MaterialClock
from crewjobs.engines.readiness.goods import deposit_in
from crewjobs.engines.readiness.lots import Cover, LotGroup, cover_of, lots_here, places_of
from crewjobs.engines.readiness.material_holds import NO_AIR
from crewjobs.services.jobs.heights import looked_at
from crewjobs.services.laying.needed import needed
from crewjobs.services.waiting.goods_waits import ASK_DEPOSIT, UNPAID, supplier_called, unchecked
from crewjobs.services.wording import at_site, counted_of, span_at_site, told_of


def material_call(record: JobRecord, clock: MaterialClock, now: datetime, units: UnitSystem) -> str:
    """Return whom to ask or what to do next about a material; empty where its clock runs and nothing is to be done."""
    return "; ".join(told_of(record.job, words, units) for words in _calls(record, clock, now, units) if words)


def material_caller(record: JobRecord, clock: MaterialClock) -> str:
    """Return who is called now about a material; empty where nothing of it is settled by a call today."""
    return supplier_called(
        record, clock.state, _suppliers(record, clock), needs_deposit=clock.needs_deposit, due=clock.due
    )


def _suppliers(record: JobRecord, clock: MaterialClock) -> str:
    orders = [order for order in record.job.orders if order.material == clock.material.name]
    return listed(list(dict.fromkeys(order.supplier for order in orders if order.supplier)))


def _calls(record: JobRecord, clock: MaterialClock, now: datetime, units: UnitSystem) -> Iterator[str]:
    orders = [order for order in record.job.orders if order.material == clock.material.name]
    supplier = _suppliers(record, clock) or "the supplier"
    due = at_site(record.job.site.zone, clock.due) if clock.due else ""
    if clock.state is not WaitState.NOT_ORDERED:
        yield too_few_words(record, clock)
    match clock.state:
        case WaitState.NOT_ORDERED:
            yield ASK_DEPOSIT if clock.needs_deposit else _order_words(record, clock.material, supplier)
        case WaitState.LATE:
            yield f"call {supplier}: it was due {due}, get a new date"
            yield covers_alone(record, clock, now, units)
        case WaitState.DUE:
            yield f"{supplier} brings it {due}" if due else f"ask {supplier} for a delivery date"
            yield _carry_words(record, clock)
            yield UNPAID if not deposit_in(record) and any(order.special for order in orders) else ""
            yield covers_alone(record, clock, now, units)
        case WaitState.ARRIVED:
            carry = "carry it into the conditioned rooms: no clock runs before that"
            yield unchecked(record, clock.material) + carry
            yield "" if can_go_up(record.job, now) else next_words(record, now)
        case WaitState.ACCLIMATING | WaitState.READY:
            yield f"not checked yet: {to_check}" if (to_check := unchecked(record, clock.material)[:-2]) else ""
            yield air_words(record, clock)
            yield _out_of_range_words(record, clock)
            if clock.wood is not None and not clock.wood.fits:
                yield "; ".join(clock.wood.why)
                yield _forecast_words(record, clock.wood.ready_at, now)
            elif clock.material.by_reading and clock.state is WaitState.ACCLIMATING and not clock.no_air:
                yield _reading_words(record, clock, now)
            elif not clock.verified and clock.counted is not None and not clock.counted.out:
                yield _unread_words(record, clock)


def _order_words(record: JobRecord, material: Material, supplier: str) -> str:
    """Return what to order and how much; cartons that were only counted by area are laid out first."""
    need = needed(record, material)
    counts = "" if need.laid_out or material.is_sheet else f"; `crewjobs take-off {record.job.number}` lays them out"
    open_ = len(looked_at(record, "us"))
    first = (
        f"; heights first: {counted(open_, 'point')} to settle, `crewjobs heights {record.job.number}`" if open_ else ""
    )
    return f"order it from {supplier}: {need.how}{counts}{first}"


def too_few_words(record: JobRecord, clock: MaterialClock) -> str:
    """Return that more is laid than was ordered, and how much the take-off has; empty where only the reserve is short."""
    need = needed(record, clock.material)
    if not 0 < clock.ordered < need.laid:
        return ""
    return f"{clock.material.counted(need.count - clock.ordered)} more than ordered by the take-off, {need.how}: order the rest"


def _carry_words(record: JobRecord, clock: MaterialClock) -> str:
    """Return when what is due can be in the rooms, where site or elevator are shut when the truck comes."""
    if clock.carry is None or clock.carry == clock.due:
        return ""
    first = at_site(record.job.site.zone, clock.carry)
    return f"in the rooms {first} at the earliest, when {_who_opens(record)}"


def _who_opens(record: JobRecord) -> str:
    return "the elevator is booked" if record.job.site.elevator is not None else "the site is open"


def air_words(record: JobRecord, clock: MaterialClock) -> str:
    """Return why a lot's hours count from another instant than it was carried in; empty where they do not."""
    if clock.no_air:
        return f"{NO_AIR}, so no hours count: `crewjobs ready {record.job.number} --item air --since …` when it is"
    return "counted from when the air ran" if clock.by_air else ""


def _out_of_range_words(record: JobRecord, clock: MaterialClock) -> str:
    """Return that the room was last read out of range, and what is done about it; empty where it was not."""
    if clock.counted is None or clock.counted.out is None:
        return ""
    read = at_site(record.job.site.zone, clock.counted.out.sample.at)
    return (
        f"{clock.counted.out.words} {read}, it asks for {clock.material.asks.words}: bring the air back and read it again "
        f"(`crewjobs reading {record.job.number} air`)"
    )


def _unread_words(record: JobRecord, clock: MaterialClock) -> str:
    """Return that nobody read the air while the hours ran."""
    assert clock.counted is not None
    some = f"{span_words(clock.counted.unread_min)} of its hours" if clock.counted.read else "its hours"
    return f"nobody read the air for {some}: `crewjobs reading {record.job.number} air 70F 40%`"


def _forecast_words(record: JobRecord, ready_at: datetime | None, now: datetime) -> str:
    """Return when wood is read again that will be ready by a forecast: the day before it."""
    if ready_at is None:
        return ""
    zone = record.job.site.zone
    due = to_wall(zone, ready_at - timedelta(days=1)).date()
    when = day_words(due) if due > to_wall(zone, now).date() else "today"
    return f"by forecast ready {at_site(zone, ready_at)}: read boards and subfloor again {when}"


def _reading_words(record: JobRecord, clock: MaterialClock, now: datetime) -> str:
    if clock.ready_at is not None and clock.ready_at - timedelta(hours=24) > now:
        day = moment_words(to_wall(record.job.site.zone, clock.ready_at - timedelta(hours=24)))
        return f"read boards against subfloor by {day}; the reading decides, not the hours"
    return "the reading of boards against subfloor is due now; it decides, not the hours"


def next_words(record: JobRecord, at: datetime) -> str:
    """Return when cartons can go up next: ``the elevator is booked next Thu 5 Mar 09:00-11:00``."""
    slot = next_slot(record.job, at)
    who = _who_opens(record)
    if slot is None:
        return f"{who} on no day of the next two months"
    zone = record.job.site.zone
    return f"{who} next {span_at_site(zone, slot.start, slot.end)}"


def carry_sentences(record: JobRecord, moment: datetime, *, in_rooms: bool) -> Iterator[str]:
    """Yield what hours of site and elevator say of cartons that came at an instant, or went up then."""
    if can_go_up(record.job, moment):
        return
    zone, site = record.job.site.zone, record.job.site
    day = to_wall(zone, moment).date()
    spans = [f"{clock_words(span.start)}-{clock_words(span.end)}" for span in spans_on(record.job, day)]
    what = "the elevator's hours" if site.elevator is not None else "the site's hours"
    open_ = f"{day_words(day)}: {listed(spans) or 'none'}"
    if in_rooms:
        yield f"{at_site(zone, moment)} is outside {what} ({open_}); recorded, since it happened."
        return
    slot = next_slot(record.job, moment)
    up = f"they can go up next {at_site(zone, slot.start)}" if slot else "nothing opens in the next two months"
    yield f"{at_site(zone, moment)} is outside {what} ({open_}): {up}."


def covers_alone(record: JobRecord, clock: MaterialClock, now: datetime, units: UnitSystem) -> str:
    """Return that one lot that came covers all its places by area although cartons are missing; empty if none does.

    Only where nothing was said about lots yet: it is the lead's word that starts the rooms without the rest.
    """
    material, number = clock.material, record.job.number
    if not clock.missing or any(use.material == material.name for use in record.lot_uses):
        return ""
    places = places_of(record.job, material.name)
    for lot in lots_here(record, material.name, now):
        group = LotGroup(material=material, lots=(lot.name,), places=places, anyway=False)
        cover = cover_of(record, group, now)
        if places and cover.cartons and cover.enough and not lot.color_differs:
            return (
                f"lot {lot.name} covers {_places_words(record, cover)} by area ({_against(cover, units)}): "
                f"`crewjobs lots {number} {typed(material.name)} {typed(lot.name)}` starts them without the rest"
            )
    return ""


def _places_words(record: JobRecord, cover: Cover) -> str:
    stairs = {flight.name for flight in record.job.stairs}
    rooms = [place for place in cover.group.places if place not in stairs]
    words = [["the room"], ["the rooms"]][len(rooms) > 1] if rooms else []
    return " and ".join([*words, *["the stairs"] * (len(rooms) < len(cover.group.places))])


def _against(cover: Cover, units: UnitSystem) -> str:
    """Return ``690 of 636 ft²``, what is covered of what is needed; running feet of sheet goods."""
    material = cover.group.material
    if material.is_sheet:
        return counted_of(material, cover.cartons, cover.needs_cartons)
    number, _, _ = format_area(cover.covers_ft2, units).partition(" ")
    return f"{number} of {format_area(cover.needs_ft2, units)}"
