"""One line of text, typed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from crewjobs.screens.dialog import Dialog
from crewjobs.screens.widgets.field import Field

if TYPE_CHECKING:
    from textual.widget import Widget
    from textual.widgets import Input

    from crewjobs.screens.base import CrewScreen

WHEN = "14:30, yesterday 16:00; empty is now"
FAR = "9/19 rows, 90 of 215 ft2, 50 %"


class AskText(Dialog[str]):
    """Closes with what was typed; Esc leaves things as they were."""

    def __init__(self, title: str, value: str = "", hint: str = "", *, label: str = "Time") -> None:
        super().__init__()
        self._title = title
        self._value = value
        self._hint = hint
        self._label = label

    def title_text(self) -> str:
        """What is asked."""
        return self._title

    def body(self) -> Iterable[Widget]:
        """One field."""
        yield Field("text", self._label, self._value, self._hint)

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Take it, or not."""
        return (("save", "Set"), ("close", "Close"))

    def entered(self, _field: Input) -> None:
        """Enter takes it."""
        self.pressed("save")

    def pressed(self, _name: str) -> None:
        """Close with the text."""
        self.dismiss(self.query_one(Field).value)


def ask_how_far(screen: CrewScreen, job: int, task: int, at: str) -> None:
    """Ask how far a task is, and record it; held, it asks for the reason."""

    def record(text: str, because: str = "") -> None:
        screen.act(
            lambda office: office.how_far(job, task, text, at=at, because=because),
            lambda reason: record(text, reason),
            ("how far", job, task),
        )

    def typed(text: str | None) -> None:
        if text:
            record(text)

    screen.app.push_screen(AskText(f"How far is task {task}?", "", FAR, label="How far"), typed)
