"""What comes through a floor whose pieces are not told one by one: where its middle is, to be marked in the room."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from crewjobs.domain.job import Job
from crewjobs.domain.units import UnitSystem, format_cut
from crewjobs.domain.wording import upper


def through(job: Job, rooms: Iterable[str], units: UnitSystem) -> Iterator[str]:
    """Yield each cut-out of some rooms with its size, and its middle as the job file has it, from the room's first corner."""
    for room in rooms:
        for one in job.room(room).cut_outs:
            (x, y), (width, depth) = one.at, one.size
            yield (
                f"{upper(one.what)} in {room}: {format_cut(width, units)} x {format_cut(depth, units)}, its middle {format_cut(x, units)} and "
                f"{format_cut(y, units)} from the room's first corner, as in the job file: mark it there before the floor covers it."
            )
