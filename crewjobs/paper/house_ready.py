"""The questions whether a house is ready, to be sent two working days ahead and answered item by item.

As the notice it leaves the shop: no entry notes, nobody's phone or mail but the shop's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from crewjobs.paper import wording as say
from crewjobs.paper.directions import whole
from crewjobs.paper.document import Block, Document, Entry, Say, entries, section
from crewjobs.paper.model import PaperSize, Sheet
from crewjobs.paper.notice import NoticeDay

YES: Final = "yes"
NOT_YET: Final = f"not yet; it will be on {say.BLANK * 4}"
ALREADY: Final = "yes, already"
NEW_DAY: Final = f"later; it will be on {say.BLANK * 4}"
ALL_DONE: Final = "You answered every question with yes: thank you. Nothing is left to be answered."
KEEP_THE_REST: Final = "Please keep all else so until we come, and tell us at once if any of it changes."
KEEP: Final = "Please keep it so until we come, and tell us at once if any of it changes."


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyQuestion:
    """One question: `asks` as it is asked, `why` beside it, `known` what was answered so far."""

    asks: str
    why: str = ""
    known: str = ""
    answered: bool = False
    since: str = ""
    """What holds of it now, other than answered."""
    as_said: str = ""
    """The answer that a day known already still holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyQuestions:
    """What is asked of one house; `first` is when cartons or a crew come, `answer_by` two working days before."""

    shop_name: str
    shop_phone: str
    customer: str
    address: str
    job: int
    sheet: Sheet
    paper: PaperSize
    first: date | None
    answer_by: date | None
    questions: tuple[ReadyQuestion, ...]
    first_hangs: str = ""
    """On what that day hangs: "if what was found is settled by then"."""
    leave_off: str = ""
    """What is not asked, since it is left off."""
    lies_there: bool = False
    """Whether material lies in the rooms already."""
    before: NoticeDay | None = None
    """Who comes before that: to look, to read or to take a sample."""
    late: str = ""
    """What to expect of work whose day is gone by and that nobody ticked, true whether or not it was done."""

    @property
    def all_answered(self) -> bool:
        """Return whether every question is answered with yes: the page confirms, and asks nothing."""
        return all(one.answered for one in self.questions)


def questions_document(page: ReadyQuestions) -> Document:
    """Return the questions as a page to send."""
    return Document(
        title=_title(page),
        aside=f"Job {page.job}",
        under=(f"For {whole(page.customer)}, {whole(page.address)}",),
        blocks=tuple(_blocks(page)),
        foot=say.sheet_of(page.sheet.name, page.sheet),
        newer=f"please {'call' if page.all_answered else 'answer to'} {say.visible(page.shop_name)} {say.visible(page.shop_phone)}".strip(),
        printed_at=page.sheet.printed_at,
        paper=page.paper,
        message=True,
    )


def _title(page: ReadyQuestions) -> str:
    """Return the page's title; of a house in which something was turned off nobody has told us that it is ready."""
    if not page.all_answered:
        return "Is the house ready?"
    return "The house, as you told us" if page.leave_off else "The house is ready, as you told us"


def _blocks(page: ReadyQuestions) -> Iterator[Block]:
    shop = say.visible(page.shop_name) or "The shop"
    next_or_first = "next" if page.late else "first"
    hangs = f", {page.first_hangs}" if page.first_hangs else ""
    if page.before is not None and page.first is not None:
        what = page.before.what[:1].lower() + page.before.what[1:]
        when = f"{say.day_text(page.before.day)} {say.between(page.before.start, page.before.end)}"
        yield Say(text=f"We need to be let in {next_or_first} on {when}: {what}.")
        yield Say(text=f"Cartons or the crew of {shop} come on {say.day_text(page.first)}, as planned today{hangs}.")
    elif page.first is not None:
        yield Say(text=f"{shop} comes {next_or_first} on {say.day_text(page.first)}, as planned today{hangs}.")
    if page.late:
        yield Say(text=page.late)
    done = [
        Entry(text=one.asks, notes=tuple(filter(None, (one.known, one.since))))
        for one in page.questions
        if one.answered
    ]
    if page.all_answered:
        yield Say(text=ALL_DONE)
        yield from section("Your answers", entries(*done))
        if page.leave_off:
            yield Say(text=page.leave_off, strong=True)
        yield Say(text=KEEP_THE_REST if page.leave_off else KEEP)
        return
    if page.answer_by is not None:
        soon = page.answer_by <= page.sheet.printed_at.date()
        when = f"{'today,' if soon else 'by'} {say.day_text(page.answer_by)}"
        yield Say(text=f"Please answer {when}.", strong=True)
    nothing = "Nothing more" if page.lies_there else "Nothing"
    yield Say(text=f"{nothing} is carried in and no work begins before every answer is yes.")
    still = [one for one in page.questions if not one.answered]
    yield from section("Please answer", entries(*(_question(one) for one in still)))
    yield from section("Answered already", entries(*done))
    if page.leave_off:
        yield from section("Please mind", entries(Entry(text=page.leave_off, tag="!")))
    yield Say(text="Not sure? Say so: a day more is better than a crew before a shut door.")


def _question(one: ReadyQuestion) -> Entry:
    notes = tuple(text for text in (one.why, one.known) if text)
    answers = (ALREADY, one.as_said, NEW_DAY) if one.as_said else (YES, NOT_YET)
    return Entry(text=one.asks, strong=True, notes=notes, answers=answers)
