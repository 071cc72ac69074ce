"""Whose a kept form is: of which shop, and of whose houses. Another one may have the same number by the time it is opened."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import zone_of

if TYPE_CHECKING:
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.storage.unit_of_work import UnitOfWork

SHOP: Final = "shop"
_ZONE: Final = "zone of "
"""Stands before the number of a job whose house keeps another clock than the shop."""
_BY_THE_HOUSE: Final = ("arrived", "how far", "record")
"""Forms of a house whose days and hours are read by its own clock."""


def jobs_of(kept: KeptForm) -> tuple[int, ...]:
    """Return the numbers of the jobs that a form is about."""
    words = (kept.about.get("job", ""), *kept.about.get("houses", "").split(","))
    return tuple(int(word) for word in words if word.isdecimal())


def whose(uow: UnitOfWork, jobs: Sequence[int]) -> dict[str, str]:
    """Return the shop's name under ``shop``, and under each job's number its customer and address; none of a job that is not.

    Of a house whose clock is not the shop's its zone stands beside.

    Raises:
        Refused: there is no shop.
    """
    shop = uow.shop()
    found = {SHOP: shop.name}
    for number in jobs:
        with suppress(Refused):
            job = uow.job(number).job
            found[str(number)] = f"{job.customer.name}, {job.site.address}"
            if job.site.zone != shop.zone:
                found[f"{_ZONE}{number}"] = str(job.site.zone)
    return found


def another(kept: KeptForm, now: Mapping[str, str]) -> tuple[str, ...]:
    """Return what is another's by now, a sentence each; none of a form of which it is not known, or whose job is gone."""
    said = []
    for key, was in kept.whose.items():
        there = now.get(key, was)
        if _alike(there) == _alike(was) or key.startswith(_ZONE):
            continue
        if key == SHOP:
            said.append(f"It was typed in the records of {was}; these are the records of {there}.")
        else:
            said.append(f"Job {key} was of {was}, when it was typed; now job {key} is of {there}.")
    return tuple(said)


def by_its_clock(kept: KeptForm) -> KeptForm:
    """Return a form with when it was typed by the clock that its days and hours are read by: its house's, else the shop's."""
    zone = kept.whose.get(f"{_ZONE}{kept.about.get('job', '')}", "")
    if not (zone and kept.moment and kept.form in _BY_THE_HOUSE):
        return kept
    with suppress(ValueError, Refused):
        return replace(kept, moment=datetime.fromisoformat(kept.moment).astimezone(zone_of(zone)).isoformat())
    return kept


def _alike(words: str) -> str:
    return " ".join(words.split()).casefold()
