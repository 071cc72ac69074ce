"""What screens with odds in them share: they are painted without, then the odds are looked at beside them and filled in."""

from __future__ import annotations

import threading
from functools import partial
from typing import TYPE_CHECKING

from crewjobs.screens.base import CrewScreen
from crewjobs.screens.outcome import outcome_of, work

if TYPE_CHECKING:
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.odds.odds_rows import OddsRow, OddsView

LOOKING = "odds: looking …"


class OddsScreen(CrewScreen):
    """Looking stops when the screen is left, and begins anew when what is shown is read anew after a change."""

    def __init__(self) -> None:
        super().__init__()
        self.odds: OddsView | None = None
        self.odds_note = ""
        """Why there are none: still looking, or the office's sentence."""
        self._stop_odds = threading.Event()

    def odds_changed(self) -> None:
        """Draw again."""
        raise NotImplementedError

    def odds_of(self, job: int) -> OddsRow | None:
        """The odds of a job, if they are known."""
        return next((row for row in self.odds.rows if row.job == job), None) if self.odds is not None else None

    def look_at_odds(self, job: int | None = None) -> None:
        """Look beside the screen at all promises, or at one job."""
        office = self.crew_app.office
        self._stop_odds.set()
        if office is not None:
            self._stop_odds = threading.Event()
            work(self, partial(self._looked, office, job, self._stop_odds), "odds", exclusive=True)

    def no_odds(self) -> None:
        """There is nothing to look at."""
        self._stop_odds.set()
        self.odds, self.odds_note = None, ""

    async def _looked(self, office: OfficeFace, job: int | None, stop: threading.Event) -> None:
        kept = self.crew_app.odds
        outcome = await outcome_of(lambda: (kept.known(office, job),))
        if not stop.is_set() and outcome.value == (None,):
            self.odds, self.odds_note = None, LOOKING
            self.odds_changed()
            outcome = await outcome_of(lambda: (kept.found(office, job, stop.is_set),))
        if stop.is_set():
            return
        self.odds = outcome.value[0] if outcome.value is not None else None
        self.odds_note = "" if self.odds is not None else f"no odds: {' '.join(outcome.sentences)}"
        self.odds_changed()

    def on_screen_suspend(self) -> None:
        """What is not seen is not looked at; a dialog above lets it go on."""
        if not (self.is_mounted and self.app.screen_stack and self.app.screen.is_modal):
            self._stop_odds.set()

    def on_unmount(self) -> None:
        """Nobody waits for it any more."""
        self._stop_odds.set()
