"""The first run: no shop yet. A short set-up, or the demo; then the first job."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Protocol

from crewjobs.domain.wording import listed
from crewjobs.screens.choose import Choose
from crewjobs.screens.draft.form import DraftForm
from crewjobs.screens.leaving import left_form
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.widgets.key_line import KeyLine
from crewjobs.services.forms.kept import KeptForm, take_up

if TYPE_CHECKING:
    from crewjobs.screens.app import CrewApp
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.checking import Checked
    from crewjobs.services.forms.draft import Draft


class BeginningFace(Protocol):
    """What the screens ask for before there is an office; `crewjobs.services.beginning.Beginning` is one."""

    def needed(self) -> bool: ...

    def taken_back(self) -> tuple[int, str] | None: ...

    def draft(self) -> Draft: ...

    def check(self, draft: Draft) -> Checked: ...

    def make(self, draft: Draft) -> OfficeFace: ...

    def demo(self, stop: Callable[[], bool] | None = None) -> OfficeFace: ...


BeginningFactory = Callable[[], BeginningFace]


async def begin(app: CrewApp, factory: BeginningFactory, before: OfficeFace | None = None) -> bool:
    """Ask what to begin with where there is no shop yet; say whether that was so.

    Args:
        app: the screens.
        factory: builds what is asked.
        before: the office whose shop's set-up was just taken back, here or by another program, where that is why.
    """

    def first() -> tuple[BeginningFace, Draft, tuple[int, str] | None] | None:
        beginning = factory()
        if not beginning.needed():
            return None
        return beginning, beginning.draft(), beginning.taken_back() if before is not None else None

    outcome = await outcome_of(first)
    if outcome.value is None:  # a shop is there; or a fault, which opening it says
        return False
    app.no_shop, app.taking_up = True, False
    if app.front is not None:
        app.front.sheet.show(lambda _width, _selected: [])  # nothing is being opened
        app.front.query_one(KeyLine).resting = True
    beginning, draft, taken_back = outcome.value
    if before is not None:
        _note_taken_back(app, taken_back)
    # What was typed of the records of a shop stays kept until there is one again.
    kept = await left_form(app, only="set-up") if before is None else None
    if kept is not None and (await outcome_of(partial(take_up, draft, kept))).sentences:
        if app.forms is not None:
            app.forms.put_back(kept)
        kept = None
    _welcome(app, beginning, draft, kept, before=before, told=await _told_of_kept(app))
    return True


async def _told_of_kept(app: CrewApp) -> tuple[str, ...]:
    """Name what was typed over the records of a shop, or in a set-up that cannot be opened now: it waits for a shop."""
    forms = app.forms
    found = (await outcome_of(forms.named)).value if forms is not None else None
    if not found:
        return ()
    names = listed([f"{one.title} (from {one.since})" for one in found], most=9)
    return (f"Still kept as it was typed, and opened or named again once there is a shop: {names}.",)


def _note_taken_back(app: CrewApp, undo: tuple[int, str] | None) -> None:
    """Note the undo that another program did, for the choice to put back; where it is none, nothing is put back there."""
    if undo is None:
        app.taken_back.clear()
    elif undo[0] not in [number for number, _ in app.taken_back[-1:]]:
        app.taken_back.append(undo)


def _welcome(
    app: CrewApp,
    beginning: BeginningFace,
    draft: Draft,
    kept: KeptForm | None = None,
    before: OfficeFace | None = None,
    told: tuple[str, ...] = (),
) -> None:
    back = [("back", f"Put back what was taken back: {app.taken_back[-1][1]}")] if before and app.taken_back else []
    options = [
        *back,
        ("shop", "Set up my shop: name, hours, crews"),
        ("demo", "Look at the demo: a made-up shop, in a file of its own"),
    ]

    def set_up() -> None:
        form = DraftForm(
            "Your shop",
            draft,
            beginning.check,
            beginning.make,
            meanwhile="Making the database …",
            form="set-up",
            taken=kept,
        )
        app.push_screen(form, made)

    def chosen(name: object) -> None:
        if name == "shop":
            set_up()
        elif name == "demo":
            work(app, partial(_demo, app, beginning, draft, before, told), "open")
        elif name == "back" and before is not None:
            work(app, partial(_put_back, app, before), "open")
        else:
            app.exit()

    def made(office: OfficeFace | None) -> None:
        if office is None:
            _welcome(
                app, beginning, draft, before=before, told=told
            )  # nothing was written, and what was typed is still there
        else:
            work(app, partial(_first_job, app, office), "open")

    if kept is not None:
        set_up()
    else:
        app.push_screen(
            Choose("No shop yet. How do you want to begin?", options, "shop", close="Leave", told=told), chosen
        )


async def _put_back(app: CrewApp, before: OfficeFace) -> None:
    """The shop as it was before its set-up was taken back."""
    number, _ = app.taken_back.pop()
    outcome = await outcome_of(lambda: before.undo(number))
    await app.open_with(lambda: before)
    if app.front is not None and outcome.value is not None:
        app.front.status.say(outcome.value.sentence, *outcome.value.then)
    elif app.front is not None:
        app.front.refusal.say(outcome.sentences)


async def _demo(
    app: CrewApp, beginning: BeginningFace, draft: Draft, before: OfficeFace | None, told: tuple[str, ...]
) -> None:
    stop = app.begin_work("making the demo shop")
    outcome = await outcome_of(lambda: beginning.demo(stop))
    app.end_work()
    if outcome.value is None:
        _welcome(app, beginning, draft, before=before, told=told)
        if app.front is not None:
            app.front.status.say(*(f"{one[:1].upper()}{one[1:]}" for one in outcome.sentences))
        return
    office = outcome.value
    app.begun_at = None
    app.taken_back.clear()  # of another database
    await app.open_with(lambda: office)


async def _first_job(app: CrewApp, office: OfficeFace) -> None:
    from crewjobs.screens.draft.jobs import ask_new_job

    app.begun_at = 0  # what is in these records was done here
    app.taken_back.clear()
    await app.open_with(lambda: office)
    if app.front is not None:
        app.front.status.say(f"{app.shop} is set up. Next, its first job.")
        if app.forms is not None:
            app.forms.ask_again()
            app.taking_up = True  # what waits from before there was this shop, once the first job's form is closed
        ask_new_job(app.front, "Your first job")
