"""What an import shows before anything is kept: which column is what, what each row would become, every fault."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportColumn:
    """A column of the list: `taken_as` is what of a job it holds, empty where it is left alone; `examples` are its first cells."""

    column: str
    taken_as: str
    examples: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportRow:
    """A row of the list, by the line of the file it begins on.

    `becomes` is ``new job``, ``there already``, ``twice in the list``, ``left out`` or ``wrong``; `job` the job that is there already. `why`
    says it in a sentence where there is something to say.
    """

    line: int
    becomes: str
    title: str
    customer: str
    address: str
    state: str
    wished: date | None
    promised: date | None
    job: int | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportFault:
    """What is wrong in a row and column of the list, and what would be right; line 0 and no column where it is the list's own."""

    line: int
    column: str
    sentence: str

    @property
    def words(self) -> str:
        """Return it with its place in front."""
        place = ", ".join(
            filter(None, (f"line {self.line}" if self.line else "", f"column '{self.column}'" if self.column else ""))
        )
        return f"{place}: {self.sentence}" if place else self.sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportView:
    """A list as it would come in; nothing of it is kept. `delimiter` and `encoding` are how the file was read.

    `kept` says that a list with this heading came in before, and its columns are taken as then. `new` counts the jobs there would be.
    """

    source: str
    delimiter: str
    encoding: str
    kept: bool
    columns: tuple[ImportColumn, ...]
    rows: tuple[ImportRow, ...]
    faults: tuple[ImportFault, ...]
    notes: tuple[str, ...]
    new: int
    sentence: str
