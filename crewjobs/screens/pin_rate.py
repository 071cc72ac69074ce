"""A rate set by hand: of which work, and what it is; or let be as it is learned again."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from textual.widgets import Input, Static

from crewjobs.screens.kept_lines import KeptLines
from crewjobs.screens.outcome import Outcome
from crewjobs.screens.widgets.field import Field
from crewjobs.services.rates.rates_rows import RateRow
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from textual.widget import Widget

    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.forms.kept import KeptForm
    from crewjobs.services.rates.rates_rows import RatesView

_OF_WORK: Final = re.compile(
    "there is no task template|: name one of them|is not pinned|there is no crew|nothing of it"
)
"""What a refusal has in it that another rate does not mend."""
_HINT = "as shown: 260; 45 min; 1.2x the book's time"


def ask_rate_again(screen: CrewScreen, kept: KeptForm) -> None:
    """Ask for a rate as it was `kept`, of the same crew and work."""
    crew, template = kept.about.get("crew", ""), kept.about.get("template", "")

    def told(done: Done | None) -> None:
        if done is not None:
            screen.told(Outcome(value=done), looks=False)

    def read(view: RatesView) -> None:
        rows = [row for one in view.crews if one.crew == crew for row in one.rows]
        row = next((one for one in rows if one.template == template), None)
        screen.app.push_screen(PinRate(crew, row, kept), told)

    if crew in screen.crew_app.crews:
        screen.ask_to_open(lambda office: office.rates(crew), read)
    else:
        from crewjobs.screens.taking_up import not_opened

        not_opened(screen.crew_app, kept, (f"There is no crew {crew} any more.",))


class PinRate(KeptLines[Done]):
    """Closes with what was done."""

    FORM = "rate"

    AUTO_FOCUS = "#field-rate Input"

    def __init__(self, crew: str, row: RateRow | None, kept: KeptForm | None = None) -> None:
        """Take whose rate, of which work where that is known, and what was typed already when a link dropped."""
        super().__init__({"crew": crew, "template": row.template if row is not None else ""}, kept)
        self._crew = crew
        self._row = row

    def title_text(self) -> str:
        """Whose."""
        return f"A rate of {self._crew}, set by hand"

    def body(self) -> Iterable[Widget]:
        """The work and its rate; of a known one what stands now."""
        row = self._row
        if row is not None:
            pinned = "pinned" if row.pinned else f"80 % {row.band_words}"
            words = f"{row.title}: book {row.book_words}, own {row.own_words} ({pinned})"
            yield Static(words, markup=False, classes="why")
        yield Field(
            "work",
            "Work",
            row.title if row is not None else "",
            "its title, such as Carpet, pad, tack strip and staples out",
        )
        yield Field("rate", "Rate", "", _HINT)
        yield Static(
            "The planner takes it from the next plan on, whatever hours tell; what they tell stays known.",
            markup=False,
            classes="hint",
        )

    def buttons(self) -> Iterable[tuple[str, str]]:
        """Pin, let go where it is pinned, or close."""
        unpin = (("unpin", "As learned"),) if self._row is not None and self._row.pinned else ()
        return (("pin", "Pin it"), *unpin, ("close", "Close"))

    def main_button(self) -> str:
        """It is there to pin."""
        return "pin"

    def entered(self, field: Input) -> None:
        """Enter in the rate pins it, and the field stays ready should that be refused."""
        if field is self.query_one("#field-rate Input"):
            self.pressed("pin")
        else:
            super().entered(field)

    def refused(self, outcome: Outcome[Done]) -> None:
        """Say it at the line that mends it: which work, or its rate."""
        self.say_no(*(f"{'work' if _OF_WORK.search(one) else 'rate'}: {one}" for one in outcome.sentences))

    def pressed(self, name: str) -> None:
        """Pin, or let be as learned."""
        crew, work, rate = self._crew, *(self.query_one(f"#field-{key}", Field).value for key in ("work", "rate"))
        if self._row is not None and work == self._row.title:
            work = self._row.template  # two templates of a shop may have one title
        if name == "unpin":
            self.save(lambda office: office.unpin_rate(crew, work))
        else:
            self.save(lambda office: office.pin_rate(crew, work, rate))
