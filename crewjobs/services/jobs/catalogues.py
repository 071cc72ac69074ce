"""The catalogue as a shop reads it: with its own changes, in its own units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused

if TYPE_CHECKING:
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.storage.unit_of_work import UnitOfWork


def catalogue_of(uow: UnitOfWork) -> Catalogue:
    """Return the templates and cautions in force; as written while there is no shop yet."""
    from crewjobs.files.catalogue import read_catalogue

    try:
        units = uow.shop().units
    except Refused:
        units = "us"
    return read_catalogue(uow.overrides(), units)
