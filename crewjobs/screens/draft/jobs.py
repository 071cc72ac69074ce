"""A job written in the screens: a new one, one that is changed, and what comes next once it is made; the shop, too."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from crewjobs.screens.choose import Choose
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.services.forms.cards import PEOPLE, WHERE
from crewjobs.services.forms.kept import KeptForm, take_up
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.draft import Draft
    from crewjobs.services.forms.fields import Entry

_FEW: Final = f"People more are entered in {PEOPLE}; a piece that stays in its room is written so, as in 'piano stays': e on the job."
_NO_TOILET: Final = (
    "The only toilet is out over night, and somebody lives there: write what they use then (House, More, Toilet out)"
)


def ask_new_job(screen: CrewScreen, title: str = "New job", kept: KeptForm | None = None) -> None:
    """Open the form of a new job, or take up what was `kept` of one; once it is made, ask what comes next."""

    def read(draft: Draft) -> None:
        def made(done: Done | None) -> None:
            if done is not None:
                screen.told(Outcome(value=done))
                _ask_next(screen, draft.number)

        screen.app.push_screen(_form(screen, title, draft, "Make it", kept), made)

    _read(screen, lambda office: office.new_job(), read, kept)


def ask_whole_job(
    screen: CrewScreen,
    number: int,
    kept: KeptForm | None = None,
    at: tuple[str, str] = ("", ""),
    then: Callable[[], None] = lambda: None,
    typed: Mapping[str, str] = MappingProxyType({}),
) -> None:
    """Open the form of a job as it is: house, rooms, floors, doorways, stairs, orders, work, days; or as it was `kept`.

    The hand is on the field `at`, by its kind of page and key; `then` is called when it closes, saved or not. What was
    `typed` elsewhere of its days, by their keys, stands in it, and the hand is there: it is not written yet.
    """
    if typed:
        at = ("terms", next(iter(typed)))

    def read(draft: Draft) -> None:
        for part in draft.of("terms"):
            draft.write(
                part, {key: _as_there(part.page.entry(key), text, part.texts[key]) for key, text in typed.items()}
            )

        def changed(done: Done | None) -> None:
            if done is not None:
                screen.told(Outcome(value=done))
            then()

        screen.app.push_screen(_form(screen, f"Job {number}", draft, "Save", kept, at, begun=bool(typed)), changed)

    _read(screen, lambda office: office.job_draft(number), read, kept)


def _as_there(entry: Entry, typed: str, before: str) -> str:
    """Return what was typed as a field has it: a choice has its own words, and is never empty."""
    if not entry.options:
        return typed
    word = typed.strip().casefold()
    return word if word in entry.options else typed or before


def ask_shop(
    screen: CrewScreen,
    then: Callable[[], None] = lambda: None,
    kept: KeptForm | None = None,
    at: tuple[str, str] = ("", ""),
) -> None:
    """Open the form of the shop and its crews as they are, or as `kept`; `then` is called when it closes, saved or not.

    The hand is on the field `at`, by its kind of page and key.
    """

    def read(draft: Draft) -> None:
        def changed(done: Done | None) -> None:
            if done is not None:
                screen.told(Outcome(value=done))
                work(screen.app, screen.crew_app.read_shop, "open")
            then()

        office = screen.crew_app.office
        assert office is not None
        form = DraftForm(
            "Shop", draft, office.check_shop, office.keep_shop, make="Save", form="shop", taken=kept, at=at
        )
        screen.app.push_screen(form, changed)

    _read(screen, lambda office: office.shop_draft(), read, kept)


def _read(
    screen: CrewScreen,
    call: Callable[[OfficeFace], Draft],
    then: Callable[[Draft], None],
    kept: KeptForm | None,
) -> None:
    def opened(office: OfficeFace) -> Draft:
        draft = call(office)
        if kept is not None:
            take_up(draft, kept)
        return draft

    async def reading() -> None:
        office = screen.crew_app.office
        if office is None:
            screen.is_open()
            return
        outcome = await outcome_of(lambda: opened(office))
        if outcome.value is not None:
            then(outcome.value)
        elif kept is not None:
            from crewjobs.screens.taking_up import not_opened

            not_opened(screen.crew_app, kept, outcome.sentences)
        else:
            screen.refusal.say(outcome.sentences, title="Cannot be shown")

    # Not `screen.ask`: a dialog that closed makes the screen read itself anew, which would make this void.
    work(screen, reading, "draft", exclusive=True, opens=True)


def _form(
    screen: CrewScreen,
    title: str,
    draft: Draft,
    make: str,
    kept: KeptForm | None,
    at: tuple[str, str] = ("", ""),
    *,
    begun: bool = False,
) -> DraftForm[Done]:
    office = screen.crew_app.office
    assert office is not None
    return DraftForm(title, draft, office.check_draft, office.keep_draft, make=make, taken=kept, at=at, begun=begun)


def _ask_next(screen: CrewScreen, number: int) -> None:
    """The job is made: its floor, its house, its day plan; or just its page. What was recorded brings the question again."""
    screen.crew_app.open_job(number)
    front = screen.crew_app.front
    if front is not None:
        _ask_on(front, number, f"Job {number} is made. What next?")


def _ask_on(screen: CrewScreen, number: int, title: str) -> None:
    work(screen, partial(_asking_on, screen, number, title), "next", exclusive=True, opens=True)


async def _asking_on(screen: CrewScreen, number: int, title: str) -> None:
    office = screen.crew_app.office
    if office is None:
        return
    missing = (await outcome_of(lambda: office.missing_cards(number))).value or ()
    short = (await outcome_of(lambda: office.people_short(number))).value or 0
    no_toilet = (await outcome_of(lambda: office.toilet_to_agree(number))).value
    page = (await outcome_of(lambda: office.job(number))).value
    to_come = page is None or any(row.cartons_come < max(row.cartons_ordered, 1) for row in page.materials)

    def chosen(name: object) -> None:
        if name == "print":
            work(screen, partial(_plan_and_print, screen, number), "plan", shuts=True)
        elif name == "arrived":
            work(screen, partial(_ask_arrived, screen, number, told), "arrived", exclusive=True, opens=True)
        elif name in ("cards", "people"):
            ask_shop(screen, lambda: told(None), at=("crew", "workers"))
        elif name == "toilet":
            ask_whole_job(screen, number, at=("house", "site.toilet_meanwhile"), then=lambda: told(None))
        elif name == "ready":
            from crewjobs.screens.record.about import About
            from crewjobs.screens.record.menu import form_of

            screen.app.push_screen(form_of("ready", About(job=number, crews=screen.crew_app.crews)), told)

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))
        _ask_on(screen, number, "What next?")

    options = [
        *(
            ("cards", f"Nobody who could do it holds the card '{card}', which its work needs: enter it (Crew, People)")
            for card in missing[:1]
        ),
        *(
            [("people", f"Some of its work needs {short} people, and no crew has so many: enter them (Crew, People)")]
            if short
            else []
        ),
        *([("toilet", _NO_TOILET)] if no_toilet else []),
        ("print", "Plan it, and print the day plan of its first day"),
        *([("arrived", "Its floor is in the house already: record it")] if to_come else []),
        ("ready", "Somebody was asked whether the house is ready: record it"),
        ("look", "Look at the job"),
    ]
    screen.app.push_screen(Choose(title, options, options[0][0]), chosen)


async def _ask_arrived(screen: CrewScreen, number: int, told: Callable[[Done | None], None]) -> None:
    from crewjobs.screens.arrived import ArrivedDialog

    office = screen.crew_app.office
    if office is None:
        return
    outcome = await outcome_of(lambda: office.job(number))
    rows = outcome.value.materials if outcome.value is not None else ()
    if rows:
        missing = next((row for row in rows if row.cartons_come < row.cartons_ordered), rows[0])
        screen.app.push_screen(ArrivedDialog(number, missing), told)
    else:
        screen.status.say(*(outcome.sentences or (f"Job {number} has no material to arrive.",)))


async def _plan_and_print(screen: CrewScreen, number: int) -> None:
    """Plan all crews, then write the day plan of the first day somebody is at the job; or say why nobody is."""
    from crewjobs.screens.printing import days_of, write

    office = screen.crew_app.office
    if office is None:
        return
    screen.status.busy = "Planning all crews"
    planned = await outcome_of(lambda: office.plan(lambda *_: None, lambda: False))
    days = await outcome_of(lambda: days_of(office, number))
    screen.status.busy = ""
    if planned.value is None or days.value is None:
        screen.refusal.say((*planned.sentences, *days.sentences))
        return
    screen.load()
    if not days.value:
        why = tuple(one for one in planned.value.then if one.startswith(f"Job {number}:"))
        missing = (await outcome_of(lambda: office.missing_cards(number))).value
        short = (await outcome_of(lambda: office.people_short(number))).value
        where = (
            *((f"Who holds a card is entered in {WHERE}.",) if missing else ()),
            *((_FEW,) if short else ()),
        )
        # All of the why is in sight: a line below would cut it.
        screen.refusal.say((*(why or planned.value.then), *where), title="No day yet, so no day plan")
        return
    day, crew = days.value[0]
    await write(screen, day, crew)
