"""A form that was open when the screens ended is opened again, with what was typed in it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Final

from crewjobs.domain.wording import listed, upper
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.services.forms.kept import OTHERWISE, typed_in
from crewjobs.services.forms.kept_days import DayLine, How, written_out

if TYPE_CHECKING:
    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.services.rows import Done, EveningSheet

_SMALL: Final = ("record", "furniture", "row lies", "arrived", "edit", "how far", "lots", "move", "rate")
"""Forms of few lines about a house, a crew or a day."""
_WHEN: Final = DayLine("When", How.MOMENT, "now")
_DAY_LINES: Final = {
    "arrived": {"at": _WHEN, "back": DayLine("Rest promised", How.PROMISED)},
    "edit": {
        "promised": DayLine("Promised", How.DAY),
        "wished": DayLine("Wished start", How.DAY),
        "blocked": DayLine("Blocked days", How.DAYS),
    },
}
_OF_ROOMS: Final = ("furniture", "row lies")


async def take_up_next(app: CrewApp) -> None:
    """Open the newest form that was left; one that cannot be opened stands in the way of no other.

    One form is open at a time: over one that is, none is opened, and when it closes this is asked again.
    """
    from crewjobs.screens.kept_dialog import KeptDialog
    from crewjobs.screens.leaving import left_form

    if app.office is None:
        return
    app.taking_up = True
    if any(isinstance(one, KeptDialog) and not one.is_left for one in app.screen_stack):
        return
    kept = await left_form(app)
    app.taking_up = kept is not None
    if kept is not None and app.front is not None:
        take_up(app.front, kept)


def take_up(screen: CrewScreen, kept: KeptForm) -> None:
    """Open the form over a screen; one that this version does not know stays kept for one that does."""
    from crewjobs.screens.draft.jobs import ask_new_job, ask_shop, ask_whole_job

    app, number = screen.crew_app, kept.about.get("job", "")
    if kept.others:
        not_opened(app, kept, kept.others, anyway=("Shop and house are the same, under other words: open it",))
        return
    kept = _as_meant(kept)
    if kept.form in _SMALL:
        job = int(number) if number.isdecimal() else None
        # Not the screen's work: a page whose job is gone closes meanwhile.
        work(app, partial(_take_up_small, app, kept, job), "taken up", opens=True)
        return
    match kept.form:
        case "job" if number.isdecimal():
            ask_whole_job(screen, int(number), kept)
        case "job":
            ask_new_job(screen, kept.title, kept)
        case "shop":
            ask_shop(screen, kept=kept)
        case "set-up":
            not_opened(app, kept, (f"There is a shop by now: {app.shop}.",))
        case "evening" if (day := _day_of(kept)) is not None:
            _evening(app, kept, day)
        case _:
            _stays_kept(app, kept)


def _day_of(kept: KeptForm) -> date | None:
    try:
        return date.fromisoformat(kept.about.get("day", ""))
    except ValueError:
        return None


def _as_meant(kept: KeptForm) -> KeptForm:
    """Write out its days and hours, where it was typed an hour or more before; a form that records something does so itself."""
    if kept.form == "arrived":  # its lines are kept where something is typed; when it came is left empty for now
        kept = replace(kept, texts={"at": "", **kept.texts})
    kept = written_out(kept, _DAY_LINES.get(kept.form, {}))
    if kept.form != "how far" or not kept.moment:
        return kept
    of_ticks = written_out(replace(kept, texts=kept.about), {"at": _WHEN})
    return replace(kept, about=of_ticks.texts, meant=of_ticks.meant)


def not_opened(app: CrewApp, kept: KeptForm, why: tuple[str, ...], anyway: tuple[str, ...] = ()) -> None:
    """Say which form cannot be opened, why, and what is typed in it; it stays kept unless it is let go by hand.

    Where it could be, that is offered in the words of `anyway`.
    """
    from crewjobs.screens.choose import Choose

    since = f" from {kept.since}" if kept.since else ""

    def said(chosen: object) -> None:
        if chosen == "go":
            _let_go(app, kept)
            return
        if chosen == "open" and app.front is not None:
            take_up(app.front, replace(kept, others=()))
            return
        if app.front is not None:
            app.front.status.say(f"Still kept: {kept.title}.")
        _stays_kept(app, kept)

    options = [
        *(("open", words) for words in anyway),
        ("keep", "Keep it: it is tried again when the screens are next opened"),
        ("go", "Let it go"),
    ]
    typed = "" if any(one.startswith(OTHERWISE) for one in why) else _typed(kept)
    told = (f"{kept.title}, kept{since}, cannot be opened now.{typed}", *map(upper, why), *_recorded(kept))
    app.push_screen(Choose("Not taken up, and still kept", options, "keep", told=told), said)


def _typed(kept: KeptForm) -> str:
    """Say what was typed, and which days were meant, behind another sentence; empty where that is nothing."""
    typed = typed_in(kept)
    meant = f" Meant then: {'; '.join(kept.meant)}." if kept.meant else ""
    return f" Typed in it: {listed(typed, most=20)}.{meant}" if typed else ""


def _recorded(kept: KeptForm) -> tuple[str, ...]:
    """Say what was recorded since its recording was begun, where that was never answered."""
    if not kept.recorded:
        return ()
    return (
        f"It was being recorded when the screens ended. Recorded since then: {'; '.join(kept.recorded)}. "
        "Where that is this one, let it go: it is written already.",
    )


def _stays_kept(app: CrewApp, kept: KeptForm) -> None:
    if app.forms is not None:
        app.forms.put_back(kept)
    work(app, partial(take_up_next, app), "taken up", opens=True)


def _let_go(app: CrewApp, kept: KeptForm) -> None:
    if app.forms is not None:
        app.forms.let_go(kept)
    work(app, partial(take_up_next, app), "taken up", opens=True)


def _evening(app: CrewApp, kept: KeptForm, day: date) -> None:
    """Open the sheet of its crew; where none has that name any more, ask whose it is, and keep it until that is said."""
    from crewjobs.screens.evening import open_sheet
    from crewjobs.screens.whose_sheet import ask_whose

    crew = kept.about.get("crew", "")
    if crew in app.crews or not app.crews:
        work(app, partial(_take_up_evening, app, kept, day), "taken up", opens=True)
        return

    def opened(sheet: EveningSheet) -> None:
        if app.front is not None:
            open_sheet(app.front, sheet, kept)

    def closed(chosen: object) -> None:
        if chosen is not None:
            _let_go(app, kept)
            return
        if app.front is not None:
            app.front.status.say(
                f"The sheet of {crew} stays kept: it is asked for again when the screens are next opened."
            )
        _stays_kept(app, kept)

    told = f"{kept.title} was being typed when the screens ended, and there is no crew {crew} any more.{_typed(kept)}"
    ask_whose(app, kept, day, (told,), opened, closed, ("nobody's: what was typed is let go",))


async def _take_up_evening(app: CrewApp, kept: KeptForm, day: date) -> None:
    from crewjobs.screens.evening import no_sheet, open_sheet

    office = app.office
    if office is None:
        return
    outcome = await outcome_of(lambda: office.evening_sheet(kept.about.get("crew", ""), day))
    sheet, front = outcome.value, app.front
    if sheet is None or not sheet.houses:
        not_opened(app, kept, (no_sheet(sheet),) if sheet is not None else outcome.sentences)
    elif front is not None:
        open_sheet(front, sheet, kept)


async def _take_up_small(app: CrewApp, kept: KeptForm, number: int | None) -> None:
    """Open it, unless its job is gone since: then that is said."""
    office = app.office
    if office is None:
        return
    outcome = await outcome_of(lambda: _rooms_of(office, number, asked=kept.form in _OF_ROOMS))
    front = app.front
    if front is None:
        return
    rooms = outcome.value
    if rooms is None and any(f"there is no job {number}" in one.casefold() for one in outcome.sentences):
        not_opened(app, kept, (f"There is no job {number} any more.",))
        return
    if rooms is None:
        not_opened(app, kept, outcome.sentences)
        return
    from crewjobs.screens.arrived import ask_arrived
    from crewjobs.screens.ask_text import ask_how_far_again
    from crewjobs.screens.edit import ask_edit
    from crewjobs.screens.lots import ask_lots
    from crewjobs.screens.pin_rate import ask_rate_again
    from crewjobs.screens.record.furniture import furniture
    from crewjobs.screens.record.menu import ask_again
    from crewjobs.screens.record.row_lies import row_lies
    from crewjobs.screens.visit import ask_visit_again

    def told(done: Done | None) -> None:
        if done is not None:
            front.told(Outcome(value=done))

    match kept.form:
        case "record" if ask_again(front, kept):
            pass
        case "record":
            _stays_kept(app, kept)
        case "arrived" if number is not None:
            ask_arrived(front, number, kept.about.get("material", ""), kept)
        case "edit" if number is not None:
            ask_edit(front, number, kept)
        case "how far" if number is not None:
            ask_how_far_again(front, number, kept)
        case "lots" if number is not None:
            ask_lots(front, number, kept.about.get("material", ""), kept)
        case "move" if number is not None:
            ask_visit_again(front, number, kept)
        case "rate":
            ask_rate_again(front, kept)
        case "furniture" if number is not None and rooms:
            front.app.push_screen(furniture(number, rooms, kept), told)
        case "row lies" if number is not None and kept.about.get("room", "") in rooms:
            front.app.push_screen(row_lies(number, kept.about["room"], kept), told)
        case _:
            room = kept.about.get("room", "")
            not_opened(app, kept, (f"Job {number} has no {f'room {room}' if room else 'rooms'} any more.",))


def _rooms_of(office: OfficeFace, number: int | None, *, asked: bool) -> tuple[str, ...]:
    """Return the names of a job's rooms where they are asked; none of no job.

    Raises:
        Refused: there is no such job.
    """
    if number is None:
        return ()
    office.job(number)
    return tuple(room.name for room in office.rooms(number).rooms) if asked else ()
