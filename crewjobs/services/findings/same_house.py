"""The jobs of one house that come back to each other: what was found there in one of them is there for all."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def same_house(uow: UnitOfWork, job: int) -> tuple[int, ...]:
    """Return the job a job comes back to, its callbacks, and theirs: the numbers of all of them but itself, ascending."""
    ties, found, look = uow.callbacks(), {job}, [job]
    while look:
        at = look.pop()
        more = {one.of for one in ties if one.number == at} | {one.number for one in ties if one.of == at}
        look += more - found
        found |= more
    return tuple(sorted(found - {job}))
