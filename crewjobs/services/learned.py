"""The crews' pace as it is learned from the records: the one place everything that needs it asks."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.services.paces import days_worked

if TYPE_CHECKING:
    from crewjobs.storage.unit_of_work import UnitOfWork


def learned(uow: UnitOfWork, now: datetime) -> Pace:
    """Return what the hours of all jobs tell of each crew's pace by now; without any, the book's, as sure as its prior."""
    return learn(days_worked(uow.worked_jobs(), uow.shop(), now))
