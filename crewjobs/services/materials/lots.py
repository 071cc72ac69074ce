"""Lots: checked before the first carton is opened, and the lead's word on which rooms each goes into."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.goods import LotUse
from crewjobs.domain.house import Transition
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.material import Lot, Material
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import UnitSystem, format_area, quoted
from crewjobs.domain.wording import listed, typed, upper
from crewjobs.engines.estimating.rolls import HOW_TAKEN_OFF
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.holds import HoldKind, holds
from crewjobs.engines.readiness.lots import (
    LOT_CHECKS,
    Cover,
    cover_of,
    lot_groups,
    lot_questions,
    places_of,
    usable,
)
from crewjobs.services.clock import read_moment
from crewjobs.services.materials.ordered import find_material
from crewjobs.services.rows import Done
from crewjobs.services.ticking import hold_words, lot_words, with_task
from crewjobs.services.wording import at_site, counted_of, dated, read_line, step_words, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

USUAL_WASTE: Final = 0.07
"""Of straight rows, at least; 7 to 10 %. Common practice, no source."""
ONE_ROOM_WASTE: Final = 0.05
"""Of one plain rectangle, at least. Common practice, no source."""


def lot_asks(record: JobRecord, material: Material, now: datetime) -> tuple[str, ...]:
    """Return what the lead must say about a material's lots before it is laid, each question once."""
    laying = [task for task in record.tasks if task.needs_material == material.name and task.open]
    return tuple(dict.fromkeys(words for task in laying for words in lot_questions(record, task, material, now)))


def lots_asked(record: JobRecord, material: Material, now: datetime) -> tuple[str, ...]:
    """Return the questions as sentences, with the command that answers them."""
    return tuple(f"{upper(words)} ({lots_command(record, material)})." for words in lot_asks(record, material, now))


def lots_command(record: JobRecord, material: Material) -> str:
    """Return the command that says which rooms each lot of a material goes into."""
    return f"`crewjobs lots {record.job.number} {typed(material.name)} …`"


def check_lot(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    material: str,
    lot: str,
    cartons: float,
    *,
    damaged: float = 0,
    color_differs: bool = False,
    at: str = "",
) -> Done:
    """Record the check of a lot before its first carton is opened: count, damage, color against the signed sample.

    The count stands from now on. When every lot that came is checked, the job's task of counting and checking is
    ticked; a lot that comes later holds its rooms until it is checked too.

    Raises:
        Refused: unknown job, material or lot, no such count, more than ordered, before it came, or a moment to come.
    """
    before = uow.job(job)
    product = find_material(before, material, now)
    known = _lot(before, product, lot)
    zone, moment = before.job.site.zone, read_moment(at, before.job.site.zone, now)
    if moment > now:
        raise Refused(f"{dated(zone, moment)} has not come yet: only what has happened is recorded.")
    if moment < known.arrived_at:
        raise Refused(f"lot {known.name} came {at_site(zone, known.arrived_at)}: it cannot be checked before that.")
    count, spoilt = product.kept(cartons), product.kept(damaged)
    if count < 1:
        raise Refused(f"{product.counted(count)} is no count of a lot that came: count them, 1 or more.")
    checked = replace(known, cartons=count, damaged=spoilt, color_differs=color_differs, checked_at=moment)
    after = _with_lot(before, checked)
    clock = material_clock(after, product, now)
    if clock.come > clock.ordered:
        raise Refused(
            f"job {job}: {product.counted(clock.come)} of {product.name} would have come, {product.number(clock.ordered)} are ordered."
        )
    after, ticked = _tick_check(after, product, moment)
    uow.save_job(before, after)
    what = f"job {job}: lot {checked.name} of {product.name} checked {at_site(zone, moment)}: {_found(product, known, checked)}"
    change = uow.commit(what, at=now, job=job)
    short = _short(after, product, now)
    return Done(sentence=upper(what) + ".", change=change, then=(*short, *lots_asked(after, product, now), *ticked))


def _lot(record: JobRecord, product: Material, name: str) -> Lot:
    lots = [lot for lot in record.lots if lot.material == product.name]
    wanted = name.strip()
    close = [lot for lot in lots if lot.name == wanted] or [
        lot for lot in lots if lot.name.casefold() == wanted.casefold()
    ]
    if not close:
        known = listed([lot.name for lot in lots], most=8)
        has = f"it has {'lot' if len(lots) == 1 else 'lots'} {known}" if lots else "none has come"
        raise Refused(f"job {record.job.number} has no lot {quoted(name)} of {product.name}; {has}.")
    return close[0]


def _with_lot(record: JobRecord, lot: Lot) -> JobRecord:
    """Return the record with a checked lot; a color found to differ takes back the word on that lot."""
    same = (lot.material, lot.name)
    uses = tuple(use for use in record.lot_uses if not (lot.color_differs and (use.material, use.lot) == same))
    lots = tuple(lot if (old.material, old.name) == same else old for old in record.lots)
    return replace(record, lots=lots, lot_uses=uses)


