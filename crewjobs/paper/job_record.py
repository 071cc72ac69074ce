"""The record of a job for the file: what was laid and how it went. Facts as they were recorded, nothing reckoned anew.

It stays in the shop's file and names the customer; entry notes have no field here either.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from crewjobs.paper import wording as say
from crewjobs.paper.directions import whole
from crewjobs.paper.document import Block, Document, Entry, Say, Table, entries, plain, section
from crewjobs.paper.model import PaperSize, Sheet

NONE: Final = "None recorded."


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordRoom:
    """A room (or stairs) before and after: what lay there and what was to be laid; `laid` says when, how far, or that it is not."""

    name: str
    before: str
    after: str
    laid: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordMaterial:
    """A material: what it is, what was ordered and came, its lots, what went back."""

    name: str
    what: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordWork:
    """Work of a phase that was done: what, where, when last and by which crew."""

    phase: str
    what: str
    where: str
    when: str
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecordPage:
    """All of it. Lines are finished words in the order they were recorded, latest first where that is said."""

    shop_name: str
    shop_phone: str
    sheet: Sheet
    paper: PaperSize
    job: int
    title: str
    customer: str
    address: str
    state: str
    dates: tuple[str, ...]
    rooms: tuple[RecordRoom, ...]
    materials: tuple[RecordMaterial, ...]
    work: tuple[RecordWork, ...]
    not_done: tuple[str, ...]
    """What was not needed, or is not done yet, in words."""
    people: tuple[str, ...]
    hours: tuple[str, ...]
    readings: tuple[str, ...]
    findings: tuple[str, ...]
    agreed: tuple[str, ...]
    walks: tuple[str, ...]
    passed: tuple[str, ...]
    dry_runs: tuple[str, ...]
    small_visits: tuple[str, ...]


def record_document(page: JobRecordPage) -> Document:
    """Return the record as a page."""
    return Document(
        title=f"Job {page.job}: {page.title}",
        aside=page.state,
        under=(f"{whole(page.customer)}, {whole(page.address)}", *page.dates),
        blocks=tuple(_blocks(page)),
        foot=say.sheet_of(page.sheet.name, page.sheet),
        newer=f"facts as recorded by {say.visible(page.shop_name)} {say.visible(page.shop_phone)}".strip(),
        printed_at=page.sheet.printed_at,
        paper=page.paper,
        running=f"Job {page.job}, {whole(page.customer)}: {page.title}",
    )


def _blocks(page: JobRecordPage) -> Iterator[Block]:
    yield from section("Before and after", tuple(_rooms(page)), NONE)
    materials = entries(*(Entry(lead=one.name, text=one.what, notes=one.lines) for one in page.materials))
    yield from section("Material and lots", materials, NONE)
    yield from section("Readings", _lines(page.readings), NONE)
    yield from section("Who worked, and hours", (*_lines(page.people), *_lines(page.hours)), NONE)
    yield from section("Work done", tuple(_work(page)), NONE)
    yield from section("Not done", _lines(page.not_done))
    yield from section("Findings, and how they were settled", _lines(page.findings), NONE)
    yield from section("Agreed changes", _lines(page.agreed), NONE)
    yield from section("Walk-throughs", _lines(page.walks), NONE)
    yield from section("Holds passed, with the reason", _lines(page.passed), NONE)
    yield from section("Crews sent for nothing", _lines(page.dry_runs))
    yield from section("Small visits", _lines(page.small_visits))


def _lines(texts: tuple[str, ...]) -> tuple[Block, ...]:
    return entries(*(Entry(text=text) for text in texts))


def _rooms(page: JobRecordPage) -> Iterator[Block]:
    if page.rooms:
        rows = tuple((plain(one.name), plain(one.before), plain(one.after), plain(one.laid)) for one in page.rooms)
        yield Table(heads=("Room", "Before", "After", "Laid"), shares=(0.7, 1.2, 1.2, 1.0), rows=rows)


def _work(page: JobRecordPage) -> Iterator[Block]:
    if page.work:
        rows = tuple(
            (plain(one.phase), plain(one.what), plain(one.where), plain(one.when, one.who)) for one in page.work
        )
        yield Table(heads=("Phase", "What", "Where", "Done"), shares=(0.7, 1.6, 1.1, 0.8), rows=rows)
        yield Say(text="By the task list, as it was ticked; crews as they were recorded.")
