"""A plain list as any spreadsheet writes it: its encoding, its delimiter, its heading and its rows, found and not asked for.

Lists differ in all of it. UTF-8 is tried first (with or without a byte order mark), UTF-16 where its mark says so, else Windows-1252, in which
most older lists of western languages are. The delimiter is the one by which most lines have as many cells as the heading, and the heading more
than with any other; the standard library's sniffer looks at characters alone and is misled by commas in addresses.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.files.csv_text import BOM, unguarded
from crewjobs.files.detect import shown_name

LARGEST_LIST: Final = 5_000_000
"""Bytes of a list: thousands of jobs take less than one million."""
MOST_ROWS: Final = 5000
MOST_COLUMNS: Final = 200
DELIMITERS: Final = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
ENCODINGS: Final = {"utf-8-sig": "UTF-8", "utf-16": "UTF-16", "cp1252": "Windows-1252"}
_LOOKED_AT: Final = 200
"""Lines by which the delimiter is found."""
_ABOVE: Final = 10
"""Lines that may stand above the heading: a title, a date."""
_UTF_16: Final = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRow:
    """One row: the line of the file it begins on, and as many cells as there are columns."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ListFile:
    """What a list holds: the names of its columns, each once, and its rows; `beyond` are rows with cells beyond the last column."""

    source: str
    columns: tuple[str, ...]
    rows: tuple[ListRow, ...]
    delimiter: str
    encoding: str
    beyond: tuple[int, ...] = ()


def read_list(path: Path, is_heading: Callable[[Sequence[str]], int], encoding: str = "") -> ListFile:
    """Return the list in a file; `is_heading` counts the words of a line that name a column.

    `encoding` is that of the file by its usual name, such as ``cp1251``, where it is none that is found by itself.

    Raises:
        Refused: no such encoding, the file cannot be read, is no text, has no row, more rows or columns than a list has, or a quote that is never closed.
    """
    source = shown_name(path.name or str(path))
    return parse_list(_bytes_of(path, source), source, is_heading, encoding)


def parse_list(data: bytes, source: str, is_heading: Callable[[Sequence[str]], int], encoding: str = "") -> ListFile:
    """Return the list in some bytes, as `read_list`."""
    text, encoding = _as_said(data, source, encoding) if encoding else _decoded(data, source)
    said, text = _said_delimiter(text)
    delimiter = said or _delimiter(text, is_heading)
    records = _records(text, delimiter, source)
    if not records:
        raise Refused(f"{source}: the file is empty.")
    place = _heading(records, is_heading)
    columns = _columns(records[place].cells)
    if len(columns) > MOST_COLUMNS:
        raise Refused(f"{source}: it has {len(columns)} columns; {MOST_COLUMNS} are the most of a list.")
    rows = records[place + 1 :]
    if not rows:
        raise Refused(
            f"{source}: there is no row under its heading: the first line names the columns, such as Customer,Address,Job."
        )
    if len(rows) > MOST_ROWS:
        raise Refused(f"{source}: it has {len(rows)} rows; give {MOST_ROWS} at once at most.")
    width = len(columns)
    return ListFile(
        source=source,
        columns=columns,
        rows=tuple(ListRow(line=row.line, cells=(*row.cells, *[""] * width)[:width]) for row in rows),
        delimiter=delimiter,
        encoding=encoding,
        beyond=tuple(row.line for row in rows if any(cell.strip() for cell in row.cells[width:])),
    )


def _bytes_of(path: Path, source: str) -> bytes:
    try:
        if path.is_dir():
            raise Refused(f"{source}: this is a folder; name the file in it.")
        with path.open("rb") as file:
            data = file.read(LARGEST_LIST + 1)
    except FileNotFoundError:
        raise Refused(f"{source}: there is no such file.") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "its name cannot be used"
        raise Refused(f"{source}: the file cannot be read: {reason}.") from None
    if len(data) > LARGEST_LIST:
        raise Refused(f"{source}: the file is larger than five megabytes; a list of jobs is far smaller.")
    return data


