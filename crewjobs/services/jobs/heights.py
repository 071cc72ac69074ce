"""What a job's new floors meet by their height, in words: found before material is ordered."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crewjobs.domain.house import Transition
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Task
from crewjobs.domain.units import INCH, UnitSystem, format_cut
from crewjobs.domain.wording import listed, upper
from crewjobs.engines.estimating.places import OUTSIDE
from crewjobs.engines.heights.build_up import BuildUp, build_up, guessed, of_stairs
from crewjobs.engines.heights.left import left_under
from crewjobs.engines.heights.levels import level_change
from crewjobs.engines.heights.meeting import (
    COUNTER,
    FLANGE_ABOVE,
    MOST_CUT,
    MOST_RISER,
    WANTED_GAP,
    WIDEST_RATED_GAP,
    ApplianceUnder,
    DoorOver,
    FlangeAt,
    FlangeNeed,
    FloorsMeet,
    Joint,
    Met,
    RisersOf,
    met,
)
from crewjobs.services.jobs.heights_rows import HeightRow, HeightsView

ADA = "2010 ADA Standards 303, which bind no private house: the default against tripping"


TASKS_AT_HEIGHTS: Final = {
    "set-strip": ("floors meet",),
    "set-threshold": ("floors meet",),
    "hang-doors": ("door",),
    "hang-rated-door": ("door",),
    "toilet-back": ("flange",),
    "plumbed-appliances-out": ("under the counter",),
    "plumbed-appliances-back": ("under the counter",),
}
"""By task template, which kinds of rows are about it. A test holds them to the catalogue."""


def heights_view(record: JobRecord, units: UnitSystem) -> HeightsView:
    """Return the build-up of every room and what the new floors meet."""
    job, left = record.job, left_under(record)
    built = {room.name: build_up(job, room, left.get(room.name, frozenset())) for room in job.rooms}
    places = {**built, **{stairs.name: of_stairs(job, stairs) for stairs in job.stairs if stairs.floor is not None}}
    unknown = [name for name, found in built.items() if found is None]
    usual = dict.fromkeys(part for found in places.values() if found is not None for part in guessed(found))
    taken_as = [f"{part.what} {format_cut(part.thickness, units)} thick" for part in usual]
    if unknown:
        taken_as.append(
            f"what lies in {listed(unknown, most=6)} was not said: how its floor meets the new ones is not known"
        )
    return HeightsView(
        job=job.number,
        title=job.title,
        rooms=tuple(_room(name, found, units) for name, found in places.items() if found is not None),
        rows=tuple(height_rows(record, units)),
        taken_as=tuple(taken_as),
    )


def height_rows(record: JobRecord, units: UnitSystem) -> Iterator[HeightRow]:
    """Yield what a job's new floors meet; `look`: it is to be settled before material is ordered."""
    for one in met(record.job, left_under(record)):
        kind, where, sentence, look = _told(one, units)
        yield HeightRow(kind=kind, where=where, sentence=f"{upper(where)}: {sentence}", look=look)


def looked_at(record: JobRecord, units: UnitSystem) -> tuple[str, ...]:
    """Return what is to be settled before material is ordered, each as a sentence."""
    return tuple(row.sentence for row in height_rows(record, units) if row.look)


def height_notes(record: JobRecord, task: Task, units: UnitSystem) -> Iterator[str]:
    """Yield what of a task's own place is still to be settled by its height: a strip that does not fit, a door, a flange, a counter."""
    kinds = TASKS_AT_HEIGHTS.get(task.key.template, ())
    for row in height_rows(record, units) if kinds else ():
        if row.look and row.kind in kinds and row.where == task.key.scope.name:
            yield row.sentence


def _room(name: str, found: BuildUp, units: UnitSystem) -> str:
    def parts(which: tuple[object, ...], high: int) -> str:
        return format_cut(high, units) if which else "bare"

    now, then = parts(found.before, found.was), parts(found.after, found.becomes)
    if found.before == found.after:
        return f"{name}: stays {now}"
    rise = (
        "as high as now"
        if not found.rise
        else f"{format_cut(abs(found.rise), units)} {'higher' if found.rise > 0 else 'lower'}"
    )
    made = listed([f"{part.what} {format_cut(part.thickness, units)}" for part in found.after], most=6)
    return f"{name}: now {now}, then {then} ({made}), {rise}"


def _told(one: Met, units: UnitSystem) -> tuple[str, str, str, bool]:
    match one:
        case FloorsMeet():
            return "floors meet", one.opening.name, _floors(one, units), not one.fits
        case DoorOver():
            return "door", one.opening.name, _door(one, units), one.cut is None or one.much or one.opening.rated
        case FlangeAt():
            return "flange", one.room, _flange(one, units), one.need not in (FlangeNeed.NOTHING, FlangeNeed.THICK_RING)
        case ApplianceUnder():
            return "under the counter", one.room, _appliance(one, units), one.stays is None or one.tight
        case RisersOf():
            return "risers", one.stairs.name, _risers(one, units), one.over