def _found(product: Material, known: Lot, checked: Lot) -> str:
    count = product.counted(checked.cartons)
    taken = f" ({product.number(known.cartons)} were taken in)" if known.cartons != checked.cartons else ""
    damage = f"{product.number(checked.damaged)} damaged" if checked.damaged else "none damaged"
    color = "color differs from the signed sample" if checked.color_differs else "color as the signed sample"
    return f"{count}{taken}, {damage}, {color}"


def _short(record: JobRecord, product: Material, now: datetime) -> Iterator[str]:
    clock = material_clock(record, product, now)
    short = clock.ordered - clock.come
    if short > 0:
        suppliers = dict.fromkeys(o.supplier for o in record.job.orders if o.material == product.name and o.supplier)
        call = listed(list(suppliers)) or "the supplier"
        before = product.before_use if product.is_sheet else "before one is opened"
        yield f"{counted_of(product, clock.come, clock.ordered)} can be laid, {product.number(short)} short: call {call} {before}."


def _tick_check(record: JobRecord, product: Material, moment: datetime) -> tuple[JobRecord, list[str]]:
    """Tick the task of counting and checking where every lot that came is checked, unless something else holds it.

    What is still missing does not: a lot that comes later is checked by itself before it is laid.
    """
    lots = [lot for lot in record.lots if lot.material == product.name]
    if any(lot.checked_at is None for lot in lots):
        return record, []
    said = []
    for task in record.tasks:
        if task.key.template in LOT_CHECKS and task.key.scope.name == product.name and task.open:
            stopped = [hold for hold in holds(record, task, moment) if hold.kind is not HoldKind.MATERIAL]
            if stopped:
                said.append(f"{upper(task_words(task))} stays open: {hold_words(stopped, record.job.site.zone)}.")
            else:
                record = with_task(record, replace(task, started_at=task.started_at or moment, done_at=moment))
                said.append(f"{upper(task_words(task))} is ticked with it.")
    return record, said


def lots(uow: UnitOfWork, now: datetime, job: int, material: str, words: Sequence[str], *, because: str = "") -> Done:
    """Record the lead's word on which rooms each lot of a material goes into, in the place of any earlier word.

    Each word is a lot (``A``: all rooms and stairs of the material) or a lot with its places (``A=living,hall``).

    Raises:
        Refused: unknown job, material, lot or room, a room in two lots, a color that differs, or cartons that do not
            cover the net area: the last three can be said all the same with `because`.
    """
    before = uow.job(job)
    product = find_material(before, material, now)
    reason = read_line(because, "the reason")
    uses = _uses(before, product, words, reason)
    others = tuple(use for use in before.lot_uses if use.material != product.name)
    after = replace(before, lot_uses=(*others, *uses))
    covers = [cover_of(after, group, now) for group in lot_groups(after, product)]
    if not reason:
        _check_word(before, product, uses, covers, uow.shop().units)
    checked = [lot.checked_at for lot in before.lots if lot.material == product.name and lot.checked_at]
    after, ticked = _tick_check(after, product, max(checked)) if checked else (after, [])
    uow.save_job(before, after)
    said = listed([f"lot {use.lot} goes into {listed(use.rooms, most=8) or 'all its rooms'}" for use in uses], most=8)
    what = f"job {job}: {product.name}, {said}" + (f", because {reason}" if reason else "")
    change = uow.commit(what, at=now, job=job)
    units = uow.shop().units
    then = [line for cover in covers for line in cover_sentences(before.job, cover, units)]
    then += [*_left(after, product, now), *ticked, lot_words(after, product.name, now), "Plan again to use it."]
    return Done(sentence=upper(what) + ".", change=change, then=tuple(then))


def _uses(record: JobRecord, product: Material, words: Sequence[str], reason: str) -> tuple[LotUse, ...]:
    if not words:
        raise Refused(f"say which lot of {product.name} goes where: A for all its rooms, or A=living,hall B=bath.")
    rooms: dict[str, list[str] | None] = {}
    for word in words:
        name, given, places = word.partition("=")
        lot = _lot(record, product, name).name
        if given:
            known = rooms.setdefault(lot, [])
            if known is not None:
                known += [place for place in _places(record.job, product, places) if place not in known]
        else:
            rooms[lot] = None
    return tuple(
        LotUse(material=product.name, lot=lot, rooms=tuple(places or ()), because=reason)
        for lot, places in rooms.items()
    )


def _places(job: Job, product: Material, text: str) -> list[str]:
    known = places_of(job, product.name)
    found = []
    for word in [text] if text in known else text.split(","):
        close = [place for place in known if place == word.strip()] or [
            place for place in known if place.casefold() == word.strip().casefold()
        ]
        if not close:
            raise Refused(
                f"job {job.number}: {quoted(word.strip())} is no room or stairs that gets {product.name}; "
                f"those are {listed(known, most=12) or 'none'}."
            )
        found.append(close[0])
    return [*dict.fromkeys(found)]


