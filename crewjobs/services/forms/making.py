"""New jobs and changed ones out of a form, and the shop, by the same way that their files are loaded."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import ScopeKind
from crewjobs.domain.units import UnitSystem, quoted
from crewjobs.domain.wall import to_wall
from crewjobs.files.detect import Loaded
from crewjobs.services.forms.draft import Draft, draft_of
from crewjobs.services.forms.fields import JOB_PAGES, SHOP_PAGES
from crewjobs.services.forms.places_renamed import names_in, renamed
from crewjobs.services.forms.reading import SOURCE, job_of, shop_of
from crewjobs.services.forms.renaming import rename_in_records
from crewjobs.services.jobs import loading
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.domain.job import Job, JobRecord
    from crewjobs.storage.unit_of_work import UnitOfWork

_STAIRS: Final = (ScopeKind.STAIRS,)
_PLACES: Final = (ScopeKind.ROOM, ScopeKind.SECTION, ScopeKind.OPENING, ScopeKind.STAIRS)


def new_job(zone: str, units: UnitSystem = "us") -> Draft:
    """Return the form of a job nobody has written yet: one floor, one room, one way out of it, one order."""
    draft = draft_of(JOB_PAGES, {}, zone)
    draft.units = units
    _begin(draft)
    return draft


def _begin(draft: Draft) -> None:
    for kind in ("material", "room", "opening", "order"):
        draft.add(kind)


def job_draft(uow: UnitOfWork, number: int) -> Draft:
    """Return the form of a job as it is; of one without rooms, that came from a list, with the pages of a new one beside.

    Raises:
        Refused: there is no such job.
    """
    seen = loading.dump(uow, number)
    draft = draft_of(JOB_PAGES, tomllib.loads(seen), uow.shop().zone)
    draft.units = uow.shop().units
    draft.seen = seen
    if uow.job(number).job.unmeasured:
        _begin(draft)
    return draft


def keep(uow: UnitOfWork, now: datetime, draft: Draft) -> Done:
    """Store a form's job: a new one under the next free number, which is then the draft's, or the one it is of, changed.

    Raises:
        Refused: every fault of the form, or what `load` refuses; the job was changed since the form was opened; a room or
            stairs where something was done is no longer in it; nothing differs.
    """
    raw, said = draft.tables(to_wall(draft.zone, now).date())
    if said:
        raise Refused([one.words for one in said])
    job = job_of(raw, draft.zone)
    if not draft.number:
        job = replace(job, number=uow.next_number())
        done = loading.load(uow, now, _loaded(job), what=f"job {job.number}, {job.title}, made")
        draft.number = job.number
        return done
    record = uow.job(draft.number)
    if loading.dump(uow, draft.number) != draft.seen:  # a tick or a reading changes nothing that the form has
        raise Refused(
            f"job {draft.number} was changed meanwhile, and this form still has what it was: close it, look at the job, "
            "and repeat what you want changed."
        )
    before = record.job if job.site.entry_notes else replace(record.job, site=replace(record.job.site, entry_notes=""))
    if job == before:
        raise Refused("nothing was changed in this form.")
    gone = [*_gone(record, job)]
    if gone:
        raise Refused(gone)
    names = names_in(draft)
    for old, taken in names.taken_over():
        raise Refused(
            f"{quoted(old)} takes the name of another of this job: call that one otherwise first and keep it, then this one {quoted(taken)}."
        )
    same = renamed(record, names) if names else None
    if same is not None:
        uow.save_job(record, same)
    done = loading.load(uow, now, _loaded(job), replace_known=True, what=f"job {job.number}, {job.title}, changed")
    return done if same is None else replace(done, then=(*names.told(), *done.then))


def shop_draft(uow: UnitOfWork, now: datetime) -> Draft:
    """Return the form of the shop as it is.

    Raises:
        Refused: there is no shop yet.
    """
    seen = loading.dump_shop(uow, now)
    draft = draft_of(SHOP_PAGES, tomllib.loads(seen), uow.shop().zone)
    draft.seen = seen
    return draft


def keep_shop(uow: UnitOfWork, now: datetime, draft: Draft) -> Done:
    """Store a form's shop in the place of the one it was opened on; where a name was changed, what is recorded under it follows.

    Raises:
        Refused: every fault of the form, or what `load` refuses; the shop was changed since; nothing differs.
    """
    raw, said = draft.tables(to_wall(draft.zone, now).date())
    if said:
        raise Refused([one.words for one in said])
    found = shop_of(raw)
    if loading.dump_shop(uow, now) != draft.seen:
        raise Refused(
            "the shop was changed meanwhile, and this form still has what it was: close it, and open it anew."
        )
    if found == shop_of(tomllib.loads(draft.seen)):
        raise Refused("nothing was changed in this form.")
    renamed = rename_in_records(uow, draft, found.shop, to_wall(draft.zone, now).date())
    loaded = Loaded(shop=found.shop, overrides=found.overrides, jobs=(), sources=())
    done = loading.load(uow, now, loaded, replace_known=True, what=f"shop {found.shop.name} changed")
    return replace(done, then=(*renamed, *done.then))


def _loaded(job: Job) -> Loaded:
    return Loaded(shop=None, overrides=(), jobs=(job,), sources=(SOURCE,))


def _gone(record: JobRecord, job: Job) -> Iterator[str]:
    """Yield a sentence for each place that is no longer in the job and has tasks that were begun or done."""
    begun = Counter(
        (task.key.scope.kind in _STAIRS, task.key.scope.name)
        for task in record.tasks
        if task.key.scope.kind in _PLACES and (task.done_at is not None or task.started_at is not None)
    )
    floors = {room.name for room in job.rooms} | {opening.name for opening in job.openings}
    there = {(False, name) for name in floors} | {(True, stairs.name) for stairs in job.stairs}
    for (stairs, name), count in begun.items():
        if (stairs, name) not in there:
            tasks = "1 task of it was" if count == 1 else f"{count} tasks of it were"
            yield f"{quoted(name)} stays in the job, under that name: {tasks} begun or done."
