"""Bringing jobs and the shop in from files, all or none; giving a job out as its file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Crew, DayHours, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import LIVE, Job, JobRecord, JobState
from crewjobs.domain.reach import no_way_words, supposed_steps
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.domain.work import ExtraWork
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.readiness.clocks import material_clock
from crewjobs.engines.readiness.goods import goods_clock
from crewjobs.engines.readiness.others import by_the_laboratory
from crewjobs.files.detect import Loaded, read_files
from crewjobs.services.asked.telling import told_since
from crewjobs.services.findings.comes_along import with_its_house
from crewjobs.services.findings.found_holds import held_anew
from crewjobs.services.findings.found_kinds import HOUSE
from crewjobs.services.findings.house_told import others_of_its_house
from crewjobs.services.jobs.called_off import off_sentences
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.jobs.gone_places import gone_places
from crewjobs.services.moving.furnished import could_be_found, furniture_moved
from crewjobs.services.people.visit_clashes import visit_clashes
from crewjobs.services.rows import Done
from crewjobs.services.weeks.plan_faults import plan_faults

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


NO_SHOP: Final = "there is no shop yet: give the shop file with the jobs, such as `crewjobs load shop.toml job.toml`."


def read(paths: Sequence[Path], zone: str | None = None) -> Loaded:
    """Read whole files; a site without a zone takes the shop's.

    Raises:
        Refused: every fault of every file.
    """
    # Without any shop the files' other faults are still named; `load` then asks for the shop.
    return read_files(paths, zone or "UTC")


def shop_zone(uow: UnitOfWork) -> str | None:
    """Return the stored shop's zone, None before there is a shop."""
    try:
        return uow.shop().zone
    except Refused:
        return None


def load(uow: UnitOfWork, now: datetime, loaded: Loaded, *, replace_known: bool = False, what: str = "") -> Done:
    """Store a shop and jobs; a job or shop that is there already is changed only with `replace_known`.

    Hours recorded for a crew on single days stay, but for days of which the shop file itself says the hours.
    A job without a number gets the next free one. What has happened on a job stays: its tasks are brought
    in line with the new definition, and none that was begun or ticked is lost or estimated anew. Small visits that
    clash with what was loaded stay and are named. `what` is how the change is called, where it is no file's.

    Raises:
        Refused: with every reason; nothing is stored then.
    """
    faults: list[str] = []
    known_clashes = visit_clashes(uow, now) if shop_zone(uow) is not None else ()
    kept = (*_kept_hours(uow, loaded, now), *_left_begun(uow, loaded), *_left_behind(uow, loaded, now))
    if loaded.shop is not None:
        faults += _store_shop(uow, loaded, replace_known=replace_known)
    elif shop_zone(uow) is None:
        raise Refused(NO_SHOP)
    for job, source in zip(loaded.jobs, loaded.sources, strict=True):
        faults += _years_to_come(job, source, now.year)
    catalogue = catalogue_of(uow)
    numbers = set(uow.job_numbers())
    new, known = _numbered(uow, loaded, numbers)
    changed = known if replace_known else []
    if not replace_known:
        faults += _there_already(uow, known)
    faults += _nothing_to_come_back_to(loaded, numbers | {job.number for job in new})
    faults += _check_replaced(uow, changed, now)
    if faults:
        raise Refused(faults)
    for job in new:
        uow.add_job(fresh_record(job, catalogue))
    altered = []
    found: list[str] = []
    dropped: list[str] = []
    shut = [*_shut(new)]
    for job, _ in changed:
        before = uow.job(job.number)
        after = _redefined(before, job, catalogue)
        if after != before:
            uow.save_job(before, after)
            altered.append(job)
            if no_way_words(job) != no_way_words(before.job):
                shut += _shut([job])
            dropped += gone_places(before, after)
            if before.moves_in_force is not None and after.moves_in_force is None:
                dropped.append(
                    f"Job {job.number}: its furniture stages are no longer in force, since its rooms or its order of work are "
                    f"others now: `crewjobs moves {job.number}` finds them anew, `crewjobs undo` takes the file back."
                )
    for job in (*new, *altered):
        before = uow.job(job.number)
        after, said = with_its_house(uow, before, catalogue, now)
        if after != before:
            uow.save_job(before, after)
        found += said
    if loaded.shop is not None:
        _bring_in_line(uow, catalogue, {job.number for job in loaded.jobs})
    what = what or _what(loaded, new, altered)
    clashes = tuple(said for said in visit_clashes(uow, now) if said not in known_clashes)
    stored = [uow.job(job.number) for job in (*new, *altered)]
    shop = uow.shop()
    wrong = plan_faults(stored, shop if loaded.shop is not None else replace(shop, crews=()), now)
    ended = [uow.job(job.number) for job, _ in changed if job.state is JobState.CALLED_OFF and job in altered]
    off = tuple(
        said for record in ended for said in off_sentences(record, others_of_its_house(uow, record.job.number), now)
    )
    furnished = tuple(_furnished([record for record in stored if record.job in new]))
    return Done(
        sentence=upper(what) + ".",
        change=uow.commit(what, at=now),
        then=(*clashes, *kept, *wrong, *found, *shut, *furnished, *dropped, *off),
    )


