"""What was found in a house, as people are told it: what it holds, what to check, which ways on there are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, SUSPECT, FoundKind, WayTaken
from crewjobs.domain.house import ASBESTOS_YEAR
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue, Caution, Task
from crewjobs.domain.units import UnitSystem
from crewjobs.domain.wording import day_words, listed, typed, upper
from crewjobs.engines.estimating.expand import cautions_for
from crewjobs.engines.readiness.found import held_by, its_work_agreed, looked_at, way_taken, ways_of, work_task
from crewjobs.engines.readiness.others import still_out, who_words
from crewjobs.files.catalogue import finding_kinds
from crewjobs.services.findings.air import cautions_told
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.findings.found_kinds import area_said, read_found
from crewjobs.services.jobs.known_hours import finding_cautions, finding_words
from crewjobs.services.places import open_ways
from crewjobs.services.wording import at_site, task_words


def task_cautions(record: JobRecord, task: Task, catalogue: Catalogue, now: datetime) -> tuple[Caution, ...]:
    """Return what to check before a task, first things first: by its template and place, and by what was found that holds it."""
    found = set(cautions_for(record.job, task, catalogue))
    for finding in record.findings:
        if task.number in _near(record, finding, now) or work_task(record, finding) == task:
            found |= set(finding_cautions_told(finding, catalogue, record))
    return cautions_told(record, found, now)


def _near(record: JobRecord, finding: Finding, now: datetime) -> tuple[int, ...]:
    """Return the tasks in whose place what was found still is: those it held, unless its way on left nothing of it there.

    Where it is left under the new floor that is every open task of its place.
    """
    taken = way_taken(record, finding, now)
    if taken is None:
        return finding.holds
    if _left(finding, taken):
        return tuple(task.number for task in record.tasks if task.open and _in_or_held(task, finding))
    return finding.holds if taken.keeps or taken.drops else ()


def _in_or_held(task: Task, finding: Finding) -> bool:
    return task.key.scope.name == finding.place or task.number in finding.holds


def _left(finding: Finding, taken: WayTaken) -> bool:
    kind = next((one for one in finding_kinds() if one.key == finding.kind), None)
    way = kind.way(taken.way) if kind is not None else None
    return way is not None and way.leaves


def house_cautions(record: JobRecord, catalogue: Catalogue, now: datetime) -> tuple[Caution, ...]:
    """Return the cautions of what was found in a house and holds work, or is not settled where nobody goes in, first things first."""
    there = (*_holding(record, now), *unsettled(record, now))
    found = {caution for finding in there for caution in finding_cautions_told(finding, catalogue, record)}
    return cautions_told(record, found, now)


def shut_places(record: JobRecord, now: datetime) -> list[str]:
    """Return the places that stay shut for what may hold asbestos, until a way on from it is taken."""
    return list(
        dict.fromkeys(
            one.place for one in record.findings if one.kind == SUSPECT and way_taken(record, one, now) is None
        )
    )


def found_lines(record: JobRecord, catalogue: Catalogue, now: datetime, units: UnitSystem) -> tuple[str, ...]:
    """Return a job's findings, the latest first: what was found, the way taken or the ways on, what is held and to check."""
    lines: list[str] = []
    for finding in sorted(record.findings, key=lambda one: one.at, reverse=True):
        lines.append(f"{at_site(record.job.site.zone, finding.at)} {_words(finding, units)}")
        lines += [f"Photo {photo.path}, SHA-256 {photo.sha256[:16]}…" for photo in finding.photos]
        kind = _kind(finding, catalogue)
        if kind is None:
            lines += [f"Check: {text}" for text in finding_cautions([finding], catalogue)]
            continue
        taken = way_taken(record, finding, now)
        lines += [_taken(record, kind, way) for way in ways_of(record, finding) if way.at <= now]
        if taken is None:
            lines.append(f"First: {kind.first[:1].lower()}{kind.first[1:]}.")
        held = [record.task(number) for number in held_by(record, finding, now)]
        if still := [task_words(task) for task in held if task.open]:
            lines.append(f"On hold by it: {listed(still, most=6)}.")
        lines += [f"Way on: {words}." for words in _ways(record, kind, finding, now)]
        lines += [
            f"Check: {caution.said}"
            for caution in finding_cautions_told(finding, catalogue, record)
            if taken is None or held or _left(finding, taken)
        ]
    return tuple(lines)


def settled_lines(record: JobRecord, catalogue: Catalogue, now: datetime, units: UnitSystem) -> tuple[str, ...]:
    """Return a job's findings as facts, the first one first: what was found when, its photos, the way taken or that none was."""
    lines: list[str] = []
    for finding in sorted(record.findings, key=lambda one: one.at):
        kind, ways = _kind(finding, catalogue), [way for way in ways_of(record, finding) if way.at <= now]
        settled = " ".join(_taken(record, kind, way) for way in ways) if kind is not None else ""
        open_ = "No way on was taken." if kind is not None else "Kept in words; it held nothing."
        lines.append(f"{at_site(record.job.site.zone, finding.at)} {_words(finding, units)}. {settled or open_}")
        lines += [f"Photo {photo.path}, SHA-256 {photo.sha256}" for photo in finding.photos]
    return tuple(lines)


