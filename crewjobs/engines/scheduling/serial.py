"""Schedules of a network by serial generation, and their double justification, in plain Python.

One activity after the other, in an order that respects the links, takes the earliest start at which its pools have
room. Justification (V. Valls, F. Ballestin and S. Quintanilla 2005, Justification and RCPSP: a technique that pays,
European Journal of Operational Research 165) builds the same project from its end back and then forward again.
"""

from __future__ import annotations

from collections.abc import Sequence

from crewjobs.engines.scheduling.network import Network

FORWARD, BACKWARD = 0, 1


class Serial:
    """Serial generation in both directions. Times of the backward direction count from the project's end."""

    def __init__(self, network: Network) -> None:
        self.network = network
        width = max((units.bit_length() for units in network.pools), default=0) + 1
        shifts = [width * pool for pool in range(len(network.pools))]
        self._guard = sum(1 << (shift + width - 1) for shift in shifts)
        self._free = self._guard + sum(units << shift for units, shift in zip(network.pools, shifts, strict=True))
        self._takes = [sum(u << s for u, s in zip(uses, shifts, strict=True)) for uses in network.uses]
        self._waits = (network.before, network.after)
        lags = sum(max((lag for _, lag in row), default=0) for row in network.before)
        self._slots = sum(network.durations) + lags + 1

    def decode(self, order: Sequence[int], direction: int = FORWARD) -> list[int]:
        """Return the finish of every activity if they are placed in this order (what is waited for comes first)."""
        guard, takes, durations = self._guard, self._takes, self.network.durations
        waits = self._waits[direction]
        room = [self._free] * self._slots  # every pool's free units side by side in one number, a guard bit above each
        finish = [0] * len(durations)
        for i in order:
            start = 0
            for j, lag in waits[i]:
                ready = finish[j] + lag
                if ready > start:
                    start = ready
            end = start + durations[i]
            take = takes[i]
            if take and end > start:
                known = start  # the slots from `start` up to here are known to have room
                while known < end:
                    for slot in range(end - 1, known - 1, -1):
                        if (room[slot] - take) & guard != guard:
                            known, start = max(end, slot + 1), slot + 1
                            end = start + durations[i]
                            break
                    else:
                        break
                for slot in range(start, end):
                    room[slot] -= take
            finish[i] = end
        return finish

    def turned(self, finish: Sequence[int], direction: int) -> list[int]:
        """Return the order of the other direction: what finishes last comes first."""
        sign = 1 if direction == FORWARD else -1  # of equal ones, what is waited for comes last
        return sorted(range(len(finish)), key=lambda i: (-finish[i], -sign * i))

    def justified(self, finish: Sequence[int]) -> list[int]:
        """Return a forward schedule pushed to its end and back to its start; it is never longer."""
        back = self.decode(self.turned(finish, FORWARD), BACKWARD)
        return self.decode(self.turned(back, BACKWARD), FORWARD)

    def first(self) -> list[int]:
        """Return the finishes by the rule of the latest finish, justified."""
        tails = self.network.tails()
        order = sorted(range(len(tails)), key=lambda i: (-tails[i] - self.network.durations[i], i))
        finish = self.decode(self.feasible(order), FORWARD)
        better = self.justified(finish)
        while max(better, default=0) < max(finish, default=0):
            finish, better = better, self.justified(better)
        return better

    def feasible(self, order: Sequence[int]) -> list[int]:
        """Return the forward order in which activities come as early in `order` as what they wait for allows."""
        rank = [0] * len(order)
        for place, i in enumerate(order):
            rank[i] = place
        for i, row in enumerate(self.network.before):
            for j, _ in row:
                rank[i] = max(rank[i], rank[j])
        return sorted(range(len(order)), key=lambda i: (rank[i], i))
