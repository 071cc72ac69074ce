"""A form of several pages: what is in it on the left or behind a button, one page's fields beside; each fault at its field."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, Final, Generic, TypeVar

from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalGroup, VerticalScroll
from textual.widgets import Button, Collapsible, Input, Select, Static

from crewjobs.domain.wording import upper
from crewjobs.screens.draft.answers import Answer, FindAnswer, answer_for
from crewjobs.screens.draft.contents import ADD, contents
from crewjobs.screens.drawing import Line
from crewjobs.screens.kept_dialog import TAKEN_ALONG, KeptDialog, taken_up_words
from crewjobs.screens.outcome import outcome_of, work
from crewjobs.screens.widgets.said_below import SaidBelow
from crewjobs.screens.widgets.sheet import Sheet
from crewjobs.services.forms.checking import Checked
from crewjobs.services.forms.draft import Draft, Part, Said
from crewjobs.services.forms.kept import KeptForm, pages_of, stood
from crewjobs.services.forms.placing import refused_at

if TYPE_CHECKING:
    from textual import events
    from textual.app import ComposeResult
    from textual.widget import Widget

T = TypeVar("T")

WIDE: Final = 96
"""Columns from which the contents stand beside the page."""
NARROW: Final = 60
"""Columns below which two buttons in a row have short labels."""
_DROPPED: Final = "; what was typed ahead is not taken"
_SURE: Final = "Sure?"
"""What the button says that removes when it is pressed again: it fits where its first word did."""
LOW: Final = 24
"""Lines below which a page's fields have no room for words above them."""