def _floors(one: FloorsMeet, units: UnitSystem) -> str:
    apart, planned = format_cut(one.apart, units), one.opening.transition
    if not one.apart:
        both = "both floors come to the same height"
        if one.fits:
            return f"{both}: {_strip(planned)} does"
        return f"{both}: a reducer goes down to a lower floor; a T-mold bridges level ones"
    higher = f"{one.higher} comes to lie {apart} higher than {one.lower}"
    if one.fits:
        return f"{higher}: {_strip(planned)} does"
    if one.joint is Joint.RUNS_ON:
        return f"{higher}, and the floor is to run on: level one of them, or plan a strip"
    if one.joint is Joint.RAMP:
        run = round(level_change(one.apart / INCH).run * INCH)
        return (
            f"{higher}, more than a strip bridges: a ramp no steeper than 1:12 is {format_cut(run, units)} long ({ADA}); build the "
            "lower floor up, or ask the customer"
        )
    return (
        f"{higher}: {_strip(planned)} does not fit; a reducer or a threshold does, beveled no steeper than 1:2 ({ADA})"
    )


def _strip(transition: Transition) -> str:
    return {
        Transition.CONTINUOUS: "running on",
        Transition.END_CAP: "an end cap",
    }.get(transition, f"a {transition}")


def _door(one: DoorOver, units: UnitSystem) -> str:
    rise, wanted = format_cut(one.rise, units), format_cut(WANTED_GAP, units)
    floor = f"the floor of {one.room} rises {rise} under it"
    if one.opening.rated:
        return (
            f"{floor}. It is a rated door: it is not cut before its rating is known and who may cut it; free under it at most "
            f"{format_cut(WIDEST_RATED_GAP, units)} (NFPA 80; the door's label and local code decide)"
        )
    if one.cut is None:
        outside = " and its threshold" if OUTSIDE in one.opening.between else ""
        return f"{floor}: measure what is free under it{outside} (`gap`); {wanted} over the new floor is usual"
    if not one.cut:
        return f"{floor}, and enough stays free"
    much = f", more than a hollow door takes ({format_cut(MOST_CUT, units)}): look at the door" if one.much else ""
    return f"{floor}: {format_cut(one.cut, units)} off it leaves {wanted}{much}"


_FLANGE = {
    FlangeNeed.THICK_RING: "an extra-thick ring or a waxless seal, one new one, never two stacked",
    FlangeNeed.EXTENDER: "an extender ring on a sealed, screwed base",
    FlangeNeed.PLUMBER: "more than an extender bridges: a plumber decides",
    FlangeNeed.LOWER: "too high: the bowl would rock; a plumber decides",
}


def _flange(one: FlangeAt, units: UnitSystem) -> str:
    rises = f"the floor {'rises' if one.rise > 0 else 'comes to lie lower by'} {format_cut(abs(one.rise), units)} around the toilet's flange"
    target = (
        f"{format_cut(FLANGE_ABOVE, units)} above the new floor is wanted, flush is accepted (general plumbing guides)"
    )
    if one.above is None or one.need is None:
        return f"{rises}: measure how far its top stands above the present floor (`flange`); {target}"
    place = (
        "flush with the new floor"
        if not one.above
        else f"{format_cut(abs(one.above), units)} {'above' if one.above > 0 else 'below'} it"
    )
    if one.need is FlangeNeed.NOTHING:
        return f"{rises}; its top is then {place}: {target}"
    return f"{rises}; its top is then {place}: {_FLANGE[one.need]}. {upper(target)}"


def _appliance(one: ApplianceUnder, units: UnitSystem) -> str:
    rise, usual = format_cut(one.rise, units), format_cut(COUNTER, units)
    if one.stays is None:
        return (
            f"the floor rises {rise} before the dishwasher: measure floor to counter (`under_counter`) and the appliance with its legs "
            f"turned in; {usual} is a usual opening"
        )
    stays = f"the floor rises {rise} and leaves {format_cut(one.stays, units)} under the counter"
    if one.tight:
        return (
            f"{stays}, less than the usual {usual}: the dishwasher will not slide back in unless it is lower than "
            "that with its legs turned in; measure it, or lay the floor under it before it goes back"
        )
    return f"{stays}: enough for the usual {usual}"


def _risers(one: RisersOf, units: UnitSystem) -> str:
    def change(which: str, by: int | None) -> str:
        if by is None:
            return f"its {which} riser is not known, as the floor there is not"
        if not by:
            return f"its {which} riser stays as it is"
        return f"its {which} riser comes to be {format_cut(abs(by), units)} {'higher' if by > 0 else 'lower'} than the others"

    told = f"{change('first', one.first)}; {change('last', one.last)}"
    limit = f"risers of a flight may differ by {format_cut(MOST_RISER, units)} at most (IRC R311.7.5.1, from memory; local code decides)"
    return f"{told}: {limit}{', so it cannot stay so' if one.over else ''}"
