"""The record of a job for the file, built from what is stored for the paper to print."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.agreed import Walk
from crewjobs.domain.crew import Shop
from crewjobs.domain.house import Layer
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.reading import ReadingKind
from crewjobs.domain.tasks import PHASES, Phase, ScopeKind, Task
from crewjobs.domain.units import UnitSystem, format_area
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import counted, dated_words, day_words, days_words, listed, upper
from crewjobs.paper.job_record import JobRecordPage, RecordMaterial, RecordRoom, RecordWork
from crewjobs.services.asked.telling import last_told, told_off
from crewjobs.services.evenings.how_far import far_of
from crewjobs.services.findings.found_told import settled_lines
from crewjobs.services.jobs.jobs import passed_words
from crewjobs.services.jobs.known import HAND_OVER, LAYING, READINGS, WALK_BEFORE, WOOD_READING
from crewjobs.services.jobs.known_hours import hours_lines
from crewjobs.services.jobs.money import change_order_lines
from crewjobs.services.jobs.walks import walk_lines
from crewjobs.services.jobs.written import written_with
from crewjobs.services.materials.material_rows import lot_facts
from crewjobs.services.materials.returns import return_lines
from crewjobs.services.pages.paper_sheets import paper_of, wall_now
from crewjobs.services.pages.plain_words import on_paper
from crewjobs.services.people.small_visits import visit_lines
from crewjobs.services.readings.known_readings import taken_lines
from crewjobs.services.wording import at_site

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.storage.unit_of_work import UnitOfWork

from crewjobs.paper.model import Sheet

LAID_ON_STAIRS = frozenset({"lay-stairs", "glue-treads-between"})
"""Task templates in which a stair's last planks are laid; a test holds them to the catalogue."""


ROOM_READING: Final = "room-reading"
READ_IN: Final = {
    WOOD_READING: {ReadingKind.BOARDS, ReadingKind.SUBFLOOR},
    "wood-subfloor-reading": {ReadingKind.SUBFLOOR},
    "slab-test-read": {ReadingKind.SLAB_RH, ReadingKind.SLAB_VAPOR, ReadingKind.SLAB_PH},
}
"""What is read in a task that reads a meter; a test holds its names to the known ones."""
WALKED: Final = {WALK_BEFORE: Walk.BEFORE, HAND_OVER: Walk.AFTER}


def job_record(uow: UnitOfWork, catalogue: Catalogue, now: datetime, number: int, *, paper: str = "") -> JobRecordPage:
    """Return what is stored of a job, whatever its state.

    Raises:
        Refused: there is no such job.
    """
    record, shop = uow.job(number), uow.shop()
    job = record.job
    return JobRecordPage(
        shop_name=shop.name,
        shop_phone=shop.phone,
        sheet=Sheet(name=f"Record of job {number}", printed_at=wall_now(shop, now)),
        paper=paper_of(shop, paper),
        job=number,
        title=job.title,
        customer=job.customer.name,
        address=job.site.address,
        state=job.state.value,
        dates=tuple(_dates(record)),
        rooms=tuple(_rooms(record, shop.units)),
        materials=tuple(_materials(record, now)),
        work=tuple(_work(record)),
        not_done=tuple(_not_done(record)),
        people=tuple(_people(record, shop)),
        hours=tuple(reversed(hours_lines(record))),
        readings=(*taken_lines(record, shop.units), *_ticked_readings(record)),
        findings=settled_lines(record, catalogue, now, shop.units),
        agreed=change_order_lines(record),
        walks=(*walk_lines(record), *_ticked_walks(record)),
        passed=tuple(on_paper(passed_words(record, hold)) for hold in record.passed if hold.seen),
        dry_runs=tuple(f"{upper(at_site(job.site.zone, run.at))} {run.crew}: {run.because}" for run in record.dry_runs),
        small_visits=visit_lines(record),
    )


