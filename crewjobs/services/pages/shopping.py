"""The shopping list: what jobs still need, against what is ordered and has come, built for the paper to print.

Counts are those of the take-off (`needed`, `goods_of`, `supplies_of`): what it says less what was ordered. Where work with a
material has begun, nothing is reckoned anew: what is short then is the supplier's word on its order line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import Goods
from crewjobs.domain.job import LIVE, JobRecord, JobState
from crewjobs.domain.material import Material
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import counted, day_words, listed
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.goods import goods_clock, serves, waits_for_deposit
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.engines.readiness.house import work_begun
from crewjobs.paper.shopping_list import NO_BOOKED, NO_JOB, OnItsWay, ShoppingList, ShortByArea, SupplyNeed, ToBuy
from crewjobs.services.jobs.called_off import ON_ITS_WAY, still_ordered
from crewjobs.services.jobs.known import PLYWOOD_IN
from crewjobs.services.laying.layout_rows import SupplyRow
from crewjobs.services.laying.needed import Needed, needed
from crewjobs.services.laying.take_off import ORDERED_AS, usual_lengths
from crewjobs.services.laying.take_off_rests import supply_rows
from crewjobs.services.pages.paper_sheets import paper_of, sheet_of
from crewjobs.services.pages.sheets import NO_PLAN
from crewjobs.services.pages.supplier_days import LOOKED_BACK, Took, supplier_days
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.wording import at_site, no_crew

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

DEPOSIT: Final = "not placed before the deposit is in"
FAR: Final = date.max
_JOBS: Final = re.compile(r"jobs? ([0-9]+(?:, [0-9]+)*(?: and [0-9]+)?)(?:, |$)")
_WEEK: Final = re.compile(r"(?:^|, )week of (\w+ [0-9]+ \w+)$")
_WEEKS: Final = 26
"""Weeks before and after a list was printed in which the week it is for is looked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """For which jobs: those named, those worked in the week that holds a day, those a crew works; all narrow each other."""

    jobs: tuple[int, ...] = ()
    week: date | None = None
    crew: str = ""


def shopping_list(uow: UnitOfWork, now: datetime, asked: Asked, *, paper: str = "") -> ShoppingList:
    """Return what is to be bought for some jobs, or all that are booked.

    Raises:
        Refused: there is no such job or crew, a job is over, or a week or crew is asked for and nothing is planned.
    """
    shop, found = uow.shop(), planned(uow)
    asked = replace(asked, jobs=tuple(dict.fromkeys(asked.jobs)))
    records = _records(uow, shop, found, asked)
    buy, stock, way, short = list[ToBuy](), list[ToBuy](), list[OnItsWay](), list[ShortByArea]()
    for record in records:
        days = _Days(found, record)
        for material in record.job.materials:
            buy += _material(record, material, days)
            short += _short_by_area(record, material)
            way += _material_on_its_way(record, material, now)
        buy += _goods_lines(record, days, now)
        way += _goods_on_their_way(record, now)
        stock += _stock(record, shop, days)
    took = supplier_days([*uow.live_jobs(), *uow.ended_jobs(LOOKED_BACK)]) if buy else {}
    buy = [_with_order_day(one, took) for one in buy]
    begun = [record.job.number for record in records if work_begun(record, now)]
    return ShoppingList(
        shop_name=shop.name,
        shop_phone=shop.phone,
        sheet=sheet_of(shop, "Shopping list", found, now),
        paper=paper_of(shop, paper),
        whose=_whose(asked),
        buy=tuple(sorted(buy, key=_by_supplier_and_day)),
        stock=tuple(sorted(stock, key=lambda one: (one.by or FAR, one.job, one.what))),
        supplies=tuple(_supplies([record for record in records if record.job.number not in begun], shop)),
        on_its_way=(*way, *_for_called_off(uow, shop, asked, now)),
        short=tuple(short),
        notes=tuple(_notes(records, begun)),
        without="" if records else NO_JOB if asked.week or asked.crew else NO_BOOKED,
    )


def _by_supplier_and_day(one: ToBuy) -> tuple[bool, str, date, int, str]:
    return not one.supplier, one.supplier, one.order_by or one.by or FAR, one.job, one.what


def _with_order_day(one: ToBuy, took: Mapping[str, Took]) -> ToBuy:
    """Return what is to be bought with the day to order it by, as long as its supplier took before."""
    found = took.get(one.supplier)
    if found is None or one.by is None:
        return one
    why = f"{one.supplier} took {counted(found.days, 'day')}, the middle of {found.deliveries} deliveries"
    return replace(one, order_by=one.by - timedelta(days=found.days), order_why=why)


