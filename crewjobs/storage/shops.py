"""The shop with its crews, who is away from them, and how it changes the task templates."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, select

from crewjobs.domain.crew import Away, Crew, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import TemplateOverride
from crewjobs.domain.units import quoted
from crewjobs.storage import records
from crewjobs.storage.ledger import Ledger, Row, stored
from crewjobs.storage.mapping import AWAY, CREW, SHOP, WORKER
from crewjobs.storage.plain import builder, plain


def read_shop(connection: Connection) -> Shop:
    """Return the shop with its crews and holidays.

    Raises:
        Refused: there is none yet.
    """
    found = stored(connection, records.shop)
    if not found:
        raise Refused("there is no shop yet: `crewjobs load shop.toml` loads one, `crewjobs demo` shows one.")
    holidays = frozenset(row["day"] for row in stored(connection, records.holiday))
    return SHOP.value(found[0], crews=_crews(connection), holidays=holidays)


def save_shop(ledger: Ledger, shop: Shop, *, demo: bool) -> None:
    """Store the shop in the place of the one that was there, writing only what differs.

    Raises:
        Refused: a crew is dropped that something is pinned to.
    """
    connection = ledger.connection
    _check_pins(connection, shop)
    ledger.sync(records.shop, stored(connection, records.shop), [SHOP.row(shop, id=1, demo=demo)])
    days = [{"day": day} for day in sorted(shop.holidays)]
    ledger.sync(records.holiday, stored(connection, records.holiday), days)
    crews = [CREW.row(crew, position=position) for position, crew in enumerate(shop.crews, start=1)]
    ledger.sync(records.crew, stored(connection, records.crew), crews)
    workers = [
        WORKER.row(worker, crew=crew.name, position=position)
        for crew in shop.crews
        for position, worker in enumerate(crew.workers, start=1)
    ]
    ledger.sync(records.worker, stored(connection, records.worker), workers)
    off = [{"crew": crew.name, "day": day} for crew in shop.crews for day in sorted(crew.days_off)]
    ledger.sync(records.crew_day_off, stored(connection, records.crew_day_off), off)


def read_away(connection: Connection) -> tuple[Away, ...]:
    """Return who is away from their crew on which days, by day, crew and person."""
    return tuple(AWAY.value(row) for row in stored(connection, records.away, order=("day", "crew", "worker")))


def save_away(ledger: Ledger, away: Away) -> None:
    """Record a person away on a day, in the place of what was recorded for that day."""
    ledger.sync(records.away, _same_day(ledger.connection, away), [AWAY.row(away)])


def drop_away(ledger: Ledger, away: Away) -> None:
    """Take back that a person is away on a day."""
    ledger.delete(records.away, _same_day(ledger.connection, away))


def _same_day(connection: Connection, away: Away) -> list[Row]:
    column = records.away.c
    return stored(
        connection, records.away, column.crew == away.crew, column.worker == away.worker, column.day == away.day
    )


def read_overrides(connection: Connection) -> tuple[TemplateOverride, ...]:
    """Return how the shop changes the task templates, by key."""
    query = select(records.template_override.c.fields).order_by(records.template_override.c.key)
    return tuple(map(builder(TemplateOverride), connection.execute(query).scalars()))


def save_overrides(ledger: Ledger, overrides: Sequence[TemplateOverride]) -> None:
    """Store template overrides in the place of those that were there."""
    table = records.template_override
    wanted = [{"key": override.key, "fields": plain(override)} for override in overrides]
    ledger.sync(table, stored(ledger.connection, table), wanted)


def _crews(connection: Connection) -> tuple[Crew, ...]:
    workers: defaultdict[str, list[Any]] = defaultdict(list)
    for row in stored(connection, records.worker, order=("crew", "position")):
        workers[row["crew"]].append(WORKER.value(row))
    off: defaultdict[str, set[Any]] = defaultdict(set)
    for row in stored(connection, records.crew_day_off):
        off[row["crew"]].add(row["day"])
    return tuple(
        CREW.value(row, workers=tuple(workers[row["name"]]), days_off=frozenset(off[row["name"]]))
        for row in stored(connection, records.crew, order=("position",))
    )


def _check_pins(connection: Connection, shop: Shop) -> None:
    dropped = {row["name"] for row in stored(connection, records.crew)} - {crew.name for crew in shop.crews}
    for pin in stored(connection, records.pin):
        if pin["crew"] in dropped:
            raise Refused(
                f"job {pin['job']}, task {pin['task']} is pinned to crew {quoted(pin['crew'])}: "
                "take the pin away before the crew."
            )