def _decoded(data: bytes, source: str) -> tuple[str, str]:
    """Return the text and the name of its encoding."""
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise Refused(f"{source}: this is a workbook: save its sheet as CSV, and give that file.")
    tries = ("utf-16",) if data.startswith(_UTF_16) else ("utf-8-sig", "cp1252")
    for encoding in tries:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            if not text.strip():
                raise Refused(f"{source}: the file is empty.")
            return text, ENCODINGS[encoding]
    raise Refused(f"{source}: this is not a text file: save the list as CSV in UTF-8.")


def _as_said(data: bytes, source: str, encoding: str) -> tuple[str, str]:
    """Return the text in an encoding that was said, and its name."""
    try:
        text = data.decode(encoding)
    except (LookupError, ValueError) as error:
        if isinstance(error, UnicodeDecodeError):
            raise Refused(
                f"{source}: it is not in {quoted(encoding)}: leave that away, or name another encoding."
            ) from None
        raise Refused(f"{quoted(encoding)} is no encoding known here: such as utf-8, cp1252 or cp1251.") from None
    if not isinstance(text, str) or "\0" in text:
        raise Refused(f"{source}: in {quoted(encoding)} this is no text.")
    if not text.strip():
        raise Refused(f"{source}: the file is empty.")
    return text.removeprefix(BOM), encoding


def _said_delimiter(text: str) -> tuple[str, str]:
    """Return the delimiter that some spreadsheets say in a line ``sep=;`` of its own, and the text without that line."""
    first, end, rest = text.partition("\n")
    word = first.strip()
    if end and len(word) == 5 and word.lower().startswith("sep=") and word[4] in DELIMITERS:
        return word[4], end + rest  # an empty line in its place, so that lines are counted as they are
    return "", text


def _delimiter(text: str, is_heading: Callable[[Sequence[str]], int]) -> str:
    """Return by which sign a text is a table: known names in its heading first, then lines as long as the heading, then columns."""
    part = "".join(text.splitlines(keepends=True)[:_LOOKED_AT])

    def worth(sign: str) -> tuple[int, float, int]:
        try:
            rows = [row for row in csv.reader(io.StringIO(part, newline=""), delimiter=sign) if any(row)]
        except csv.Error:
            return 0, 0.0, 0
        head = max(rows[:_ABOVE], key=is_heading, default=[])
        if len(head) < 2:
            return is_heading(head), 0.0, 0
        return is_heading(head), sum(len(row) == len(head) for row in rows) / len(rows), len(head)

    return max(DELIMITERS, key=worth)  # of equal ones the first


def _records(text: str, delimiter: str, source: str) -> list[ListRow]:
    """Return the lines that hold anything, each with the line of the file it begins on."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    found: list[ListRow] = []
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                found.append(ListRow(line=begins, cells=tuple(unguarded(cell).strip() for cell in cells)))
            begins = reader.line_num + 1
    except csv.Error as error:
        if "limit" in str(error):
            raise Refused(f"{source}: line {begins}: a cell in it is longer than any list's.") from None
        raise Refused(
            f"{source}: line {begins}: a quote is opened there and not closed as it should be: a quote within a cell is written twice."
        ) from None
    return found


def _heading(records: Sequence[ListRow], is_heading: Callable[[Sequence[str]], int]) -> int:
    """Return which line is the heading: of the first lines the one with most names of columns, else the first."""
    return max(range(min(len(records), _ABOVE)), key=lambda place: (is_heading(records[place].cells), -place))


def _columns(cells: Sequence[str]) -> tuple[str, ...]:
    """Return the names of columns: an empty one by its place, one that is there twice with its count."""
    last = max((place for place, cell in enumerate(cells, start=1) if cell), default=len(cells))
    found: list[str] = []
    for place, cell in enumerate(cells[:last], start=1):
        name = " ".join(cell.split()) or f"column {place}"
        count = sum(known.casefold() == name.casefold() for known in found)
        again = 2
        wanted = name
        while count and any(known.casefold() == name.casefold() for known in found):
            name = f"{wanted} ({again})"
            again += 1
        found.append(name)
    return tuple(found)
