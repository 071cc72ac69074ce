"""A dialog in which much is typed: what is typed is kept while it is open, so that a dropped link loses none of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, Generic, TypeVar

from textual import events, on

from crewjobs.domain.errors import Refused
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.services.forms.kept import NOT_SENT
from crewjobs.services.forms.kept_whose import jobs_of
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.await_complete import AwaitComplete
    from textual.timer import Timer

    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.kept import KeptForm

R = TypeVar("R")
T = TypeVar("T")

_PAUSE: Final = 1.0
"""Seconds after the last key, until what is typed is kept."""
_LONGEST: Final = 4.0
"""Seconds after the first key that is not kept, until it is, however quickly others follow."""
_TELLS: Final = 15.0
"""Seconds that it is told that nothing can be kept."""
TAKEN_ALONG: Final = "Taken along as it was typed. Nothing of this is written yet."


def taken_up_words(kept: KeptForm) -> str:
    """Say that a form is one of before, and from when; or that what was typed just now elsewhere stands in it."""
    if not kept.since and not kept.recorded:
        return TAKEN_ALONG
    meant = f" Days and hours are written out as they were meant then: {'; '.join(kept.meant)}." if kept.meant else ""
    since = f"Kept from {kept.since}: taken" if kept.since else "Taken"
    if kept.recorded:
        return (
            f"{since} up as it was typed when the screens ended, while it was being recorded. Recorded since then: "
            f"{'; '.join(kept.recorded)}. Where that is this one, leave it with Esc: it is written already.{meant}"
        )
    return f"{since} up as it was typed when the screens ended. Nothing of this is written yet.{meant}"


def _is_over(result: object) -> bool:
    """Say whether a form that closes with this is written or left: nothing else asks on for what was typed in it."""
    if isinstance(result, Outcome):
        return result.value is not None
    return result is None or isinstance(result, Done)


class KeptDialog(Dialog[R], Generic[R]):
    """Kept a moment after each change, and once more where the terminal goes away; closed, nothing of it is kept."""

    _keeping: Timer | None = None
    _at_last: Timer | None = None
    _is_left = _told = _is_kept = False
    _newest: KeptForm | None = None
    """What was typed when it was looked at last: whatever writes it, writes that."""
    _sent_after = NOT_SENT
    """The newest change when its recording was begun, as long as nobody knows whether it was written."""
    _of_moment: KeptForm | None = None
    _moment = ""
    """When that was typed, by the shop's clock: left open over night it is of yesterday."""
    _whose: Mapping[str, str] = MappingProxyType({})
    """Whose it is, as it was when the first of it was typed."""
    _taken: KeptForm | None = None
    """What was taken up in it."""

    @on(events.Mount)
    def waits_no_more(self) -> None:
        """What was kept to be opened is open; that its recording was begun is known until that is answered."""
        if self._taken is not None:
            self._is_kept = True
            self._sent_after = self._taken.sent_after
            if self.crew_app.forms is not None:
                self.crew_app.forms.is_open(self._taken)

    def kept(self) -> KeptForm | None:
        """Return what is typed, with what opens the form again; None where that is nothing."""
        raise NotImplementedError

    def keep_soon(self) -> None:
        """Something is typed, chosen, added or removed."""
        if self.crew_app.forms is not None and not self._is_left:
            if self._keeping is not None:
                self._keeping.stop()
            self._keeping = self.set_timer(_PAUSE, self._keep_later)
            if self._at_last is None:
                self._at_last = self.set_timer(_LONGEST, self._keep_later)

    def _keep_later(self) -> None:
        for timer in (self._keeping, self._at_last):
            if timer is not None:
                timer.stop()
        self._keeping = self._at_last = None
        self._newest = self.kept()

        async def keep() -> None:
            kept = await outcome_of(self._write_kept)
            if kept.value and not self._told and not self._is_left:
                # Above the form, which stays where the hand is: nothing scrolls away from who types.
                self.notify(kept.value, severity="warning", timeout=_TELLS, markup=False)
                self.crew_app.told_last.appendleft((kept.value,))
            self._told = bool(kept.value)

        work(self, keep, "kept")

    def _write_kept(self) -> str:
        """Write what was typed; return why that cannot be done, empty where it was."""
        forms = self.crew_app.forms
        if forms is None or not (self._is_kept or self._newest is not None):
            return ""  # what is kept is of another form
        self._is_kept = True
        return forms.keep(self._as_kept, lambda: not self._is_left)

    def _as_kept(self) -> KeptForm | None:
        form, office = self._newest, self.crew_app.office
        if form is None:
            return None
        with suppress(Exception):  # whatever is wrong with the records, what is typed is kept, then without this
            if office is not None and form != self._of_moment:
                self._of_moment, self._moment = form, office.now().isoformat()
            if office is not None and not self._whose:
                self._whose = office.whose(jobs_of(form))
        return replace(form, sent_after=self._sent_after, whose=dict(self._whose), moment=self._moment)

    def keep_now(self) -> None:
        """The terminal is gone: keep it before all ends."""
        self._newest = self.kept()
        self._write_kept()

    def leave_kept(self) -> None:
        """It is closed and not left by hand, since there is no shop any more: keep it for the next start."""
        self._newest = self.kept()
        forms, form = self.crew_app.forms, self._as_kept()
        if forms is not None and form is not None and not self._is_left:
            self._is_left = True
            forms.put_back(form)
            forms.drop()

    def save(self, call: Callable[[OfficeFace], Done], meanwhile: str = "") -> None:
        """Record it, keeping before that what it follows on: where its answer is lost, it is not recorded twice unseen."""
        self._newest = self.kept()
        super().save(lambda office: self.recorded(lambda: call(office)), meanwhile)

    def recorded(self, call: Callable[[], T]) -> T:
        """Record what was typed, in a thread. A refusal is an answer: nothing is written, and so it is kept from then on."""
        office, before = self.crew_app.office, self._sent_after
        if office is None or self._newest is None or self.crew_app.forms is None:
            return call()
        if before == NOT_SENT:  # what was begun before, and never answered, is not answered by this
            self._sent_after = office.last_change()
        self._write_kept()
        try:
            return call()
        except Refused:
            self._sent_after = before
            self._write_kept()
            raise

    def dismiss(self, result: R | None = None) -> AwaitComplete:
        """Made, or left: nothing of it is kept. What is recorded while the terminal goes is kept, to be told at the next start."""
        left, self._is_left = self._is_left, True
        untold = self.crew_app.ending and result is not None and self._sent_after != NOT_SENT
        if self.crew_app.forms is not None and not left and not untold:
            self.crew_app.forms.drop()
        closed = super().dismiss(result)
        if not left and self.crew_app.taking_up and _is_over(result):
            from crewjobs.screens.taking_up import take_up_next

            work(self.crew_app, partial(take_up_next, self.crew_app), "taken up", opens=True)
        return closed

    @property
    def is_left(self) -> bool:
        """Whether it is closed, or closes as soon as nothing stands above it."""
        return self._is_left
