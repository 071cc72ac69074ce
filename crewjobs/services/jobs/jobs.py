"""One job, whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.evening import share_left
from crewjobs.domain.furniture import Piece
from crewjobs.domain.house import Room, Stairs
from crewjobs.domain.job import HoldPassed, JobRecord, JobState
from crewjobs.domain.plan import Placement
from crewjobs.domain.tasks import Catalogue, Caution, Driver, Phase, Task
from crewjobs.domain.units import UnitSystem, format_area, format_length
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed
from crewjobs.engines.estimating.estimate import Total, job_totals, total
from crewjobs.engines.estimating.expand import cautions_for
from crewjobs.engines.planning.paces import paces_in
from crewjobs.engines.readiness.holds import holds
from crewjobs.services.evenings.how_far import far_of
from crewjobs.services.findings.air import cautions_told, notes_told, title_told
from crewjobs.services.findings.at_the_address import beside_words
from crewjobs.services.findings.found_told import found_lines, house_cautions, not_settled, task_cautions
from crewjobs.services.findings.house_told import open_elsewhere, others_with_findings
from crewjobs.services.findings.lifted_first import lifted_first_words, nothing_on_it_words
from crewjobs.services.history import change_rows
from crewjobs.services.jobs.amending import ENDED, terms_of
from crewjobs.services.jobs.around_lines import around_lines
from crewjobs.services.jobs.heights import looked_at
from crewjobs.services.jobs.job_list import job_row
from crewjobs.services.jobs.known_hours import hours_lines, spent_hours
from crewjobs.services.jobs.money import change_order_lines, money_lines
from crewjobs.services.jobs.site_facts import site_facts
from crewjobs.services.jobs.ties import called_back, ties
from crewjobs.services.jobs.walks import walk_lines
from crewjobs.services.jobs.written import written_lines
from crewjobs.services.materials.material_rows import material_rows
from crewjobs.services.materials.returns import return_lines
from crewjobs.services.moving.furnished import furniture_lines
from crewjobs.services.people.small_visits import visit_lines
from crewjobs.services.readings.known_readings import reading_lines
from crewjobs.services.rows import CALLBACK_HOURS, SPREAD, JobPage, PhaseCell, PhaseTotal, TaskRow
from crewjobs.services.ticking import hold_words
from crewjobs.services.weeks.visits import Planned, planned
from crewjobs.services.wording import amount_words as amount_words
from crewjobs.services.wording import at_site, task_words, told_of
from crewjobs.services.wording import quantity_words as quantity_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def job_page(uow: UnitOfWork, catalogue: Catalogue, number: int, now: datetime) -> JobPage:
    """Return one job with everything on it.

    Raises:
        Refused: there is no such job.
    """
    record, shop, house = uow.job(number), uow.shop(), others_with_findings(uow, number)
    # The plan in force may be of a time before the job ended, or was called off: it is no plan of it any more.
    found = planned(uow, [record]) if record.job.state not in ENDED else None
    placed = {task: p for p in (found.plan.placements if found else ()) if p.key.job == number for task in p.tasks}
    tasks = tuple(task_row(record, task, placed.get(task.number), catalogue, shop.units, now) for task in record.tasks)
    needed = [task for task in record.tasks if not task.not_needed]
    labor, callbacks = total(needed), uow.callbacks()
    spent, unspread = spent_hours(record)
    return JobPage(
        row=job_row(record, found, now, called_back(callbacks).get(number, ())),
        version=record.version,
        phone=record.job.customer.phone,
        site_lines=(*site_lines(record, now), *furniture_lines(record), *around_lines(record, house, now)),
        rooms=tuple(_room_words(room, shop.units) for room in record.job.rooms)
        + tuple(_stairs_words(stairs) for stairs in record.job.stairs),
        materials=material_rows(record, now, found),
        cells=_cells(needed, shop.units),
        tasks=tasks,
        hours=labor.hours,
        spread=labor.spread / 60,
        area_ft2=record.job.area_ft2,
        units=shop.units,
        pace=pace_words(record.job.area_ft2, floor_labor(needed), shop.units),
        man_days=labor.man_days,
        phases=phase_totals(needed, spent),
        spent_rest=unspread,
        crew_hours=hours_lines(record),
        hours_note=CALLBACK_HOURS if record.job.is_callback else SPREAD,
        ties=ties(callbacks, number),
        readings=reading_lines(record, now, shop.units),
        heights=looked_at(record, shop.units),
        findings=(
            *found_lines(record, catalogue, now, shop.units),
            *(
                f"Job {other.job.number}: {not_settled(other, one)}"
                for other, one in open_elsewhere(record, house, now)
            ),
            *beside_words(uow, record, now),
        ),
        cautions=tuple(c.said for c in open_cautions(record, catalogue, now)),
        changes=change_rows(uow, shop.zone, job=number),
        passed=tuple(passed_words(record, hold) for hold in record.passed if hold.seen),
        written=written_lines(record),
        terms=terms_of(record.job),
        small_visits=visit_lines(record),
        walks=walk_lines(record),
        change_orders=change_order_lines(record),
        money=money_lines(record),
        returns=return_lines(record, now),
        not_planned=_not_planned(record, found),
        by_pace=_by_pace(uow, record, placed),
    )


def _by_pace(uow: UnitOfWork, record: JobRecord, placed: Mapping[int, Placement]) -> str:
    """Return what is left of a job's open work by the pace it is planned by, or which command tells it for each crew."""
    still, number = [task for task in record.tasks if task.open], record.job.number
    if not still or record.job.is_callback or not (uow.hours_known() or uow.rate_pins()):
        return ""
    every = f"`crewjobs rates --job {number}` says it for each crew"
    paces = paces_in({one.key: one for one in placed.values()}.values())
    if not paces.times or any(task.number not in placed for task in still):
        return f"by the crews' own pace: {every}"
    minutes = sum(
        task.estimate.expected
        * share_left(record.how_far, task.number)
        * paces.of(placed[task.number].crew, number, task.number)
        for task in still
    )
    return f"by the pace of the crews it is planned with, {minutes / 60:.1f} h are left; {every}"


