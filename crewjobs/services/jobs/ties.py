"""Which jobs are callbacks of which: read for every list, so it stands apart from booking one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.storage.jobs import Callback


def called_back(callbacks: Iterable[Callback]) -> Mapping[int, tuple[int, ...]]:
    """Return the numbers of the callbacks of each job that has some."""
    found: dict[int, tuple[int, ...]] = {}
    for one in callbacks:
        found[one.of] = (*found.get(one.of, ()), one.number)
    return found


def ties(callbacks: Sequence[Callback], number: int) -> tuple[str, ...]:
    """Return in words which job a callback comes back to, and which callbacks came back to a job."""
    return (
        *(
            f"Callback of job {one.of}, {one.of_title} ({one.of_state}): a small job of its own, "
            "whose hours never count in the crew's pace"
            for one in callbacks
            if one.number == number
        ),
        *(f"Called back: job {one.number}, {one.state}" for one in callbacks if one.of == number),
    )
