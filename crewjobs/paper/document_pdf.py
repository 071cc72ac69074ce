"""A page as PDF: its finished words to JSON here, layout in assets/document.typ after assets/look.typ."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from crewjobs.drawing.columns import cut_to, display_width
from crewjobs.paper import wording as say
from crewjobs.paper.document import Block, Cell, Document, Entries, Entry, Line, Picture, Say, Section, Table
from crewjobs.paper.payload import Json, missing_note, missing_sent, missing_told, shower
from crewjobs.paper.pdf import missing_characters, typeset

Show = Callable[[str], str]
_ASIDE_COLUMNS, _FOOT_COLUMNS, _NEWER_COLUMNS, _HEAD_COLUMNS = 30, 70, 90, 24
"""Columns that fit at the right of the head, in the foot and in a table's head; longer ones stand in full below."""
_MOST_COLUMNS, _LEAST_COLUMNS, _STEP = 120, 12, 3
"""More columns than fit across a page, fewer than fit beside anything at its right, and by how many a head is cut shorter."""
_SURELY_FITS: Final = 900
"""So many columns of text surely fit on a page: such an item is kept in one piece."""
_CELL_LINES, _ACROSS = 26, 100
"""So many lines of a cell surely fit on a page lying down; so many columns stand across a page."""
_LEAD_POINTS, _LEAST_LEAD, _MOST_LEAD = 6.3, 40, 150
"""Points a column of a lead takes, and how wide the leads are at least and at most."""


def document_pdf(page: Document) -> bytes:
    """Return the page as a PDF, Letter or A4, upright or lying; equal pages give equal bytes.

    Raises Refused where the packages for PDF are not installed.
    """
    return typeset("document", lambda: _payload(page), page.printed_at)


def not_printed(page: Document) -> str:
    """Return what who prints a page that is sent is told of characters its PDF cannot show; empty where it shows all.

    Of the shop's own pages nothing: they say it themselves, under their head. Raises Refused as `document_pdf`.
    """
    return missing_told(missing_characters(page)) if page.message else ""


def _payload(page: Document) -> dict[str, Json]:
    missing = missing_characters(page)
    show = shower(missing)
    title, aside, foot, newer = (say.visible(text) for text in (page.title, page.aside, page.foot, page.newer))
    blocks: list[Json] = [
        _block(block, show, missing, place) for place, block in enumerate(page.blocks) if not isinstance(block, Picture)
    ]
    rooms = ((aside, _ASIDE_COLUMNS), (foot, _FOOT_COLUMNS), (newer, _NEWER_COLUMNS))
    full = [text for text, room in rooms if display_width(text) > room]
    return {
        "title": show(title),
        "paper": "us-letter" if page.paper == "letter" else "a4",
        "landscape": page.landscape,
        "head": [show(text) for text in _ever_shorter(title)],
        "running": [show(text) for text in _ever_shorter(say.visible(page.running) or title)],
        "aside": show(cut_to(aside, _ASIDE_COLUMNS)),
        "in_full": [show(text) for text in full],
        "under": [show(say.visible(line)) for line in page.under],
        "missing": "" if page.message else missing_note(missing),
        "missing_sent": missing_sent(missing) if page.message else "",
        "blocks": blocks,
        "foot": show(cut_to(foot, _FOOT_COLUMNS)),
        "printed": say.stamp(page.printed_at),
        "newer": show(cut_to(newer, _NEWER_COLUMNS)),
    }


def _ever_shorter(text: str) -> list[str]:
    """Return a head in full, then cut ever shorter: the page takes the first it has room for."""
    most = min(_MOST_COLUMNS, display_width(text) - 1)
    return [text, *(cut_to(text, columns) for columns in range(most, _LEAST_COLUMNS, -_STEP))]


def _block(block: Block, show: Show, missing: Sequence[str], place: int) -> Json:
    if isinstance(block, Section):
        return {"kind": "section", "text": show(say.visible(block.title))}
    if isinstance(block, Say):
        return {"kind": "say", "text": show(say.visible(block.text)), "strong": block.strong, "small": block.small}
    if isinstance(block, Entries):
        leads = max(display_width(say.visible(one.lead)) for one in block.entries)
        return {
            "kind": "entries",
            "lead": min(_MOST_LEAD, max(_LEAST_LEAD, leads * _LEAD_POINTS + 8)),
            "beside": block.beside,
            "entries": [_entry(one, show) for one in block.entries],
        }
    if isinstance(block, Table):
        return _table(block, missing, place)
    raise TypeError(f"A {type(block).__name__} has no place on this page.")


def _entry(entry: Entry, show: Show) -> Json:
    texts = (entry.text, *entry.notes, *entry.answers)
    return {
        "text": show(say.visible(entry.text)),
        "lead": show(say.visible(entry.lead)),
        "tag": show(say.visible(entry.tag)),
        "box": entry.box,
        "strong": entry.strong,
        "notes": [show(say.visible(note)) for note in entry.notes],
        "answers": [show(say.visible(answer)) for answer in entry.answers],
        "short": sum(display_width(text) for text in texts) < _SURELY_FITS,
    }


def _table(table: Table, missing: Sequence[str], place: int) -> Json:
    """A table, by its place on the page; heads too long for their column are cut there, and said in full before it.

    A row has a number of its own and a name, so that it is named again where it runs over a page.
    """
    heads, whole = [say.visible(head) for head in table.heads], sum(table.shares)
    show = shower(missing)
    rows: list[Json] = [
        {
            "cells": [[_line(line, show) for line in cell] for cell in row],
            "id": f"{place}.{number}",
            "name": show(say.visible(" ".join(line.text for line in row[0]))),
            "short": max(_lines(cell, one / whole) for cell, one in zip(row, table.shares, strict=True)) < _CELL_LINES,
        }
        for number, row in enumerate(table.rows)
    ]
    return {
        "kind": "table",
        "heads": [show(cut_to(head, _HEAD_COLUMNS)) for head in heads],
        "long": [show(head) for head in heads if display_width(head) > _HEAD_COLUMNS],
        "shares": list(table.shares),
        "fits": table.fits,
        "rows": rows,
    }


def _lines(cell: Cell, share: float) -> float:
    """Return at most how many lines a cell takes in a column of a `share` of the page's columns."""
    room = max(4.0, _ACROSS * share)
    return sum(1 + display_width(line.text) // room for line in cell)


def _line(line: Line, show: Show) -> Json:
    return {"text": show(say.visible(line.text)), "kind": line.kind}
