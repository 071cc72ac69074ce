"""The way on from a finding, as people say it: what it needs before it opens anything, and what it opens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NEEDS, FoundKind, Way, WayTaken
from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.units import UnitSystem, quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, typed, upper
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.hauled import nothing_to_haul
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.heights.left import left_under
from crewjobs.engines.readiness.found import held_by, of_a_finding, way_taken, ways_of
from crewjobs.engines.readiness.others import by_the_laboratory, who_words
from crewjobs.services.clock import read_gone_day, read_moment
from crewjobs.services.findings.found_asked import at_any_size, because_of
from crewjobs.services.findings.found_holds import held_anew, in_its_place, kept_by
from crewjobs.services.findings.found_kinds import area_said, place_named, read_found
from crewjobs.services.findings.found_told import kind_cautions, proof_words, ways_words
from crewjobs.services.findings.found_work import check_its_work, without_other_work
from crewjobs.services.findings.same_house import same_finding, same_house
from crewjobs.services.jobs.heights import height_rows
from crewjobs.services.rows import Done
from crewjobs.services.wording import at_site, dated, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


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
    before = uow.job(job)  # one that is done or called off too: what was found there is settled all the same
    zone = before.job.site.zone
    kind, where = read_found(catalogue, what), place_named(before, place)
    found = [one for one in before.findings if one.kind == kind.key and one.place == where]
    if not found:
        raise Refused(
            f"no {kind.key} was found in {where}: record it first (`crewjobs found {job} {typed(where)} {typed(kind.key)}`)."
        )
    follows = kind.way(_plain(way))
    finding = _meant(before, kind, found, follows, now)
    chosen, moment = _way(kind, finding, way, uow.shop().units), read_moment(at, zone, now)
    taken = way_taken(before, finding, now)
    earliest = finding.at if taken is None else taken.at
    if not earliest <= moment <= now:
        since = (
            f"it was found {dated(zone, earliest)}"
            if taken is None
            else f"{quoted(taken.way)} was taken {dated(zone, earliest)}"
        )
        raise Refused(f"{dated(zone, moment)} is no moment for it: {since}, and now is {dated(zone, now)}.")
    said = {"by": by, "because": because, "laboratory": laboratory, "sampled": sampled, "sample": sample}
    _check_needs(chosen, said)
    check_its_work(before, kind, finding, chosen, moment)
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
    )
    after = _with_way(before, catalogue, kind, finding, chosen, way_on)
    uow.save_job(before, after)
    silent = tuple(_not_waited_for(before, after))
    # Nobody is told twice of one who was asked once.
    elsewhere = [
        words
        for words in _elsewhere(uow, catalogue, kind, finding, chosen, way_on, job)
        if not any(words.endswith(f": {one}") for one in silent)
    ]
    proof = f" ({proof_words(way_on)})" if day is not None else ""
    words = f"job {job}: {kind.key} in {where}: {chosen.says}{proof}"
    change = uow.commit(words, at=now, job=job)
    return Done(
        sentence=f"{upper(words)}.",
        change=change,
        then=(
            *_opened(before, after, finding, after.ways_taken[-1]),
            *silent,
            *elsewhere,
            *(() if chosen.after else _heights(after, where, chosen, uow.shop().units)),
            *_gone_by(after, kind, finding, moment),
            *(
                f"Check: {caution.said}"
                for caution in kind_cautions(kind, catalogue, before.job.site.year_built)
                if chosen.leaves
            ),
        ),
    )


def _with_way(
    before: JobRecord, catalogue: Catalogue, kind: FoundKind, finding: Finding, way: Way, said: WayTaken
) -> JobRecord:
    """Return a job with a way on from one of its findings, and what it keeps and takes off there."""
    taken = way_taken(before, finding, said.at) if before.job.state in LIVE else None
    if taken is not None and kind.decided_anew(way, taken.way):
        before = _gone_now(before, catalogue, finding)
    way_on = replace(
        said, keeps=_kept(before, catalogue, finding, way), drops=_dropped(before, catalogue, finding, way)
    )
    after = replace(
        before,
        tasks=tuple(replace(one, not_needed=True) if one.number in way_on.drops else one for one in before.tasks),
        ways_taken=(*before.ways_taken, way_on),
        waiting_on=_answered(before, finding, said.at),
    )
    # Where it is open again, what other findings hold behind it may be reached.
    return held_anew(without_other_work(after, catalogue, kind, finding, way), catalogue)


def _gone_now(record: JobRecord, catalogue: Catalogue, finding: Finding) -> JobRecord:
    """Return a job in which what a way on from a finding left there keeps nothing on hold or off the job any more."""
    old = ways_of(record, finding)
    ways = tuple(
        replace(way, keeps=(), drops=()) if any(way is one for one in old) else way for way in record.ways_taken
    )
    open_ = replace(record, ways_taken=ways)
    return by_the_laboratory(reconcile(open_, expand(open_.job, catalogue, open_.moves_in_force)))


def _elsewhere(
    uow: UnitOfWork, catalogue: Catalogue, kind: FoundKind, finding: Finding, way: Way, said: WayTaken, job: int
) -> list[str]:
    """Save the same way on in the jobs of the same house in which the same is not settled; return what that does there.

    What comes after another way is about the work of one job, and is said of each. Where it cannot be taken, its job is named.
    """
    told: list[str] = []
    for number in () if way.after else same_house(uow, job):
        before = uow.job(number)
        other = next((one for one in before.findings if same_finding(one, finding)), None)
        taken = None if other is None else way_taken(before, other, said.at)
        if other is None or (taken is not None and not kind.decided_anew(way, taken.way)):
            continue
        try:
            _way(kind, other, way.key, uow.shop().units)
            check_its_work(before, kind, other, way, said.at)
        except Refused as refused:
            why = " ".join(refused.sentences)
            told.append(f"Job {number}: {kind.key} in {other.place} is the same, and not settled there: {why}")
            continue
        after = _with_way(before, catalogue, kind, other, way, replace(said, place=other.place))
        uow.save_job(before, after)
        told.append(f"Job {number}: the same is settled there too.")
        told += [f"Job {number}: {words}" for words in _opened(before, after, other, after.ways_taken[-1])]
        told += [f"Job {number}: {words}" for words in _not_waited_for(before, after)]
    return told


def _answered(record: JobRecord, finding: Finding, at: datetime) -> tuple[WaitingOn, ...]:
    """Return what is waited for, with what was asked because of a finding there: its way on is the answer."""
    return tuple(
        replace(waits, came_at=at) if waits.came_at is None and because_of(finding, waits) else waits
        for waits in record.waiting_on
    )


def _meant(record: JobRecord, kind: FoundKind, found: Sequence[Finding], way: Way | None, now: datetime) -> Finding:
    """Return which of a kind's findings in one place a way on is from: one where none is taken, or the one it comes after.

    Where a way on left it there, one by which it is gone can be taken all the same.

    Raises:
        Refused: a way on is taken already, or not the one it comes after.
    """
    named = f"{kind.key} in {found[-1].place}"
    if way is not None and way.after:
        first = (way.after, way.key)  # said again of what came up since
        those = [one for one in found if (taken := way_taken(record, one, now)) is not None and taken.way in first]
        if those and len(those) == len({one.at for one in those}):
            return max(those, key=lambda one: one.at)
        raise Refused(
            f"{named}: {quoted(way.key)} comes after {quoted(way.after)}, which is not the last that was taken there."
            if not those
            else f"{named} was found twice in one minute: nothing tells which of them {quoted(way.key)} is said of; tick with `--because`."
        )
    undecided = [one for one in found if way_taken(record, one, now) is None]
    if undecided:
        return max(undecided, key=lambda one: one.at)
    left = [
        one
        for one in found
        if way is not None and (said := way_taken(record, one, now)) is not None and kind.decided_anew(way, said.way)
    ]
    if left:
        return max(left, key=lambda one: one.at)
    last = max(found, key=lambda one: one.at)
    taken = way_taken(record, last, now)
    assert taken is not None
    raise Refused(
        f"{named}: {quoted(taken.way)} was taken {at_site(record.job.site.zone, taken.at)}; `crewjobs undo` takes that back."
    )


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").split())


def _way(kind: FoundKind, finding: Finding, text: str, units: UnitSystem) -> Way:
    way = kind.way(_plain(text))
    names = listed([quoted(one.key) for one in kind.ways])
    if way is None:
        raise Refused(
            f"{quoted(text)} is no way on from {kind.key}: there {'is' if len(kind.ways) == 1 else 'are'} {names}."
        )
    if way.under_ft2 is not None and at_any_size(kind, finding):
        raise Refused(
            f"{kind.key} of what was said ({quoted(finding.what)}): a specialist is asked, however little is seen."
        )
    if way.under_ft2 is not None and finding.area_ft2 is None:
        raise Refused(f"{kind.key}: how much of it is seen decides between the ways: record it with --area.")
    if way.under_ft2 is not None and (finding.area_ft2 or 0.0) >= way.under_ft2:
        raise Refused(
            f"{area_said(finding.area_ft2 or 0.0, units)} of {kind.key} are seen: from {area_said(way.under_ft2, units)} on a specialist is asked."
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
            f"a sample of {day_words(day, today)} is none of this: it was found {day_words(found, today)}, and today is {day_words(today)}."
        )
    return day


def _kept(record: JobRecord, catalogue: Catalogue, finding: Finding, way: Way) -> tuple[int, ...]:
    """Return the tasks a way on keeps, without those it lets go on: work that a finding added goes into what is there."""
    return tuple(
        number
        for number in kept_by(record, catalogue, finding, finding.holds, way)
        if record.task(number).key.template not in way.lets or of_a_finding(record, record.task(number))
    )


def _dropped(record: JobRecord, catalogue: Catalogue, finding: Finding, way: Way) -> tuple[int, ...]:
    """Return the open tasks a way takes off the job, and the hauling out where nothing is taken out any more."""
    there = in_its_place(record, catalogue, finding, finding.holds)
    held = [task for task in map(record.task, there) if task.open]
    gone = {task.number for task in held if task.key.template in way.drops}
    if gone:
        gone |= nothing_to_haul(record, catalogue, gone) & {task.number for task in held}
    return tuple(sorted(gone))


def _not_waited_for(before: JobRecord, after: JobRecord) -> Iterator[str]:
    """Yield whom nobody waits for any more although no answer of theirs was recorded."""
    still = [old for old, new in zip(before.waiting_on, after.waiting_on, strict=True) if old.came_at != new.came_at]
    if still:
        yield f"No longer waited for, though no answer was recorded: {listed([who_words(waits) for waits in still])}."


def _gone_by(record: JobRecord, kind: FoundKind, finding: Finding, at: datetime) -> Iterator[str]:
    """Yield the ways on by which what is left there is gone, where work on something else that was found goes into it."""
    there = next(one for one in record.findings if same_finding(one, finding))
    if any(task.open and of_a_finding(record, task) for task in map(record.task, held_by(record, there, at))):
        yield from ways_words(record, kind, there, at)


def _heights(record: JobRecord, where: str, way: Way, units: UnitSystem) -> Iterator[str]:
    """Yield what comes of the height of what is left under a new floor, or that nobody said how thick it is."""
    if not way.leaves:
        return
    if where in left_under(record):
        rows = [row.sentence for row in height_rows(record, units) if row.look]
        yield f"It stays under the new floor (`crewjobs heights {record.job.number}`){': look at this' if rows else ''}."
        yield from (f"{sentence}." for sentence in rows)
        return
    if not way.drops:
        yield "Heights do not count it: measure how high it lies, and look at strips, doors and the flange again before anything is laid."
        return
    yield (
        f"Heights do not count it yet: it is not among the layers of {where}. Add it with its thickness (`crewjobs dump "
        f"{record.job.number}`, then `load --replace`), and look at `crewjobs heights {record.job.number}` before anything is laid."
    )


def _opened(before: JobRecord, record: JobRecord, finding: Finding, way: WayTaken) -> Iterator[str]:
    still = held_by(record, finding, way.at)
    held = held_by(before, finding, way.at)
    opened = [task_words(record.task(n)) for n in held if n not in still and record.task(n).open]
    if opened and record.job.state in LIVE:  # in a job that is over nothing begins any more
        yield f"No longer held by it: {listed(opened, most=12)}."
    kept = [task_words(record.task(n)) for n in still if record.task(n).open]
    if kept and record.job.state in LIVE:
        yield f"Still on hold, for nothing goes into it: {listed(kept, most=12)}."
    again = [
        task_words(now)
        for was, now in zip(before.tasks, record.tasks, strict=False)  # none is ever gone, what is new comes last
        if was.not_needed and now.open and record.job.state in LIVE
    ]
    if again:
        yield f"On the job again: {listed(again, most=12)}."
    if way.drops:
        yield f"Taken off the job: {listed([task_words(record.task(n)) for n in way.drops], most=12)}."
