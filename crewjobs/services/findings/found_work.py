"""What a finding adds: work of the crew that waits until the customer agrees, and the change order drafted for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from math import ceil

from crewjobs.domain.agreed import ChangeOrder
from crewjobs.domain.amounts import money_words
from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import FoundKind, FoundWork, Way
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.tasks import Catalogue, Task
from crewjobs.domain.units import exact_wait, quoted
from crewjobs.domain.wall import QUARTER, to_wall
from crewjobs.domain.wording import typed, upper
from crewjobs.domain.work import MOST_WORK_MIN, ExtraWork
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.hauled import hauled_anew
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.readiness.found import looked_at, work_task
from crewjobs.engines.readiness.others import by_the_laboratory
from crewjobs.services.findings.found_asked import at_any_size
from crewjobs.services.findings.found_kinds import HOUSE
from crewjobs.services.wording import at_site, task_words


def with_its_work(
    record: JobRecord, catalogue: Catalogue, shop: Shop, kind: FoundKind, finding: Finding, known: Finding | None = None
) -> tuple[Finding, JobRecord]:
    """Return a finding and its job with the work its kind adds, and a change order drafted by the shop's price of an hour.

    Nothing is added where that is no work of the crew: by its kind, or since so much of it is seen that somebody else is asked.
    Where less of it was `known`, the draft for that goes; what was agreed or begun for it stays.
    """
    work = kind.work
    if known is not None and known.work:
        record = _without_work(record, catalogue, known)
        if work_task(record, known) is not None:
            return replace(finding, work=known.work, dry_min=known.dry_min), record
    if work is None or _not_ours(kind, work, finding) or there_already(record, work, finding):
        return finding, record
    place = "" if finding.place == HOUSE else finding.place
    taken = {entry.what for entry in record.job.work if entry.place == place}
    what, again = work.what, 2
    while what in taken:
        what, again = f"{work.what} ({again})", again + 1
    finding = replace(finding, work=what, dry_min=work.dry_min)
    minutes = _minutes(work, finding)
    entry = ExtraWork(what=what, place=place, minutes=minutes, people=work.people, under=work.under)
    day = to_wall(record.job.site.zone, finding.at).date()
    cents = round(minutes * shop.hour_cents / 60)
    draft = ChangeOrder(what=finding.order, cents=cents, asked=day, minutes=minutes, drafted=True)
    after = replace(record, change_orders=(*record.change_orders, draft))
    return finding, _with_work(after, catalogue, (*record.job.work, entry), finding)


def without_other_work(
    record: JobRecord, catalogue: Catalogue, kind: FoundKind, finding: Finding, way: Way
) -> JobRecord:
    """Return a job without the work of a finding where the way taken is not made by it, unless it was begun or agreed."""
    if kind.work is None or way.key == kind.work.way:
        return record
    return _without_work(record, catalogue, finding)


def _without_work(record: JobRecord, catalogue: Catalogue, finding: Finding) -> JobRecord:
    """Return a job without the work drafted for a finding; as it is where that was begun or agreed."""
    task = work_task(record, finding)
    if task is None or task.started_at or task.done_at:
        return record
    order = next((one for one in record.change_orders if one.what == finding.order), None)
    if order is not None and not order.drafted:
        return record
    place = "" if finding.place == HOUSE else finding.place
    left = tuple(one for one in record.job.work if (one.what, one.place) != (finding.work, place))
    orders = tuple(one for one in record.change_orders if one is not order)
    return _with_work(replace(record, change_orders=orders), catalogue, left)


def there_already(record: JobRecord, work: FoundWork, finding: Finding) -> tuple[Task, ...]:
    """Return the open tasks of a job in a finding's place that are what its kind would add."""
    return tuple(
        task
        for task in record.tasks
        if task.open and task.key.template in work.instead_of and task.key.scope.name in (finding.place, "")
    )


def drafted_words(record: JobRecord, finding: Finding) -> Iterator[str]:
    """Yield what is drafted for a finding, and how the customer's answer is recorded."""
    task = work_task(record, finding)
    order = next((one for one in record.change_orders if one.what == finding.order), None)
    if task is None or order is None:
        return
    if not order.drafted:
        yield (
            f"{upper(task_words(task))} was asked for when less was known: what more it costs is agreed with "
            f"`crewjobs agreed {record.job.number} {typed(finding.order)} AMOUNT --by NAME`."
        )
        return
    price = money_words(order.cents) if order.cents else "no price of an hour is set (`hour_price` in the shop file)"
    seen = "" if finding.area_ft2 is not None else ", for a first look: how much of it there is was not said"
    amount = "" if order.cents else " AMOUNT"
    yield f"Added, on hold until it is agreed: {task_words(task)}."
    yield (
        f"Change order drafted: {finding.order}, {order.minutes / 60:g} h of one person, {price}{seen}. "
        f"`crewjobs agreed {record.job.number} {typed(finding.order)}{amount} --asked` when the customer is asked, "
        f"with `--by NAME` in the place of --asked when they agree."
    )


def check_its_work(record: JobRecord, kind: FoundKind, finding: Finding, way: Way, at: datetime) -> None:
    """Refuse the way on that a finding's own work makes while that work is not ticked, or still dries at that instant.

    Nothing is ticked on a job that is not booked: others do that work there, and whoever takes the way on says so.

    Raises:
        Refused: it is not ticked, or dries.
    """
    task, work, booked = work_task(record, finding), kind.work, record.job.state is JobState.BOOKED
    dry = looked_at(record, finding)
    if work is not None and way.key == work.way and dry is not None and dry > at:
        raise Refused(
            f"{quoted(way.key)}: it dries until {at_site(record.job.site.zone, dry)} ({exact_wait(finding.dry_min)}, common practice, no "
            "source); then the meter is read, and the way on recorded."
        )
    if task is not None and work is not None and way.key == work.way and task.open and booked:
        raise Refused(
            f"{quoted(way.key)} stands on {task_words(task)}, which is not ticked: tick it first "
            f"(`crewjobs tick {record.job.number} {task.number}`). Where it is held and somebody else did it, that is the reason of the tick."
        )


def _not_ours(kind: FoundKind, work: FoundWork, finding: Finding) -> bool:
    way = kind.way(work.way)
    limit = way.under_ft2 if way is not None else None
    if at_any_size(kind, finding):
        return True
    return limit is not None and finding.area_ft2 is not None and finding.area_ft2 >= limit


def _minutes(work: FoundWork, finding: Finding) -> int:
    """Return labor minutes by what is seen, in whole quarters of an hour; more than one entry holds is cut to that."""
    minutes = work.fixed_min + work.per_ft2_min * (finding.area_ft2 or 0.0)
    return min(MOST_WORK_MIN, ceil(minutes / QUARTER) * QUARTER)


def _with_work(
    record: JobRecord, catalogue: Catalogue, work: tuple[ExtraWork, ...], about: Finding | None = None
) -> JobRecord:
    """Return a job with other work; `about` is a finding that is recorded with it, which says what waits for it."""
    after = replace(record, job=replace(record.job, work=work))
    known = after if about is None else replace(after, findings=(*after.findings, about))
    brought = reconcile(known, expand(after.job, catalogue, after.moves_in_force))
    return by_the_laboratory(hauled_anew(replace(brought, findings=record.findings), catalogue))