class DraftForm(KeptDialog[T], Generic[T]):
    """Closes with what was made. Nothing is written before; what was typed stays, whatever is wrong with it."""

    ABOUT = (
        "Page by page, in any order; nothing is written before it is made. What is wrong is said beside its field, and ! marks its page. "
        "Enter goes on to the next field, whatever it is; Space ticks a box and opens a choice, as letters do, at what begins so: Enter takes it and goes on, Esc leaves it. "
        "Where words are listed below a field, ↓ and Enter take one, or a tap. More unfolds what is rarely needed; under Other keys stands, as "
        "in a job file, what has no field. A name changed here is changed wherever the form names it."
    )
    BINDINGS = [
        Binding("ctrl+s", "keep", "make it", priority=True),
        Binding("pagedown", "leaf(1)", "next page", priority=True),
        Binding("pageup", "leaf(-1)", "page before", priority=True),
        Binding("enter,space", "choose", "in the list of pages: go to one, or add one", show=False),
    ]

    def __init__(
        self,
        title: str,
        draft: Draft,
        check: Callable[[Draft], Checked],
        keep: Callable[[Draft], T],
        *,
        make: str = "Make it",
        meanwhile: str = "Writing it down …",
        form: str = "job",
        taken: KeptForm | None = None,
        at: tuple[str, str] = ("", ""),
        begun: bool = False,
    ) -> None:
        """Take what the form writes.

        Args:
            title: what is made or changed.
            draft: its pages.
            check: finds what is wrong in it; writes nothing.
            keep: makes it.
            make: the word for that.
            meanwhile: said while it is made.
            form: which form it is, when it is taken up after a dropped link.
            taken: what was taken up so, and is in the draft already.
            at: the kind of page and the field that the hand is on at first; empty for the first ones.
            begun: whether something stands in the draft that was typed elsewhere and is not written.
        """
        super().__init__()
        self._title, self._make, self._meanwhile = title, make, meanwhile
        self._draft, self._check, self._keep = draft, check, keep
        self._form, self._taken, self._opened = form, taken, list(draft.parts)
        self._part: Part = draft.parts[0]
        if taken is not None and 0 <= taken.at < len(draft.parts):
            self._part = draft.parts[taken.at]
        elif parts := draft.of(at[0]):
            self._part = parts[0]
        self._at = at[1]
        self._checked = Checked()
        self._refused: list[tuple[Part, Said, str]] = []
        """What the office refused of a page when it was to be made, with what stood in that field: said until it is changed."""
        self._looked_at: set[tuple[int, str]] = set()
        """Fields that were left once, by page: only there faults are said, until the form is to be made."""
        self._drawn: list[Line] = []
        self._begun = begun
        self._typed = begun or taken is not None
        self._listing = False
        self._stands = False
        """Whether the fields in sight are those of the page one is at: while pages are turned they are not."""
        self._turning = asyncio.Lock()
        self._turns = 1
        """How many turns of pages are asked for and not done; the first page is one."""
        self.stands.clear()
        self._to_mend, self._wrong = 0, False
        self._sure: Part | None = None
        """The page of which it was asked whether it is to be removed."""
        self._in_hand: Answer | None = None
        """The field that has the cursor, or had it last."""
        self._at_end = False
        """Whether what is said at the end of the page is to be in sight, until another key is struck."""
        self._dropped = False
        """Whether keys were struck ahead for a page that was not turned to."""

    # What it looks like

    def compose(self) -> ComposeResult:
        """Title, contents and page, buttons."""
        with Vertical(id="frame", classes="-draft"):
            yield Static(self.title_text(), markup=False, classes="title")
            with Horizontal(id="pages"):
                yield Sheet(id="contents", tap=True)
                with VerticalScroll(id="body", can_focus=False):
                    yield Vertical(id="page")
                    yield SaidBelow()
            yield Static("", markup=False, id="asked")
            with Horizontal(id="buttons"):
                for name, label in self.buttons():
                    button = Button(label, name=name, id=f"do-{name}", compact=True)
                    button.active_effect_duration = 0
                    yield button
            yield Static(self._keys_words(), markup=False, classes="hint keys")

    def _keys_words(self) -> str:
        if self.size.width < NARROW:
            return f"PgDn/Up turn  ^s {self._make.lower()}  Esc leave"
        return f"Enter next field  Space tick, open  PgDn PgUp pages  ^s {self._make.lower()}  Esc leave"

    def buttons(self) -> tuple[tuple[str, str], ...]:
        """To turn pages, to see them all, to make it."""
        return (("next", "Next"), ("back", "Back"), ("list", "Pages"), ("keep", self._make), ("close", "Close"))

    def kept(self) -> KeptForm | None:
        """Every page as it stands."""
        self._take()
        if not self._typed:
            return None
        draft = self._draft
        return KeptForm(
            form=self._form,
            title=self._title,
            about={"job": str(draft.number or "")},
            stood=stood(draft),
            at=draft.parts.index(self._part) if self._part in draft.parts else 0,
            pages=pages_of(draft, self._opened),
        )

    def title_text(self) -> str:
        """What is made, and which page of it one is at."""
        parts = self._draft.parts
        part = self._part
        name = f" {part.name}" if part.name and part.page.table else ""
        kept = f" · kept from {self._taken.since}" if self._taken is not None and self._taken.since else ""
        return f"{self._title}{kept} · {parts.index(part) + 1} of {len(parts)} · {part.page.title}{name}"

    async def on_mount(self) -> None:
        """Show the first page."""
        self.query_one("#contents", Sheet).show(self._contents, None)
        await self._show(self._part, self._at)
        self._turned()
        if self._taken is not None:
            self.say_above(taken_up_words(self._taken))
        elif self._begun:
            self.say_above(TAKEN_ALONG)
        if self._typed:
            self.keep_soon()

    def on_resize(self) -> None:
        """Beside each other where there is room; else one or the other."""
        wide = self.size.width >= WIDE
        self.query_one("#frame").set_class(wide, "-wide")
        self.query_one("#frame").set_class(self.size.height < LOW, "-low")
        super().on_resize()
        # What title, buttons and foot leave is the page's: a foot of two lines hides none of its last field.
        self.query_one("#body").styles.max_height = self.query_one("#contents").styles.max_height = None
        self.query_one(".keys", Static).update(self._foot())
        self.query_one("#do-list").display = not wide
        for button in self.query(".of-page Button").results(Button):
            if button.name == "remove":
                button.label = self._remove_words(self._part)
        self._lay()

    def _lay(self) -> None:
        wide = self.size.width >= WIDE
        self.query_one("#contents").display = wide or self._listing
        self.query_one("#body").display = wide or not self._listing
        self.query_one("#do-list", Button).label = "Page" if self._listing else "Pages"

    def _contents(self, width: int, _selected: object) -> Any:
        wrong = {one.part for one in self._shown_faults()}
        return contents(self._draft, self._part, wrong, width)

    # Pages

    async def _show(self, part: Part, at: str = "") -> None:
        """Put a page in place, and the cursor into its first field, or the one named."""
        self._part, self._listing, self._stands, self._sure = part, False, False, None
        self._draft.turn_to(part)
        page = self.query_one("#page", Vertical)
        with self.app.batch_update():
            await page.remove_children()
            await page.mount(*self._page(part))
            self._stands = True
            self.query_one("#body", VerticalScroll).scroll_home(animate=False)
            self._lay()
        self._tell(arrived=True)
        answers = list(self.query(Answer))
        if at and at not in {one.key for one in answers}:
            answers = await self._unfold()
        first = next((one for one in answers if one.key == at), answers[0])
        target = next(one for one in first.query("Input, Select, YesNo, TextArea") if one.focusable)
        target.focus()

    def _page(self, part: Part) -> list[Widget]:
        found: list[Widget] = [Static(part.page.about, markup=False, classes="hint about")]
        shown = list(part.shown())
        found += [self._answer(part, entry.key) for entry in shown if not entry.more]
        more = [entry for entry in shown if entry.more]
        if more:
            filled = sum(part.texts[one.key] not in (one.usual, "", self._draft.zone) for one in more)
            title = f"More, {filled} filled in" if filled else "More"
            found.append(Collapsible(VerticalGroup(id="more"), title=title, collapsed=True))
        buttons: list[Button] = []
        if part.page.many:
            buttons.append(Button(f"+ {part.page.many}", name=f"add:{part.page.kind}", compact=True))
            if part.page.kind != "crew" or len(self._draft.of("crew")) > 1:
                buttons.append(Button(self._remove_words(part), name="remove", compact=True))
        for button in buttons:
            button.active_effect_duration = 0  # pressed again at once, it counts again
        if buttons:
            found.append(Horizontal(*buttons, classes="of-page"))
        return found

    def _remove_words(self, part: Part) -> str:
        """The button beside the one that adds: both stand whole in one row."""
        if self._sure is part:
            return _SURE
        what = part.page.title.lower()
        this = "these" if what.endswith("s") else "this"
        return f"Remove {this} {what}" if self.size.width >= NARROW else "Remove"

    def _turn_with(self, turning: Callable[[], Coroutine[None, None, None]]) -> None:
        """Turn pages one after the other, however quickly it is asked for."""

        async def turn() -> None:
            try:
                async with self._turning:
                    await turning()
            finally:
                self._turned()

        self._turn()
        work(self, turn, "turn")

    def _turn(self) -> None:
        """What is typed from now on is held back until the page stands."""
        self._turns += 1
        self.stands.clear()

    def _turned(self) -> None:
        self._turns -= 1
        if self._turns <= 0:
            self.stands.set()

    async def _unfold(self) -> list[Answer]:
        """Show what is folded away, made only now; return all fields."""
        for fold in self.query(Collapsible):
            more = fold.query_one("#more", VerticalGroup)
            if not more.children:
                await more.mount(*(self._answer(self._part, one.key) for one in self._part.shown() if one.more))
                self._tell()
            fold.collapsed = False
        return list(self.query(Answer))

    async def on_collapsible_expanded(self) -> None:
        """More was asked for."""
        await self._unfold()

    def _answer(self, part: Part, key: str) -> Answer:
        entry = part.page.entry(key)
        return answer_for(entry, part.texts[key], self._draft.options(entry), self._draft.measured_in)

    def _take(self) -> None:
        """What stands in the fields is the draft's."""
        if self._stands:
            answers = self._answers()
            said = {one.key: one.value for one in answers}
            self._draft.write(self._part, said)
            for one in answers:  # what follows from another line stands in its field, too
                if self._part.texts[one.key] != said[one.key]:
                    one.follow(self._part.texts[one.key])

    def _answers(self) -> list[Answer]:
        """The fields in sight, but for those only just being unfolded."""
        return [one for one in self.query(Answer) if one.children]

    # Faults

    def _tell(self, *, arrived: bool = False) -> None:
        """Say at each field what is wrong with it, or worth knowing; and mark the pages where something is wrong."""
        if not self._stands or self._part not in self._draft.parts:
            return  # a page is being turned, and tells it then
        place = self._draft.parts.index(self._part)
        faults = [one for one in self._shown_faults() if one.part == place]
        for answer in self._answers():
            words = " ".join(one.words for one in faults if one.key == answer.key)
            remark = " ".join(one.words for one in self._checked.remarks if (one.part, one.key) == (place, answer.key))
            # What is wrong hides nothing worth knowing: how many cartons the rooms take helps to mend their number.
            answer.note(f"{words} {remark}".strip(), wrong=bool(words))
        keys = {answer.key for answer in self._answers()}
        others = [one.words for one in faults if one.key not in keys]
        self.query_one(SaidBelow).go_below()
        self._line("#fault", "\n".join(others))
        self._to_mend, self._wrong = len({one.key for one in faults if one.key}), bool(faults)
        foot = self.query_one(".keys", Static)
        foot.set_class(self._wrong, "-fault")
        if str(foot.content) != (words := self._foot()):
            foot.update(words)
        self.call_after_refresh(self._bring_into_view)
        self._line(".title", self.title_text())
        drawn = contents(self._draft, self._part, {one.part for one in self._shown_faults()}, WIDE)
        if drawn != self._drawn or arrived:
            self._drawn = drawn
            sheet = self.query_one("#contents", Sheet)
            walked = sheet.has_focus and not arrived  # who walks the list meanwhile stays where they are
            sheet.show(self._contents, None if walked else ("part", place))

    @staticmethod
    def _answer_of(field: Widget) -> Answer | None:
        return next((node for node in field.ancestors_with_self if isinstance(node, Answer)), None)

    def _foot(self) -> str:
        """Return the line below the buttons: what is to mend, else the keys."""
        dropped = _DROPPED if self._dropped else ""
        if not self._to_mend:
            return f"To mend: what is said on this page{dropped}" if self._wrong else self._keys_words()
        fields = "1 field" if self._to_mend == 1 else f"{self._to_mend} fields"
        return f"{fields} to mend on this page{dropped}"

    def _line(self, which: str, text: str) -> None:
        """Say something else on a line, or nothing; what stands there already is not painted anew."""
        line = self.query_one(which, Static)
        if str(line.content) != text:
            line.update(text)
        line.display = bool(text)

    def _shown_faults(self) -> list[Said]:
        found = []
        for one in self._checked.faults:
            if one.part < 0:
                continue
            part = self._draft.parts[one.part]
            looked = {(id(part), one.key)} if one.key else {(id(part), key) for key in part.texts}
            if looked <= self._looked_at:
                found.append(one)
        parts = self._draft.parts
        for part, one, text in self._refused:
            if part in parts and part.texts[one.key] == text:
                found.append(replace(one, part=parts.index(part)))
        return found

    def _look(self, part: Part) -> None:
        self._looked_at |= {(id(part), entry.key) for entry in part.page.entries}

    async def _checking(self) -> bool:
        """Check all of it; say whether that could be done."""
        self._take()
        outcome = await outcome_of(lambda: self._check(self._draft))
        if outcome.value is None:
            self.say(*map(upper, outcome.sentences))
            return False
        self._checked = outcome.value
        return True

    async def _check_and_tell(self) -> None:
        part = self._part
        if await self._checking() and part is self._part:
            self._tell()

    # What is done with it

    def _changed(self) -> None:
        """Something was typed, chosen, added or removed: leaving asks once."""
        self.goes_on()
        self._typed, self._dropped, self._at_end = True, False, False
        self.keep_soon()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Something was typed."""
        answer = next((node for node in event.input.ancestors if isinstance(node, Answer)), None)
        if answer is not None and event.value.strip() != self._part.texts.get(answer.key, ""):
            self._changed()

    def on_select_changed(self, event: Select.Changed) -> None:
        """Another choice may bring other fields."""
        answer = next((node for node in event.select.ancestors if isinstance(node, Answer)), None)
        if answer is None or not self._stands or answer.value == self._part.texts.get(answer.key):
            return
        self._take()
        self._changed()
        shown = {one.key for one in self._part.shown() if not one.more}
        if {one.key for one in self.query(Answer) if not one.entry.more} != shown:
            self._turn_with(partial(self._show, self._part, answer.key))
        work(self, self._check_and_tell, "check", exclusive=True)

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """A field that was left is checked."""
        answer = next((node for node in event.widget.ancestors if isinstance(node, Answer)), None)
        if answer is None or not answer.is_attached or answer not in self.query(Answer):
            return
        self._looked_at.add((id(self._part), answer.key))
        work(self, self._check_and_tell, "check", exclusive=True)

    def on_key(self, _event: events.Key) -> None:
        """Who goes on has read what is said at the end of the page."""
        self._at_end = False

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """What fitted elsewhere is in the way."""
        for other in self.query(FindAnswer):
            if other not in event.widget.ancestors:
                other.hide()
        self._in_hand = self._answer_of(event.widget) or self._in_hand
        self.call_after_refresh(self._bring_into_view)

    def entered(self, field: Input) -> None:
        """Enter goes on from a line, and takes a zone that is found."""
        self.went_on(field)

    def went_on(self, field: Widget) -> None:
        """Enter goes on to the next field, and from the last one to the next page, once this one is right."""
        answer = next((node for node in field.ancestors if isinstance(node, Answer)), None)
        if isinstance(answer, FindAnswer) and answer.take_first():
            work(self, self._check_and_tell, "check", exclusive=True)  # what was said of the word typed is over
            return
        if self._turns > 0 and answer is not None:  # other fields come in its place
            self._turn_with(partial(self._go_on_from, answer.key))
        else:
            self._go_on(answer)

    async def _go_on_from(self, key: str) -> None:
        self._go_on(next((one for one in self.query(Answer) if one.key == key), None))

    def _go_on(self, answer: Answer | None) -> None:
        answers = [one for one in self.query(Answer) if answer is None or one.entry.more == answer.entry.more]
        after = answers[answers.index(answer) + 1 :] if answer in answers else []
        for one in after:
            for target in one.query("Input, Select, YesNo, TextArea"):
                if target.focusable:
                    target.focus()
                    return
        self._turn_with(self._onward)

    def action_choose(self) -> None:
        """Enter in the list of pages does what a tap does."""
        sheet = self.query_one("#contents", Sheet)
        if sheet.has_focus:
            sheet.choose()

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """To a page, or one more."""
        target = event.target
        if isinstance(target, tuple) and target[0] == ADD:
            self.pressed(f"add:{target[1]}")
        elif isinstance(target, tuple):
            self._turn_with(partial(self._go, self._draft.parts[target[1]]))

    def pressed(self, name: str) -> None:
        """A button."""
        match name.partition(":"):
            case ("next", _, _):
                self.action_leaf(1)
            case ("back", _, _):
                self.action_leaf(-1)
            case ("list", _, _):
                self._take()
                self._listing = not self._listing
                self._lay()
                if self._listing:
                    listed = self.query_one("#contents", Sheet)
                    listed.focus()
                    here = ("part", self._draft.parts.index(self._part))
                    self.call_after_refresh(lambda: listed.show(self._contents, here))
            case ("keep", _, _):
                self.action_keep()
            case ("add", _, kind):
                self._turn_with(partial(self._add, kind))
            case ("remove", _, _):
                self._ask_to_remove()

    async def _add(self, kind: str) -> None:
        self._take()
        self._changed()
        await self._show(self._draft.add(kind))

    def _ask_to_remove(self) -> None:
        """Remove a page; one that is filled in only when it is pressed again."""
        self._take()
        if self._sure is self._part or not self._part.filled:
            self._turn_with(self._remove)
            return
        self._sure = self._part
        for button in self.query(".of-page Button").results(Button):
            if button.name == "remove":
                button.label = self._remove_words(self._part)

    async def _remove(self) -> None:
        self._take()
        parts = self._draft.parts
        place = parts.index(self._part)
        self._draft.remove(self._part)
        self._checked = Checked()
        self._changed()
        await self._show(parts[max(place - 1, 0)])
        await self._check_and_tell()

    async def _go(self, part: Part, *, over: bool = True) -> None:
        """To a page, whatever is wrong with this one: it is marked; back from one not gone `over`, only for what was typed."""
        if over:
            self._look(self._part)
        self._take()
        await self._show(part)
        await self._check_and_tell()

    def action_leaf(self, step: int) -> None:
        """To the next page or the one before, whatever is wrong with this one: it is marked."""
        self._turn_with(partial(self._leaf, step))

    async def _leaf(self, step: int) -> None:
        parts = self._draft.parts
        place = parts.index(self._part) + step
        if 0 <= place < len(parts):
            await self._go(parts[place], over=step > 0)
        elif step > 0 and self.focused is not None and self._answer_of(self.focused) is not None:
            # There is no page to turn to: the cursor stays in its field, so that what is typed next is seen.
            self._look(self._part)
            await self._check_and_tell()
        elif step > 0:
            await self._onward()

    async def _onward(self) -> None:
        """From the last field to the next page; first to what is wrong on this one."""
        parts = self._draft.parts
        place = parts.index(self._part)
        self._look(self._part)
        if not await self._checking():
            return
        self._tell()
        wrong = [one for one in self._shown_faults() if one.part == place]
        if wrong:
            await self._point_at(min(wrong, key=self._place_of))
        elif place + 1 < len(parts):
            await self._show(parts[place + 1])
            if any(one.part == place + 1 for one in self._shown_faults()):
                await self._check_and_tell()  # turning to a page fills in what follows from others
        else:
            self.query_one("#do-keep").focus()

    def _place_of(self, said: Said) -> tuple[int, int]:
        """Return where something said stands in the form, from its first field on; of no field: after the page's, of no page: last."""
        parts = self._draft.parts
        if said.part < 0:
            return len(parts), 0
        keys = [entry.key for entry in parts[said.part].shown()]
        return said.part, keys.index(said.key) if said.key in keys else len(keys)

    async def _point_at(self, wrong: Said) -> None:
        self._dropped = self.crew_app.in_turn.drop()
        self._tell()
        answers = list(self.query(Answer))
        if wrong.key and wrong.key not in {one.key for one in answers}:
            answers = await self._unfold()
        answer = next((one for one in answers if one.key == wrong.key), None)
        if answer is None:
            self._at_end = True
            self.call_after_refresh(self._bring_into_view)
            return
        target = next((one for one in answer.query("Input, Select, YesNo, TextArea") if one.focusable), None)
        if target is not None:
            target.focus()
            if isinstance(target, Input) and target.select_on_focus:
                target.select_all()

    def _bring_into_view(self) -> None:
        """Show the field in hand with all that is said below it, or the one left for a button; or what the page ends with."""
        if self._at_end:
            self.query_one("#body", VerticalScroll).scroll_end(animate=False, force=True)
            return
        answer, focused = self._in_hand, self.focused
        here = focused is None or self._answer_of(focused) is not None or focused in self.query("#buttons Button")
        if here and answer is not None and answer.is_attached and self._stands:
            self.query_one("#body", VerticalScroll).scroll_to_widget(answer, animate=False)

    def main_button(self) -> str:
        """The one that makes it, on every page."""
        return "keep"

    def action_keep(self) -> None:
        """Make it, or go to the first page where something is wrong."""
        if not self._saving:
            self._saving = True
            self._turn()
            work(self, self._kept, "save", exclusive=True)

    async def _kept(self) -> None:
        try:
            async with self._turning:
                try:
                    right = await self._is_right()
                finally:
                    self._turned()
                if right:
                    await self._keep_it()
        finally:
            self._saving = False

    async def _is_right(self) -> bool:
        """Check all of it, and go to the first page where something is wrong."""
        self._take()
        for part in self._draft.parts:
            self._look(part)
            if part is not self._part:
                self._draft.turn_to(part)  # what it would show is taken, though it was never turned to
        if not await self._checking():
            return False
        faults = self._checked.faults
        if faults:
            first = min(faults, key=self._place_of)
            if first.part >= 0:
                await self._show(self._draft.parts[first.part], first.key)
                await self._point_at(first)
            else:
                self.say(*(one.words for one in faults))
        return not faults

    async def _keep_it(self) -> None:
        self.say(self._meanwhile)
        self._newest = self.kept()
        async with self.crew_app.writing:
            outcome = await outcome_of(lambda: self.recorded(lambda: self._keep(self._draft)))
        if outcome.value is None:
            await self._say_refused(outcome.sentences)
        else:
            self.dismiss(outcome.value)

    async def _say_refused(self, sentences: Sequence[str]) -> None:
        """Say at its field what is about one, and go there; the rest at the end of the page."""
        parts = self._draft.parts
        placed = [(sentence, refused_at(self._draft, sentence)) for sentence in sentences]
        at_fields = [said for _, said in placed if said is not None]
        self._refused = [(parts[one.part], one, parts[one.part].texts[one.key]) for one in at_fields]
        if at_fields:
            self._turn()
            try:
                await self._show(parts[at_fields[0].part], at_fields[0].key)
                await self._point_at(at_fields[0])
            finally:
                self._turned()
        rest = [upper(sentence) for sentence, said in placed if said is None]
        self._at_end = not at_fields
        self.say(*rest)

    def typed(self) -> bool:
        """Whether anything was typed, chosen, added or removed, on whatever page."""
        return self._typed
