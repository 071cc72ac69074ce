"""One line, typed and checked before it is taken: from when ticks count, how far a task is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from textual.widgets import Input, Static

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.kept_lines import KeptLines
from crewjobs.screens.outcome import Outcome, outcome_of, work
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.refusal import NO_REASON
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.face import OfficeFace
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.services.rows import JobPage, SiteTask, TaskRow

WHEN = "14:30, yesterday 16:00; empty is now"
FAR = "9/19 rows, 90 of 215 ft2, 50 %"


class AskWhen(Dialog[str]):
    """Closes with a moment that has come, its date in it (empty: now); Esc leaves things as they were."""

    def __init__(self, title: str, value: str = "", told: str = "") -> None:
        """Take what is asked, what stands in the line, and what is `told` above it."""
        super().__init__()
        self._title = title
        self._value = value
        self._told = told

    def title_text(self) -> str:
        """What is asked."""
        return self._title

    def body(self) -> Iterable[Widget]:
        """One field."""
        if self._told:
            yield Static(self._told, markup=False, classes="hint")
        yield Field("text", "Time", self._value, WHEN)

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Take it, or not."""
        return (("save", "Set"), ("close", "Close"))

    def entered(self, _field: Input) -> None:
        """Enter takes it."""
        self.pressed("save")

    def pressed(self, _name: str) -> None:
        """Close with the moment; what is none is said below the field, and stays typed."""
        work(self, self._read, "read", exclusive=True)

    async def _read(self) -> None:
        office, text = self.crew_app.office, self.query_one(Field).value
        if office is None:
            return
        outcome = await outcome_of(lambda: office.read_gone(text))
        if outcome.value is None:
            self.say_no(*(f"text: {sentence}" for sentence in outcome.sentences))
        else:
            self.dismiss(outcome.value)


class HowFarDialog(KeptLines[Done]):
    """How far one task is. Refused, it says so below the field and keeps what was typed.

    On hold it asks for the reason in a line of its own, and is recorded with it: both are kept where the terminal goes, and
    what holds it is said once more before the kept reason counts.
    """

    FORM = "how far"

    def __init__(
        self,
        row: SiteTask | TaskRow,
        record: Callable[[OfficeFace, str, str], Done],
        about: Mapping[str, str],
        kept: KeptForm | None = None,
    ) -> None:
        """Take the task, what records it, what opens it again, and what was typed already when a link dropped."""
        super().__init__(about, kept)
        self._of = row
        self._record = record
        self._told_hold = False
        """Whether it was said here what the reason is asked for: one that was kept passes no other hold unseen."""

    def title_text(self) -> str:
        """Of which task, of which job: taken up it stands over any screen."""
        return f"How far is task {self._of.number}, job {self._about.get('job', '')}?"

    def body(self) -> Iterable[Widget]:
        """What the task is, for the dialog may cover it, how far, and the reason once it is asked for."""
        yield Static(named(self._of), markup=False, classes="hint")
        yield Field("text", "How far", "", FAR)
        because = Field("because", "Because", "", "why it was done all the same")
        because.display = self._taken is not None and bool(self._taken.texts.get("because"))
        yield because

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Record it, or not."""
        return (("save", "Set"), ("close", "Close"))

    def entered(self, _field: Input) -> None:
        """Enter records it."""
        self.pressed("save")

    def pressed(self, _name: str) -> None:
        """Record what is typed; nothing typed is nothing said."""
        text = self.query_one("#field-text", Field).value
        because = self.query_one("#field-because", Field)
        if not text:
            self.say_no(f"text: write how far it is, such as {FAR}.")
            return
        if self._told_hold and not because.value:
            self.say_no(f"because: {NO_REASON}")
            return
        reason = because.value if self._told_hold else ""

        def recorded(office: OfficeFace) -> Done:
            return self._record(office, text, reason)

        self.save(recorded)

    def refused(self, outcome: Outcome[Done]) -> None:
        """Say it below the field; where a reason passes it, ask for that right below what is said."""
        if not outcome.on_hold:
            self.say_no(*(f"text: {sentence}" for sentence in outcome.sentences))
            return
        because = self.query_one("#field-because", Field)
        because.display = self._told_hold = True
        self.set_focus(because.query_one(Input))
        self.say_above(*outcome.sentences)
        self.call_after_refresh(because.scroll_visible, animate=False)


def named(row: SiteTask | TaskRow) -> str:
    """Return in short of which task something is asked."""
    from crewjobs.services.weeks.visits import short

    return f"{short(row.title)} ({row.where})."


def ask_how_far(screen: CrewScreen, job: int, row: SiteTask | TaskRow, at: str, kept: KeptForm | None = None) -> None:
    """Ask how far a task is, and record it, or with what was `kept` of it."""
    task = row.number

    def record(office: OfficeFace, text: str, because: str) -> Done:
        return office.how_far(job, task, text, at=at, because=because)

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done))

    about = {"job": str(job), "task": str(task), "at": at}
    screen.app.push_screen(HowFarDialog(row, record, about, kept), told)


def ask_how_far_again(screen: CrewScreen, job: int, kept: KeptForm) -> None:
    """Ask it as it was `kept`, of the same task."""
    task = kept.about.get("task", "")

    def read(page: JobPage) -> None:
        row = next((one for one in page.tasks if str(one.number) == task), None)
        if row is None:
            from crewjobs.screens.taking_up import not_opened

            not_opened(screen.crew_app, kept, (f"Job {job} has no task {task} any more.",))
        else:
            ask_how_far(screen, job, row, kept.about.get("at", ""), kept)

    screen.ask_to_open(lambda office: office.job(job), read)
