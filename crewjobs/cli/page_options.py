"""The options every page on paper has: as text, as PDF, as one HTML file, into a folder, on which paper."""

from __future__ import annotations

import os
import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Iterable, Sequence, Set
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli.printing import add_json, clean, emit, terminal_width
from crewjobs.domain.errors import Refused
from crewjobs.services.pages.places import check_folder, check_there

if TYPE_CHECKING:
    from crewjobs.services.office import Office
    from crewjobs.services.pages.printed import Page


def add_page_options(command: ArgumentParser) -> None:
    """Give a command what a page needs; without any of it the page is printed as text."""
    command.add_argument("--pdf", type=Path, metavar="FILE", help="write it as PDF")
    command.add_argument("--html", type=Path, metavar="FILE", help="write it as one HTML file, for a phone")
    command.add_argument("--text", type=Path, metavar="FILE", help="write it as plain text, short lines, for a message")
    command.add_argument(
        "--out",
        type=Path,
        metavar="FOLDER|FILE",
        help="write all three into a folder, under usual names; or one, as a name's .pdf, .html or .txt says",
    )
    command.add_argument("--paper", choices=["letter", "a4"], default="", help="paper size (default: the shop's)")
    add_json(command)


def put_out(args: Namespace, office: Office, page: Page, then: str = "", behind: str = "") -> int:
    """Write a page where it was asked for and say where, and what is to be recorded `then`; else print it as text, or as JSON.

    What is `behind` in the plan is said on standard error alone: what is printed may be handed to a customer.

    Raises:
        Refused: two kinds are to go into one file, or a file cannot be written.
    """
    asked, folder = {"pdf": args.pdf, "html": args.html, "txt": args.text}, args.out
    if kind := file_kind(folder):
        if asked[kind] is not None:
            raise Refused(f"{folder} and {asked[kind]} would be the same page: give it one name.")
        asked[kind], folder = folder, None
    files = {kind: path for kind, path in asked.items() if path is not None}
    if len(set(files.values())) < len(files):
        raise Refused("each kind of page goes into a file of its own: give --pdf, --html and --text different names.")
    for path in files.values():
        check_there(path.parent)
    check_folder(folder)
    known = there(files.values(), folder)
    written = [
        *(office.write_files(page, files) if files else ()),
        *(office.write_page(page, folder) if folder else ()),
    ]
    warn(behind)
    if any(path.suffix.lower() == ".pdf" for path in written):
        warn(office.not_printed(page))
    if written:
        lines = [
            *written_lines(written, known),
            *([then] if then else []),
        ]
        return emit(args, {"files": written}, lambda: "\n".join(lines))
    return emit(args, page, lambda: office.page_text(page, _width()))


def warn(behind: str) -> None:
    """Say on standard error what a page stands on that is behind; nothing where nothing is."""
    if behind and sys.stderr is not None:
        print(clean(f"crewjobs: {behind}", lines=False), file=sys.stderr)


def file_kind(out: Path | None) -> str:
    """Return which kind of page a name is of by its end, ``pdf``, ``html`` or ``txt``; empty for a folder."""
    kind = "" if out is None else out.suffix.casefold().removeprefix(".")
    return kind if out is not None and kind in ("pdf", "html", "txt") and not out.is_dir() else ""


def written_lines(written: Sequence[Path], there: Set[Path]) -> list[str]:
    """Return a line for each file that was written: of what stood there before, that it was replaced."""
    return [f"{'Replaced' if path.resolve() in there else 'Wrote'} {path}" for path in written]


def there(files: Iterable[Path], folder: Path | None) -> frozenset[Path]:
    """Return which files stand where pages may go, before any is written."""
    try:
        inside = list(folder.iterdir()) if folder is not None and folder.is_dir() else []
    except OSError:  # it cannot be read: writing says why, or replaces nothing that is known of
        inside = []
    return frozenset(path.resolve() for path in (*files, *inside) if os.path.exists(path))


def _width() -> int | None:
    """Return how wide the text is printed: as usual for what it is, narrower on a narrow terminal."""
    from crewjobs.paper.document_text import USUAL_WIDTH

    width = terminal_width()
    return width if width < USUAL_WIDTH else None
