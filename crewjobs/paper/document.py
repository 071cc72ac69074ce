"""A page in finished words: what every sheet but the day plan becomes before it is set as text, HTML or PDF.

Each sheet has typed values of its own (`week_sheet`, `notice`, `house_ready`, `job_record`, `shopping_list`) and one
function that says them as a `Document`; `document_text`, `document_html` and `document_pdf` set any of them. Texts may
hold any character: they are data, never markup.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from crewjobs.drawing.shapes import Drawing
from crewjobs.paper.model import PaperSize

LineKind = Literal["plain", "strong", "small", "wait", "ends"]
"""How a line of a cell stands: a `wait` runs on, one that `ends` ends that day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading; what follows belongs to it."""

    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """A paragraph; a `small` one is a remark on what stands above it."""

    text: str
    strong: bool = False
    small: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of a list: `lead` stands before it (a day, an hour), `tag` marks it, `box` is to be ticked by hand.

    `notes` stand under it, small; `answers` are boxes of which one is ticked.
    """

    text: str
    lead: str = ""
    tag: str = ""
    box: bool = False
    strong: bool = False
    notes: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Entries:
    """A list. `beside` says that leads have a column of their own."""

    entries: tuple[Entry, ...]

    @property
    def beside(self) -> bool:
        """Return whether something leads a line."""
        return any(entry.lead for entry in self.entries)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a table's cell."""

    text: str
    kind: LineKind = "plain"


Cell = tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Columns under heads, `shares` of the width each; the first column names its row.

    `fits`: set as large as it stands on one page whole, and a little smaller if that does it.
    """

    heads: tuple[str, ...]
    shares: tuple[float, ...]
    rows: tuple[tuple[Cell, ...], ...]
    fits: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing with its title; text pages leave it out, since all it says stands beside it in words."""

    title: str
    drawing: Drawing


Block = Section | Say | Entries | Table | Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A page: its title and, at the right, its day; lines under the head; blocks; two lines at the foot.

    `message`: it is sent, so its text is set narrow. `printed_at` is the shop's wall clock. `running` is the head from the second
    page on, what names the page first, since its end is cut where it finds no room; where it is empty the title is.
    """

    title: str
    aside: str
    under: tuple[str, ...]
    blocks: tuple[Block, ...]
    foot: str
    newer: str
    printed_at: datetime
    paper: PaperSize
    landscape: bool = False
    message: bool = False
    running: str = ""


def section(title: str, blocks: Sequence[Block], none: str = "") -> tuple[Block, ...]:
    """Return blocks under a heading; where there are none with the sentence for it, or nothing at all."""
    if not blocks:
        return (Section(title=title), Say(text=none)) if none else ()
    return (Section(title=title), *blocks)


def entries(*found: Entry) -> tuple[Block, ...]:
    """Return a list, or nothing where it has no line."""
    return (Entries(entries=found),) if found else ()


def plain(*texts: str) -> Cell:
    """Return a cell of plain lines, without empty ones."""
    return tuple(Line(text=text) for text in texts if text)
