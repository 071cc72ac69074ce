"""Odds that were looked at, kept as long as nothing is recorded and the hour is the same: they take seconds to find."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.odds.odds_rows import OddsView

State = tuple[int, str]
"""The last change, and the hour."""


class OddsKept:
    """Called in threads; an answer of an older state is dropped."""

    def __init__(self) -> None:
        self._kept: tuple[State, dict[int | None, OddsView]] | None = None

    def known(self, office: OfficeFace, job: int | None) -> OddsView | None:
        """Return the odds of all promises, or of a job, if they are known as things stand."""
        return self._of(_state(office), job)

    def found(self, office: OfficeFace, job: int | None, stop: Callable[[], bool]) -> OddsView:
        """Look, and keep what was found.

        Raises:
            Refused: there are none, or it was stopped.
        """
        state = _state(office)
        view = self._of(state, job) or office.odds(job, stop=stop)
        if self._kept is None or self._kept[0] != state:
            self._kept = (state, {})
        self._kept[1][job] = view
        return view

    def _of(self, state: State, job: int | None) -> OddsView | None:
        if self._kept is None or self._kept[0] != state:
            return None
        views = self._kept[1]
        if job in views or None not in views:
            return views.get(job)
        rows = tuple(row for row in views[None].rows if row.job == job)
        return replace(views[None], rows=rows) if rows else None


def _state(office: OfficeFace) -> State:
    return office.last_change(), f"{office.now():%Y-%m-%d %H}"