def _shut(jobs: Sequence[Job]) -> Iterator[str]:
    """Yield for jobs still to be worked that nobody gets into a room of them; where `_furnished` tells it, that says it."""
    for job in jobs:
        if job.state in LIVE and job.rooms and not could_be_found(job) and (missing := no_way_words(job)):
            yield f"Job {job.number}: {missing}."


def _furnished(records: Sequence[JobRecord]) -> Iterator[str]:
    """Name the jobs whose furniture stages can be found and are not: people live there, and nobody said in which order.

    Said too is what is missing for them to be found, and of which doorways the steps are only supposed.
    """
    for record in records:
        job = record.job
        for opening in job.openings if furniture_moved(job) else ():
            if steps := supposed_steps(job, opening):
                yield (
                    f"Job {job.number}: {opening.name} leads from one storey to another, and no steps are said: taken as stairs "
                    f"of {steps} steps when furniture is carried."
                )
        if could_be_found(job) and (missing := no_way_words(job)):
            yield f"Job {job.number}: its rooms are furnished, and no stages can be found for it: {missing}."
        elif could_be_found(job):
            yield (
                f"Job {job.number}: its rooms are furnished: `crewjobs moves {job.number}` finds which section is worked when, "
                "and where everything stands meanwhile."
            )


def _numbered(uow: UnitOfWork, loaded: Loaded, numbers: set[int]) -> tuple[list[Job], list[tuple[Job, str]]]:
    """Return the jobs that are new, each with its number, and those with a number that is there, with their files."""
    taken = numbers | {job.number for job in loaded.jobs} | {uow.next_number() - 1}
    new: list[Job] = []
    known: list[tuple[Job, str]] = []
    for job, source in zip(loaded.jobs, loaded.sources, strict=True):
        if job.number in numbers:
            known.append((job, source))
            continue
        number = job.number or max(taken, default=0) + 1
        taken.add(number)
        new.append(replace(job, number=number))
    return new, known


def _there_already(uow: UnitOfWork, known: Sequence[tuple[Job, str]]) -> Iterator[str]:
    for job, source in known:
        yield (
            f"{source}: job {job.number} is there already ({uow.job(job.number).job.title}); "
            "say --replace to change it to this file, or give the file another number."
        )


