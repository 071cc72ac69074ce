"""Whose a kept form is: of which shop, and of whose houses. Another one may have the same number by the time it is opened."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.storage.unit_of_work import UnitOfWork

SHOP: Final = "shop"


def jobs_of(kept: KeptForm) -> tuple[int, ...]:
    """Return the numbers of the jobs that a form is about."""
    words = (kept.about.get("job", ""), *kept.about.get("houses", "").split(","))
    return tuple(int(word) for word in words if word.isdecimal())


def whose(uow: UnitOfWork, jobs: Sequence[int]) -> dict[str, str]:
    """Return the shop's name under ``shop``, and under each job's number its customer and address; none of a job that is not.

    Raises:
        Refused: there is no shop.
    """
    found = {SHOP: uow.shop().name}
    for number in jobs:
        with suppress(Refused):
            job = uow.job(number).job
            found[str(number)] = f"{job.customer.name}, {job.site.address}"
    return found


def another(kept: KeptForm, now: Mapping[str, str]) -> tuple[str, ...]:
    """Return what is another's by now, a sentence each; none of a form of which it is not known, or whose job is gone."""
    said = []
    for key, was in kept.whose.items():
        there = now.get(key, was)
        if _alike(there) == _alike(was):
            continue
        if key == SHOP:
            said.append(f"It was typed in the records of {was}; these are the records of {there}.")
        else:
            said.append(f"Job {key} was of {was}, when it was typed; now job {key} is of {there}.")
    return tuple(said)


def _alike(words: str) -> str:
    return " ".join(words.split()).casefold()