def _notes(records: Sequence[JobRecord], begun: Sequence[int]) -> Iterator[str]:
    if any(record.job.materials for record in records):
        yield (
            "Orders are held against a take-off where floors are laid out or set out; by area alone none is called short."
        )
    if begun:
        jobs = listed([str(job) for job in begun], most=20)
        yield f"Work has begun at {'job' if len(begun) == 1 else 'jobs'} {jobs}: what is used up there is not counted anew."


def _records(uow: UnitOfWork, shop: Shop, found: Planned | None, asked: Asked) -> list[JobRecord]:
    if (asked.week or asked.crew) and found is None:
        raise Refused(NO_PLAN)
    if asked.jobs:
        records = [uow.job(number) for number in asked.jobs]
        over = [record.job for record in records if record.job.state not in LIVE]
        if over:
            raise Refused(f"job {over[0].number} is {over[0].state}: nothing is bought for it any more.")
    else:
        records = [record for record in uow.live_jobs() if record.job.state is JobState.BOOKED]
    if found is not None and asked.crew:
        name = _crew_name(found, shop, asked.crew)
        at = {placed.key.job for placed in found.plan.placements if placed.crew == name}
        records = [record for record in records if record.job.number in at]
    if found is not None and asked.week:
        monday = _monday(asked.week)
        start, end = (to_utc(shop.zone, day, 0) for day in (monday, monday + timedelta(days=7)))
        at = {placed.key.job for placed in found.plan.placements if placed.start < end and placed.end > start}
        records = [record for record in records if record.job.number in at]
    return [record for record in records if any(task.open for task in record.tasks)]


def _crew_name(found: Planned, shop: Shop, name: str) -> str:
    for crew in found.shop.crews:
        if crew.name.casefold() == name.strip().casefold():
            return crew.name
    raise Refused(no_crew(name, shop))


def _whose(asked: Asked) -> str:
    said = []
    if asked.jobs:
        said.append(
            f"{'job' if len(asked.jobs) == 1 else 'jobs'} {listed([str(job) for job in asked.jobs], most=len(asked.jobs))}"
        )
    if asked.crew:
        said.append(asked.crew.strip())
    if asked.week:
        said.append(f"week of {day_words(_monday(asked.week))}")
    return ", ".join(said) or "all booked jobs"


def asked_again(whose: str, printed: date) -> Asked | None:
    """Return what was asked for of a list by the words it has, and by the day it was printed, whose year is the week's.

    None where the words are not such a list's, as of one printed when a list named only the first of many jobs.
    """
    rest, week = whose, None
    if (told := _WEEK.search(rest)) is not None:
        monday = _monday(printed)
        near = sorted(range(-_WEEKS, _WEEKS), key=abs)
        weeks = (monday + timedelta(days=7 * away) for away in near)
        week, rest = next((day for day in weeks if day_words(day) == told[1]), None), rest[: told.start()]
    named = _JOBS.match(rest)
    jobs = tuple(int(number) for number in re.findall("[0-9]+", named[1])) if named is not None else ()
    crew = rest[named.end() :] if named is not None else rest
    found = Asked() if whose == _whose(Asked()) else Asked(jobs=jobs, week=week, crew=crew)
    return found if _whose(found) == whose else None


class _Days:
    """By which day of the site something must be in a house, by the plan."""

    def __init__(self, found: Planned | None, record: JobRecord) -> None:
        self._found, self._record = found, record

    def of_material(self, material: Material) -> tuple[date | None, str]:
        """Return the day for a floor's material and on what it stands."""
        carried = [t for t in self._record.tasks if is_carry_in(t) and t.key.scope.name == material.name and t.open]
        if (at := self._first(carried)) is not None:
            return self._day(at), "carried in then"
        at = self._first([t for t in self._record.tasks if t.needs_material == material.name and t.open])
        if at is not None:
            return self._day(
                at - timedelta(minutes=material.acclimation_min)
            ), "then it has its hours before it is laid"
        return None, self._terms()

    def of_tasks(self, tasks: Sequence[Task]) -> tuple[date | None, str]:
        """Return the day on which the first of some tasks begins."""
        at = self._first(tasks)
        return (self._day(at), "its work begins then") if at is not None else (None, self._terms())

    def _day(self, at: datetime) -> date:
        return to_wall(self._record.job.site.zone, at).date()

    def _first(self, tasks: Sequence[Task]) -> datetime | None:
        if self._found is None:
            return None
        placed = [self._found.placement(self._record.job.number, task.number) for task in tasks if task.open]
        return min((one.start for one in placed if one is not None), default=None)

    def _terms(self) -> str:
        job = self._record.job
        if job.wished:
            return f"start wished {day_words(job.wished)}"
        return f"promised for {day_words(job.promised)}" if job.promised else ""