def supposed_records(uow: UnitOfWork, now: datetime, loaded: Loaded) -> tuple[JobRecord, ...]:
    """Return the jobs of files with their numbers and tasks as `load` would store them; nothing is stored.

    Raises:
        Refused: a shop file among them, or every reason for which `load` would refuse them.
    """
    if loaded.shop is not None:
        raise Refused("a shop file cannot be supposed: give job files.")
    numbers = set(uow.job_numbers())
    new, known = _numbered(uow, loaded, numbers)
    faults = [
        fault
        for job, source in zip(loaded.jobs, loaded.sources, strict=True)
        for fault in _years_to_come(job, source, now.year)
    ]
    faults += (f"{source}: job {job.number} is there already: give another number, or none." for job, source in known)
    faults += _nothing_to_come_back_to(loaded, numbers | {job.number for job in new})
    if faults:
        raise Refused(faults)
    catalogue = catalogue_of(uow)
    return tuple(fresh_record(job, catalogue) for job in new)


def fresh_record(job: Job, catalogue: Catalogue) -> JobRecord:
    """Return a new job with its tasks."""
    return reconcile(JobRecord(job=job), expand(job, catalogue))


def _floored(job: Job) -> Iterator[tuple[str, str]]:
    return ((room.name, part.name) for room in job.rooms if room.floor is not None for part in room.sections)


def _redefined(before: JobRecord, job: Job, catalogue: Catalogue) -> JobRecord:
    site = job.site if job.site.entry_notes else replace(job.site, entry_notes=before.job.site.entry_notes)
    job = replace(job, site=site)  # `dump` never writes entry notes: loading its file back must not lose them
    job = replace(job, work=(*job.work, *_work_of_findings(before, job)))
    plan = before.moves_in_force
    if (
        plan is not None
        and not job.stages
        and sorted(_floored(job)) == sorted(s for stage in plan.order for s in stage)
    ):
        job = replace(job, stages=before.job.stages)  # a file that gives no order leaves the one that was found
    redefined = replace(before, job=job, told=told_since(before, job.state))
    brought = reconcile(redefined, expand(job, catalogue, redefined.moves_in_force))
    return by_the_laboratory(held_anew(brought, catalogue))


def _work_of_findings(before: JobRecord, job: Job) -> Iterator[ExtraWork]:
    """Yield the work that was added for findings of a job and is not in its new file: a file says nothing of what was found."""
    said = {(entry.what, entry.place) for entry in job.work}
    rooms = {"", *(room.name for room in job.rooms), *(stairs.name for stairs in job.stairs)}
    found = {(finding.work, "" if finding.place == HOUSE else finding.place) for finding in before.findings}
    for entry in before.job.work:
        key = (entry.what, entry.place)
        if key in found and key not in said and entry.place in rooms:
            yield entry


def _years_to_come(job: Job, source: str, year: int) -> list[str]:
    """A slip here would leave out the cautions for old houses and old floors."""
    layers = [
        (f"room {quoted(room.name)}: a layer was put in in", layer.year) for room in job.rooms for layer in room.layers
    ] + [
        (f"stairs {quoted(stairs.name)}: a layer was put in in", layer.year)
        for stairs in job.stairs
        for layer in stairs.layers
    ]
    return [
        f"{source}: {what} {given}, which has not come yet: give the year, or leave it out where it is unknown."
        for what, given in [("site: the house was built in", job.site.year_built), *layers]
        if given is not None and given > year
    ]


def _nothing_to_come_back_to(loaded: Loaded, known: set[int]) -> list[str]:
    return [
        f"{source}: key 'callback_of': there is no job {job.callback_of}; give the number of the job it comes back to."
        for job, source in zip(loaded.jobs, loaded.sources, strict=True)
        if job.callback_of is not None and job.callback_of not in known
    ]


def _check_replaced(uow: UnitOfWork, changed: Sequence[tuple[Job, str]], now: datetime) -> list[str]:
    faults: list[str] = []
    for job, source in changed:
        faults += _less_than_came(uow.job(job.number), job, source, now)
        names = {material.name for material in job.materials}
        gone = sorted({lot.material for lot in uow.job(job.number).lots} - names)
        if gone:
            faults.append(
                f"{source}: cartons of {listed(gone)} have come for job {job.number}; the file must keep that material."
            )
        lines = {line.name for line in job.goods}
        lost = sorted({came.line for came in uow.job(job.number).goods_come} - lines)
        if lost:
            faults.append(
                f"{source}: {listed(lost)} came for job {job.number}; the file must keep that order line as it is named."
            )
    return faults


