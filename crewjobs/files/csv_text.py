"""CSV as RFC 4180 has it: lines end in CR LF, a cell with a comma, a quote or a line break is quoted, a quote in it doubled.

Text that a spreadsheet would run as a formula is kept from it by an apostrophe in front, as OWASP's ASVS 5.0 (1.2.10) asks for and
CWE-1236 describes: text that begins with = + - @, a tab, a line break or their full-width forms, blanks before them or not. An
apostrophe that stands before such text already gets another one, so that reading takes away exactly what writing put there.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Final

BOM: Final = "\ufeff"
"""The byte order mark by which some spreadsheets see that a file is UTF-8."""
Cell = str | int | float | None
_FORMULA: Final = re.compile(r"'*\s*[=+\-@\t\r\n\0＝＋－＠]")


def guarded(text: str) -> str:
    """Return a text as a cell that no spreadsheet takes for a formula."""
    return f"'{text}" if _FORMULA.match(text) else text


def unguarded(cell: str) -> str:
    """Return what was guarded: the text of a cell without the apostrophe put before it."""
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell[1:]) else cell


def write_csv(head: Sequence[str], rows: Iterable[Sequence[Cell]], *, bom: bool = False) -> str:
    """Return a table as CSV; numbers with a point and at most two decimals, nothing where there is nothing."""
    out = io.StringIO(newline="")
    if bom:
        out.write(BOM)
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([guarded(name) for name in head])
    writer.writerows([_cell(cell) for cell in row] for row in rows)
    return out.getvalue()


def _cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return guarded(cell)
    return str(cell) if isinstance(cell, int) else f"{cell:.2f}".rstrip("0").rstrip(".")