def _material(record: JobRecord, material: Material, days: _Days) -> Iterator[ToBuy]:
    """Yield what is to be ordered of a material: what its order lines leave open, and what they fall short of the take-off."""
    uses = [task for task in record.tasks if task.needs_material == material.name and not task.not_needed]
    if not any(task.open for task in uses):
        return
    orders = [order for order in record.job.orders if order.material == material.name]
    by, why = days.of_material(material)
    for order in orders:
        if order.ordered is None:
            hold = DEPOSIT if waits_for_deposit(record, [order]) else ""
            yield ToBuy(
                job=record.job.number, what=material.name, amount=material.counted(order.cartons), why="its order line is not placed",
                by=by, by_why=why, supplier=order.supplier, hold=hold,
            )  # fmt: skip
    if any(task.started_at or task.done_at for task in uses):
        return
    need, known = needed(record, material), _known(record, material)
    if _is_counted(need, material, known) and need.count > known:
        off = f"; {material.counted(known)} on order" if known else "; no order line"
        reserve = _reserve(record, material, need)
        yield ToBuy(
            job=record.job.number, what=material.name, amount=material.counted(need.count - known),
            why=f"take-off {need.how}{off}", by=None if reserve else by, by_why="" if reserve else why,
            supplier=next((order.supplier for order in orders if order.supplier), ""), reserve=reserve,
        )  # fmt: skip


def _known(record: JobRecord, material: Material) -> int:
    """Return how many are on order lines, placed or not, or here where more came than was placed."""
    orders = [order for order in record.job.orders if order.material == material.name]
    placed = sum(order.cartons for order in orders if order.ordered is not None)
    here = sum(lot.cartons for lot in record.lots if lot.material == material.name)
    return max(placed, here) + sum(order.cartons for order in orders if order.ordered is None)


def _is_counted(need: Needed, material: Material, known: int) -> bool:
    """Return whether a number is good enough to buy by; area alone is, where nothing of it is ordered."""
    return need.laid_out or material.is_sheet or not known


def _reserve(record: JobRecord, material: Material, need: Needed) -> str:
    """Return of which lot more may be bought where one lot carries all that is laid: another lot is another color."""
    lots: dict[str, int] = {}
    for lot in record.lots:
        if lot.material == material.name:
            lots[lot.name] = lots.get(lot.name, 0) + lot.usable
    carry = need.carried_by(lots)
    return f"reserve; {'lot' if len(carry) == 1 else 'lots'} {' or '.join(carry)} only, or none" if carry else ""


def _short_by_area(record: JobRecord, material: Material) -> Iterator[ShortByArea]:
    """Yield an order that area and the usual waste say is short: no count to buy by, but one to look at."""
    uses = [task for task in record.tasks if task.needs_material == material.name and not task.not_needed]
    if not any(task.open for task in uses) or any(task.started_at or task.done_at for task in uses):
        return
    need, known = needed(record, material), _known(record, material)
    placed = all(order.ordered is not None for order in record.job.orders if order.material == material.name)
    if not _is_counted(need, material, known) and need.count > known:
        yield ShortByArea(
            job=record.job.number,
            what=material.name,
            ordered=f"{material.counted(known)} {'ordered' if placed else 'on an order line'}",
            needed=str(need.count),
            how=need.how.removeprefix(material.counted(need.count)).strip(),
        )


def _material_on_its_way(record: JobRecord, material: Material, now: datetime) -> Iterator[OnItsWay]:
    clock = material_clock(record, material, now)
    if not clock.missing or not any(o.ordered for o in record.job.orders if o.material == material.name):
        return
    suppliers = dict.fromkeys(o.supplier for o in record.job.orders if o.material == material.name and o.supplier)
    yield OnItsWay(
        job=record.job.number, what=material.name, amount=material.counted(clock.missing),
        due=_due_words(record, clock.due, now), supplier=listed(list(suppliers)), late=clock.state is WaitState.LATE,
    )  # fmt: skip


def _for_called_off(uow: UnitOfWork, shop: Shop, asked: Asked, now: datetime) -> Iterator[OnItsWay]:
    """Yield what comes for jobs that are called off, as long as nobody has stopped it; of a week what is due in it."""
    if asked.jobs or asked.crew:
        return
    for record in uow.called_off_jobs():
        for one in still_ordered(record, now):
            if asked.week is None or (
                one.due is not None and _monday(to_wall(shop.zone, one.due).date()) == _monday(asked.week)
            ):
                yield OnItsWay(
                    job=record.job.number, what=one.of.name, amount=one.of.counted(one.missing),
                    due=f"{_due_words(record, one.due, now, ask=False)}; {ON_ITS_WAY}", supplier=listed(list(one.suppliers)),
                    late=one.due is not None and one.due < now,
                )  # fmt: skip


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _due_words(record: JobRecord, due: datetime | None, now: datetime, *, ask: bool = True) -> str:
    """Return for when something is promised, and where no day holds that one is to be asked for."""
    if due is None:
        return f"no day promised{': ask for one' if ask else ''}"
    words = at_site(record.job.site.zone, due)
    return f"was due {words}{': ask for a new day' if ask else ''}" if due < now else f"promised for {words}"


