"""Jobs and shops as files can hold them: the storage tests' values, with text that is safe to show."""

from __future__ import annotations

import unicodedata
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any, TypeVar

from hypothesis import strategies as st

from crewjobs.domain.job import Job
from tests.storage.strategies import jobs as any_jobs
from tests.storage.strategies import shops as any_shops

Made = TypeVar("Made")


def showable(value: Made) -> Made:
    """Return a value whose texts hold no character that steers a terminal, and are not empty where a file wants a name."""
    return _clean(value, "")


def _clean(value: Any, name: str) -> Any:
    if isinstance(value, Enum):
        return value
    if isinstance(value, str):
        text = "".join(c for c in value if unicodedata.category(c) not in {"Cc", "Cf", "Cs", "Zl", "Zp"})
        return text if text.strip() or name not in {"name", "title", "address"} else f"some {name}"
    if isinstance(value, tuple):
        return tuple(_clean(item, name) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        changed = {field.name: _clean(getattr(value, field.name), field.name) for field in fields(value)}
        return replace(value, **changed)
    return value


def without_entry_notes(job: Job) -> Job:
    """Return a job as a file may tell it: entry notes are private."""
    return replace(job, site=replace(job.site, entry_notes=""))


def apart(job: Job) -> bool:
    """Return whether all names of a kind differ in more than capitals and how accents are written, as a file wants them."""
    named = (job.rooms, job.stairs, job.materials)
    spelled = [[unicodedata.normalize("NFKC", one.name).casefold().split() for one in some] for some in named]
    return not any(some.count(one) > 1 for some in spelled for one in some)


jobs = st.deferred(
    lambda: any_jobs(st.integers(0, 10**6), st.none() | st.integers(1, 10**6)).map(showable).filter(apart)
)
shops = st.deferred(lambda: any_shops().map(showable))
