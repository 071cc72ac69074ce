"""Taking back and putting back: what would surprise is asked first, and what comes next is said."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from crewjobs.domain.wording import upper
from crewjobs.screens.choose import Choose
from crewjobs.screens.outcome import outcome_of, work

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.history import UndoNext
    from crewjobs.services.rows import Done

TAKEN: Final = "Taken back: "
"""How the services say what an undo took back."""


def take_back(screen: CrewScreen) -> None:
    """Take back what was done last.

    Asked first are a plan, somebody else's change, one from before these screens were opened, and whatever is not
    what stands below as done last.
    """
    if screen.take_up("undo"):
        work(screen, partial(_take_back, screen), "act")


def put_back(screen: CrewScreen) -> None:
    """Put back what was taken back last here, as long as nothing else was done since."""
    if not screen.crew_app.taken_back:
        screen.status.say("Nothing was taken back here that could be put back.")
    elif screen.take_up("undo"):
        work(screen, partial(_put_back, screen), "act")


async def _take_back(screen: CrewScreen) -> None:
    office = screen.crew_app.office
    if office is None:
        screen.is_open()
        screen.let_go("undo")
        return
    async with screen.crew_app.writing:  # what is being written is what was done last, and is told by then
        found = await outcome_of(office.undo_next)
    why = _surprise(screen, found.value) if found.value is not None else ""
    if found.value is None or not why:
        await _write(screen, found.value.number if found.value is not None else None)
        return
    number = found.value.number
    screen.let_go("undo")

    def answered(answer: object) -> None:
        if answer == "take" and screen.take_up("undo"):
            work(screen, partial(_write, screen, number), "act", shuts=True)

    told = (f"{upper(found.value.what)}.", why)
    answers = [("leave", "Leave it"), ("take", "Take it back")]
    screen.app.push_screen(Choose("Take this back?", answers, "leave", told=told), answered)


def _surprise(screen: CrewScreen, found: UndoNext) -> str:
    """Return why something is asked before it is taken back; empty for what was just done here."""
    if not found.own:
        return f"{found.who or 'Somebody else'} did this, {found.at:%a} {found.at.day} {found.at:%b %H:%M}."
    if found.number <= (screen.crew_app.begun_at or 0):
        return f"This was done before these screens were opened, {found.at:%a} {found.at.day} {found.at:%b %H:%M}."
    if found.plan:
        return "This is the plan of all crews: without it the one before is in force, or none."
    return (
        ""
        if found.number == screen.status.takes
        else f"This was done {found.at:%a} {found.at.day} {found.at:%b %H:%M}."
    )


async def _write(screen: CrewScreen, number: int | None) -> None:
    app = screen.crew_app
    office = app.office
    assert office is not None
    screen.await_anew()
    async with app.writing:
        outcome = await outcome_of(lambda: office.undo(number))
    screen.let_go("undo")
    if outcome.value is None:
        screen.told(outcome)
        screen.read_anew()
        return
    app.taken_back.append((outcome.value.change, outcome.value.sentence.removeprefix(TAKEN)))
    await _told(screen, outcome.value)


async def _put_back(screen: CrewScreen) -> None:
    app = screen.crew_app
    office = app.office
    assert office is not None
    number, _ = app.taken_back[-1]
    screen.await_anew()
    async with app.writing:
        outcome = await outcome_of(lambda: office.undo(number))
    screen.let_go("undo")
    if outcome.value is None:
        app.taken_back.clear()
        screen.told(outcome)
        screen.read_anew()
        return
    app.taken_back.pop()
    await _told(screen, outcome.value)  # what is still taken back is named there: "it" would be what is there again


async def _told(screen: CrewScreen, done: Done) -> None:
    """Say what was taken or put back, and what u would take back now."""
    office = screen.crew_app.office
    assert office is not None
    found = await outcome_of(office.undo_next)
    then = list(done.then)
    gone = await screen.crew_app.no_shop_left()
    if gone:  # the choice that comes up takes no u and no U: it has a line for that
        then.append("The first line of the choice puts it back.")
    elif screen.crew_app.taken_back:
        number, what = screen.crew_app.taken_back[-1]
        then.append("U puts it back." if number == done.change else f"U would now put back: {what}")
    if found.value is not None:
        screen.status.say(takes=found.value.number)
        asked = ", after asking" if _surprise(screen, found.value) else ""
        then.append(f"u would now take back{asked}: {found.value.what}.")
    screen.refusal.close()
    screen.crew_app.speaks(screen)
    screen.undone()
    screen.status.say(done.sentence, *then, takes=found.value.number if found.value is not None else None)
    if gone:
        screen.crew_app.begin_anew()
    screen.read_anew()
