"""Coming back after a link dropped: where one is is noted at once, and what was begun to be written is written to its end.

What was acknowledged is in the database before it is said. So there is nothing to rescue when the terminal goes away but
a change whose writing has begun, the form that is open, and the place one was at: they are noted whenever they change, not
only at the end, so that they are right after a kill, too. Who leaves with q begins with what waits next time.
"""

from __future__ import annotations

import asyncio
import contextlib
import math
import os
import re
import signal
import threading
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING, Final

from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.words import cleaned

if TYPE_CHECKING:
    from types import FrameType

    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.services.screen_memory import Place

_WRITING_SECONDS: Final = 10.0
"""How long a change that is being written is waited for."""
_SINCE: Final = 5
"""So many changes are told of those since a form's recording was begun, the first ones; of more their number."""
_SAME_HOUR: Final = timedelta(hours=1)
"""So long what was left empty for now is now all the same when its form is taken up."""
_PROPOSED: Final = re.compile(r"plan \d+ proposed")
_CLOSING_SECONDS: Final = 3.0
"""How long the screens may take to close on a terminal that is gone."""
_GRACE_SECONDS: Final = 5
"""So much longer than all that is done at the end may take, the process is ended from outside of it."""


def note_place(app: CrewApp) -> None:
    """Keep where one is, in a thread; the file is small, but its disk may be slow."""
    if app.memory is not None and app.office is not None:
        work(app, partial(_note, app), "place")


async def _note(app: CrewApp) -> None:
    memory, office = app.memory, app.office
    if memory is None or office is None:
        return

    def write() -> None:
        now = office.now()
        place = place_of(app)  # as it is when it is written: threads may overtake each other
        kept = memory.place(now)
        if kept is None or kept.moment[:13] != now.isoformat()[:13] or not _same(kept, place):
            memory.keep_place(place, now)

    await outcome_of(write)


def _same(kept: Place, place: Place) -> bool:
    return replace(kept, moment="") == place


def place_of(app: CrewApp) -> Place:
    """Return where one is; dialogs above a screen are no place, and what is typed in them is kept elsewhere."""
    from crewjobs.screens.job import JobScreen
    from crewjobs.services.screen_memory import Place

    on_page = isinstance(app.front, JobScreen)
    return Place(
        screen="job" if on_page else app.current_mode,
        crew=app.crew,
        day=app.site_day,
        job=app.job,
        ticks_from=app.ticks_from,
    )


async def return_to(app: CrewApp) -> None:
    """Go where one was, if the screens ended there without being left, and take up the form that was open."""
    from crewjobs.screens.taking_up import take_up_next

    await _go_back(app)
    await take_up_next(app)


async def left_form(app: CrewApp, only: str = "") -> KeptForm | None:
    """Return what was typed in a form that was open when the screens ended, None where none was; `only` names one form."""
    forms, office = app.forms, app.office
    if forms is None:
        return None

    def left() -> KeptForm | None:
        return forms.left(office.now().tzinfo if office is not None else None, only=only)

    kept = (await outcome_of(left)).value
    if kept is None or office is None:
        return kept
    seen = (await outcome_of(lambda: _as_seen_now(office, kept))).value
    return seen if seen is not None else kept  # it cannot be looked up now, and is not forgotten


def _as_seen_now(office: OfficeFace, kept: KeptForm) -> KeptForm:
    """Return it with what is known of it by now: what is another's, what was recorded since, when it was typed."""
    from crewjobs.services.forms.kept import NOT_SENT
    from crewjobs.services.forms.kept_whose import SHOP, another, by_its_clock, jobs_of

    now, there = office.now(), cleaned(office.whose(jobs_of(kept)))
    moment = "" if _just_now(kept.moment, now) else kept.moment
    kept = by_its_clock(replace(kept, others=another(kept, there), moment=moment))
    if kept.sent_after == NOT_SENT or kept.whose.get(SHOP, there[SHOP]) != there[SHOP]:
        return kept  # the changes of another shop's records are no word on it
    since = _recorded_since(office, kept.sent_after)
    return replace(kept, recorded=since, sent_after=kept.sent_after if since else NOT_SENT)


def _just_now(moment: str, now: datetime) -> bool:
    """Say whether what was typed then means the same typed now: the same day, and no hour later."""
    with contextlib.suppress(ValueError, TypeError):
        then = datetime.fromisoformat(moment)
        return then.date() == now.date() and abs(now - then) < _SAME_HOUR
    return True


