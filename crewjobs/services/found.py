"""What demolition uncovers, as people say it: what it holds, who is asked, which ways on there are, and the one that is taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from difflib import get_close_matches
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NEEDS, FoundKind, Photo, Way, WayTaken
from crewjobs.domain.house import YEARS
from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.tasks import Catalogue, ScopeKind, Task
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_utc, to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.found import held_by, way_taken
from crewjobs.engines.readiness.others import who_words
from crewjobs.services.clock import DAY_END_MIN, read_gone_day, read_moment
from crewjobs.services.rows import Done
from crewjobs.services.typed_values import read_area
from crewjobs.services.walks import photo_sha256
from crewjobs.services.wording import at_site, dated, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

HOUSE: Final = "house"
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
    before, zone = _live(uow, job), ""
    zone = before.job.site.zone
    kind, where = read_found(catalogue, what), _place(before, place)
    moment = read_moment(at, zone, now)
    if moment > now:
        raise Refused(f"{dated(zone, moment)} is still to come: a finding is recorded when it was found.")
    for one in before.findings:
        if one.kind == kind.key and one.place == where and way_taken(before, one, now) is None:
            raise Refused(
                f"{kind.key} in {where} was found {at_site(zone, one.at)} and no way on is taken: more of it is said with --way, or in "
                "other words."
            )
    finding = Finding(
        at=moment,
        place=where,
        what=read_line(words, "what was found") or kind.key,
        by=read_line(by, "who found it"),
        kind=kind.key,
        area_ft2=_area(before, where, area),
        year=_year(year, now),
        photos=_photos(photos),
        holds=tuple(task.number for task in before.tasks if task.open and _held(kind, task, where)),
    )
    asked = tuple(_asked(before, kind, finding, uow.shop()))
    after = replace(before, findings=(*before.findings, finding), waiting_on=(*before.waiting_on, *asked))
    uow.save_job(before, after)
    seen = f", {finding.area_ft2:g} ft² of it seen" if finding.area_ft2 is not None else ""
    said = f"job {job}: {kind.key} found in {where} {at_site(zone, moment)}{seen}"
    change = uow.commit(said, at=now, job=job)
    return Done(sentence=f"{upper(said)}.", change=change, then=tuple(_follows(after, catalogue, kind, finding, asked)))


def take_way(
    uow: UnitOfWork,
    catalogue: Catalogue,
    now: datetime,
    job: int,
    place: str,
    what: str,
    way: str,
    *,
    by: str = "",
    because: str = "",
    laboratory: str = "",
    sampled: str = "",
    sample: str = "",
    at: str = "",
) -> Done:
    """Record the way on from a finding, with all that it needs; what it does not keep on hold may then start.

    Raises:
        Refused: nothing such was found or a way on is taken already, its kind has no such way, or something it needs is missing.
    """
    before = _live(uow, job)
    zone = before.job.site.zone
    kind, where = read_found(catalogue, what), _place(before, place)
    found = [one for one in before.findings if one.kind == kind.key and one.place == where]
    if not found:
        raise Refused(
            f'no {kind.key} was found in {where}: record it first (`crewjobs found {job} "{where}" "{kind.key}"`).'
        )
    finding = max(found, key=lambda one: one.at)
    taken = way_taken(before, finding, now)
    if taken is not None:
        raise Refused(
            f"{kind.key} in {where}: {quoted(taken.way)} was taken {at_site(zone, taken.at)}; `crewjobs undo` takes that back."
        )
    chosen, moment = _way(kind, finding, way), read_moment(at, zone, now)
    if not finding.at <= moment <= now:
        raise Refused(
            f"{dated(zone, moment)} is no moment for it: it was found {dated(zone, finding.at)}, and now is {dated(zone, now)}."
        )
    said = {"by": by, "because": because, "laboratory": laboratory, "sampled": sampled, "sample": sample}
    _check_needs(chosen, said)
    day = _sampled(sampled, finding, zone, now)
    way_on = WayTaken(
        found_at=finding.at,
        place=where,
        kind=kind.key,
        way=chosen.key,
        at=moment,
        by=read_line(by, "who says so"),
        because=read_line(because, "the reason"),
        laboratory=read_line(laboratory, "the laboratory"),
        sampled=day,
        sample=read_line(sample, "the sample's number"),
        keeps=tuple(n for n in finding.holds if before.task(n).key.template in chosen.keeps),
    )
    after = replace(before, ways_taken=(*before.ways_taken, way_on), waiting_on=_answered(before, finding, moment))
    uow.save_job(before, after)
    proof = f" (laboratory {way_on.laboratory}, sample {way_on.sample} of {day_words(day)})" if day is not None else ""
    words = f"job {job}: {kind.key} in {where}: {chosen.says}{proof}"
    change = uow.commit(words, at=now, job=job)
    return Done(sentence=f"{upper(words)}.", change=change, then=tuple(_opened(after, finding, way_on)))


def read_found(catalogue: Catalogue, text: str) -> FoundKind:
    """Return the kind of finding that people's words mean.

    Raises:
        Refused: none, or more than one.
    """
    plain = " ".join(text.casefold().replace("-", " ").split())
    kinds = catalogue.findings
    exact = [kind for kind in kinds if plain == kind.key or plain in kind.words]
    found = exact or [kind for kind in kinds if any(word in plain for word in kind.words)]
    if len(found) == 1:
        return found[0]
    names = listed([kind.key for kind in kinds], most=len(kinds))
    close = get_close_matches(plain[:40], [kind.key for kind in kinds], n=1)
    meant = f" (did you mean {close[0]}?)" if close and not found else ""
    if found:
        raise Refused(f"{quoted(text)} may be {listed([kind.key for kind in found], most=4)}: say which.")
    raise Refused(f"{quoted(text)} is no kind of finding{meant}: there are {names}.")


def _live(uow: UnitOfWork, job: int) -> JobRecord:
    record = uow.job(job)
    if record.job.state not in LIVE:
        raise Refused(f"job {job} is {record.job.state}: nothing is found in it any more.")
    return record


def _place(record: JobRecord, text: str) -> str:
    wanted = " ".join(text.casefold().split())
    names = [*(room.name for room in record.job.rooms), *(flight.name for flight in record.job.stairs), HOUSE]
    found = next((name for name in names if name.casefold() == wanted), None)
    if found is None:
        raise Refused(
            f"there is no place {quoted(text)} in job {record.job.number}: there are {listed([quoted(n) for n in names], most=12)}."
        )
    return found


def _held(kind: FoundKind, task: Task, where: str) -> bool:
    if task.key.template not in kind.holds:
        return False
    scope = task.key.scope
    places = scope.name.split(" / ") if scope.kind is ScopeKind.OPENING else [scope.name]
    return where == HOUSE or where in places


def _area(record: JobRecord, where: str, text: str) -> float | None:
    if not text.strip():
        return None
    area = read_area(text)
    room = next((one for one in record.job.rooms if one.name == where), None)
    if area <= 0 or (room is not None and area > room.outline.area_ft2 + 1):
        most = f" and at most {room.outline.area_ft2:.0f}" if room is not None else ""
        raise Refused(f"{area:g} ft² of it in {where}: it is more than 0{most} ft².")
    return area


def _year(year: int | None, now: datetime) -> int | None:
    if year is not None and not YEARS[0] <= year <= now.year:
        raise Refused(f"{year} is no year a layer went in: it is {YEARS[0]} to {now.year}; left out, it counts as old.")
    return year


def _photos(paths: Sequence[str]) -> tuple[Photo, ...]:
    if len(paths) > MOST_PHOTOS:
        raise Refused(f"{len(paths)} photos: {MOST_PHOTOS} are the most.")
    return tuple(Photo(path=path, sha256=photo_sha256(path)) for path in dict.fromkeys(paths))


def _asked(record: JobRecord, kind: FoundKind, finding: Finding, shop: Shop) -> Iterator[WaitingOn]:
    zone = record.job.site.zone
    today = to_wall(zone, finding.at).date()
    for one in kind.asks:
        if not finding.holds:
            return
        promised = None if one.days is None else to_utc(zone, working_days_after(shop, today, one.days), DAY_END_MIN)
        yield WaitingOn(
            who=one.who,
            what=_asked_for(one.what, finding),
            asked=today,
            asked_at=finding.at,
            promised=promised,
            holds=finding.holds,
        )


def _asked_for(what: str, finding: Finding) -> str:
    return f"{what} in {finding.place}"


def working_days_after(shop: Shop, day: date, count: int) -> date:
    """Return the day so many of the shop's working days after one: days with hours that are no holidays."""
    for _ in range(count):
        day += timedelta(days=1)
        while any(shop.hours.days) and (not shop.hours.on(day) or day in shop.holidays):
            day += timedelta(days=1)
    return day


