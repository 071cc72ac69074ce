"""A page as PDF: its finished words to JSON here, layout in assets/document.typ after assets/look.typ."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from crewjobs.drawing.columns import cut_to, display_width
from crewjobs.paper import wording as say
from crewjobs.paper.document import Block, Document, Entries, Entry, Line, Picture, Say, Section, Table
from crewjobs.paper.payload import Json, missing_note, shower
from crewjobs.paper.pdf import missing_characters, typeset

Show = Callable[[str], str]
_TITLE_COLUMNS, _FOOT_COLUMNS, _HEAD_COLUMNS = 34, 70, 24
"""Columns that surely fit on one line of the head, the foot and a table's head; longer ones stand in full below."""
_SURELY_FITS: Final = 300
"""So many columns of text surely fit on a page in the narrowest column: such an item is kept in one piece."""
_LONG_WORD_CELL: Final = 10


def document_pdf(page: Document) -> bytes:
    """Return the page as a PDF, Letter or A4, upright or lying; equal pages give equal bytes.

    Raises Refused where the packages for PDF are not installed.
    """
    return typeset("document", lambda: _payload(page), page.printed_at)


def _payload(page: Document) -> dict[str, Json]:
    missing = missing_characters(page)
    show, narrow = shower(missing), shower(missing, _LONG_WORD_CELL)
    title, foot, newer = (say.visible(text) for text in (page.title, page.foot, page.newer))
    blocks: list[Json] = [_block(block, show, narrow) for block in page.blocks if not isinstance(block, Picture)]
    full = [text for text, room in ((title, _TITLE_COLUMNS), (foot, _FOOT_COLUMNS)) if display_width(text) > room]
    return {
        "title": show(title),
        "paper": "us-letter" if page.paper == "letter" else "a4",
        "landscape": page.landscape,
        "short": show(cut_to(title, _TITLE_COLUMNS)),
        "aside": show(say.visible(page.aside)),
        "in_full": [show(text) for text in full],
        "under": [show(say.visible(line)) for line in page.under],
        "missing": missing_note(missing),
        "blocks": blocks,
        "foot": show(cut_to(foot, _FOOT_COLUMNS)),
        "printed": say.stamp(page.printed_at),
        "newer": show(newer),
    }


def _block(block: Block, show: Show, narrow: Show) -> Json:
    if isinstance(block, Section):
        return {"kind": "section", "text": show(say.visible(block.title))}
    if isinstance(block, Say):
        return {"kind": "say", "text": show(say.visible(block.text)), "strong": block.strong}
    if isinstance(block, Entries):
        return {
            "kind": "entries",
            "beside": block.beside,
            "entries": [_entry(one, show, narrow) for one in block.entries],
        }
    if isinstance(block, Table):
        return _table(block, narrow)
    raise TypeError(f"A {type(block).__name__} has no place on this page.")


def _entry(entry: Entry, show: Show, narrow: Show) -> Json:
    texts = (entry.text, *entry.notes, *entry.answers)
    return {
        "text": show(say.visible(entry.text)),
        "lead": narrow(say.visible(entry.lead)),
        "tag": show(say.visible(entry.tag)),
        "box": entry.box,
        "strong": entry.strong,
        "notes": [show(say.visible(note)) for note in entry.notes],
        "answers": [show(say.visible(answer)) for answer in entry.answers],
        "short": sum(display_width(text) for text in texts) < _SURELY_FITS * 3,
    }


def _table(table: Table, narrow: Show) -> Json:
    """A table; heads too long for their column are cut there, and said in full before it."""
    heads = [say.visible(head) for head in table.heads]
    rows: list[Json] = [
        {
            "cells": [[_line(line, narrow) for line in cell] for cell in row],
            "short": max(sum(display_width(line.text) + 12 for line in cell) for cell in row) < _SURELY_FITS,
        }
        for row in table.rows
    ]
    return {
        "kind": "table",
        "heads": [narrow(cut_to(head, _HEAD_COLUMNS)) for head in heads],
        "long": [narrow(head) for head in heads if display_width(head) > _HEAD_COLUMNS],
        "shares": list(table.shares),
        "rows": rows,
    }


def _line(line: Line, narrow: Show) -> Json:
    return {"text": narrow(say.visible(line.text)), "kind": line.kind}