def site_found(record: JobRecord, catalogue: Catalogue, now: datetime, units: UnitSystem) -> tuple[str, ...]:
    """Return what was found in a house, each in one line for the people who stand in it.

    What holds work there, and what nobody has decided of where nobody goes in, also where no work is left to hold.
    """
    lines = []
    holding, open_ = list(_holding(record, now)), list(unsettled(record, now))
    for finding in record.findings:
        if finding not in holding:
            if finding in open_:
                lines.append(not_settled(record, finding))
            continue
        kind, taken = _kind(finding, catalogue), way_taken(record, finding, now)
        if kind is None:
            continue
        held = [record.task(number) for number in held_by(record, finding, now)]
        held.sort(
            key=lambda task: task.key.scope.name != finding.place
        )  # what stands in the place itself is named first
        still = listed([task_words(task) for task in held if task.open], most=3)
        first = "" if taken is not None else f" {kind.first}."
        ways = [way.key for way in open_ways(record, kind, finding, now)]
        on = "; ".join(
            [
                *([f"taken: {taken.way}"] if taken is not None else ()),
                *([f"ways on: {'; '.join(ways)}"] if ways else ()),
            ]
        )
        lines.append(
            f"{_words(finding, units, short=True)}, {at_site(record.job.site.zone, finding.at)}.{first} On hold: {still}; {on}."
        )
    return tuple(lines)


