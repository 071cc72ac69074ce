"""Whom to call today: everybody about whom something waits that a call settles, each once, in the order of what waits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.services.rows import WaitRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """Somebody to call now, by which phone as far as it is known, and what about: each wait with its job, worst first."""

    whom: str
    phone: str
    about: tuple[WaitRow, ...]

    @property
    def words(self) -> str:
        """Return it as ``mill order (7 late, 9 not ordered)``, numbers being jobs."""
        about = dict.fromkeys(f"{row.job} {row.state.value}" for row in self.about)
        return f"{self.name} ({', '.join(about)})"

    @property
    def name(self) -> str:
        """Return who it is, with the phone: ``Ada Lund 555-0100``."""
        return f"{self.whom} {self.phone}".rstrip()


def calls(rows: Iterable[WaitRow]) -> tuple[Call, ...]:
    """Return whom to call now about rows of the waiting list, in their order; of one name with two phones, both."""
    found: dict[tuple[str, str], list[WaitRow]] = {}
    for row in rows:
        if row.whom:
            found.setdefault((row.whom, row.phone), []).append(row)
    return tuple(Call(whom=whom, phone=phone, about=tuple(about)) for (whom, phone), about in found.items())