def _not_planned(record: JobRecord, found: Planned | None) -> tuple[str, ...]:
    """Return why the plan in force leaves out what is still open of a booked job; of a part with its first tasks."""
    if found is None or record.job.state is not JobState.BOOKED:
        return ()
    placed = any(placement.key.job == record.job.number for placement in found.plan.placements)
    said: dict[str, list[str]] = {}
    for left in found.plan.left_out:
        if left.job == record.job.number:
            titles = [task.title for task in record.tasks if task.number in left.tasks and task.open]
            if titles:
                said.setdefault(left.why, []).extend(dict.fromkeys(titles))
    return tuple(f"{listed(titles, most=3)}: {why}" if placed else why for why, titles in said.items())


def task_row(
    record: JobRecord, task: Task, placement: Placement | None, catalogue: Catalogue, units: UnitSystem, now: datetime
) -> TaskRow:
    """Return one task as a line of the job's page."""
    zone = record.job.site.zone
    stopped = holds(record, task, now) if task.open and record.job.state is JobState.BOOKED else ()
    planned = f"{at_site(zone, placement.start)} {placement.crew}" if placement and task.open else ""
    return TaskRow(
        number=task.number,
        phase=task.phase.value,
        stage=task.stage,
        where=task.where,
        title=title_told(record, task, catalogue, now),
        quantity=quantity_words(task, units),
        hours=task.estimate.expected / 60,
        spread=task.estimate.spread / 60,
        pace=_pace([task], units),
        state=task.state,
        started_at=to_wall(zone, task.started_at) if task.started_at else None,
        done_at=to_wall(zone, task.done_at) if task.done_at else None,
        hold=told_of(record.job, hold_words(stopped, zone), units) if stopped else "",
        planned=planned,
        cautions=tuple(caution.said for caution in task_cautions(record, task, catalogue, now)),
        notes=(
            *lifted_first_words(record, task),
            *nothing_on_it_words(record, task, now),
            *notes_told(record, task, catalogue, now),
        ),
        after=tuple(hold.task for hold in stopped if hold.task is not None),
        how_far=far_of(record, task),
    )