def unsettled_words(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what nobody has decided of what was found (`unsettled`): it is there, also once the job is over."""
    for finding in unsettled(record, now):
        yield not_settled(record, finding)


def there_words(record: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what is not settled of what was found, and what a way on left there, for whoever comes back to the house."""
    kinds = {kind.key: kind for kind in finding_kinds()}
    open_ = (one for one in record.findings if one.kind in kinds and way_taken(record, one, now) is None)
    yield from (upper(not_settled(record, one)) for one in open_)
    for finding in record.findings:
        taken = way_taken(record, finding, now)
        way = kinds[finding.kind].way(taken.way) if taken is not None and finding.kind in kinds else None
        if way is not None and way.leaves:
            yield f"{upper(finding.place)}: {finding.kind} stays there, {way.says}."


def in_full(record: JobRecord, finding: Finding, catalogue: Catalogue) -> str:
    """Return how a finding that is kept in words only is recorded by its kind, so that it holds what it must."""
    place = next(
        (
            name
            for name in (finding.place, finding.place.split(", ")[0])
            if any(name == room.name for room in record.job.rooms)
        ),
        finding.place,
    )
    try:
        kind = read_found(catalogue, finding.what).key
    except Refused:
        kind = ""
    command = f"crewjobs found {record.job.number} {typed(place)} {typed(kind) if kind else 'KIND'}"
    if kind:
        return f"In words it holds nothing: `{command}` records it as {kind}, with what it holds, what to check and the ways on."
    names = listed([one.key for one in catalogue.findings], most=len(catalogue.findings))
    return f"In words it holds nothing: `{command}` does, where it is one of {names}."


def _holding(record: JobRecord, now: datetime) -> Iterator[Finding]:
    for finding in record.findings:
        if any(record.task(number).open for number in held_by(record, finding, now)):
            yield finding


def unsettled(record: JobRecord, now: datetime) -> Iterator[Finding]:
    """Yield what nobody has decided of what was found: where nobody goes in, or somebody from outside is still to answer."""
    out = still_out(record, now)
    for one in record.findings:
        if one.at > now or way_taken(record, one, now) is not None:
            continue
        if one.kind in NOBODY_IN or any(because_of(one, waits) for waits in out):
            yield one


def not_settled(record: JobRecord, finding: Finding) -> str:
    """Return that something found is not settled, or of the crew's own work about it, as the customer agreed, how far that is."""
    first = next(kind.first for kind in finding_kinds() if kind.key == finding.kind)
    work = work_task(record, finding)
    stands = "is not settled"
    if work is not None and its_work_agreed(record, finding):
        stands = (
            f"is worked on as agreed ({task_words(work)}), which is not done yet"
            if work.open
            else f"was worked on ({task_words(work)}): its way on is to be recorded"
        )
    return f"{finding.place}: {finding.kind}, found {at_site(record.job.site.zone, finding.at)}, {stands}. {first}."


def _kind(finding: Finding, catalogue: Catalogue) -> FoundKind | None:
    return next((kind for kind in catalogue.findings if kind.key == finding.kind), None)


def finding_cautions_told(finding: Finding, catalogue: Catalogue, record: JobRecord) -> tuple[Caution, ...]:
    """Return what to check about one finding, first things first; nothing of what was kept in words only."""
    kind = _kind(finding, catalogue)
    return () if kind is None else kind_cautions(kind, catalogue, record.job.site.year_built)


def kind_cautions(kind: FoundKind, catalogue: Catalogue, year_built: int | None) -> tuple[Caution, ...]:
    """Return what to check about a kind of finding, first things first; of old floors only where it is one, or the house is old.

    A house of an unknown year counts as old.
    """
    old = kind.key == SUSPECT or year_built is None or year_built <= ASBESTOS_YEAR
    found = (one for one in catalogue.cautions if one.key in kind.cautions and (old or not one.applies.suspect))
    return tuple(sorted(found, key=lambda caution: (caution.order, caution.key)))


def _words(finding: Finding, units: UnitSystem, *, short: bool = False) -> str:
    """Return ``kitchen: suspect asbestos, old sheet floor, 90 ft² seen, of 1962 (Ines Varga)``."""
    if not finding.kind:
        by = f" ({finding.by})" if finding.by else ""
        return f"{finding_words(finding)}{by}"
    parts = [f"{finding.place}: {finding.kind}"]
    if finding.what != finding.kind and not short:
        parts.append(finding.what)
    if finding.area_ft2 is not None:
        parts.append(f"{area_said(finding.area_ft2, units)} seen")
    if finding.year is not None and not short:
        parts.append(f"of {finding.year}")
    return ", ".join(parts) + (f" ({finding.by})" if finding.by and not short else "")


def _ways(record: JobRecord, kind: FoundKind, finding: Finding, now: datetime) -> Iterator[str]:
    for way in open_ways(record, kind, finding, now):
        yield f"{way.key}: {way.says}; it needs {listed([f'--{need}' for need in way.needs], most=5)}"


def ways_words(record: JobRecord, kind: FoundKind, finding: Finding, now: datetime) -> Iterator[str]:
    """Yield each way on from a finding that can be taken, with the command that takes it and what it needs."""
    command = f"crewjobs found {record.job.number} {typed(finding.place)} {typed(kind.key)}"
    for way in open_ways(record, kind, finding, now):
        needs = listed([f"--{need}" for need in way.needs])
        more = f" ({way.asks_for})" if way.asks_for else ""
        yield f"A way on: {way.says}. `{command} --way {typed(way.key)}` with {needs}{more}."


def held_still(record: JobRecord, numbers: Sequence[int], now: datetime) -> Iterator[str]:
    """Yield what was found that holds some tasks although somebody who was asked about it has been there, and the ways on."""
    kinds = {kind.key: kind for kind in finding_kinds()}
    for finding in record.findings:
        held = [number for number in held_by(record, finding, now) if number in numbers and record.task(number).open]
        if not held or way_taken(record, finding, now) is not None or finding.kind not in kinds:
            continue
        tasks = listed([task_words(record.task(number)) for number in held], most=6)
        out = list(dict.fromkeys(who_words(waits) for waits in still_out(record, now) if because_of(finding, waits)))
        until = f"{listed(out)} is still to answer" if out else "a way on is to be taken now"
        yield f"{upper(finding.kind)} found in {finding.place} still holds {tasks}: {until}."
        if not out:
            yield from ways_words(record, kinds[finding.kind], finding, now)


def to_be_settled(before: JobRecord, after: JobRecord, now: datetime) -> Iterator[str]:
    """Yield what still holds work once the crew's own work about it is done, between two states of a job, and how its way on is recorded.

    That work alone opens nothing: somebody looks at it, reads it dry, and says so.
    """
    kinds = {kind.key: kind for kind in finding_kinds()}
    for finding in after.findings:
        work = work_task(after, finding)
        if work is None or work.open or not before.task(work.number).open or finding.kind not in kinds:
            continue
        if way_taken(after, finding, now) is not None:
            continue
        held = [task_words(task) for task in map(after.task, held_by(after, finding, now)) if task.open]
        still = f"still holds {listed(held, most=3)}" if held else "is not settled yet"
        dry = looked_at(after, finding)
        dries = dry is not None and dry > now
        then = f"it dries until {at_site(after.job.site.zone, dry)}, then" if dry is not None and dries else "now"
        yield f"{upper(finding.kind)} in {finding.place} {still}: {then} it is looked at and read, and the way on recorded."
        if not dries:
            yield from ways_words(after, kinds[finding.kind], finding, now)


def proof_words(taken: WayTaken) -> str:
    """Return what a way on stands on: ``laboratory Bay Analysis, sample K-1 of Wed 4 Mar``, or the day something was cleared."""
    assert taken.sampled is not None
    day = day_words(taken.sampled)
    return f"laboratory {taken.laboratory}, sample {taken.sample} of {day}" if taken.laboratory else f"cleared {day}"


def _taken(record: JobRecord, kind: FoundKind, taken: WayTaken) -> str:
    way = kind.way(taken.way)
    says = way.says if way is not None else taken.way
    proof = f", {proof_words(taken)}" if taken.sampled is not None else ""
    by = f", by {taken.by}" if taken.by else ""
    because = f", because {taken.because}" if taken.because else ""
    return f"Way on taken {at_site(record.job.site.zone, taken.at)}: {says}{by}{because}{proof}."
