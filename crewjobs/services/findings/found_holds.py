"""Which tasks of a job a finding holds: what its kind names and is done in its place, also where it is of the whole house."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import replace

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import NOBODY_IN, FoundKind, Way
from crewjobs.domain.house_ready import WaitingOn
from crewjobs.domain.job import JobRecord
from crewjobs.domain.reach import cut_off
from crewjobs.domain.shut_for_found import cut_off_by, shut_for_found
from crewjobs.domain.tasks import Catalogue, ScopeKind, Task, TaskKey
from crewjobs.domain.tear_out import TAKES_OUT
from crewjobs.domain.wording import listed
from crewjobs.engines.estimating.done_in import done_in
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.hauled import hauled_anew
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.readiness.found import EXTRA_WORK, before_its_work, its_work_agreed, ways_of, work_task
from crewjobs.engines.readiness.others import by_the_laboratory
from crewjobs.services.findings.found_asked import because_of, templates_held
from crewjobs.services.findings.found_kinds import HOUSE


def held_there(record: JobRecord, catalogue: Catalogue, kind: FoundKind, finding: Finding) -> tuple[int, ...]:
    """Return the open tasks done in a finding's place that it holds by its kind; its own work is what is done about it.

    Nor does it hold what goes before that (`_first_there`). Where nobody goes in, and behind that place, all is held that is held
    where nobody goes, and where no place of the house is left also what is of the house as a whole: but for what its own agreed
    work comes after in that place.
    """
    held, places = templates_held(kind, finding), places_by_task(record, catalogue)
    before_it = _first_there(record, kind, finding, catalogue)
    behind, shut = cut_off_by(record, finding), _nobody_in(record, finding)
    nobody = kind.key in NOBODY_IN and not ways_of(record, finding)
    all_of_it, goes_on = where_nobody_goes(catalogue) if nobody else (held, frozenset[str]())
    elsewhere = kind.elsewhere | (goes_on - held)

    def holds(task: Task) -> bool:
        if not task.open or _its_own(task, finding) or task.key.template not in all_of_it:
            return False
        there = finding.place == HOUSE or finding.place in places[task.key]
        if not (there and task.number not in before_it) and not behind & places[task.key]:
            return False
        return finding.place == HOUSE or task.key.template not in elsewhere or places[task.key] <= shut

    needed = _needed_there(record, finding, places, holds) if nobody else frozenset[int]()
    return tuple(task.number for task in record.tasks if holds(task) and task.number not in needed)


def _first_there(record: JobRecord, kind: FoundKind, finding: Finding, catalogue: Catalogue) -> frozenset[int]:
    """Return the work of other findings that one of a kind does not hold in its place.

    That of its own kind: found in a room and in the whole house, neither could begin else. And, where what lies there comes out all
    the same, what takes more of it up, once its own work is agreed: only then that can be done.
    """
    comes_out = not TAKES_OUT.keys() & templates_held(kind, finding) and its_work_agreed(record, finding)
    lying = {one.key for one in catalogue.findings if one.work is not None and not one.work.under}
    works = ((one.kind, work_task(record, one)) for one in record.findings)
    return frozenset(
        task.number for of, task in works if task is not None and (of == kind.key or (comes_out and of in lying))
    )


def _nobody_in(record: JobRecord, finding: Finding) -> frozenset[str]:
    """Return a finding's place, and the places nobody goes into for whatever was found, with what one comes to only through those."""
    shut = shut_for_found(record)
    if HOUSE in shut:
        rooms, stairs = record.job.rooms, record.job.stairs
        return frozenset({finding.place, *(room.name for room in rooms), *(flight.name for flight in stairs)})
    if finding.kind in NOBODY_IN and not ways_of(record, finding):
        shut.add(finding.place)  # also while it is not yet among the job's findings
    return cut_off(record.job, shut) | {finding.place, *shut}


