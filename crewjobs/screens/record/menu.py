"""The list of what can be recorded here; each opens its form, and what came of it is told on the screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.record.about import About
from crewjobs.services.rows import Done, OfferRow

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace
    from crewjobs.screens.record.form import Form
    from crewjobs.services.forms.kept import KeptForm


@dataclass(frozen=True, slots=True)
class _Entry:
    name: str
    words: str
    form: Callable[[About], Form]
    of_a_job: bool = True
    reads: Callable[[OfficeFace, About], About] | None = None
    """What is looked up of the job before its form can be asked, such as its places."""


def _with_places(office: OfficeFace, about: About) -> About:
    return about if about.places is not None else replace(about, places=office.places(about.number))


def _with_off(office: OfficeFace, about: About) -> About:
    return replace(about, off=office.to_tell_off(about.number) or ())


def _entries() -> tuple[_Entry, ...]:
    from crewjobs.screens.record import agreed, callbacks, found, house, others, people, readings, returned, visits

    return (
        _Entry("ready", "House ready: asked, answered", house.house_ready),
        _Entry("dry run", "House not ready: dry run", house.dry_run),
        _Entry("reading", "A reading: air, boards, subfloor, slab", readings.reading, reads=_with_places),
        _Entry("found", "A finding: what was uncovered", found.finding, reads=_with_places),
        _Entry("way on", "The way on from a finding", found.way_on, reads=_with_places),
        _Entry("away", "Somebody out, lent, by themselves", people.away, of_a_job=False),
        _Entry("hours", "A crew's hours on a day, or off", people.hours, of_a_job=False),
        _Entry("goes on", "Another crew goes on with a task", people.goes_on),
        _Entry("ask", "Ask somebody else for something", others.asked),
        _Entry("answered", "Asked before: promised, again, there", others.answered),
        _Entry("told", "Customer told the finish, or off", agreed.told, reads=_with_off),
        _Entry("visit", "Small visit: planned, made, off", visits.small_visit),
        _Entry("before", "Walk-through before the work", visits.walk_before),
        _Entry("after", "Walk-through after the work", visits.walk_after),
        _Entry("went back", "Went back to the supplier", returned.went_back),
        _Entry("callback", "Callback: a small job of its own", callbacks.callback),
        _Entry("order", "Change order", agreed.change_order),
        _Entry("money", "Money: deposit, balance", agreed.money),
    )


_OFFERS = "offers"
_FIGURE = "figure"


def forms_about(screen: CrewScreen, about: About) -> Iterator[tuple[str, Callable[[], None]]]:
    """Yield what each form about it is called, and what opens it; the command palette lists them."""
    from crewjobs.screens.record.figure import ask_figure

    for entry in _entries():
        if about.job is not None or not entry.of_a_job:
            yield entry.words, partial(_ask, screen, about, entry)
    if about.crews:
        yield "What a crew could do now instead", partial(ask_offers, screen, about)
    yield "Work out a figure: dew point, bags, a lift", partial(ask_figure, screen)


def forms_of_a_job(screen: CrewScreen) -> Iterator[tuple[str, Callable[[About], None]]]:
    """Yield what each form is called that is about a job, and what opens it for one."""
    for entry in _entries():
        if entry.of_a_job:
            yield entry.words, partial(_ask_of, screen, entry)


def _ask_of(screen: CrewScreen, entry: _Entry, about: About) -> None:
    _ask(screen, about, entry)


def ask_record(screen: CrewScreen, about: About) -> None:
    """Ask what is to be recorded, then for its particulars.

    Args:
        screen: where it is asked and where the answer is told.
        about: what stood under the hand; without a job only what needs none is offered.
    """
    from crewjobs.screens.choose import Choose

    entries = {entry.name: entry for entry in _entries() if about.job is not None or not entry.of_a_job}
    options = [(entry.name, entry.words) for entry in entries.values()]
    if about.crews:
        options.append((_OFFERS, "What a crew could do now instead"))

    options.append((_FIGURE, "Work out a figure: dew point, bags, a lift"))

    def opened(name: object) -> None:
        if name == _FIGURE:
            from crewjobs.screens.record.figure import ask_figure

            ask_figure(screen)
        elif name == _OFFERS:
            ask_offers(screen, about)
        elif isinstance(name, str) and name in entries:
            _ask(screen, about, entries[name])

    title = f"Record, job {about.job}" if about.job is not None else "Record"
    screen.app.push_screen(Choose(title, options), opened)


def ask_finding(screen: CrewScreen, about: About) -> None:
    """Ask at once what was found at a job."""
    _ask(screen, about, next(entry for entry in _entries() if entry.name == "found"))


def form_of(name: str, about: About) -> Form:
    """Return the form of an entry; what is typed in it is kept while it is open."""
    return _form(next(entry for entry in _entries() if entry.name == name), about)


def _form(entry: _Entry, about: About, kept: KeptForm | None = None) -> Form:
    number, day = about.job, about.day
    opens = {
        "entry": entry.name,
        "job": str(number) if number is not None else "",
        "place": about.place,
        "crew": about.crew,
        "day": day.isoformat() if day is not None else "",
    }
    return entry.form(about).kept_as("record", opens, kept)


def ask_again(screen: CrewScreen, kept: KeptForm) -> bool:
    """Open a form as it was `kept`; say whether this version knows it."""
    of, entries = kept.about, {entry.name: entry for entry in _entries()}
    entry, number, day = entries.get(of.get("entry", "")), of.get("job", ""), of.get("day", "")
    if entry is None or (entry.of_a_job and not number.isdecimal()):
        return False
    try:
        about = About(
            job=int(number) if number.isdecimal() else None,
            place=of.get("place", ""),
            crew=of.get("crew", ""),
            crews=screen.crew_app.crews,
            day=date.fromisoformat(day) if day else None,
        )
    except ValueError:
        return False
    _ask(screen, about, entry, kept)
    return True


def _ask(screen: CrewScreen, about: About, entry: _Entry, kept: KeptForm | None = None) -> None:
    def told(done: Done | None) -> None:
        if done is None:
            return
        screen.told(Outcome(value=done))
        if len(done.then) > 1:
            # More follows from it than the status line holds: it is read once, whole.
            from crewjobs.screens.record.follows import Follows

            screen.app.push_screen(Follows((done.sentence, *done.then)))

    async def once_read(reads: Callable[[OfficeFace, About], About]) -> None:
        office = screen.crew_app.office
        if office is None:
            return
        outcome = await outcome_of(lambda: reads(office, about))
        if outcome.value is None and kept is not None:
            from crewjobs.screens.taking_up import not_opened

            not_opened(screen.crew_app, kept, outcome.sentences)
            return
        if outcome.value is None:
            screen.status.say(*outcome.sentences)
            return
        screen.app.push_screen(_form(entry, outcome.value, kept), told)

    if entry.reads is not None:
        work(screen, partial(once_read, entry.reads), "read first", exclusive=True, opens=True)
    else:
        screen.app.push_screen(_form(entry, about, kept), told)


def ask_offers(screen: CrewScreen, about: About) -> None:
    """Show the ready work that fits a crew now, best first; one that is chosen can be pinned to it."""
    from crewjobs.screens.choose import Choose

    def chosen(crew: object) -> None:
        if isinstance(crew, str):
            # Not `screen.ask`: the list that closed makes the screen read itself anew, which would make this void.
            work(screen, partial(found, crew), "offers", exclusive=True, opens=True)

    async def found(crew: str) -> None:
        office = screen.crew_app.office
        if office is None:
            return
        outcome = await outcome_of(lambda: office.offers(crew, not_at=about.job))
        if outcome.value:
            shown(crew, outcome.value)
            return
        none = await outcome_of(lambda: office.no_offers(crew, not_at=about.job))
        screen.status.say(*(outcome.sentences or none.sentences or (none.value or "",)))

    def shown(crew: str, rows: tuple[OfferRow, ...]) -> None:
        by_job = {row.job: row for row in rows}
        options = [(row.job, offer_words(row)) for row in rows]
        screen.app.push_screen(
            Choose(f"Ready for {crew} now, best first", options),
            lambda number: taken(by_job[number]) if isinstance(number, int) else None,
        )

    def taken(row: OfferRow) -> None:
        screen.app.push_screen(take(row), told)

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    if about.crew:
        chosen(about.crew)
    else:
        screen.app.push_screen(Choose("For which crew?", about.crew_options), chosen)


def take(row: OfferRow) -> Form:
    """Ask whether an offer is put into the plan: its tasks pinned to the crew on that day."""
    from crewjobs.screens.record.form import Form, Note, Press

    day = row.arrive.date()
    return Form(
        f"Job {row.job} for {row.crew}",
        (Note(offer_words(row)), Note("Pinned, the next plan has the crew at it that day.")),
        (Press("save", "Pin it", save=lambda office, _: office.pin(row.job, row.tasks, row.crew, day, visit=True)),),
    )


def offer_words(row: OfferRow) -> str:
    """One offer: the house, from when to when, what, and what speaks for it."""
    return f"{row.arrive:%H:%M}-{row.leave:%H:%M} job {row.job}, {row.title}: {row.what}; {row.why}"
