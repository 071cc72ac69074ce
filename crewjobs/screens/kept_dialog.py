"""A dialog in which much is typed: what is typed is kept while it is open, so that a dropped link loses none of it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final, Generic, TypeVar

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.outcome import outcome_of, work

if TYPE_CHECKING:
    from textual.await_complete import AwaitComplete
    from textual.timer import Timer

    from crewjobs.services.forms.kept import KeptForm

R = TypeVar("R")

TAKEN_UP: Final = "Taken up as it was typed when the screens ended. Nothing of this is written yet."
_PAUSE: Final = 1.0
"""Seconds after the last key, until what is typed is kept."""
_TELLS: Final = 15.0
"""Seconds that it is told that nothing can be kept."""


class KeptDialog(Dialog[R], Generic[R]):
    """Kept a moment after each change, and once more where the terminal goes away; closed, nothing of it is kept."""

    _keeping: Timer | None = None
    _is_left = _told = False

    def kept(self) -> KeptForm | None:
        """Return what is typed, with what opens the form again; None where that is nothing."""
        raise NotImplementedError

    def keep_soon(self) -> None:
        """Something is typed, chosen, added or removed."""
        if self.crew_app.forms is not None and not self._is_left:
            if self._keeping is not None:
                self._keeping.stop()
            self._keeping = self.set_timer(_PAUSE, self._keep_later)

    def _keep_later(self) -> None:
        forms, form = self.crew_app.forms, self.kept()
        if forms is not None and form is not None:

            async def keep() -> None:
                kept = await outcome_of(partial(forms.keep, lambda: None if self._is_left else form))
                if kept.value and not self._told and not self._is_left:
                    # Above the form, which stays where the hand is: nothing scrolls away from who types.
                    self.notify(kept.value, severity="warning", timeout=_TELLS, markup=False)
                    self.crew_app.told_last.appendleft((kept.value,))
                self._told = bool(kept.value)

            work(self, keep, "kept")

    def keep_now(self) -> None:
        """The terminal is gone: keep it before all ends."""
        forms, form = self.crew_app.forms, self.kept()
        if forms is not None and form is not None and not self._is_left:
            forms.keep(lambda: form)

    def dismiss(self, result: R | None = None) -> AwaitComplete:
        """Made, or left: nothing of it is kept."""
        self._is_left = True
        if self.crew_app.forms is not None:
            self.crew_app.forms.drop()
        return super().dismiss(result)