def _less_than_came(record: JobRecord, job: Job, source: str, now: datetime) -> Iterator[str]:
    """Yield what came and would be more than is ordered: what came stays."""
    after = replace(record, job=job)
    for material in job.materials:
        clock = material_clock(after, material, now)
        if clock.come > clock.ordered:
            come, ordered = material.counted(clock.come), material.number(clock.ordered)
            yield (
                f"{source}: {come} of {material.name} came for job {job.number}, and the file orders {ordered}: "
                f"what came stays, so order at least {material.number(clock.come)}."
            )
    for line in job.goods:
        come_goods = goods_clock(after, line, now).come
        if come_goods > line.count:
            yield (
                f"{source}: {line.counted(come_goods)} of {line.name} came for job {job.number}, and the file orders "
                f"{line.count}: what came stays, so order at least {come_goods}."
            )


def _store_shop(uow: UnitOfWork, loaded: Loaded, *, replace_known: bool) -> list[str]:
    assert loaded.shop is not None
    shop = _with_recorded(loaded.shop, uow.day_hours())
    if shop_zone(uow) is not None and not replace_known and (uow.shop(), uow.overrides()) != (shop, loaded.overrides):
        return [f"the shop is there already ({uow.shop().name}); say --replace to change it to this file."]
    uow.save_shop(shop)
    uow.save_overrides(loaded.overrides)
    return []


def _with_recorded(shop: Shop, recorded: Sequence[DayHours]) -> Shop:
    """Return the shop of a file with the hours recorded for its crews on days that the file does not name."""
    return replace(shop, crews=tuple(_with_single_days(crew, recorded) for crew in shop.crews))


def _with_single_days(crew: Crew, recorded: Sequence[DayHours]) -> Crew:
    hours = crew.hours
    for one in recorded:
        if one.crew == crew.name and crew.hours.single(one.day) is None:
            hours = hours.with_single(one.day, one.spans)
    return replace(crew, hours=hours)


def _kept_hours(uow: UnitOfWork, loaded: Loaded, now: datetime) -> Iterator[str]:
    """Yield a sentence for hours recorded for days to come that the shop file says nothing of."""
    if loaded.shop is None or shop_zone(uow) is None:
        return
    today = to_wall(loaded.shop.zone, now).date()
    named = {crew.name: crew.hours for crew in loaded.shop.crews}
    stay = [
        f"{one.crew} on {day_words(one.day)}"
        for one in uow.day_hours()
        if one.day >= today and one.crew in named and named[one.crew].single(one.day) is None
    ]
    if stay:
        yield f"Hours recorded for single days stay: {listed(stay)}; `crewjobs hours CREW DAY --usual` takes one back."


def _bring_in_line(uow: UnitOfWork, catalogue: Catalogue, but: set[int]) -> None:
    """A changed template reaches the open jobs; what was begun or ticked keeps its estimate."""
    for record in uow.live_jobs():
        if record.job.number not in but and record.job.state in LIVE:
            brought = reconcile(record, expand(record.job, catalogue, record.moves_in_force))
            after = by_the_laboratory(held_anew(brought, catalogue))
            if after != record:
                uow.save_job(record, after)


