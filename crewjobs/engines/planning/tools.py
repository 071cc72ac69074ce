"""The tools that crews share: which houses have them when. A tool is at a house from a block's start to its end."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Protocol

from crewjobs.domain.crew import Shop
from crewjobs.domain.plan import BlockKey


class Holder(Protocol):
    """A booking that holds tools from a slot to another, nights included."""

    @property
    def key(self) -> BlockKey: ...
    @property
    def start(self) -> int: ...
    @property
    def end(self) -> int: ...
    @property
    def tools(self) -> frozenset[str]: ...


def shared(shop: Shop, load: Iterable[str]) -> frozenset[str]:
    """Return the shop's shared tools among what a task template loads; capitals do not matter."""
    names = {name.casefold() for name in load}
    return frozenset(tool.name for tool in shop.tools if tool.name.casefold() in names)


class Toolbox:
    """What is booked of each shared tool, on all crews' timelines together."""

    def __init__(self, shop: Shop) -> None:
        self._counts: Mapping[str, int] = {tool.name: tool.count for tool in shop.tools}
        self._out: dict[str, list[Holder]] = {tool.name: [] for tool in shop.tools}

    def add(self, booking: Holder) -> None:
        """Note the tools of a booking as taken."""
        for tool in booking.tools:
            self._out[tool].append(booking)

    def remove(self, booking: Holder) -> None:
        """Note the tools of a booking as free again."""
        for tool in booking.tools:
            self._out[tool].remove(booking)

    def free_from(self, tools: Iterable[str], start: int, end: int) -> int | None:
        """Return a later slot from which work with these tools may do, None where all are free from start to end."""
        waits = [slot for tool in tools if (slot := self._free_from(tool, start, end)) is not None]
        return max(waits, default=None)

    def _free_from(self, tool: str, start: int, end: int) -> int | None:
        out = [other for other in self._out[tool] if other.start < end and other.end > start]
        moments = {max(start, other.start) for other in out}
        most = max((sum(other.start <= slot < other.end for other in out) for slot in moments), default=0)
        return min(other.end for other in out) if most >= self._counts[tool] else None

    def last_before(self, tool: str, slot: int, key: BlockKey) -> Holder | None:
        """Return the booking of another block that gives a tool back last before a slot."""
        gone = [other for other in self._out[tool] if other.end <= slot and other.key != key]
        return max(gone, key=lambda other: (other.end, other.key), default=None)
