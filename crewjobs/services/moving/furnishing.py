"""Saying what stands in a room, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Piece
from crewjobs.domain.house import Room
from crewjobs.domain.job import Job
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.units import UnitSystem, quoted
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.engines.readiness.others import by_the_laboratory
from crewjobs.engines.stages.things import UNKNOWN_SIZE
from crewjobs.files.furniture_text import furniture_words, read_furniture, size_not_known
from crewjobs.services.findings.found_holds import held_anew
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork

STALE: Final = (
    "Its furniture stages were found for the house as it was: `crewjobs moves {number} --from-here` finds them anew."
)

_SOFA: Final[Mapping[UnitSystem, str]] = {"us": "84 in x 36 in", "metric": "210 cm x 90 cm"}


def furnish(uow: UnitOfWork, now: datetime, number: int, room: str, words: str) -> Done:
    """Change the furniture of a room to what is said; sizes and weights known of a piece that stays in the list are kept.

    Raises:
        Refused: unknown job or room, words that cannot be read, or nothing that differs.
    """
    record = uow.job(number)
    found = room_named(record.job, room)
    read = read_furniture(words, [name for name, _ in found.cuts])
    pieces = tuple(known_of(found.furniture, piece) for piece in read)
    if pieces == found.furniture:
        raise Refused(f"{found.name} of job {number} is furnished so already: nothing was changed.")
    rooms = tuple(replace(one, furniture=pieces) if one.name == found.name else one for one in record.job.rooms)
    after = replace(record, job=replace(record.job, rooms=rooms))
    catalogue = catalogue_of(uow)
    wanted = expand(after.job, catalogue, after.moves_in_force)
    uow.save_job(record, by_the_laboratory(held_anew(reconcile(after, wanted), catalogue)))
    what = f"furniture of {found.name}, job {number}"
    moved = sum(piece.count for piece in pieces if not piece.stays)
    stale = after.moves_in_force is not None
    return Done(
        sentence=f"Job {number}, {found.name}: {furniture_words(pieces)} ({counted(moved, 'piece')} to move).",
        change=uow.commit(what, at=now, job=number),
        then=(*taken_as(pieces, uow.shop().units), *((STALE.format(number=number),) if stale else ())),
    )


def taken_as(pieces: Sequence[Piece], units: UnitSystem) -> tuple[str, ...]:
    """Return what is said of pieces of which no size is known: as what the stages take them."""
    unknown = size_not_known(pieces)
    if not unknown:
        return ()
    width, depth = UNKNOWN_SIZE
    names = listed([quoted(name) for name in unknown], most=6)
    return (
        f"No size is known of {names}: taken as {told_in(f'{width} in', units)} x {told_in(f'{depth} in', units)} of floor, "
        f"until a size is said, such as {quoted(f'{unknown[0]} {_SOFA[units]}')}.",
    )


def words_of(job: Job, room: str) -> str:
    """Return the furniture of a room in the words that change it.

    Raises:
        Refused: the job has no such room.
    """
    return furniture_words(room_named(job, room).furniture)


def room_named(job: Job, name: str) -> Room:
    """Return a room by its name, however it is spelled.

    Raises:
        Refused: the job has no such room.
    """
    for room in job.rooms:
        if room.name.casefold() == name.strip().casefold():
            return room
    rooms = listed([quoted(room.name) for room in job.rooms], most=12)
    raise Refused(f"job {job.number} has no room {quoted(name)}; it has {rooms or 'none'}.")


def known_of(furniture: Sequence[Piece], piece: Piece) -> Piece:
    """Return a piece with what was known of one of its name there and words do not say: weight, power, stacking."""
    for old in furniture:
        if old.name == piece.name and old.part == piece.part:
            size = (piece.length, piece.width) if piece.length is not None else (old.length, old.width)
            return replace(
                old,
                count=piece.count,
                stays=piece.stays,
                people=piece.people if piece.stays != old.stays else old.people,
                length=size[0],
                width=size[1],
            )
    return piece
