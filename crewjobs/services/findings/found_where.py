"""In which job of a house a finding is recorded, and what would be right where it is named in one that does not take it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.domain.job import LIVE, JobRecord
from crewjobs.domain.wording import typed
from crewjobs.services.findings.found_kinds import HOUSE, place_named
from crewjobs.services.findings.same_house import places_of, same_house
from crewjobs.services.jobs.as_it_lies import first_of_its_house

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def live_job(uow: UnitOfWork, job: int, place: str, what: str) -> JobRecord:
    """Return a job that is asked, quoted or booked.

    Raises:
        Refused: unknown, done or called off; with the job in which what was found in that place is recorded, where one can be.
    """
    record = uow.job(job)
    if record.job.state not in LIVE:
        instead = _in_another(uow, record, place, what) or _in_another(uow, record, HOUSE, what)
        raise Refused(f"job {job} is {record.job.state}: nothing is found in it any more{instead and f'; {instead}'}.")
    return record


def place_in(uow: UnitOfWork, record: JobRecord, place: str, what: str) -> str:
    """Return a job's own name for a room, stairs or the house.

    Raises:
        Refused: the job has no such place; a callback's knows its own alone, and is told how what lies on the way there is recorded.
    """
    try:
        return place_named(record, place)
    except Refused as refused:
        if not record.job.is_callback:
            raise
        number = record.job.number
        whole = f"of the whole house (`crewjobs found {number} {HOUSE} {typed(what)}`)"
        instead = _in_another(uow, record, place, what)
        if not instead:
            instead = f"what lies on the way there is recorded {whole}"
        elif "`crewjobs callback" in instead:
            instead = f"{instead}, or where nobody is to work there {whole}"
        raise Refused(f"{refused.sentences[0].removesuffix('.')}; {instead}.") from None


def _in_another(uow: UnitOfWork, record: JobRecord, text: str, what: str) -> str:
    """Return in which other job of the house something found in a place is recorded, or which callback is booked for it; empty: none."""
    whole, wanted = first_of_its_house(uow, record), " ".join(text.casefold().split())
    others = [uow.job(number) for number in same_house(uow, record.job.number)]
    going = [other for other in others if other.job.state in LIVE]
    for other in sorted(going, key=lambda one: not any(task.open for task in one.tasks)):
        for name in places_of(other.job):
            if name.casefold() == wanted:
                command = f"crewjobs found {other.job.number} {typed(name)} {typed(what)}"
                return f"what is found in {_told(name)} is recorded in job {other.job.number} (`{command}`)"
    name = next((name for name in places_of(whole.job) if name.casefold() == wanted), "")
    if not name or not whole.finished:
        return ""
    where = "" if name == HOUSE else f" --where {typed(name)}"
    return (
        f"what is found in {_told(name)} is recorded in a callback that is booked for it "
        f"(`crewjobs callback {whole.job.number} WHAT{where}`, then `crewjobs found` with the number it is given)"
    )


def _told(place: str) -> str:
    return "the house" if place == HOUSE else place