def open_cautions(record: JobRecord, catalogue: Catalogue, now: datetime) -> tuple[Caution, ...]:
    """Return the cautions of the work still open on a job and of what was found, each once, first things first."""
    found = {c for task in record.tasks if task.open for c in cautions_for(record.job, task, catalogue)}
    return cautions_told(record, found | set(house_cautions(record, catalogue, now)), now)


def pace_words(area_ft2: float, labor: Total, units: UnitSystem) -> str:
    """Return the pace at which an area takes this labor, as ft² (or m²) per man-day; empty without area or labor."""
    if area_ft2 <= 0 or labor.man_days <= 0:
        return ""
    return f"{format_area(area_ft2 / labor.man_days, units)} per man-day"


def _pace(tasks: Sequence[Task], units: UnitSystem) -> str:
    """Return the pace of tasks of one place together: its area over all their labor."""
    areas = [task.quantity for task in tasks if task.unit is Driver.AREA]
    return pace_words(max(areas, default=0), floor_labor(tasks), units)


def floor_labor(tasks: Iterable[Task]) -> Total:
    """Return the labor that counts in a pace: all but work agreed in words, which has no floor."""
    return total(task for task in tasks if task.unit is not Driver.HOURS)


def phase_totals(tasks: Sequence[Task], spent: Mapping[Phase, float] | None = None) -> tuple[PhaseTotal, ...]:
    """Return the labor of each phase, in the order of paper, with what was spent on it so far."""
    so_far = spent or {}
    return tuple(
        PhaseTotal(phase=phase.value, hours=labor.hours, spread=labor.spread / 60, spent=so_far.get(phase, 0.0))
        for phase, labor in job_totals(tasks).phases
    )


def site_lines(record: JobRecord, now: datetime) -> tuple[str, ...]:
    """Return the house's facts as lines, without entry notes."""
    facts = (f"{label}: {text}" if label != "House" else text for label, text in site_facts(record, now))
    return (*facts, f"Drive: {record.job.site.drive_min} min from the shop")


def _room_words(room: Room, units: UnitSystem) -> str:
    length, width = room.outline.size
    size = f"{format_length(length, units)} × {format_length(width, units)}"
    parts = [f"{room.name}: {size}, {format_area(room.net_ft2, units)}"]
    parts.append(
        "now " + (listed([layer.covering.value for layer in room.layers]) or "bare") + f" on {room.subfloor.value}"
    )
    parts.append(f"gets {room.floor}" if room.floor else "no new floor")
    if len(room.sections) > 1:
        parts.append("in sections: " + listed([section.name for section in room.sections]))
    if room.furniture:
        parts.append("furniture: " + listed([_piece_words(piece) for piece in room.furniture], most=6))
    return "; ".join(parts)


def passed_words(record: JobRecord, hold: HoldPassed) -> str:
    """Return a hold that was passed: when, for which task, what was seen then, and the reason."""
    task = task_words(record.task(hold.task))
    return f"{at_site(record.job.site.zone, hold.at)} {task}: {'; '.join(hold.seen)}. Done all the same: {hold.because}"


def _stairs_words(stairs: Stairs) -> str:
    flights = f" in {stairs.flights} flights" if stairs.flights > 1 else ""
    old = listed([layer.covering.value for layer in stairs.layers]) or "bare"
    return f"{stairs.name}: {stairs.steps} steps{flights}; now {old}; gets {stairs.floor or 'no new floor'}"


def _piece_words(piece: Piece) -> str:
    return (f"{piece.count} × " if piece.count > 1 else "") + piece.name + (" (stays)" if piece.stays else "")


def _cells(tasks: Sequence[Task], units: UnitSystem) -> tuple[PhaseCell, ...]:
    grouped: dict[tuple[Phase, str], list[Task]] = {}
    for task in tasks:
        grouped.setdefault((task.phase, task.where), []).append(task)
    order = {phase: rank for rank, phase in enumerate(Phase)}
    return tuple(
        PhaseCell(
            phase=phase.value,
            where=where,
            done=sum(not task.open for task in group),
            all=len(group),
            hours=total(group).hours,
            spread=total(group).spread / 60,
            pace=_pace(group, units),
        )
        for (phase, where), group in sorted(grouped.items(), key=lambda item: order[item[0][0]])
    )
