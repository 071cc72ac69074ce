"""Walk-throughs with the customer: what was agreed and seen before, what was left open after."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.agreed import Damage, VisitKind, Walk, WalkThrough
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.units import quoted
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import listed, upper
from crewjobs.services.clock import read_moment
from crewjobs.services.jobs.known import HAND_OVER, WALK_BEFORE
from crewjobs.services.rows import Done, WaitRow
from crewjobs.services.ticking import set_in_motion, ticked
from crewjobs.services.wording import LONGEST_LINE, at_site, dated, read_line, task_words

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

LONGEST_PATH = 1000
"""Characters of a photo's path."""
_NO_BYTES = hashlib.sha256().hexdigest()


def before(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    name: str,
    *,
    color: str = "",
    direction: str = "",
    lot: str = "",
    damage: Sequence[tuple[str, str]] = (),
    at: str = "",
    because: str = "",
) -> Done:
    """Record the walk-through before the work: who walked along, what was agreed, damage already there.

    `damage` is what was seen (``place: what``) with a photo's path or "". Of a photo the path is kept as given and the
    SHA-256 of its bytes now. The job's task for it is ticked with it, as `tick` does.

    Raises:
        OnHold: the task is on hold and no reason is given.
        Refused: unknown job, nobody named, a photo that cannot be read or is empty, or a moment that has not come.
    """
    walk = WalkThrough(
        walk=Walk.BEFORE,
        at=_moment(uow.job(job), at, now),
        name=read_line(name, "who walked along"),
        color=read_line(color, "the color"),
        direction=read_line(direction, "the direction"),
        lot=read_line(lot, "the lot"),
        damage=tuple(_damage(text, photo) for text, photo in damage),
    )
    return _record(uow, now, uow.job(job), walk, because)


def after(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    name: str,
    *,
    punch: Sequence[str] = (),
    carton_left: bool = False,
    care_sheet: bool = False,
    at: str = "",
    because: str = "",
) -> Done:
    """Record the walk-through after the work: who walked along, what is still to be done, what was left in the house.

    A later walk with fewer items clears the rest. The job's task for it is ticked with the first, as `tick` does.

    Raises:
        OnHold: the task is on hold and no reason is given.
        Refused: unknown job, nobody named, an empty item, or a moment that has not come.
    """
    items = tuple(read_line(item, "the punch list") for item in punch)
    if not all(items):
        raise Refused("an item of the punch list says what is to be done.")
    walk = WalkThrough(
        walk=Walk.AFTER,
        at=_moment(uow.job(job), at, now),
        name=read_line(name, "who walked along"),
        punch=items,
        carton_left=carton_left,
        care_sheet=care_sheet,
    )
    return _record(uow, now, uow.job(job), walk, because)


def walk_lines(record: JobRecord) -> tuple[str, ...]:
    """Return a job's walk-throughs as lines: what was recorded, and what was not, each called so."""
    lines: list[str] = []
    for walk in record.walks:
        lines.append(_walk_words(record, walk))
        for seen in walk.damage:
            photo = f"; photo {seen.photo}, SHA-256 {seen.sha256}" if seen.photo else "; no photo"
            lines.append(f"Already there, {seen.place}: {seen.what}{photo}")
    left = punch_open(record)
    if left:
        lines.append(f"Punch list: {len(left)} open: {listed(left, most=12)}")
    hint = lot_hint(record)
    return (*lines, *([hint] if hint else []))


def punch_open(record: JobRecord) -> tuple[str, ...]:
    """Return what the last walk-through after the work left to be done."""
    last = _last_after(record)
    return last.punch if last else ()


def _last_after(record: JobRecord) -> WalkThrough | None:
    """Return the last walk-through after the work, of those of one instant the one recorded last."""
    after = [walk for walk in record.walks if walk.walk is Walk.AFTER]
    return max(reversed(after), key=lambda walk: walk.at, default=None)


def lot_hint(record: JobRecord) -> str:
    """Return a sentence if lots came, and none of them is the one the customer was shown; empty otherwise."""
    shown = [walk for walk in record.walks if walk.walk is Walk.BEFORE and walk.lot]
    came = list(dict.fromkeys(lot.name for lot in record.lots))
    if not shown or not came:
        return ""
    agreed = max(reversed(shown), key=lambda walk: walk.at)
    if agreed.lot.casefold() in {name.casefold() for name in came}:
        return ""
    return (
        f"The walk-through before names lot {agreed.lot}; lot {listed(came)} came: "
        f"compare and ask {agreed.name} before a carton is opened"
    )


