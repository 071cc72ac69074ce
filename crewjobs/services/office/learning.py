"""What hours tell: each crew's pace, estimates against hours, the odds of promises."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.services.rates_rows import AgainstView, RatesView

from crewjobs.services.office.base import OfficeBase


class Learning(OfficeBase):
    """Answers from the hours that are recorded; nothing is written."""

    def rates(self, crew: str = "") -> RatesView:
        """Return each crew's own rates beside the book's, or one crew's."""
        from crewjobs.services import rates

        with self._database.reading() as uow:
            return rates.rates_view(uow, self._catalogue(uow), self._clock.now(), crew)

    def against(self, job: int) -> AgainstView:
        """Return a job's estimate against its hours, phase by phase."""
        from crewjobs.services import against

        with self._database.reading() as uow:
            return against.against_view(uow, self._clock.now(), job)
