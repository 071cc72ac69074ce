"""Files as given to `load`: read whole, told apart, all faults of all of them named before anything is used."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import Job
from crewjobs.domain.tasks import TemplateOverride
from crewjobs.domain.units import named

if TYPE_CHECKING:
    from crewjobs.files.shop_file import ShopFile

LARGEST_FILE: Final = 1_000_000
_HEADING: Final = re.compile(r"^\s*\[\[?\s*(\w+)", re.MULTILINE)
_SHOP: Final = frozenset({"shop", "lead", "crew", "template"})
_HISTORY: Final = "happened"


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """What a set of files holds; `overrides` are the shop's changes to task templates.

    Jobs keep the order of the files; `sources` names each job's file.
    """

    shop: Shop | None
    overrides: tuple[TemplateOverride, ...]
    jobs: tuple[Job, ...]
    sources: tuple[str, ...]


def read_files(paths: Sequence[Path], zone: str | None = None) -> Loaded:
    """Return the shop and jobs of some files. A site without a zone takes the shop's: of these files, or `zone`.

    Raises:
        Refused: with every fault of every file; nothing is returned unless all of them are right.
    """
    faults: list[str] = []
    texts = _texts(paths, faults)
    found_shop = _shop(texts, faults)
    shop = found_shop.shop if found_shop else None
    if shop is not None:
        zone = shop.zone
    elif any(_is_shop(text) for _, text in texts):
        zone = zone or "UTC"  # the shop's own faults are named; its missing zone is no fault of the jobs
    found: dict[int, str] = {}
    jobs: list[tuple[Job, str]] = []
    for source, text in texts:
        if _is_shop(text):
            continue
        job = _job(text, source, zone, faults)
        if job is None:
            continue
        if job.number and job.number in found:
            faults.append(f"{source}: job number {job.number} is in {found[job.number]} too: give each job its own.")
        found.setdefault(job.number, source)
        jobs.append((job, source))
    if faults:
        raise Refused(faults)
    return Loaded(
        shop=shop,
        overrides=found_shop.overrides if found_shop else (),
        jobs=tuple(job for job, _ in jobs),
        sources=tuple(source for _, source in jobs),
    )


def read_text_file(path: Path) -> str:
    """Return the text of a file of at most a megabyte.

    Raises:
        Refused: it is missing, a folder, too large, empty, not text, or cannot be read.
    """
    return _read_whole(path, shown_name(path.name or str(path)))


def shown_name(name: str) -> str:
    """Return a file's name as a sentence can hold it: a name may hold characters that steer a terminal."""
    return "".join(c if c.isprintable() else named(c) for c in name)


def _read_whole(path: Path, source: str) -> str:
    try:
        if path.is_dir():
            raise Refused(f"{source}: this is a folder; name the files in it.")
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise Refused(f"{source}: there is no such file.") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else "its name cannot be used"
        raise Refused(f"{source}: the file cannot be read: {reason}.") from None
    if len(data) > LARGEST_FILE:
        raise Refused(f"{source}: the file is larger than a megabyte; a job or shop file is a few kilobytes.")
    if not data.strip():
        raise Refused(f"{source}: the file is empty.")
    if b"\0" in data:
        raise Refused(f"{source}: this is not a text file.")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused(f"{source}: the file is not UTF-8 text; save it as UTF-8.") from None


def _texts(paths: Sequence[Path], faults: list[str]) -> list[tuple[str, str]]:
    texts: list[tuple[str, str]] = []
    given = list(dict.fromkeys(paths))
    names = [path.name for path in given]
    for path in given:
        source = shown_name(path.name if path.name and names.count(path.name) == 1 else str(path))
        try:
            texts.append((source, _read_whole(path, source)))
        except Refused as fault:
            faults += fault.sentences
    return texts


def _is_shop(text: str) -> bool:
    return not _SHOP.isdisjoint(_HEADING.findall(text))


def _shop(texts: Sequence[tuple[str, str]], faults: list[str]) -> ShopFile | None:
    from crewjobs.files.shop_file import read_shop

    shop: ShopFile | None = None
    first = ""
    for source, text in texts:
        if not _is_shop(text):
            continue
        if first:
            faults.append(f"{source}: {first} is a shop file too; there is one shop.")
            continue
        first = source
        try:
            shop = read_shop(text, source)
        except Refused as fault:
            faults += fault.sentences
    return shop


def _job(text: str, source: str, zone: str | None, faults: list[str]) -> Job | None:
    from crewjobs.files.job_file import read_job

    if _HISTORY in _HEADING.findall(text):
        faults.append(f"{source}: this is a list of what happened, neither a job file nor a shop file.")
        return None
    try:
        return read_job(text, source, zone)
    except Refused as fault:
        faults += fault.sentences
        return None
