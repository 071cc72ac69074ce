"""The job or the shop that a form's tables stand for, by the readers of the files."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.services.forms.draft import Tables

if TYPE_CHECKING:
    from crewjobs.domain.job import Job
    from crewjobs.files.shop_file import ShopFile

SOURCE: Final = "the form"


def job_of(raw: Tables, zone: str) -> Job:
    """Return the job of a form's tables.

    Raises:
        Misread: with every fault.
    """
    from crewjobs.files.job_file import job_of_tables

    return job_of_tables(deepcopy(raw), SOURCE, zone)


def shop_of(raw: Tables) -> ShopFile:
    """Return the shop of a form's tables.

    Raises:
        Refused: with every fault; a `Misread` where each has its place.
    """
    from crewjobs.files.shop_file import shop_of_tables

    found = shop_of_tables(deepcopy(raw), SOURCE)
    if not found.shop.crews:
        raise Refused("a shop without a crew plans nothing: add one.")
    return found