def _ticked_readings(record: JobRecord) -> Iterator[str]:
    """Yield the readings that were ticked and of which no figure was recorded."""
    kinds = {reading.kind for reading in record.readings}
    for task in record.tasks:
        read = (
            bool(record.air)
            if task.key.template == ROOM_READING
            else bool(kinds & READ_IN.get(task.key.template, kinds))
        )
        if task.key.template in READINGS and task.done_at is not None and not read:
            day = day_words(to_wall(record.job.site.zone, task.done_at).date())
            where = "" if task.key.scope.kind is ScopeKind.JOB else f" ({task.where})"
            yield f"{task.title}{where}: ticked {day}, its figures were not recorded"


def _ticked_walks(record: JobRecord) -> Iterator[str]:
    """Yield the walk-throughs that were ticked and of which nothing was recorded."""
    held = {walk.walk for walk in record.walks}
    for task in record.tasks:
        walk = WALKED.get(task.key.template)
        if walk is not None and task.done_at is not None and walk not in held:
            day = day_words(to_wall(record.job.site.zone, task.done_at).date())
            yield f"Walk-through {walk.value} the work: ticked {day}, what was said was not recorded"


def _dates(record: JobRecord) -> Iterator[str]:
    zone = record.job.site.zone
    built = f"built {record.job.site.year_built}" if record.job.site.year_built else "year built not known"
    yield f"House: {built}"
    if record.job.promised:
        was = "Was promised" if record.job.state is JobState.CALLED_OFF else "Promised"
        yield f"{was} for {dated_words(record.job.promised)}"
    done = [task.done_at for task in record.tasks if task.done_at is not None]
    if done:
        first, last = (dated_words(to_wall(zone, at).date()) for at in (min(done), max(done)))
        yield f"First task done {first}, last {last}"
    if told := last_told(record):
        yield f"Finish told last: {dated_words(told)}"
    elif told_off(record) and record.job.state is JobState.CALLED_OFF:
        at = max(one.at for one in record.told)
        yield f"Called off: everybody told {dated_words(to_wall(zone, at).date())}"


def _rooms(record: JobRecord, units: UnitSystem) -> Iterator[RecordRoom]:
    for room in record.job.rooms:
        floor = room.floor or "no new floor"
        area = format_area(room.net_ft2, units)
        under = [word for word, so in (("plywood underlayment", room.add_plywood), ("pad", room.pad)) if so]
        trim = f"; trim: {room.trim.value}"
        yield RecordRoom(
            name=f"{room.name}, {area}",
            before=f"{_layers(room.layers)} on {room.subfloor.value}",
            after=f"{floor}{' over ' + listed(under) if under else ''}{trim}" if room.floor else floor,
            laid=_laid(record, room.name, LAYING) if room.floor else "",
        )
    for flight in record.job.stairs:
        yield RecordRoom(
            name=f"{flight.name}, {counted(flight.steps, 'step')}",
            before=_layers(flight.layers),
            after=flight.floor or "no new floor",
            laid=_laid(record, flight.name, LAID_ON_STAIRS) if flight.floor else "",
        )


def _layers(layers: tuple[Layer, ...]) -> str:
    """Return what lay there, the top first, each with its year where it was said."""
    said = [f"{one.covering.value} ({one.year})" if one.year else one.covering.value for one in layers]
    return listed(said, most=9) or "bare"


def _laid(record: JobRecord, place: str, templates: frozenset[str]) -> str:
    """Return when a place was laid; where a part of it is still open how much is, and how far what is begun was said to be."""
    tasks = [t for t in record.tasks if t.key.template in templates and t.key.scope.name == place and not t.not_needed]
    done = [task.done_at for task in tasks if task.done_at is not None]
    if not tasks:
        return "no laying task"
    if len(done) < len(tasks):
        begun = [(task.where, words) for task in tasks if (words := _begun(record, task))]
        if len(tasks) == 1 and begun:
            return begun[0][1]
        if begun:
            under_way = "; ".join(f"{where}: {words}" for where, words in begun)
            return f"{len(done)} of {len(tasks)} parts laid; {under_way}"
        return f"{len(done)} of {len(tasks)} parts laid" if done else "not laid yet"
    first, last = (to_wall(record.job.site.zone, at).date() for at in (min(done), max(done)))
    return days_words(first, last)