def _answered(record: JobRecord, finding: Finding, at: datetime) -> tuple[WaitingOn, ...]:
    """Return what is waited for, with what was asked because of a finding there: its way on is the answer."""
    return tuple(
        replace(waits, came_at=at)
        if waits.came_at is None and waits.holds == finding.holds and waits.what.endswith(f" in {finding.place}")
        and waits.asked_at == finding.at
        else waits
        for waits in record.waiting_on
    )  # fmt: skip


def _follows(
    record: JobRecord, catalogue: Catalogue, kind: FoundKind, finding: Finding, asked: Sequence[WaitingOn]
) -> Iterator[str]:
    zone, job = record.job.site.zone, record.job.number
    yield f"{kind.first}."
    held = [task_words(record.task(number)) for number in finding.holds]
    if held:
        yield f"On hold until a way on is taken: {listed(held, most=12)}."
    else:
        yield f"No open task of the job is held by it in {finding.place}."
    for waits in asked:
        until = f": {day_words(to_wall(zone, waits.promised).date())} at the earliest" if waits.promised else ""
        yield f"{upper(who_words(waits))} is waited for, {waits.what}{until}."
    for way in kind.ways:
        if way.under_ft2 is not None and finding.area_ft2 is not None and finding.area_ft2 >= way.under_ft2:
            continue
        needs = listed([f"--{need}" for need in way.needs])
        more = f" ({way.asks_for})" if way.asks_for else ""
        yield f'A way on: {way.says}. `crewjobs found {job} "{finding.place}" "{kind.key}" --way "{way.key}"` with {needs}{more}.'
    cautions = sorted((c for c in catalogue.cautions if c.key in kind.cautions), key=lambda c: (c.order, c.key))
    yield from (f"Check: {caution.text}" for caution in cautions)
    yield f'What the customer is asked for it: `crewjobs agreed {job} "{kind.key} in {finding.place}" AMOUNT --asked`.'