def _recorded_since(office: OfficeFace, change: int) -> tuple[str, ...]:
    """Return what was recorded after a change, what came first first: one's own is among those. Plans only come along with it."""
    from crewjobs.services.weeks.overtaken import plan_that_followed

    rows = office.changes(max(office.last_change() - change, 0))
    since = [row.what for row in reversed(rows) if row.number > change and not row.undone]
    told = [what for what in since if not plan_that_followed(what) and not _PROPOSED.fullmatch(what)]
    more = len(told) - _SINCE
    return (*told[:_SINCE], *([f"and {more} more"] if more > 0 else []))


async def _go_back(app: CrewApp) -> None:
    memory, office = app.memory, app.office
    if memory is None or office is None:
        return

    def read() -> tuple[Place | None, datetime]:
        now = office.now()
        return memory.place(now), now

    outcome = await outcome_of(read)
    place = outcome.value[0] if outcome.value is not None else None
    if place is None:
        return
    app.crew = place.crew  # where there is none of that name any more, no other crew's day is shown in its place
    app.job, app.ticks_from = place.job, place.ticks_from
    with contextlib.suppress(ValueError):
        app.site_day = date.fromisoformat(place.day).isoformat()
    if place.screen == "job" and place.job is not None:
        await app.switch_mode("jobs")
        app.open_job(place.job)
    elif place.screen in app.MODES and place.screen != app.current_mode:
        await app.switch_mode(place.screen)


def watch_for_the_end(app: CrewApp) -> None:
    """Have the terminal's going away end the screens in good order, where the system tells of it."""
    if app.is_headless:
        return
    loop = asyncio.get_running_loop()
    for name in ("SIGHUP", "SIGTERM"):
        number = getattr(signal, name, None)
        if number is not None:
            with contextlib.suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(number, partial(_ended, app, int(number)))
                signal.signal(number, _at_the_latest)
    _begin_again_only_where_stopped()


def _begin_again_only_where_stopped() -> None:
    """Have the terminal begun anew only by the signal to go on that follows on the one to stop.

    The system sends it also beside the terminal's going away, and anybody may. Begun twice, keys are read and the screen is
    painted by two at a time, and the screens never end.
    """
    if not hasattr(signal, "SIGCONT"):
        return
    stop, go_on = signal.getsignal(signal.SIGTSTP), signal.getsignal(signal.SIGCONT)
    if not (callable(stop) and callable(go_on)):
        return
    stopped = False

    def stopping(number: int, frame: FrameType | None) -> None:
        nonlocal stopped
        stopped = True
        stop(number, frame)

    def going_on(number: int, frame: FrameType | None) -> None:
        nonlocal stopped
        if stopped:
            go_on(number, frame)  # in the background it stops once more within this, and goes on within it
            stopped = False

    signal.signal(signal.SIGTSTP, stopping)
    signal.signal(signal.SIGCONT, going_on)


def _at_the_latest(_number: int, _frame: object) -> None:
    """End the process some seconds after it was told to, whatever it waits for.

    Painting on a terminal that is gone may wait for good; then nobody hears that it went, and reading from it takes all of a
    processor. The loop is told beside this, as before.
    """
    signal.alarm(math.ceil(_WRITING_SECONDS + _CLOSING_SECONDS) + _GRACE_SECONDS)


def _ended(app: CrewApp, number: int) -> None:
    work(app, partial(_end, app, number), "end", exclusive=True)


async def _end(app: CrewApp, number: int) -> None:
    app.ending = True
    app.leave_off()
    from crewjobs.screens.kept_dialog import KeptDialog

    for one in app.screen_stack:
        if isinstance(one, KeptDialog):
            with contextlib.suppress(Exception):  # of one that only just opens nothing is typed
                one.keep_now()
    with contextlib.suppress(TimeoutError):
        async with asyncio.timeout(_WRITING_SECONDS):
            await app.writing.acquire()  # whoever began to write before is done then
    code = 128 + number
    # Nobody is there to read how a drawing on a terminal that is gone fails.
    last = threading.Timer(_CLOSING_SECONDS, os._exit, (code,))
    last.daemon = True
    last.start()
    app.exit(return_code=code)