def walk_rows(record: JobRecord, now: datetime) -> Iterator[WaitRow]:
    """Yield the lots that differ from what the customer was shown, while work is open, and the punch list until it is made."""
    yield from punch_rows(record, now)
    hint = lot_hint(record)
    if hint and any(task.needs_material and task.open for task in record.tasks):
        yield WaitRow(
            job=record.job.number,
            title=record.job.title,
            what=hint,
            state=WaitState.TO_DECIDE,
            since=None,
            ready_at=None,
            minutes_left=None,
            done=None,
            verified=True,
            holds="",
            call="the customer decides with the planks of this lot at hand",
        )


def punch_rows(record: JobRecord, now: datetime) -> Iterator[WaitRow]:
    """Yield what the last walk-through after the work left to be done, until another one leaves nothing or the job is closed.

    It waits for somebody to agree a time for it or, with one agreed, for that time.
    """
    last, zone, job = _last_after(record), record.job.site.zone, record.job.number
    if last is None or not last.punch or record.job.state not in (JobState.BOOKED, JobState.DONE):
        return
    visits = [
        one
        for one in record.small_visits
        if one.kind is VisitKind.PUNCH_LIST and one.done_at is None and one.start + timedelta(minutes=one.minutes) > now
    ]
    goes = min(visits, key=lambda visit: visit.start, default=None)
    made = f"made: `crewjobs walk {job} after --with NAME` takes it off"
    yield WaitRow(
        job=job,
        title=record.job.title,
        what=f"Punch list, {len(last.punch)} open: {listed(last.punch, most=12)}",
        state=WaitState.PROMISED if goes else WaitState.TO_ASK,
        since=to_wall(zone, last.at),
        ready_at=to_wall(zone, goes.start) if goes else None,
        minutes_left=None,
        done=None,
        verified=True,
        holds="",
        call=f"{goes.who} goes; {made}"
        if goes
        else f"agree a time with {record.job.customer.name}: `crewjobs visit {job} punch-list`; {made}",
        whom="" if goes else record.job.customer.name,
    )


def left_at_end(record: JobRecord) -> Iterator[str]:
    """Yield that items of the punch list are open still on a job that is done or closed."""
    left = punch_open(record)
    if not left:
        return
    said = f"Punch list: {len(left)} still open: {listed(left, most=12)}."
    if record.job.state is JobState.CLOSED:
        yield f"{said} Closed, the job is off the waiting list with it: `crewjobs undo` takes this back."
    else:
        yield f"{said} It stays on the waiting list until it is made or the job is closed."


def check_photos(record: JobRecord) -> tuple[str, ...]:
    """Return for each photo whether the file at its path still has the bytes it had; reads the files now."""
    said = []
    taken = [(seen.photo, seen.sha256, seen.place) for walk in record.walks for seen in walk.damage if seen.photo]
    taken += [(photo.path, photo.sha256, found.place) for found in record.findings for photo in found.photos]
    for path, sha256, place in taken:
        try:
            same = photo_sha256(path) == sha256
        except Refused:
            said.append(f"{path} ({place}): no file that can be read is there now")
            continue
        said.append(f"{path} ({place}): " + ("the bytes recorded" if same else "OTHER bytes than recorded"))
    return tuple(said)


def read_photo(path: str) -> str:
    """Return the SHA-256 of a photo that is to be recorded.

    Raises:
        Refused: a path that cannot be shown, no file that can be read, or an empty one.
    """
    if len(path) > LONGEST_PATH or not path.isprintable():
        raise Refused(
            f"photo {quoted(path[:LONGEST_LINE])}: a path has up to {LONGEST_PATH} characters that can be shown."
        )
    sha256 = photo_sha256(path)
    if sha256 == _NO_BYTES:
        raise Refused(f"photo {quoted(path)} is an empty file: give the picture itself; nothing is recorded.")
    return sha256


def absolute_path(path: str) -> str:
    """Return a photo's path as it is found from any folder."""
    return str(Path(path).expanduser().absolute())


def photo_sha256(path: str) -> str:
    """Return the SHA-256 of a file's bytes.

    Raises:
        Refused: there is no such file, or it cannot be read.
    """
    try:
        with Path(path).open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "no file has such a name"
        raise Refused(f"photo {quoted(path)} cannot be read: {why}; nothing is recorded.") from None


