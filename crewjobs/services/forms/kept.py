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
OTHERWISE: Final = "In its form stood, other than it is now"
"""How the sentence begins that tells what was typed in a form whose job or shop is another now."""
NOT_SENT: Final = -1
"""Stands for the change of a form whose recording was not begun."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPage:
    """A page as typed: its kind, which page of the form as it opened it was (-1: added since), its lines by field."""

    kind: str
    origin: int
    texts: Mapping[str, str]
    typed: tuple[str, ...] | None = field(default=None, compare=False)
    """The keys of those lines that are other than the page began with; None of a form of before, of which nobody knows."""


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
    """The shop's wall time when it was typed, ISO; when it is taken up, empty where that was just now."""
    meant: tuple[str, ...] = field(default=(), compare=False)
    """Days and hours that were written out when it was taken up, as they were meant then."""
    before: KeptForm | None = field(default=None, compare=False)
    """The form with its days and hours as they were typed, where some were written out."""


def stood(draft: Draft) -> str:
    """Return what tells whether what a form was opened on is still what is stored."""
    return hashlib.sha256(draft.seen.encode()).hexdigest() if draft.seen else ""


def pages_of(draft: Draft, opened: Sequence[Part]) -> tuple[KeptPage, ...]:
    """Return the pages as typed; `opened` are those that the form was opened with."""
    origins = {id(part): place for place, part in enumerate(opened)}
    return tuple(
        KeptPage(
            kind=part.page.kind, origin=origins.get(id(part), _NEW), texts=dict(part.texts), typed=tuple(_touched(part))
        )
        for part in draft.parts
    )


def _touched(part: Part) -> Iterator[str]:
    """Yield the keys of the lines that stand otherwise than they began: as stored, or as they usually stand in a new page."""
    for entry in part.page.entries:
        usual = ("", entry.usual, entry.fresh) if not part.before else ()
        if part.texts[entry.key] not in (part.first[entry.key], *usual):
            yield entry.key


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
                *([f"{OTHERWISE}: {listed(typed, most=20)}."] if typed else []),
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
    """Return what was typed in a form, to be told where it cannot be opened: lines as typed, of pages with page and label.

    Of a form of before that was opened on what is stored there is nothing of its pages: what stood there is not what was typed.
    """
    kept = kept.before or kept
    pages = {page.kind: page for page in PAGES_OF.get(kept.form, ())}
    said = [text for text in kept.texts.values() if text]
    for one in kept.pages:
        for entry in pages[one.kind].entries if one.kind in pages else ():
            text = " ".join(one.texts.get(entry.key, "").split())
            by_hand = entry.key in one.typed if one.typed is not None else bool(text) and not kept.stood
            if by_hand and (one.typed is not None or text not in (entry.fresh, entry.usual)):
                said.append(f"{_titled(page_part(kept.form, one))}, {entry.label}: {_quoted(text)}")
    return said


def page_part(form: str, kept: KeptPage) -> Part:
    """Return a kept page as one of a form anew, with what was typed in it; its kind is one of that form's."""
    part = fresh(next(page for page in PAGES_OF[form] if page.kind == kept.kind))
    part.texts.update({key: text for key, text in kept.texts.items() if key in part.texts})
    return part


def _titled(part: Part) -> str:
    """Return which page it is, by its name where there may be several."""
    return f"{part.page.title} {part.name}" if part.page.table and part.name else part.page.title


def _quoted(text: str) -> str:
    text = " ".join(text.split())
    return f"'{text}'" if text else "emptied"


def _otherwise(draft: Draft, kept: KeptForm) -> Iterator[str]:
    """Yield each line that was typed in a kept form, as it was typed, and is another now, by its page and label.

    Of a form of before it is not known what was typed: each of its lines that is another now.
    """
    pages = {page.kind: page for page in draft.pages}
    for one, typed in zip(kept.pages, (kept.before or kept).pages, strict=True):
        if one.kind not in pages:
            continue
        page = pages[one.kind]
        now = draft.parts[one.origin] if 0 <= one.origin < len(draft.parts) else fresh(page)
        same = now.texts if now.page.kind == one.kind else {}
        name = f" {now.name}" if page.table and now.name and same else ""
        labels = {entry.key: entry.label for entry in page.entries}
        for key, text in one.texts.items():
            by_hand = key in one.typed if one.typed is not None else bool(text.strip())
            if key in labels and by_hand and text != same.get(key, ""):
                yield f"{page.title}{name}, {labels[key]}: {_quoted(typed.texts[key])}"
