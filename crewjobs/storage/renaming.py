"""A crew or a person gets another name in the records that name them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from sqlalchemy import Column

from crewjobs.domain.plan import WeekPlan
from crewjobs.storage import plans, records, shop_records
from crewjobs.storage.ledger import Ledger, stored
from crewjobs.storage.records import row_key

_CREWS: Final[tuple[Column[str], ...]] = (
    records.task.c.crew,
    records.crew_hours.c.crew,
    records.dry_run.c.crew,
    records.pin.c.crew,
    shop_records.day_hours.c.crew,
    shop_records.rate_pin.c.crew,
)
"""Where crews are named. Printed sheets, calendars and the log are not among them: what was said of a crew was said of its name."""
_PEOPLE: Final[tuple[Column[str], ...]] = (records.small_visit.c.who,)
"""Where people are named besides the shop itself and who is away."""


def rename_crews(ledger: Ledger, names: Mapping[str, str]) -> None:
    """Name crews otherwise in all that is recorded of them, and in the plan in force, of which a new version is stored.

    All names change at once: two crews may swap theirs. What is recorded under a new name already, of a crew that is no
    more, gives way where both cannot stand.
    """
    _rename(ledger, _CREWS, names)
    plan = plans.read_latest(ledger.connection)
    if plan is not None and any(placed.crew in names for placed in plan.placements):
        plans.save_plan(ledger, _renamed(plan, names))


def rename_people(ledger: Ledger, names: Mapping[str, str]) -> None:
    """Name people otherwise in the small visits they make and made."""
    _rename(ledger, _PEOPLE, names)


def _rename(ledger: Ledger, columns: tuple[Column[str], ...], names: Mapping[str, str]) -> None:
    for column in columns:
        table = column.table
        rows = stored(ledger.connection, table, column.in_(names))
        wanted = [{**row, column.name: names[row[column.name]]} for row in rows]
        if not rows:
            continue
        keys = {row_key(table, row) for row in wanted}
        there = stored(ledger.connection, table, column.in_(set(names.values())))
        clash = [row for row in there if row_key(table, row) in keys and row not in rows]
        # Taken away and put back, not changed in place: names that swap never stand there twice.
        ledger.delete(table, [*rows, *clash])
        ledger.insert(table, wanted)


def _renamed(plan: WeekPlan, names: Mapping[str, str]) -> WeekPlan:
    """Return a plan with other names of crews, its reasons too; made when it was, so that it counts from then on."""
    words = re.compile("|".join(rf"(?<!\w){re.escape(name)}(?!\w)" for name in sorted(names, key=len, reverse=True)))

    def told(text: str) -> str:
        return words.sub(lambda found: names[found[0]], text)

    return replace(
        plan,
        number=0,
        placements=tuple(
            replace(placed, crew=names.get(placed.crew, placed.crew), reason=told(placed.reason))
            for placed in plan.placements
        ),
        left_out=tuple(replace(left, why=told(left.why)) for left in plan.left_out),
    )
