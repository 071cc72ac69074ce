"""A dialog of a few lines and boxes that is kept while it is open: only what was typed, so that other lines stand as stored."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar, Generic, TypeVar

from textual.widgets import Input

from crewjobs.screens.kept_dialog import KeptDialog, taken_up_words
from crewjobs.screens.widgets.field import Field
from crewjobs.screens.widgets.yes_no import YesNo
from crewjobs.services.forms.kept import KeptForm

R = TypeVar("R")


class KeptLines(KeptDialog[R], Generic[R]):
    """Opened with what was `taken` up, that stands in its lines, and it is said above them."""

    FORM: ClassVar[str] = ""
    """What it is kept as."""

    def __init__(self, about: Mapping[str, str], taken: KeptForm | None = None, stood: str = "") -> None:
        """Take what opens it again, what was typed already when a link dropped, and what is stored now, where that counts."""
        super().__init__()
        self._about, self._taken, self._stood = about, taken, stood

    def on_mount(self) -> None:
        """What was typed before stands in its lines."""
        if self._taken is not None:
            texts = self._taken.texts
            for field in self.query(Field):
                if field.key in texts:
                    field.query_one(Input).value = texts[field.key]
            for box in self.query(YesNo):
                box.value = _of_box(box) in texts
            self.say_above(taken_up_words(self._taken))
        for box in self.query(YesNo):
            self.watch(box, "value", self.keep_soon, init=False)

    def on_input_changed(self, _event: Input.Changed) -> None:
        """Keep it a moment later."""
        self.keep_soon()

    def typed(self) -> bool:
        """Whether a line or a box is other than at the beginning."""
        return super().typed() or any(box.value for box in self.query(YesNo))

    def kept(self) -> KeptForm | None:
        """The lines in which something else is typed than stood there, and the boxes that are ticked."""
        if not self.typed():
            return None
        texts = {field.key: field.value for field in self.query(Field) if field.typed}
        texts |= {_of_box(box): "yes" for box in self.query(YesNo) if box.value}
        return KeptForm(
            form=self.FORM, title=self.title_text(), about=dict(self._about), stood=self._stood, texts=texts
        )


def _of_box(box: YesNo) -> str:
    return f"box {box.id}"
