"""The tools that crews share: which houses have them when. A tool is at a house from a block's start to its end."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
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


class Ways(Protocol):
    """The way between two jobs' houses, in slots."""

    def slots(self, one: int, other: int) -> int: ...


class Toolbox:
    """What is booked of each shared tool, on all crews' timelines together; from house to house it needs the way."""

    def __init__(self, shop: Shop, ways: Ways) -> None:
        self._counts: Mapping[str, int] = {tool.name: tool.count for tool in shop.tools}
        self._out: dict[str, list[Holder]] = {tool.name: [] for tool in shop.tools}
        self._ways = ways

    def add(self, booking: Holder) -> None:
        """Note the tools of a booking as taken."""
        for tool in booking.tools:
            self._out[tool].append(booking)

    def remove(self, booking: Holder) -> None:
        """Note the tools of a booking as free again."""
        for tool in booking.tools:
            self._out[tool].remove(booking)

    def free_from(self, tools: Iterable[str], start: int, end: int, job: int) -> int | None:
        """Return a later slot from which work of a job with these tools may do, None where all are free from start to end."""
        waits = [slot for tool in tools if (slot := self._free_from(tool, start, end, job)) is not None]
        return max(waits, default=None)

    def _free_from(self, tool: str, start: int, end: int, job: int) -> int | None:
        """Return a later slot where one piece of it cannot serve this work and the rest, each with the way to the next.

        So many pieces serve all work if nowhere more of it than that clashes each with each: what can follow one another
        can on one piece, and a way by a third house is no shorter.
        """
        out = [one for one in self._out[tool] if self._clash(one, start, end, job)]
        if not _each_with_each(out, self._counts[tool], self._both):
            return None
        return min(other.end + self._ways.slots(other.key.job, job) for other in out)

    def _clash(self, other: Holder, start: int, end: int, job: int) -> bool:
        way = self._ways.slots(other.key.job, job)
        return other.start < end + way and other.end + way > start

    def _both(self, one: Holder, other: Holder) -> bool:
        return self._clash(one, other.start, other.end, other.key.job)

    def back_at(self, holder: Holder, job: int) -> int:
        """Return the slot from which what a booking holds can be at a job's house."""
        return holder.end + self._ways.slots(holder.key.job, job)

    def last_before(self, tool: str, slot: int, key: BlockKey) -> Holder | None:
        """Return the booking of another block that gives a tool back last before a slot."""
        gone = [other for other in self._out[tool] if other.end <= slot and other.key != key]
        return max(gone, key=lambda other: (other.end, other.key), default=None)


def _each_with_each(held: Sequence[Holder], count: int, clash: Callable[[Holder, Holder], bool]) -> bool:
    """Return whether there are so many among these each of which clashes with each."""
    if count <= 0:
        return True
    return any(
        _each_with_each([other for other in held[i + 1 :] if clash(one, other)], count - 1, clash)
        for i, one in enumerate(held[: len(held) - count + 1])
    )