def _check_word(
    record: JobRecord, product: Material, uses: Sequence[LotUse], covers: Sequence[Cover], units: UnitSystem
) -> None:
    everywhere = places_of(record.job, product.name)
    for place in everywhere:
        mixed = [use.lot for use in uses if place in (use.rooms or everywhere)]
        if len(mixed) > 1:
            raise Refused(
                f"{place} would get lots {listed(mixed)} of {product.name}: two lots do not mix in a room; "
                "give it one lot, or say why with --because."
            )
    for opening in record.job.openings:
        if opening.transition is not Transition.CONTINUOUS or not {*opening.between} <= {*everywhere}:
            continue
        each = [[use.lot for use in uses if place in (use.rooms or everywhere)] for place in opening.between]
        if all(each) and each[0] != each[1]:
            raise Refused(
                f"{listed([*opening.between])} are one floor without a strip and would get lots {listed(sorted({*each[0], *each[1]}))} of "
                f"{product.name}: give them one lot, or say why with --because."
            )
    for use in uses:
        if _lot(record, product, use.lot).color_differs:
            raise Refused(
                f"lot {use.lot} of {product.name} differs in color from the signed sample: "
                "if it is laid all the same, say why with --because."
            )
    for cover in covers:
        if not cover.enough:
            raise Refused(
                f"{_covering(record.job, cover, units)}, {_short_by(cover)} short; "
                "if it is laid all the same, say why with --because."
            )


def _short_by(cover: Cover) -> str:
    return cover.group.material.counted(cover.needs_cartons - cover.cartons)


def _covering(job: Job, cover: Cover, units: UnitSystem) -> str:
    """Return ``lot A: 24 cartons cover 571 ft², the rooms are 520 ft²``; of sheet goods the feet they take."""
    material = cover.group.material
    cartons = f"{material.counted(cover.cartons)} cover{'s' if cover.cartons == 1 else ''}"
    rooms = [room for room in job.rooms if room.name in cover.group.places]
    stairs = [flight for flight in job.stairs if flight.name in cover.group.places]
    what = " and ".join(["the room" if len(rooms) == 1 else "the rooms"] * bool(rooms) + ["the stairs"] * bool(stairs))
    one = len(rooms) == 1 and not stairs
    if material.is_sheet:
        takes = f"{'takes' if one else 'take'} {material.counted(cover.needs_cartons)} ({HOW_TAKEN_OFF})"
        return f"{cover.group.words}: {material.counted(cover.cartons)}, {what} {takes}"
    step = f" ({'stairs ' if rooms else ''}by {step_words(job, material, units)})" if stairs else ""
    return (
        f"{cover.group.words}: {cartons} {format_area(cover.covers_ft2, units)}, "
        f"{what} {'is' if one else 'are'} {format_area(cover.needs_ft2, units)}{step}"
    )


def cover_sentences(job: Job, cover: Cover, units: UnitSystem) -> Iterator[str]:
    """Yield whether lots carry their rooms by area, and a warning where little is left for cuts."""
    share = cover.spare_ft2 / cover.needs_ft2 if cover.needs_ft2 else 0.0
    covering = upper(_covering(job, cover, units))
    if not cover.enough:
        yield f"{covering}, {_short_by(cover)} short."
        return
    if cover.group.material.is_sheet:
        yield f"{covering}; {cover.group.material.counted(cover.cartons - cover.needs_cartons)} over."
        return
    yield f"{covering}; {format_area(max(0.0, cover.spare_ft2), units)} ({share:.0%}) for cuts.".replace("%)", " %)")
    rooms = [room for room in job.rooms if room.name in cover.group.places]
    if not rooms:
        yield "An area says little about stairs: count treads, risers and landings against the planks."
        return
    plain = len(rooms) == len(cover.group.places) == 1 and rooms[0].outline.is_rectangle
    if share < (ONE_ROOM_WASTE if plain else USUAL_WASTE):
        usual = "5 %" if plain else "7 to 10 %"
        yield f"That is little: rows usually take {usual} for cuts (common practice); short of planks, the last rows wait."


def _left(record: JobRecord, product: Material, now: datetime) -> Iterator[str]:
    """Yield the rooms no lot was said for, and the lots that go nowhere."""
    groups = lot_groups(record, product)
    placed = {place for group in groups for place in group.places}
    open_places = [place for place in places_of(record.job, product.name) if place not in placed]
    if open_places:
        one = len(open_places) == 1
        yield f"{upper(listed(open_places, most=8))} {'has' if one else 'have'} no lot yet and {'stays' if one else 'stay'} on hold."
    named = {lot for group in groups for lot in group.lots}
    for lot in record.lots:
        if lot.material == product.name and lot.name not in named:
            count = usable(lot, now)
            yield f"Lot {lot.name} goes nowhere by this: {product.counted(count)} {'is' if count == 1 else 'are'} left over."


def lot_notes(record: JobRecord, tasks: Sequence[Task]) -> Iterator[str]:
    """Yield for the crew which lot goes into the places of some tasks, where the lead has said so."""
    places = {task.key.scope.name for task in tasks if task.needs_material is not None}
    for material in record.job.materials:
        for group in lot_groups(record, material):
            mine = [place for place in group.places if place in places]
            if mine:
                yield f"{upper(group.words)} of {material.name} into {listed(mine, most=8)}, no other lot"
