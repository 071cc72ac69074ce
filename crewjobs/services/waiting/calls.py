"""Whom to call today: everybody about whom something waits that a call settles, each once, in the order of what waits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.services.rows import WaitRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """Somebody to call now, and what about: each wait with its job, worst first."""

    whom: str
    about: tuple[WaitRow, ...]

    @property
    def words(self) -> str:
        """Return it as ``mill order (7 late, 9 not ordered)``, numbers being jobs."""
        about = dict.fromkeys(f"{row.job} {row.state.value}" for row in self.about)
        return f"{self.whom} ({', '.join(about)})"


def calls(rows: Iterable[WaitRow]) -> tuple[Call, ...]:
    """Return whom to call now about rows of the waiting list, in their order."""
    found: dict[str, list[WaitRow]] = {}
    for row in rows:
        if row.whom:
            found.setdefault(row.whom, []).append(row)
    return tuple(Call(whom=whom, about=tuple(about)) for whom, about in found.items())