def _record(uow: UnitOfWork, now: datetime, record: JobRecord, walk: WalkThrough, because: str) -> Done:
    job, template = record.job.number, WALK_BEFORE if walk.walk is Walk.BEFORE else HAND_OVER
    task = next((one for one in record.tasks if one.key.template == template and one.open), None)
    reason = read_line(because, "the reason")
    if record.job.state is JobState.CALLED_OFF or (
        task is not None and record.job.state in (JobState.ASKED, JobState.QUOTED)
    ):
        raise Refused(f"job {job} is {record.job.state}, not booked: no walk-through is recorded on it.")
    if any(one.walk is walk.walk and one.at == walk.at for one in record.walks):
        raise Refused(
            f"job {job}: a walk-through {walk.walk} {at_site(record.job.site.zone, walk.at)} is recorded already."
        )
    changed = replace(record, walks=(*record.walks, walk))
    if task is not None and record.job.state is JobState.BOOKED:
        changed = ticked(changed, task, walk.at, reason)
    uow.save_job(record, changed)
    what = f"job {job}: {_walk_words(record, walk)[0].lower()}{_walk_words(record, walk)[1:]}"
    then = list(_after(changed, walk))
    if task is not None and changed.task(task.number).done_at is not None:
        what += f"; {task_words(task)} ticked"
        what += f", although on hold, because {reason}" if changed.passed != record.passed else ""
        then += set_in_motion(record, changed, now)
    return Done(sentence=upper(what) + ".", change=uow.commit(what, at=now, job=job), then=tuple(then))


def _after(record: JobRecord, walk: WalkThrough) -> Iterator[str]:
    """Yield what was not said and what comes next."""
    job = record.job.number
    if walk.walk is Walk.BEFORE:
        missing = [
            word for word, text in (("color", walk.color), ("direction", walk.direction), ("lot", walk.lot)) if not text
        ]
        if missing:
            yield f"Not recorded: {listed(missing)}; ask before the first row."
        bare = sum(not seen.photo for seen in walk.damage)
        if bare:
            yield f"{bare} of {len(walk.damage)} damages without a photo."
        hint = lot_hint(record)
        if hint:
            yield hint + "."
        return
    if walk.punch:
        yield f"Punch list: {len(walk.punch)} open; `crewjobs visit {job} punch-list` proposes a time."
    left = [one for one in record.walks if one.walk is Walk.AFTER]
    in_cartons = any(not material.is_sheet for material in record.job.materials)
    if in_cartons and not any(one.carton_left for one in left):
        yield "One full carton left in the house? Not recorded: --carton-left says so."
    if not any(one.care_sheet for one in left):
        yield "Care sheet left? Not recorded: --care-sheet says so."


def _walk_words(record: JobRecord, walk: WalkThrough) -> str:
    head = f"Walk-through {walk.walk} {at_site(record.job.site.zone, walk.at)} with {walk.name}"
    if walk.walk is Walk.BEFORE:
        facts = (("color", walk.color), ("direction", walk.direction), ("lot", walk.lot))
        parts = [f"{word} {text}" if text else f"{word} not recorded" for word, text in facts]
        seen = len(walk.damage)
        parts.append(f"{seen} damage{'' if seen == 1 else 's'} already there" if seen else "no damage recorded")
    else:
        count = len(walk.punch)
        parts = [f"punch list of {count}: {listed(walk.punch, most=12)}" if count else "no punch list item recorded"]
        parts.append("one full carton left" if walk.carton_left else "carton left: not recorded")
        parts.append("care sheet left" if walk.care_sheet else "care sheet left: not recorded")
    return f"{head}: {'; '.join(parts)}"


def _damage(text: str, photo: str) -> Damage:
    line = read_line(text, "the damage")
    place, colon, what = line.partition(":")
    if not colon:
        place, what = "house", line
    if not place.strip() or not what.strip():
        raise Refused(f"{quoted(text)} is no damage: write where and what, such as 'hall: scratch at the door'.")
    if not photo:
        return Damage(place=place.strip(), what=what.strip())
    return Damage(place=place.strip(), what=what.strip(), photo=photo, sha256=read_photo(photo))


def _moment(record: JobRecord, at: str, now: datetime) -> datetime:
    moment = read_moment(at, record.job.site.zone, now)
    if moment > now:
        raise Refused(f"{dated(record.job.site.zone, moment)} has not come yet: only what has happened is recorded.")
    return moment
