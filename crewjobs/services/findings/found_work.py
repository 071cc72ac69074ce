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
    Where less of it was `known`, the draft for that goes. What was asked, agreed or begun for it stays, with the hours that all of it
    takes, and the customer is asked for what they had not agreed to (`_with_more`); what is done stays, and the rest is work of its own.
    """
    work, before = kind.work, 0
    if known is not None and known.work:
        record = _without_work(record, catalogue, known)
        task = work_task(record, known)
        if task is not None and (task.open or work is None or _not_ours(kind, work, finding)):
            more = replace(finding, work=known.work, dry_min=known.dry_min)
            ours = work is not None and not _not_ours(kind, work, finding)
            return more, _with_more(record, catalogue, shop, work, more) if ours and work is not None else record
        if task is not None and work is not None:
            before = _minutes(work, known)
            if _minutes(work, finding) <= before:  # photos alone
                return replace(finding, work=known.work, dry_min=known.dry_min), record
    if work is None or _not_ours(kind, work, finding) or there_already(record, work, finding):
        return finding, record
    place = "" if finding.place == HOUSE else finding.place
    taken = {entry.what for entry in record.job.work if entry.place == place}
    what, again = work.what, 2
    while what in taken:
        what, again = f"{work.what} ({again})", again + 1
    finding = replace(finding, work=what, dry_min=work.dry_min)
    minutes = _minutes(work, finding) - before
    entry = ExtraWork(what=what, place=place, minutes=minutes, people=work.people, under=work.under)
    day = to_wall(record.job.site.zone, finding.at).date()
    cents = round(minutes * shop.hour_cents / 60)
    draft = ChangeOrder(what=finding.order, cents=cents, asked=day, minutes=minutes, drafted=True)
    after = replace(record, change_orders=(*record.change_orders, draft))
    return finding, _with_work(after, catalogue, (*record.job.work, entry), finding)


def _with_more(record: JobRecord, catalogue: Catalogue, shop: Shop, work: FoundWork, finding: Finding) -> JobRecord:
    """Return a job whose open work about a finding takes what all that is seen of it takes, with a change order drafted for the rest.

    Its day and its end are by all of it. Where the customer has not answered the first order yet, that is agreed with what more it costs.
    """
    task = work_task(record, finding)
    minutes = _minutes(work, finding)
    place = "" if finding.place == HOUSE else finding.place
    entries = [one for one in record.job.work if (one.what, one.place) == (finding.work, place)]
    if task is None or not entries or minutes <= entries[0].minutes:
        return record
    orders = [one for one in record.change_orders if one.what == finding.order or not _draft_of(finding, one)]
    of_it = [one for one in orders if finding.about_its_work(one.what)]
    if of_it and all(one.agreed is not None for one in of_it):
        rest = minutes - sum(one.minutes for one in of_it if one.agreed is not None)
        draft = ChangeOrder(
            what=finding.further_order(len(of_it)),
            cents=round(rest * shop.hour_cents / 60),
            asked=max(to_wall(record.job.site.zone, finding.at).date(), *(one.asked for one in of_it)),
            minutes=rest,
            drafted=True,
        )
        orders += [draft] if rest > 0 else []
    elif of_it:  # asked and not agreed to: a yes is to all of it
        last = of_it[-1]
        rest = minutes - sum(one.minutes for one in of_it if one is not last and one.agreed is not None)
        orders = [replace(one, minutes=rest) if one is last else one for one in orders]
    all_work = tuple(replace(one, minutes=minutes) if one is entries[0] else one for one in record.job.work)
    after = _with_work(replace(record, change_orders=tuple(orders)), catalogue, all_work, finding)
    # What is begun keeps its estimate: of this more is known now.
    wanted = next(
        (one for one in expand(after.job, catalogue, after.moves_in_force).tasks if one.key == task.key), None
    )
    if wanted is None:
        return after
    tasks = (
        replace(one, estimate=wanted.estimate, quantity=wanted.quantity) if one.number == task.number else one
        for one in after.tasks
    )
    return replace(after, tasks=tuple(tasks))


def _draft_of(finding: Finding, order: ChangeOrder) -> bool:
    return order.drafted and finding.about_its_work(order.what)


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
    if task is None or order is None or not task.open:
        return
    of_it = [one for one in record.change_orders if finding.about_its_work(one.what) and one.agreed is None]
    if not of_it:
        return
    more, order = of_it[-1] is not order, of_it[-1]
    if not order.drafted:
        yield (
            f"{upper(task_words(task))} was asked for when less was known: what more it costs is agreed with "
            f"`crewjobs agreed {record.job.number} {typed(order.what)} AMOUNT --by NAME`."
        )
        return
    price = money_words(order.cents) if order.cents else "no price of an hour is set (`hour_price` in the shop file)"
    seen = "" if finding.area_ft2 is not None else ", for a first look: how much of it there is was not said"
    amount = "" if order.cents else " AMOUNT"
    if more:
        yield f"{upper(task_words(task))} takes longer than was agreed: on hold until that is agreed, too."
    else:
        yield f"Added, on hold until it is agreed: {task_words(task)}."
    yield (
        f"Change order drafted: {order.what}, {order.minutes / 60:g} h of one person, {price}{seen}. "
        f"`crewjobs agreed {record.job.number} {typed(order.what)}{amount} --asked` when the customer is asked, "
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
