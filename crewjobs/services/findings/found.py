"""What demolition uncovers, as people say it: what it holds, who is asked, what it adds, and which ways on there are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import FoundKind, Photo
from crewjobs.domain.house import ASBESTOS_YEAR, YEARS, Subfloor
from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, ScopeKind
from crewjobs.domain.units import UnitSystem, format_area
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.found import way_taken
from crewjobs.engines.readiness.others import who_words
from crewjobs.services.clock import read_moment
from crewjobs.services.findings.asked_together import told_in_the_house
from crewjobs.services.findings.found_asked import asked_for, at_any_size
from crewjobs.services.findings.found_beside import same_floor_words
from crewjobs.services.findings.found_holds import behind_words, held_anew, held_there
from crewjobs.services.findings.found_kinds import area_said, read_found
from crewjobs.services.findings.found_told import kind_cautions, ways_words
from crewjobs.services.findings.found_where import live_job, place_in
from crewjobs.services.findings.found_work import drafted_words, there_already, with_its_work
from crewjobs.services.findings.found_years import PAINTED_TRIM, by_the_years, trim_words
from crewjobs.services.findings.house_told import others_of_its_house, visitors_words
from crewjobs.services.findings.same_house import found_there_too
from crewjobs.services.jobs.walks import absolute_path, read_photo
from crewjobs.services.rows import Done
from crewjobs.services.typed_values import read_area, told_of_line
from crewjobs.services.weeks.toilets import shut_words
from crewjobs.services.wording import at_site, dated, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

MOST_PHOTOS: Final = 20


def record_found(
    uow: UnitOfWork,
    catalogue: Catalogue,
    now: datetime,
    job: int,
    place: str,
    what: str,
    *,
    area: str = "",
    year: int | None = None,
    words: str = "",
    by: str = "",
    photos: Sequence[str] = (),
    at: str = "",
) -> Done:
    """Record what was found in a room, on stairs or in the house; `what` names its kind in people's words, `words` say more.

    It holds what its kind must hold there, and whoever is asked is waited for.

    Raises:
        Refused: unknown job, place or kind, more area than the room has, a year to come, a photo that cannot be read, or found already.
    """
    before, shop = live_job(uow, job, place, what), uow.shop()
    zone, where = before.job.site.zone, place_in(uow, before, place, what)
    with told_of_line("year"):
        year = _year(year, now)
    meant = read_found(catalogue, what)
    kind = by_the_years(catalogue, meant, before.job, year, words)
    moment = read_moment(at, zone, now)
    if moment > now:
        raise Refused(f"when: {dated(zone, moment)} is still to come: a finding is recorded when it was found.")
    room = next((one for one in before.job.rooms if one.name == where), None)
    if kind.slab and room is not None and room.subfloor is not Subfloor.SLAB:
        raise Refused(
            f"the subfloor of {where} is {room.subfloor}, no slab: wet wood is recorded as rot or mold, and read with the meter."
        )
    with told_of_line("area"):
        seen_ft2 = _area(before, where, area, shop.units)
    known = _undecided(before, kind, where, now)
    with told_of_line("photos"):
        taken = _photos(photos)
    if known is not None and not taken and (seen_ft2 is None or seen_ft2 <= (known.area_ft2 or 0.0)):
        raise Refused(
            f"{kind.key} in {where} was found {at_site(zone, known.at)} and no way on is taken: where more of it is seen now, give all "
            "of it with --area; more photos with --photo; else take a way on with --way."
        )
    if known is not None and seen_ft2 is None:
        seen_ft2 = known.area_ft2
    finding = Finding(
        at=moment if known is None else known.at,
        place=where,
        what=read_line(words, "what was found") or (read_line(what, "what was found") if known is None else known.what),
        by=read_line(by, "who found it") or ("" if known is None else known.by),
        kind=kind.key,
        area_ft2=seen_ft2,
        year=year if known is None or year is not None else known.year,
        photos=(*(() if known is None else known.photos), *taken),
    )
    done_about_it = replace(finding, work="" if known is None else known.work)
    finding = replace(finding, holds=held_there(before, catalogue, kind, done_about_it))
    house = others_of_its_house(uow, job)
    asked = tuple(asked_for(before, kind, finding, shop, known, moment, house))
    finding, after = with_its_work(before, catalogue, shop, kind, finding, known)
    others = tuple(one for one in before.findings if one is not known)
    # The work one finding adds is held by another of the same place.
    after = held_anew(replace(after, findings=(*others, finding), waiting_on=(*after.waiting_on, *asked)), catalogue)
    finding = after.findings[-1]  # with what it holds beside its own work
    uow.save_job(before, after)
    elsewhere = tuple(found_there_too(uow, catalogue, job, finding))
    told_in_the_house(uow, after, now)
    visitors = tuple(visitors_words((after, *house), now))
    seen = f", {area_said(finding.area_ft2, shop.units)} of it seen" if finding.area_ft2 is not None else ""
    if known is None:
        said = f"job {job}: {kind.key} found in {where} {at_site(zone, moment)}{seen}"
    else:
        less = "not said" if known.area_ft2 is None else area_said(known.area_ft2, shop.units)
        said = f"job {job}: more {kind.key} in {where}, {area_said(finding.area_ft2 or 0.0, shop.units)} of it seen {at_site(zone, moment)}, before {less}"
    change = uow.commit(said, at=now, job=job)
    counts = (
        ()
        if kind is meant
        else (
            f"A {meant.key} that went in by {ASBESTOS_YEAR}, or nobody knows when, is {kind.key} until a laboratory says else.",
        )
    )
    return Done(
        sentence=f"{upper(said)}.",
        change=change,
        then=(*counts, *elsewhere, *visitors, *_follows(after, catalogue, kind, finding, asked, shop.units)),
    )


def _undecided(record: JobRecord, kind: FoundKind, where: str, now: datetime) -> Finding | None:
    """Return the finding of a kind in a place of which no way on is taken; None where there is none."""
    return next(
        (
            one
            for one in record.findings
            if one.kind == kind.key and one.place == where and way_taken(record, one, now) is None
        ),
        None,
    )


def _area(record: JobRecord, where: str, text: str, units: UnitSystem) -> float | None:
    if not text.strip():
        return None
    area = read_area(text)
    room = next((one for one in record.job.rooms if one.name == where), None)
    if area <= 0 or (room is not None and area > room.outline.area_ft2 + 1):
        most = f" and at most {format_area(room.outline.area_ft2, units)}" if room is not None else ""
        raise Refused(f"{area_said(area, units)} of it in {where}: it is more than 0{most}.")
    return area


def _year(year: int | None, now: datetime) -> int | None:
    if year is not None and not YEARS[0] <= year <= now.year:
        raise Refused(f"{year} is no year a layer went in: it is {YEARS[0]} to {now.year}; left out, it counts as old.")
    return year


def _photos(paths: Sequence[str]) -> tuple[Photo, ...]:
    if len(paths) > MOST_PHOTOS:
        raise Refused(f"{len(paths)} photos: {MOST_PHOTOS} are the most.")
    # Kept as absolute paths: whoever looks for them later may stand in another folder.
    return tuple(Photo(path=absolute_path(path), sha256=read_photo(path)) for path in dict.fromkeys(paths))


def _behind(record: JobRecord, finding: Finding) -> Iterator[str]:
    """Yield what waits in other places for something held in this one."""
    held = set(finding.holds)
    waiting: dict[int, list[int]] = {}
    for link in record.links:
        if link.before in held and link.after not in held:
            waiting.setdefault(link.after, []).append(link.before)
    for number, for_these in sorted(waiting.items()):
        task = record.task(number)
        places = task.key.scope.name.split(" / ")
        if task.open and finding.place not in places and task.key.scope.kind in (ScopeKind.ROOM, ScopeKind.SECTION):
            yield f"Behind it waits {task_words(task)}, for {listed([task_words(record.task(n)) for n in for_these], most=2)}."


def _follows(
    record: JobRecord,
    catalogue: Catalogue,
    kind: FoundKind,
    finding: Finding,
    asked: Sequence[WaitingOn],
    units: UnitSystem,
) -> Iterator[str]:
    zone, job = record.job.site.zone, record.job.number
    yield f"{kind.first}."
    held = [task_words(record.task(number)) for number in finding.holds]
    if held:
        yield f"On hold until a way on is taken: {listed(held, most=12)}."
    else:
        yield f"No open task of the job is held by it in {finding.place}."
    yield from _behind(record, finding)
    yield from map(upper, same_floor_words(record, finding))
    if toilet := shut_words(record, finding.at):
        yield upper(toilet)
    yield from behind_words(record, finding)
    for waits in asked:
        until = (
            f": {day_words(to_wall(zone, waits.promised).date())} at the earliest, promised by nobody yet"
            if waits.promised
            else ""
        )
        yield f"{upper(who_words(waits))} is waited for, {waits.what}{until}: call, and record the day (`crewjobs promised {job} {waits.who.value} DAY`)."
    if kind.any_size and not at_any_size(kind, finding):
        yield f"Where it is of {listed(list(kind.any_size), most=9).replace(' and ', ' or ')}, say so (`--what`): it is for others then, however small."
    for one in kind.asks:
        if finding.area_ft2 is None and one.from_ft2 is not None and not at_any_size(kind, finding):
            much = area_said(one.from_ft2, units)
            yield f"How much of it is seen was not said (`--area`): from {much} on a {one.who.value} is asked before anything is touched."
    yield from ways_words(record, kind, finding, finding.at)
    yield from (f"Check: {caution.said}" for caution in kind_cautions(kind, catalogue, record.job.site.year_built))
    if kind.key == PAINTED_TRIM:
        yield from trim_words(record.job, finding, units)
    yield from drafted_words(record, finding)
    if kind.work is not None and not finding.work:
        there = [task_words(task) for task in there_already(record, kind.work, finding)]
        if there:
            yield f"The job has it already: {listed(there)}. Where that is not enough, more is agreed as a change order (`crewjobs agreed`)."
