"""The shop with its crews, who is away from them and which hours they have on a day, and how it changes the task templates."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, select

from crewjobs.domain.crew import Away, Crew, DayHours, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.list_mapping import ListMapping
from crewjobs.domain.pace import RatePin
from crewjobs.domain.tasks import TemplateOverride
from crewjobs.domain.units import UnitSystem, quoted
from crewjobs.storage import records, shop_records
from crewjobs.storage.ledger import Ledger, Row, stored
from crewjobs.storage.mapping import AWAY, CREW, DAY_HOURS, LIST_MAPPING, RATE_PIN, SHOP, WORKER
from crewjobs.storage.plain import builder, plain


def read_units(connection: Connection) -> UnitSystem:
    """Return the units the shop works in; feet and inches while there is no shop."""
    found = connection.execute(select(shop_records.shop.c.units)).scalar()
    return "metric" if found == "metric" else "us"


def read_zone(connection: Connection) -> str:
    """Return the zone of the shop's clock; UTC while there is no shop."""
    return connection.execute(select(shop_records.shop.c.zone)).scalar() or "UTC"


def read_shop(connection: Connection) -> Shop:
    """Return the shop with its crews and holidays.

    Raises:
        Refused: there is none yet.
    """
    found = stored(connection, shop_records.shop)
    if not found:
        raise Refused("there is no shop yet: `crewjobs load shop.toml` loads one, `crewjobs demo` shows one.")
    holidays = frozenset(row["day"] for row in stored(connection, shop_records.holiday))
    return SHOP.value(found[0], crews=_crews(connection), holidays=holidays)


def save_shop(ledger: Ledger, shop: Shop, *, demo: bool) -> None:
    """Store the shop in the place of the one that was there, writing only what differs.

    Hours on single days are those of its crews; what is recorded for a crew it does not have stays.

    Raises:
        Refused: a crew is dropped that something is pinned to.
    """
    connection = ledger.connection
    _check_pins(connection, shop)
    ledger.sync(shop_records.shop, stored(connection, shop_records.shop), [SHOP.row(shop, id=1, demo=demo)])
    days = [{"day": day} for day in sorted(shop.holidays)]
    ledger.sync(shop_records.holiday, stored(connection, shop_records.holiday), days)
    weeks = [replace(crew, hours=replace(crew.hours, but=())) for crew in shop.crews]  # single days have their own rows
    crews = [CREW.row(crew, position=position) for position, crew in enumerate(weeks, start=1)]
    ledger.sync(shop_records.crew, stored(connection, shop_records.crew), crews)
    workers = [
        WORKER.row(worker, crew=crew.name, position=position)
        for crew in shop.crews
        for position, worker in enumerate(crew.workers, start=1)
    ]
    ledger.sync(shop_records.worker, stored(connection, shop_records.worker), workers)
    off = [{"crew": crew.name, "day": day} for crew in shop.crews for day in sorted(crew.days_off)]
    ledger.sync(shop_records.crew_day_off, stored(connection, shop_records.crew_day_off), off)
    _save_single_days(ledger, shop)


def _save_single_days(ledger: Ledger, shop: Shop) -> None:
    """Store the crews' hours on single days; the reason of one that stays as it is stays with it."""
    names = {crew.name for crew in shop.crews}
    known = [row for row in stored(ledger.connection, shop_records.day_hours) if row["crew"] in names]
    told = {(one.crew, one.day, one.spans): one.why for one in map(DAY_HOURS.value, known)}
    wanted = [
        DayHours(crew=crew.name, day=day, spans=spans, why=told.get((crew.name, day, spans), ""))
        for crew in shop.crews
        for day, spans in crew.hours.but
    ]
    ledger.sync(shop_records.day_hours, known, map(DAY_HOURS.row, wanted))


def read_away(connection: Connection) -> tuple[Away, ...]:
    """Return who is away from their crew on which days, by day, crew and person."""
    return tuple(AWAY.value(row) for row in stored(connection, shop_records.away, order=("day", "crew", "worker")))


def save_away(ledger: Ledger, away: Away) -> None:
    """Record a person away on a day, in the place of what was recorded for that day."""
    ledger.sync(shop_records.away, _same_day(ledger.connection, away), [AWAY.row(away)])


def drop_away(ledger: Ledger, away: Away) -> None:
    """Take back that a person is away on a day."""
    ledger.delete(shop_records.away, _same_day(ledger.connection, away))


def read_day_hours(connection: Connection) -> tuple[DayHours, ...]:
    """Return the hours recorded for crews on single days, by day and crew."""
    return tuple(DAY_HOURS.value(row) for row in stored(connection, shop_records.day_hours, order=("day", "crew")))