def where_nobody_goes(catalogue: Catalogue) -> tuple[frozenset[str], frozenset[str]]:
    """Return the task templates that one kind or another holds of which nobody goes where it is, and those that go on elsewhere."""
    kinds = [kind for kind in catalogue.findings if kind.key in NOBODY_IN]
    held, elsewhere = frozenset[str](), frozenset[str]()
    return held.union(*(kind.holds for kind in kinds)), elsewhere.union(*(kind.elsewhere for kind in kinds))


def _needed_there(
    record: JobRecord,
    finding: Finding,
    places: Mapping[TaskKey, frozenset[str]],
    holds: Callable[[Task], bool],
) -> frozenset[int]:
    """Return what the crew's own work about a finding, agreed with the customer, comes after in its place, itself with that.

    Nobody goes behind it for that work, and before the customer's yes nobody goes in for it either. What agreed work about
    something else comes after is not done in vain there, where that work does not wait for this: two rooms may share a door.
    """
    if not its_work_agreed(record, finding):
        return frozenset()
    before = before_its_work(record, finding)
    for other in record.findings:
        work = work_task(record, other)
        if other is not finding and work is not None and its_work_agreed(record, other) and not holds(work):
            before |= before_its_work(record, other)
    return frozenset(
        number for number in before if finding.place == HOUSE or finding.place in places[record.task(number).key]
    )


def behind_words(record: JobRecord, finding: Finding) -> Iterator[str]:
    """Yield to which places one comes only through where something was found, and what to do where there is another way in."""
    if cut := sorted(cut_off_by(record, finding)):
        alone = cut_off(record.job, {finding.place}) >= {*cut}
        through = finding.place if alone else f"{finding.place} and other rooms that are shut"
        yield (
            f"One comes to {listed(cut, most=6)} only through {through}, by the doorways of the job: nothing goes on there either. "
            f"Where there is another way in, add its doorway (`crewjobs dump {record.job.number}`, then `load --replace`)."
        )


def in_its_place(record: JobRecord, catalogue: Catalogue, finding: Finding, numbers: Iterable[int]) -> tuple[int, ...]:
    """Return of some tasks those that are done where something was found, and not only behind it."""
    places = places_by_task(record, catalogue)
    return tuple(
        number for number in numbers if finding.place == HOUSE or finding.place in places[record.task(number).key]
    )


def places_by_task(record: JobRecord, catalogue: Catalogue) -> dict[TaskKey, frozenset[str]]:
    """Return where each task of a job is done; one the job's templates no longer make is where its name says."""
    known = done_in(record.job, catalogue, record.moves_in_force)
    return {task.key: known.get(task.key, frozenset({task.key.scope.name})) for task in record.tasks}


def kept_by(
    record: JobRecord, catalogue: Catalogue, finding: Finding, numbers: Iterable[int], way: Way
) -> tuple[int, ...]:
    """Return the tasks a way on keeps on hold. What is of the whole house goes on where another of its places is left for it.

    There the place of the finding is left out of it, and whoever does it is told so.
    """
    places, out = places_by_task(record, catalogue), {finding.place, *left_out(record, catalogue.findings)}
    return tuple(
        number
        for number in in_its_place(record, catalogue, finding, _of(record, numbers, way.keeps))
        if record.task(number).key.scope.kind is not ScopeKind.JOB
        or finding.place == HOUSE
        or not places[record.task(number).key] - out
    )


def left_out(record: JobRecord, kinds: Iterable[FoundKind]) -> dict[str, str]:
    """Return the places in which a way on lets nothing be done into what was left there, each with what that is."""
    ways = {(kind.key, way.key): way for kind in kinds for way in kind.ways}
    last = (max(said, key=lambda way: way.at) for one in record.findings if (said := ways_of(record, one)[::-1]))
    return {
        taken.place: taken.kind
        for taken in last
        if (way := ways.get((taken.kind, taken.way))) is not None and way.leaves and way.keeps
    }


