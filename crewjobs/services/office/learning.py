"""What hours tell: each crew's pace, estimates against hours, the odds of promises."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from crewjobs.services.odds.odds_rows import OddsView, PromiseView
    from crewjobs.services.rates.rates_rows import AgainstView, AheadView, JobPace, LatelyView, RatesView
    from crewjobs.services.rows import Done
    from crewjobs.storage.unit_of_work import UnitOfWork

from crewjobs.services.office.base import OfficeBase


class Learning(OfficeBase):
    """Answers from the hours that are recorded, and rates set by hand; what was learned is kept for the next answer."""

    @contextmanager
    def _asking(self) -> Iterator[UnitOfWork]:
        """Yield a transaction that reads; what is learned in it is kept afterwards, where that can be done at once."""
        with self._database.reading() as uow:
            yield uow
        if uow.to_keep and not self._pretending:
            self._database.keep_pace(uow.to_keep)

    def rates(self, crew: str = "") -> RatesView:
        """Return each crew's own rates beside the book's, or one crew's."""
        from crewjobs.services.rates import rates

        with self._asking() as uow:
            return rates.rates_view(uow, self._catalogue(uow), self._clock.now(), crew)

    def pin_rate(self, crew: str, template: str, rate: str) -> Done:
        """Set a crew's rate at a task template by hand, as typed."""
        from crewjobs.services.rates import rate_pins

        with self._writing() as uow:
            return rate_pins.pin_rate(uow, self._catalogue(uow), self._clock.now(), crew, template, rate)

    def unpin_rate(self, crew: str, template: str) -> Done:
        """Let a crew's rate at a task template be as it is learned again."""
        from crewjobs.services.rates import rate_pins

        with self._writing() as uow:
            return rate_pins.unpin_rate(uow, self._catalogue(uow), self._clock.now(), crew, template)

    def against(self, job: int) -> AgainstView:
        """Return a job's estimate against its hours, phase by phase."""
        from crewjobs.services.rates import against

        with self._asking() as uow:
            return against.against_view(uow, self._clock.now(), job)

    def ahead(self, job: int) -> AheadView:
        """Return what is left of a job by the book and by each crew's own pace."""
        from crewjobs.services.rates import ahead

        with self._asking() as uow:
            return ahead.ahead_of(uow, self._clock.now(), job)

    def job_pace(self, job: int) -> JobPace:
        """Return a job's estimate against its hours where it has any, and what is left of it where something is."""
        from crewjobs.services.rates import against

        with self._asking() as uow:
            return against.job_pace(uow, self._clock.now(), job)

    def lately(self) -> LatelyView:
        """Return the jobs worked last, each with its estimate against its hours."""
        from crewjobs.services.rates import against

        with self._asking() as uow:
            return against.lately_view(uow, self._clock.now())

    def odds(self, job: int | None = None, *, stop: Callable[[], bool] | None = None) -> OddsView:
        """Return the odds of every promise in the plan in force, or of one job; `stop` ends it, which is refused."""
        from crewjobs.services.odds import odds

        with self._asking() as uow:
            return odds.odds_view(uow, self._clock.now(), job, stop)

    def promise(
        self, job: int, odds_percent: float, ready: str = "", *, stop: Callable[[], bool] | None = None
    ) -> PromiseView:
        """Return the first day that holds for a job with a chance in percent, given everything planned.

        `ready` is the day from which what is not ordered can be there.
        """
        from crewjobs.services.odds import promise

        with self._asking() as uow:
            return promise.promise_view(uow, self._clock.now(), job, odds_percent, ready, stop)

    def last_change(self) -> int:
        """Return the number of the last change: an answer kept from before it may be old."""
        with self._database.reading() as uow:
            return uow.last_change_number()