def _goods_lines(record: JobRecord, days: _Days, now: datetime) -> Iterator[ToBuy]:
    for line in record.job.goods:
        clock = goods_clock(record, line, now)
        if clock.state is WaitState.NOT_ORDERED:
            by, why = days.of_tasks([task for task in record.tasks if serves(record.job, line, task)])
            yield ToBuy(
                job=record.job.number, what=line.name, amount=line.counted(clock.missing), why="its order line is not placed",
                by=by, by_why=why, supplier=line.supplier, hold=DEPOSIT if clock.needs_deposit else "",
            )  # fmt: skip


def _goods_on_their_way(record: JobRecord, now: datetime) -> Iterator[OnItsWay]:
    for line in record.job.goods:
        clock = goods_clock(record, line, now)
        if clock.missing and clock.state is not WaitState.NOT_ORDERED:
            yield OnItsWay(
                job=record.job.number, what=line.name, amount=line.counted(clock.missing),
                due=_due_words(record, clock.due, now), supplier=line.supplier, late=clock.state is WaitState.LATE,
            )  # fmt: skip


def _stock(record: JobRecord, shop: Shop, days: _Days) -> Iterator[ToBuy]:
    """Yield the goods of the take-off that no order line brings, or brings too few of: stock, else to buy."""
    from crewjobs.engines.take_off.goods import goods_of, strips_of  # geometry is loaded only where it is used

    lengths = usual_lengths(shop.units)
    lines = goods_of(record.job, lengths).lines
    for kind in dict.fromkeys(ORDERED_AS.get(line.what) for line in lines):
        mine = [line for line in lines if ORDERED_AS.get(line.what) is kind]
        tasks = [task for task in record.tasks if task.open and _takes(task, kind)]
        on_order = sum(one.count for one in record.job.goods if one.goods is kind)
        if not tasks or on_order >= sum(line.count for line in mine):
            continue
        some = f"; on order lines are {on_order} of all kinds" if on_order else ""
        left = _left(record, kind, tasks)
        if kind is Goods.TRANSITION:  # each doorway has its own: what is set is not bought again
            mine = list(strips_of(record.job, lengths, left))
        else:  # nor is what lies in a room
            rest = goods_of(record.job, lengths, places=left).lines
            mine = [line for line in rest if ORDERED_AS.get(line.what) is kind]
        for line in mine:
            own = [task for task in tasks if task.key.scope.name in line.places]
            by, why = days.of_tasks(own)
            yield ToBuy(
                job=record.job.number, what=line.name, amount=counted(line.count, line.unit), why=f"for {listed(list(line.places), most=8)}{some}",
                by=by, by_why=why,
            )  # fmt: skip


def _left(record: JobRecord, kind: Goods | None, tasks: Sequence[Task]) -> set[str]:
    """Return the places that still take goods; plywood that was carried into a room has come, from wherever."""
    left = {task.key.scope.name for task in tasks}
    if kind is not Goods.PLYWOOD:
        return left
    carried = [task for task in record.tasks if task.key.template == PLYWOOD_IN and not task.not_needed]
    came = {task.key.scope.name for task in carried} - {task.key.scope.name for task in carried if task.open}
    return left - came


def _takes(task: Task, kind: Goods | None) -> bool:
    """Return whether a task uses goods of a kind; shoe is no kind of an order: trim takes it."""
    return task.needs_goods is kind if kind is not None else task.phase is Phase.TRIM


def _supplies(records: Sequence[JobRecord], shop: Shop) -> Iterator[SupplyNeed]:
    """Yield what the jobs use up, alike ones counted together."""
    counts: dict[tuple[str, str], list[tuple[int, SupplyRow]]] = {}
    for record in records:
        for row in supply_rows(record, shop.units):
            counts.setdefault((row.name, row.unit), []).append((record.job.number, row))
    for (name, unit), found in counts.items():
        rules = {row.rule for _, row in found}
        standings = list(dict.fromkeys(row.standing for _, row in found))
        rule = rules.pop() if len(rules) == 1 else "each job by itself"
        yield SupplyNeed(
            what=name,
            amount=_amount(sum(row.count for _, row in found), unit),
            rule="; ".join([rule, *standings]),
            jobs=tuple(dict.fromkeys(job for job, _ in found)),
            lines=tuple(f"job {job}: {_amount(row.count, unit)}, {row.rule}" for job, row in found) if rules else (),
        )


def _amount(count: int, unit: str) -> str:
    return counted(count, unit, "boxes" if unit == "box" else "")