def held_anew(record: JobRecord, catalogue: Catalogue) -> JobRecord:
    """Return a job that was defined anew with what its findings hold: also tasks that have come up in their places since.

    Where a way on was taken, it keeps and takes off the job what has come up as well, and nothing of that is hauled.
    """
    record = _in_order(record, catalogue)
    kinds = {kind.key: kind for kind in catalogue.findings}
    found, ways = list(record.findings), list(record.ways_taken)
    for index, finding in enumerate(found):
        kind = kinds.get(finding.kind)
        if kind is None:
            continue
        more, less = _more(record, catalogue, kind, finding), _no_longer(record, catalogue, kind, finding)
        if not more and not less:
            continue
        found[index] = replace(finding, holds=(*(n for n in finding.holds if n not in less), *more))
        its_own = ways_of(record, finding)
        for place, taken in enumerate(record.ways_taken):
            way = kind.way(taken.way)
            if way is not None and any(taken is one for one in its_own):
                ways[place] = replace(
                    taken,
                    keeps=(*taken.keeps, *kept_by(record, catalogue, finding, more, way)),
                    drops=(*taken.drops, *in_its_place(record, catalogue, finding, _of(record, more, way.drops))),
                )
    if tuple(found) == record.findings:
        return hauled_anew(record, catalogue)
    gone = {number for way in ways for number in way.drops}
    tasks = tuple(replace(task, not_needed=True) if task.number in gone else task for task in record.tasks)
    held = _with_their_waits(replace(record, ways_taken=tuple(ways), tasks=tasks), tuple(found))
    return hauled_anew(held, catalogue)


def _in_order(record: JobRecord, catalogue: Catalogue) -> JobRecord:
    """Return a job in which work under a floor comes after what can be taken out before it, as its findings shut the ways now."""
    if not any(one.under for one in record.job.work):
        return record
    return by_the_laboratory(reconcile(record, expand(record.job, catalogue, record.moves_in_force)))


def _more(record: JobRecord, catalogue: Catalogue, kind: FoundKind, finding: Finding) -> tuple[int, ...]:
    """Return the tasks a finding's kind holds in its place that were not there when it was recorded."""
    return tuple(number for number in held_there(record, catalogue, kind, finding) if number not in finding.holds)


def _no_longer(record: JobRecord, catalogue: Catalogue, kind: FoundKind, finding: Finding) -> frozenset[int]:
    """Return the tasks that were held only for lying behind what was found, and to which another way leads now.

    And those that its own work comes after, and those that go on elsewhere, where a place of theirs is open again.
    """
    there = in_its_place(record, catalogue, finding, _of(record, finding.holds, templates_held(kind, finding)))
    stay = frozenset(there) - frozenset(_of(record, there, kind.elsewhere))
    if its_work_agreed(record, finding):
        stay = frozenset(number for number in stay if not record.task(number).open)
    looked = frozenset(finding.holds) - stay
    if not looked or ways_of(record, finding):
        return frozenset()
    return looked - frozenset(held_there(record, catalogue, kind, finding))


def _of(record: JobRecord, numbers: Iterable[int], templates: Collection[str]) -> tuple[int, ...]:
    return tuple(number for number in numbers if record.task(number).key.template in templates)


def _with_their_waits(record: JobRecord, found: tuple[Finding, ...]) -> JobRecord:
    """Return a job with its findings; what was asked because of one holds the same tasks as it does."""
    anew = [(old, new.holds) for old, new in zip(record.findings, found, strict=True) if old.holds]

    def as_held(waits: WaitingOn) -> WaitingOn:
        # Two findings may hold the same tasks: the one it was asked because of is meant.
        mine = next((holds for old, holds in anew if waits.came_at is None and because_of(old, waits)), waits.holds)
        return waits if mine == waits.holds else replace(waits, holds=mine)

    asked = tuple(as_held(waits) for waits in record.waiting_on)
    return replace(record, findings=found, waiting_on=asked)


def _its_own(task: Task, finding: Finding) -> bool:
    own = (
        task.key.cause == finding.work and task.where == finding.place
    )  # of the same words in another place it is another's
    return bool(finding.work) and task.key.template == EXTRA_WORK and own
