"""Many schedules of a network at once with numpy, where it is installed: serial generation over a whole population.

Step q places the q-th activity of every schedule, so that the interpreter's work is shared by all of them: about five
times as fast as `serial`, with the same schedules. Numpy is loaded only when a `Batch` is made.
"""

from __future__ import annotations

from typing import Any

from crewjobs.engines.scheduling.network import Network

WINDOW = 64
"""Slots looked at together: the bits of one machine word."""
LONGEST = 48
MOST_SLOTS = 4096


class Batch:
    """Serial generation of `size` schedules side by side, in both directions, for networks that `suits`."""

    def __init__(self, network: Network, size: int) -> None:
        import numpy

        self.np: Any = numpy
        self.size = size
        durations, np = network.durations, numpy
        width = max(units.bit_length() for units in network.pools) + 1 if network.pools else 1
        kind: Any = np.uint32 if width * len(network.pools) <= 32 else np.uint64
        shifts = [width * pool for pool in range(len(network.pools))]
        self._guard = kind(sum(1 << (shift + width - 1) for shift in shifts))
        self._free = self._guard + kind(sum(u << s for u, s in zip(network.pools, shifts, strict=True)))
        takes = [sum(u << s for u, s in zip(uses, shifts, strict=True)) for uses in network.uses]
        self._takes = np.array([take if d else 0 for take, d in zip(takes, durations, strict=True)], dtype=kind)
        self._durations = np.array(durations, dtype=np.int64)
        longest = max(1, *durations)
        self._taken = np.where(np.arange(longest) < self._durations[:, None], self._takes[:, None], kind(0))
        self._shifts = np.array(_shifts(durations), dtype=np.uint64)
        self._skip = WINDOW + 1 - np.maximum(1, self._durations)
        self._waits = [self._columns(network.before), self._columns(network.after)]
        slots = _slots(network)
        self._room = np.empty(size * slots, dtype=kind)
        item = self._room.itemsize
        view: Any = np.lib.stride_tricks.as_strided
        self._windows = view(self._room, (size * slots - WINDOW + 1, WINDOW), (item, item))
        self._places = view(self._room, (size * slots - longest + 1, longest), (item, item))
        self._rows = np.arange(size) * slots
        self._lanes = np.arange(size)

    def _columns(self, waits: Any) -> list[tuple[Any, Any]]:
        """Return, a column a place in the lists, what is waited for (as an offset into finishes) and the lags."""
        np, count = self.np, len(waits)
        columns = []
        for c in range(max(1, *map(len, waits))):
            rows = [row[c] if c < len(row) else (count, 0) for row in waits]
            lags = np.array([lag for _, lag in rows])
            columns.append((np.array([j * self.size for j, _ in rows]), lags if lags.any() else None))
        return columns

    def decode(self, orders: Any, direction: int) -> Any:
        """Return the finishes (activities × schedules) of orders of the same shape."""
        np, lanes, waits = self.np, self._lanes, self._waits[direction]
        count = len(orders)
        finish = np.zeros((count + 1) * self.size, dtype=np.int64)
        self._room.fill(self._free)
        takes, durations = self._takes.take(orders), self._durations.take(orders)
        lanes_of = orders * self.size + lanes
        for q in range(count):
            chosen = orders[q]
            at = np.zeros(self.size, dtype=np.int64)
            for offsets, lags in waits:
                ready = finish.take(offsets.take(chosen) + lanes)
                if lags is not None:
                    ready += lags.take(chosen)
                np.maximum(at, ready, out=at)
            at += self._rows
            fits = self._fits(at, takes[q], chosen)
            missing = np.flatnonzero(fits == 0)
            while len(missing):
                some = chosen[missing]
                at[missing] += self._skip[some]
                fits[missing] = self._fits(at[missing], takes[q][missing], some)
                missing = missing[fits[missing] == 0]
            at += np.frexp((fits & -fits).astype(np.float64))[1] - 1  # the lowest bit set
            self._places[at] -= self._taken.take(chosen, axis=0)
            at += durations[q] - self._rows
            finish[lanes_of[q]] = at
        return finish.reshape(count + 1, self.size)[:count]

    def _fits(self, at: Any, takes: Any, chosen: Any) -> Any:
        """Return a bit for each of the slots from `at` on: set where all that is taken is free for the duration."""
        np = self.np
        rooms = self._windows[at]
        rooms -= takes[:, None]
        rooms &= self._guard
        fits = np.packbits(rooms == self._guard, axis=1, bitorder="little").view(np.uint64).ravel()
        for shift in self._shifts:
            fits = fits & (fits >> shift.take(chosen))
        return fits


def suits(network: Network) -> bool:
    """Return whether the network's numbers fit into machine words; `serial` has no such limits."""
    width = max((units.bit_length() for units in network.pools), default=0) + 1
    short = all(d <= LONGEST for d in network.durations)
    return bool(network.pools) and width * len(network.pools) <= 64 and short and _slots(network) <= MOST_SLOTS


def _slots(network: Network) -> int:
    lags = sum(max((lag for _, lag in row), default=0) for row in network.before)
    return sum(network.durations) + lags + 2 * WINDOW + LONGEST


def _shifts(durations: tuple[int, ...]) -> list[list[int]]:
    """Return shifts that leave a bit set only where a run of set bits, as long as the duration, begins."""
    rows = []
    for duration in durations:
        row, run = [], 1
        while run < duration:
            row.append(min(run, duration - run))
            run += row[-1]
        rows.append(row)
    longest = max(map(len, rows), default=0)
    return [[row[k] if k < len(row) else 0 for row in rows] for k in range(longest)]
