"""A page as plain text, for a message or a terminal: short lines, no rules, nothing that needs a wide screen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from crewjobs.paper import wording as say
from crewjobs.paper.directions import set_apart
from crewjobs.paper.document import Block, Document, Entries, Entry, Line, Say, Section, Table
from crewjobs.paper.wrap import display_width, wrap

NARROWEST: Final = 24
USUAL_WIDTH: Final = 72
MESSAGE_WIDTH: Final = 40
"""Columns of a page that is sent: a message on a phone shows about so many in a line."""
_BOX: Final = "[ ] "
_MARKS: Final = {"wait": "~ ", "ends": "| "}


def document_text(page: Document, width: int | None = None) -> str:
    """Return the page in lines of at most `width` columns (as usual for what it is, where none is given).

    Control characters in user text are shown, never sent; names read from right to left are set apart, so that a telephone
    number beside one stands as it is dialled. Raises ValueError if `width` is under 24.
    """
    width = width or (MESSAGE_WIDTH if page.message else USUAL_WIDTH)
    if width < NARROWEST:
        raise ValueError(f"A page needs a width of at least {NARROWEST} columns, not {width}.")
    lines = [*_head(page, width)]
    for before, block in pairwise((None, *page.blocks)):
        if isinstance(block, Say) and isinstance(before, Entries | Table):
            lines.append("")
        lines += _block(block, width) if block is not None else ()
    lines += ["", *wrap(_foot(page), width), *wrap(say.visible(page.newer), width)]
    return set_apart("\n".join(_without_double_gaps(lines)) + "\n")


def _foot(page: Document) -> str:
    return f"{say.visible(page.foot)} · printed {say.stamp(page.printed_at)}"


def _head(page: Document, width: int) -> Iterator[str]:
    yield from wrap(say.visible(page.title).upper(), width)
    if page.aside:
        yield from wrap(say.visible(page.aside), width)
    for line in page.under:
        yield from wrap(say.visible(line), width)


def _block(block: Block, width: int) -> Iterator[str]:
    if isinstance(block, Section):
        yield ""
        yield from wrap(say.visible(block.title).upper(), width)
    elif isinstance(block, Say):
        yield from wrap(say.visible(block.text), width, first="! " if block.strong else "", rest="")
    elif isinstance(block, Entries):
        for entry in block.entries:
            yield from _entry(entry, width)
    elif isinstance(block, Table):
        yield from _table(block, width)


def _entry(entry: Entry, width: int) -> Iterator[str]:
    mark = say.visible(entry.tag).upper()
    tag = f"{mark}{':' if mark.isalpha() or ' ' in mark else ''} " if mark else ""
    lead = f"{say.visible(entry.lead)}: " if entry.lead else ""
    box = _BOX if entry.box else "- "
    yield from wrap(f"{lead}{tag}{say.visible(entry.text)}", width, first=box, rest=" " * display_width(box))
    for note in entry.notes:
        yield from wrap(say.visible(note), width, first="    ", rest="    ")
    for answer in entry.answers:
        yield from wrap(say.visible(answer), width, first=f"    {_BOX}", rest=" " * 8)


def _table(table: Table, width: int) -> Iterator[str]:
    """Yield each row one below the other: its first cell is its name, the other cells are led by their heads."""
    for row in table.rows:
        yield ""
        name, *cells = row
        for line in name:
            yield from wrap(say.visible(line.text), width)
        for head, cell in zip(table.heads[1:], cells, strict=True):
            if cell:
                yield from _cell(say.visible(head), cell, width)


def _cell(head: str, cell: tuple[Line, ...], width: int) -> Iterator[str]:
    if len(cell) == 1:
        mark = _MARKS.get(cell[0].kind, "")
        yield from wrap(f"{head}: {mark}{say.visible(cell[0].text)}", width, first="  ", rest="    ")
        return
    yield from wrap(f"{head}:", width, first="  ", rest="  ")
    for place, line in enumerate(cell):
        mark = _MARKS.get(line.kind, "")
        pad = "      " if line.kind == "small" and place else "    "  # a remark is on what stands above it
        yield from wrap(say.visible(line.text), width, first=pad + mark, rest=pad + "  ")


def _without_double_gaps(lines: list[str]) -> Iterator[str]:
    before = ""
    for line in lines:
        if line or before:
            yield line
        before = line