def _left_begun(uow: UnitOfWork, loaded: Loaded) -> Iterator[str]:
    """Yield which work is under way with a crew that the shop no longer has: somebody has to take it over."""
    if loaded.shop is None or shop_zone(uow) is None:
        return
    stay = {crew.name for crew in loaded.shop.crews}
    gone = {crew.name for crew in uow.shop().crews} - stay
    for record in uow.live_jobs() if gone else ():
        begun: dict[str, list[str]] = {}
        for task in record.tasks:
            if task.state == "under way" and task.crew in gone:
                begun.setdefault(task.crew, []).append(f"{task.number} {quoted(task.title)} ({task.where})")
        for crew, tasks in begun.items():
            number = record.job.number
            yield (
                f"Job {number}: {crew} is no longer in the shop and has begun {listed(tasks)}, which another crew takes over: "
                f"`crewjobs how-far {number} TASK HOW-FAR --crew CREW` hands it on as far as it is; `crewjobs undo` takes the change back."
            )


def _left_behind(uow: UnitOfWork, loaded: Loaded, now: datetime) -> Iterator[str]:
    """Yield what is recorded of crews and people that the shop no longer has by their names, and counts for nobody now."""
    if loaded.shop is None or shop_zone(uow) is None:
        return
    before, after = uow.shop(), loaded.shop
    today = to_wall(after.zone, now).date()
    there = _people(after)
    had = {name for _, name in _people(before)}
    away = [one for one in uow.away() if one.day >= today and one.worker in had]
    for crew, name in dict.fromkeys((one.crew, one.worker) for one in away):
        if (crew, name) not in there:
            days = listed([day_words(one.day) for one in away if (one.crew, one.worker) == (crew, name)], most=9)
            where = f"in {crew} under that name" if crew else "the shop's lead under that name"
            yield (
                f"{name} is no longer {where}: being away on {days} counts for nobody now; "
                "record it anew for whom it is true, with `crewjobs away`."
            )
    gone = {crew.name for crew in before.crews} - {crew.name for crew in after.crews}
    if not gone:
        return
    learned = {pin.crew for pin in uow.rate_pins()}
    learned |= {hours.crew for record in uow.worked_jobs() for hours in record.crew_hours}
    for name in sorted(gone & learned):
        yield (
            f"{name} is no longer in the shop: the hours recorded of it, and what was learned of them, stay under that name "
            "and count for no other crew. A crew that only has another name is given it on its page of Shop and crews."
        )


def _people(shop: Shop) -> set[tuple[str, str]]:
    """Return crew and name of everybody in a shop; no crew for its lead."""
    found = {(crew.name, worker.name) for crew in shop.crews for worker in crew.workers}
    return found | ({("", shop.lead.name)} if shop.lead is not None else set())


def _what(loaded: Loaded, new: Sequence[Job], changed: Sequence[Job]) -> str:
    parts = []
    if loaded.shop is not None:
        parts.append(f"shop {loaded.shop.name} with {_count(len(loaded.shop.crews), 'crew')}")
    if new:
        parts.append(f"{_count(len(new), 'job')} new ({listed([_named(job) for job in new])})")
    if changed:
        parts.append(f"{_count(len(changed), 'job')} changed ({listed([_named(job) for job in changed])})")
    return "loaded " + listed(parts) if parts else "loaded nothing new"


def _named(job: Job) -> str:
    return f"{job.number} {job.title}"


def _count(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def dump(uow: UnitOfWork, number: int) -> str:
    """Return a job's definition as the file that load reads: no history, no entry notes.

    Raises:
        Refused: there is no such job.
    """
    from crewjobs.files.job_file import write_job

    return write_job(uow.job(number).job)


def dump_shop(uow: UnitOfWork, now: datetime) -> str:
    """Return the shop as the file that load reads, with its crews' hours on single days from today on.

    Raises:
        Refused: there is no shop yet.
    """
    from crewjobs.files.shop_file import write_shop

    shop = uow.shop()
    today = to_wall(shop.zone, now).date()
    crews = tuple(
        replace(crew, hours=replace(crew.hours, but=tuple(one for one in crew.hours.but if one[0] >= today)))
        for crew in shop.crews
    )
    return write_shop(replace(shop, crews=crews), uow.overrides())