def save_day_hours(ledger: Ledger, hours: DayHours) -> None:
    """Record a crew's hours on a day, in the place of what was recorded for that day."""
    ledger.sync(shop_records.day_hours, _that_day(ledger.connection, hours), [DAY_HOURS.row(hours)])


def drop_day_hours(ledger: Ledger, hours: DayHours) -> None:
    """Take back that a crew has hours of its own on a day."""
    ledger.delete(shop_records.day_hours, _that_day(ledger.connection, hours))


def read_rate_pins(connection: Connection) -> tuple[RatePin, ...]:
    """Return the rates set by hand, by crew and template."""
    return tuple(map(RATE_PIN.value, stored(connection, shop_records.rate_pin, order=("crew", "template"))))


def save_rate_pin(ledger: Ledger, pin: RatePin) -> None:
    """Set a rate by hand, in the place of one that was set before."""
    ledger.sync(shop_records.rate_pin, _that_rate(ledger.connection, pin), [RATE_PIN.row(pin)])


def drop_rate_pin(ledger: Ledger, pin: RatePin) -> None:
    """Let a rate be as it is learned again."""
    ledger.delete(shop_records.rate_pin, _that_rate(ledger.connection, pin))


def read_list_mapping(connection: Connection, heading: str) -> ListMapping | None:
    """Return what the columns of a heading were taken as, None where no list had it."""
    table = shop_records.list_mapping
    return next(map(LIST_MAPPING.value, stored(connection, table, table.c.heading == heading)), None)


def save_list_mapping(ledger: Ledger, mapping: ListMapping) -> None:
    """Keep what the columns of a heading are taken as, in the place of what was kept of it before."""
    table = shop_records.list_mapping
    before = stored(ledger.connection, table, table.c.heading == mapping.heading)
    ledger.sync(table, before, [LIST_MAPPING.row(mapping)])


def _that_rate(connection: Connection, pin: RatePin) -> list[Row]:
    column = shop_records.rate_pin.c
    return stored(connection, shop_records.rate_pin, column.crew == pin.crew, column.template == pin.template)


def _that_day(connection: Connection, hours: DayHours) -> list[Row]:
    column = shop_records.day_hours.c
    return stored(connection, shop_records.day_hours, column.crew == hours.crew, column.day == hours.day)


def _same_day(connection: Connection, away: Away) -> list[Row]:
    column = shop_records.away.c
    return stored(
        connection, shop_records.away, column.crew == away.crew, column.worker == away.worker, column.day == away.day
    )


def read_overrides(connection: Connection) -> tuple[TemplateOverride, ...]:
    """Return how the shop changes the task templates, by key."""
    query = select(shop_records.template_override.c.fields).order_by(shop_records.template_override.c.key)
    return tuple(map(builder(TemplateOverride), connection.execute(query).scalars()))


def save_overrides(ledger: Ledger, overrides: Sequence[TemplateOverride]) -> None:
    """Store template overrides in the place of those that were there."""
    table = shop_records.template_override
    wanted = [{"key": override.key, "fields": plain(override)} for override in overrides]
    ledger.sync(table, stored(ledger.connection, table), wanted)


def _crews(connection: Connection) -> tuple[Crew, ...]:
    workers: defaultdict[str, list[Any]] = defaultdict(list)
    for row in stored(connection, shop_records.worker, order=("crew", "position")):
        workers[row["crew"]].append(WORKER.value(row))
    off: defaultdict[str, set[Any]] = defaultdict(set)
    for row in stored(connection, shop_records.crew_day_off):
        off[row["crew"]].add(row["day"])
    single: defaultdict[str, list[Any]] = defaultdict(list)
    for one in read_day_hours(connection):
        single[one.crew].append((one.day, one.spans))
    crews = [
        CREW.value(row, workers=tuple(workers[row["name"]]), days_off=frozenset(off[row["name"]]))
        for row in stored(connection, shop_records.crew, order=("position",))
    ]
    return tuple(
        replace(crew, hours=replace(crew.hours, but=tuple(single[crew.name]))) if single[crew.name] else crew
        for crew in crews
    )


def _check_pins(connection: Connection, shop: Shop) -> None:
    dropped = {row["name"] for row in stored(connection, shop_records.crew)} - {crew.name for crew in shop.crews}
    for pin in stored(connection, records.pin):
        if pin["crew"] in dropped:
            raise Refused(
                f"job {pin['job']}, task {pin['task']} is pinned to crew {quoted(pin['crew'])}: "
                "take the pin away before the crew."
            )
