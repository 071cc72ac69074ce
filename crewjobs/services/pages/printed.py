"""Pages set and put into files: text, PDF where the machine can typeset, one HTML file."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.paper.document import Document
from crewjobs.paper.house_ready import ReadyQuestions, questions_document
from crewjobs.paper.job_record import JobRecordPage, record_document
from crewjobs.paper.notice import CustomerNotice, notice_document
from crewjobs.paper.shopping_list import ShoppingList, shopping_document
from crewjobs.paper.week_sheet import WeekSheet, week_document
from crewjobs.services.pages.sheets import can_typeset, whole_file

ENDINGS: Final = {"pdf": (".pdf",), "txt": (".txt",), "html": (".html", ".htm")}
TOLD: Final = {"pdf": "PDF", "txt": "text", "html": "HTML"}
Page = WeekSheet | CustomerNotice | ReadyQuestions | JobRecordPage | ShoppingList


def document_of(page: Page) -> Document:
    """Return a page in finished words."""
    match page:
        case WeekSheet():
            return week_document(page)
        case CustomerNotice():
            return notice_document(page)
        case ReadyQuestions():
            return questions_document(page)
        case JobRecordPage():
            return record_document(page)
        case ShoppingList():
            return shopping_document(page)


def page_name(page: Page) -> str:
    """Return the name of a page's files without their ending, such as ``notice-job-4``."""
    match page:
        case WeekSheet():
            return f"week-{page.monday.isoformat()}"
        case CustomerNotice():
            return f"notice-job-{page.job}"
        case ReadyQuestions():
            return f"house-ready-job-{page.job}"
        case JobRecordPage():
            return f"record-job-{page.job}"
        case ShoppingList():
            whose = re.sub(r"[^\w]+", "-", page.whose.lower()).strip("-")[:40]
            return f"shopping-list-{whose or 'jobs'}"


def page_text(page: Page, width: int | None = None) -> str:
    """Return a page as text, `width` columns wide or as is usual for what it is."""
    from crewjobs.paper.document_text import document_text

    return document_text(document_of(page), width)


def not_printed(page: Page) -> str:
    """Return what who prints a page for a customer is told of characters its PDF cannot show; empty where it shows all."""
    from crewjobs.paper.document_pdf import not_printed as of_document

    return of_document(document_of(page)) if can_typeset() else ""


def write_page(page: Page, folder: Path) -> tuple[Path, ...]:
    """Write a page as PDF (where the machine can typeset), text and HTML into a folder; return the files.

    Raises:
        Refused: the folder or a file cannot be written.
    """
    name = page_name(page)
    kinds = ("pdf", "txt", "html") if can_typeset() else ("txt", "html")
    return write_files(page, {kind: folder / f"{name}.{kind}" for kind in kinds})


def write_files(page: Page, files: Mapping[str, Path]) -> tuple[Path, ...]:
    """Write a page as the files asked for, by kind: ``pdf``, ``txt``, ``html``. All are set before the first is written.

    Raises:
        Refused: a file does not end as its kind does, a PDF cannot be made here, or a file cannot be written.
    """
    from crewjobs.storage.paths import check_name, shown, without_dots

    for kind, path in files.items():
        check_name(path)
        if path.suffix.lower() not in ENDINGS[kind]:
            raise Refused(f"{shown(path)}: a page as {TOLD[kind]} goes into a file that ends in {ENDINGS[kind][0]}.")
    made = {without_dots(files[kind]): data for kind, data in _made(document_of(page), files)}
    for path, data in made.items():
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            whole_file(path, data)
        except OSError as error:
            raise Refused(f"the page cannot be written to {shown(path)}: {error.strerror}.") from None
    return tuple(made)


def _made(document: Document, files: Mapping[str, Path]) -> Iterator[tuple[str, bytes]]:
    from crewjobs.paper.document_html import document_html
    from crewjobs.paper.document_pdf import document_pdf
    from crewjobs.paper.document_text import document_text

    makers: dict[str, Callable[[Document], bytes]] = {
        "pdf": document_pdf,
        "txt": lambda page: document_text(page).encode(),
        "html": lambda page: document_html(page).encode(),
    }
    for kind in files:
        yield kind, makers[kind](document)