def _begun(record: JobRecord, task: Task) -> str:
    """Return that an open task is begun, and how far it was said to be: ``begun, rows 1–9 of 19``; empty of any other."""
    far = far_of(record, task)
    if task.open and far:
        return f"begun, {far}"
    if task.open and task.started_at is not None:
        return f"begun {day_words(to_wall(record.job.site.zone, task.started_at).date())}"
    return ""


def _materials(record: JobRecord, now: datetime) -> Iterator[RecordMaterial]:
    gone = return_lines(record, now)
    for material in record.job.materials:
        ordered = sum(order.cartons for order in record.job.orders if order.material == material.name)
        came = sum(lot.cartons for lot in record.lots if lot.material == material.name)
        suppliers = dict.fromkeys(o.supplier for o in record.job.orders if o.material == material.name and o.supplier)
        source = f" from {listed(list(suppliers))}" if suppliers else ""
        yield RecordMaterial(
            name=material.name,
            what=f"{material.kind.value}, {material.method.value}; {material.counted(ordered)} ordered{source}, {material.number(came)} came",
            lines=(
                *(lot_facts(record, material, lot) for lot in record.lots if lot.material == material.name),
                *(line for line in gone if material.name in line),
            ),
        )
    for line in record.job.goods:
        came = sum(one.count for one in record.goods_come if one.line == line.name)
        source = f" from {line.supplier}" if line.supplier else ""
        yield RecordMaterial(name=line.name, what=f"{line.counted(line.count)} ordered{source}, {came} came", lines=())


def _work(record: JobRecord) -> Iterator[RecordWork]:
    """Yield what was done, each title of a phase once with its places and from which day to which it was done."""
    order = {phase: place for place, phase in enumerate((*PHASES, Phase.HOUSE))}
    groups: dict[tuple[Phase, str], list[Task]] = {}
    for task in record.tasks:
        if task.done_at is not None and not task.not_needed:
            groups.setdefault((task.phase, task.title), []).append(task)
    zone = record.job.site.zone
    for (phase, title), tasks in sorted(groups.items(), key=lambda item: order[item[0][0]]):
        done = [to_wall(zone, task.done_at).date() for task in tasks if task.done_at is not None]
        places = dict.fromkeys("" if task.key.scope.kind is ScopeKind.JOB else task.where for task in tasks)
        yield RecordWork(
            phase=phase.value,
            what="; ".join([title, *(on_paper(words) for task in tasks if (words := written_with(record, task)))]),
            where=listed([place for place in places if place], most=12),
            when=days_words(min(done), max(done)),
            who=listed(list(dict.fromkeys(task.crew for task in tasks if task.crew))),
        )


def _not_done(record: JobRecord) -> Iterator[str]:
    """Yield what is open still, what is begun of it first, and what was not needed."""
    left = sorted((task for task in record.tasks if task.open), key=lambda task: not _begun(record, task))
    dropped = [task for task in record.tasks if task.not_needed]
    if left:
        yield f"{counted(len(left), 'task')} of {len(record.tasks)} still open: {_titles(record, left)}"
    if dropped:
        yield f"Not needed: {_titles(record, dropped)}"


def _titles(record: JobRecord, tasks: list[Task]) -> str:
    said = ((task, "; ".join(filter(None, (task.where, _begun(record, task))))) for task in tasks)
    return listed(list(dict.fromkeys(f"{task.title} ({words})" for task, words in said)), most=8)


def _people(record: JobRecord, shop: Shop) -> Iterator[str]:
    """Yield the crews that were there, each with its people as they are in the shop's file today."""
    names = dict.fromkeys(
        [
            *(hours.crew for hours in record.crew_hours),
            *(task.crew for task in record.tasks if (task.started_at or task.done_at) and task.crew),
        ]
    )
    known = {crew.name: crew for crew in shop.crews}
    for name in names:
        people = listed([worker.name for worker in known[name].workers], most=9) if name in known else ""
        yield f"{name}: {people}, as the crew is today" if people else name