def _way(kind: FoundKind, finding: Finding, text: str) -> Way:
    plain = " ".join(text.casefold().replace("-", " ").split())
    way = kind.way(plain)
    names = listed([quoted(one.key) for one in kind.ways])
    if way is None:
        raise Refused(
            f"{quoted(text)} is no way on from {kind.key}: there {'is' if len(kind.ways) == 1 else 'are'} {names}."
        )
    if way.under_ft2 is not None and finding.area_ft2 is None:
        raise Refused(f"{kind.key}: how much of it is seen decides between the ways: record it with --area.")
    if way.under_ft2 is not None and (finding.area_ft2 or 0.0) >= way.under_ft2:
        raise Refused(
            f"{finding.area_ft2:g} ft² of {kind.key} are seen: from {way.under_ft2:g} ft² on a specialist is asked."
        )
    return way


def _check_needs(way: Way, said: dict[str, str]) -> None:
    missing = [f"--{need} ({NEEDS[need]})" for need in way.needs if not said[need].strip()]
    if missing:
        more = f": {way.asks_for}" if way.asks_for else ""
        raise Refused(f"{quoted(way.key)} opens nothing without {listed(missing, most=5)}{more}.")


def _sampled(text: str, finding: Finding, zone: str, now: datetime) -> date | None:
    if not text.strip():
        return None
    day, today = read_gone_day(text, to_wall(zone, now).date()), to_wall(zone, now).date()
    found = to_wall(zone, finding.at).date()
    if not found <= day <= today:
        raise Refused(
            f"a sample of {day_words(day)} is none of this: it was found {day_words(found)}, and today is {day_words(today)}."
        )
    return day


def _opened(record: JobRecord, finding: Finding, way: WayTaken) -> Iterator[str]:
    still = held_by(record, finding, way.at)
    opened = [task_words(record.task(n)) for n in finding.holds if n not in still and record.task(n).open]
    if opened:
        yield f"No longer held by it: {listed(opened, most=12)}."
    kept = [task_words(record.task(n)) for n in still if record.task(n).open]
    if kept:
        yield f"Still on hold, for nothing goes into it: {listed(kept, most=12)}; take what is not done off the job."
