"""What was typed into an open form, kept while it is open: a dropped link loses none of it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.wording import listed
from crewjobs.services.forms.draft import Draft, Part, fresh
from crewjobs.services.forms.fields import JOB_PAGES, SHOP_PAGES

PAGES_OF: Final = {"job": JOB_PAGES, "shop": SHOP_PAGES, "set-up": SHOP_PAGES}
"""What a form of pages is made of."""
_NEW: Final = -1
NOT_SENT: Final = -1
"""Stands for the change of a form whose recording was not begun."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPage:
    """A page as typed: its kind, which page of the form as it opened it was (-1: added since), its lines by field."""

    kind: str
    origin: int
    texts: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptForm:
    """A form as typed. `about` is what opens it again, such as the job or the crew and day."""

    form: str
    """Which form: ``job``, ``shop``, ``set-up``, ``evening``, ``record``, ``furniture``, ``row lies``, ``arrived``,
    ``edit``, ``how far``, ``lots``, ``move``, ``rate``."""
    title: str
    about: Mapping[str, str] = field(default_factory=dict)
    stood: str = ""
    """What was stored when it was opened; where that is another now, what was typed is not taken up."""
    at: int = 0
    """The page that was in sight."""
    pages: tuple[KeptPage, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict)
    """The lines of a form that has no pages, by field."""
    since: str = field(default="", compare=False)
    """When it was kept last, by the shop's clock: ``Wed 4 Mar 14:05``; empty while it is open."""
    file: str = field(default="", compare=False)
    """The name of the file that it waits in, until it is open, put back or let go; empty while it is open."""
    sent_after: int = NOT_SENT
    """The newest change when its recording was begun, while that is not answered."""
    recorded: tuple[str, ...] = field(default=(), compare=False)
    """What was recorded after that, by whomever; looked up when it is taken up."""
    whose: Mapping[str, str] = field(default_factory=dict, compare=False)
    """The shop's name, and of each job its customer and address, when it was typed; nothing of a form of before."""
    others: tuple[str, ...] = field(default=(), compare=False)
    """What is another's by now, a sentence each; looked up when it is taken up."""
    moment: str = field(default="", compare=False)
    """The shop's wall time when it was typed, ISO; when it is taken up, empty where that was today."""
    meant: tuple[str, ...] = field(default=(), compare=False)
    """Days and hours that were written out when it was taken up, as they were meant then."""


def stood(draft: Draft) -> str:
    """Return what tells whether what a form was opened on is still what is stored."""
    return hashlib.sha256(draft.seen.encode()).hexdigest() if draft.seen else ""


def pages_of(draft: Draft, opened: Sequence[Part]) -> tuple[KeptPage, ...]:
    """Return the pages as typed; `opened` are those that the form was opened with."""
    origins = {id(part): place for place, part in enumerate(opened)}
    return tuple(
        KeptPage(kind=part.page.kind, origin=origins.get(id(part), _NEW), texts=dict(part.texts))
        for part in draft.parts
    )


def take_up(draft: Draft, kept: KeptForm) -> None:
    """Put what was typed into a form that was opened anew.

    Raises:
        Refused: what is stored is not what the form was opened on; the form has other pages now.
    """
    if stood(draft) != kept.stood:
        typed = [*_otherwise(draft, kept)]
        raise Refused(
            [
                f"{kept.title} was changed since the screens ended: what was typed in its form then is not taken up; "
                "look at it, and repeat what you want changed.",
                *([f"In its form stood, other than it is now: {listed(typed, most=20)}."] if typed else []),
            ]
        )
    pages = {page.kind: page for page in draft.pages}
    parts = []
    for one in kept.pages:
        if one.kind not in pages:
            raise Refused(f"{kept.title} has other pages in this version: what was typed in its form is not taken up.")
        known = 0 <= one.origin < len(draft.parts) and draft.parts[one.origin].page.kind == one.kind
        part = draft.parts[one.origin] if known else fresh(pages[one.kind])
        part.texts.update({key: text for key, text in one.texts.items() if key in part.texts})
        parts.append(part)
    if parts:
        draft.parts[:] = parts


def typed_in(kept: KeptForm) -> list[str]:
    """Return what was typed in a form, to be told where it cannot be opened: lines as they are, of pages with page and label.

    Of a form that was opened on what is stored there is nothing of its pages: what stood there is not what was typed.
    """
    pages = {} if kept.stood else {page.kind: page for page in PAGES_OF.get(kept.form, ())}
    said = [text for text in kept.texts.values() if text]
    for one in kept.pages:
        for entry in pages[one.kind].entries if one.kind in pages else ():
            text = " ".join(one.texts.get(entry.key, "").split())
            if text and text not in (entry.fresh, entry.usual):
                said.append(f"{pages[one.kind].title}, {entry.label}: '{text}'")
    return said


def _otherwise(draft: Draft, kept: KeptForm) -> Iterator[str]:
    """Yield each line of a kept form that is another now, by its page and label."""
    pages = {page.kind: page for page in draft.pages}
    for one in kept.pages:
        if one.kind not in pages:
            continue
        page = pages[one.kind]
        now = draft.parts[one.origin] if 0 <= one.origin < len(draft.parts) else fresh(page)
        same = now.texts if now.page.kind == one.kind else {}
        name = f" {now.name}" if page.table and now.name and same else ""
        labels = {entry.key: entry.label for entry in page.entries}
        for key, text in one.texts.items():
            if key in labels and text.strip() and text != same.get(key, ""):
                yield f"{page.title}{name}, {labels[key]}: '{' '.join(text.split())}'"
