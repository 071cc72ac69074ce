"""Annealing toward a number of planks, with every first piece of a run weighed at once.

For a number of planks so many pairs of an end and a start are needed. With t what an end leaves of its plank, a pairing
exists just when for every length v the ends with t <= v, less those that may stay alone, are no more than the starts with
s <= v (Hall). By how much this fails, summed over v, is how many steps pieces are too long in the best pairing; it is 0 just
where the number is reached. Taking a run out and putting it back with another first piece changes the sum between two
lengths only, so that running sums of the failure, taken once, give the change for all its first pieces. One of them is
drawn by its weight at the temperature (heat bath).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np

from crewjobs.engines.laying.axis import Cuts, Floats
from crewjobs.engines.laying.model import Kind, Problem, Profile
from crewjobs.engines.laying.nearness import Nearness, Tables
from crewjobs.engines.laying.pairing import Part

WARM, COLD = 7.0, 0.25
"""Temperatures in steps at which a cycle begins and ends."""
HOSTS: Final = 12
"""Pieces looked at, drawn anew each time, where another could go along."""
NEVER: Final = 1e9
"""What a piece costs that is longer than its plank."""


class Annealing:
    """The state of the search for one problem; the same seed and cycles give the same states."""

    def __init__(
        self, problem: Problem, *, seed: int = 0, spare: int = 0, stairs: bool = False, tables: Tables | None = None
    ) -> None:
        """Begin with a problem; every plank of several pieces keeps `spare`, and with `stairs` stair steps count.

        `tables` are kept from one problem to another of the same runs and planks: what is too near is worked out once.
        """
        self.problem = problem
        product = problem.product
        self.random = np.random.default_rng(seed)
        self.size = product.steps + 2
        self.open = [number for number, run in enumerate(problem.runs) if run.laid is None]
        self.long = [i for i in self.open if problem.runs[i].length > product.length]
        self.short = [i for i in self.open if problem.runs[i].length < product.length]
        self.whole = sum(problem.runs[i].length == product.length for i in self.open)
        by_length: dict[int, Cuts] = {}
        self.cuts: dict[int, Cuts] = {}
        for i in self.long:
            length = problem.runs[i].length
            if length not in by_length:
                by_length[length] = Cuts(product, length, spare)
            self.cuts[i] = by_length[length]
        self.single = {i: -(-problem.runs[i].length // product.step) + 1 for i in self.short}
        self.along = {i: -(-(problem.runs[i].length + product.kerf) // product.step) for i in self.short}
        self.leaves = {
            i: max(0, (product.length - product.kerf - spare - problem.runs[i].length) // product.step + 1)
            for i in self.short
        }
        shortest = min([product.min_piece, *(problem.runs[i].length for i in self.short)])
        self.small = {
            i
            for i in self.short
            if product.profile is Profile.CLICK
            and problem.runs[i].length + 2 * shortest + 2 * product.kerf <= product.length
        }
        self.tables: Tables = {} if tables is None else tables
        self.near = Nearness(problem, self.cuts, self.tables, stairs=stairs)
        self._classes()
        self._base = np.zeros(self.size)
        self._spare_ends = 0
        for one in problem.offcuts:
            if one.starts:
                self._base[min(max(0, one.length - spare) // product.step + 1, self.size - 1) :] += 1
                self._spare_ends += 1
            else:
                left = product.length - product.kerf - one.length
                self._base[max(1, -(-left // product.step) + 1) :] -= 1
        self.choice = dict.fromkeys(self.long, 0)
        self.part = {i: Part(Kind.START) for i in self.short}
        self.guests: dict[tuple[int, Kind], int] = {}
        self.stairs_allowed = 0
        self.target = 0
        self.G = np.zeros(self.size)

    def _classes(self) -> None:
        """Runs of one length, whose first pieces can be exchanged without a change in the pairing."""
        found: dict[int, list[int]] = {}
        for i in self.long:
            found.setdefault(self.problem.runs[i].length, []).append(i)
        self.alike = [members for members in found.values() if len(members) > 1]

    # ------------------------------------------------------------------ state

    def begin(self, starts: list[int], target: int, parts: Mapping[int, Part] | None = None) -> None:
        """Take up first pieces (lengths by run), the number of planks to reach, and what pieces from wall to wall do."""
        self.guests.clear()
        self.part = {i: (parts or {}).get(i, Part(Kind.START)) for i in self.short}
        for i, part in self.part.items():
            self._join(i, part)
        for i in self.long:
            self.choice[i] = self.cuts[i].at[starts[i]]
        self.aim(target)

    def aim(self, target: int) -> None:
        """Set the number of planks to reach; the state stays."""
        self.target = target
        G = self._base - self._alone()
        for i in self.long:
            cuts, c = self.cuts[i], self.choice[i]
            s, t = self._s(i, int(cuts.s[c])), self._t(i, int(cuts.t[c]))
            G[t:] += 1
            G[s:] -= 1
            G += cuts.more[c]
        for i in self.short:
            low, high = self._range(i)
            G[low:high] += 1
        self.G = G

    def _alone(self) -> int:
        """Return how many ends may stay alone if all runs had their fewest full planks and no piece were a start."""
        return (
            self.target - self.whole - sum(self.cuts[i].fewest for i in self.long) - len(self.long) + self._spare_ends
        )

    def _s(self, i: int, s: int) -> int:
        return min(s + self.guests.get((i, Kind.START), 0), self.size)

    def _t(self, i: int, t: int) -> int:
        return max(t - self.guests.get((i, Kind.END), 0), 0)

    def _range(self, i: int) -> tuple[int, int]:
        """Return between which lengths a piece from wall to wall adds one to the failure."""
        part = self.part[i]
        return self._own_range(i, part.kind) if part.beside is None else (0, 0)  # its host carries it

    def _own_range(self, i: int, kind: Kind) -> tuple[int, int]:
        if kind is Kind.START:
            return 0, min(self.single[i] + self.guests.get((i, kind), 0), self.size)
        return max(0, self.leaves[i] - self.guests.get((i, kind), 0)), self.size

    def failure(self) -> float:
        """Return how many steps pieces are too long in the best pairing."""
        return float(np.maximum(self.G, 0).sum())

    def too_near(self) -> float:
        """Return what joints too near to each other cost; 0 just where they all lie apart."""
        return self.near.too_near(self.choice)

    def starts(self) -> list[int]:
        """Return the first pieces of all runs, as lengths; runs from wall to wall have their own."""
        runs = self.problem.runs
        return [
            run.laid
            if run.laid is not None
            else int(self.cuts[i].start[self.choice[i]])
            if i in self.cuts
            else run.length
            for i, run in enumerate(runs)
        ]

    def parts(self) -> dict[int, Part]:
        """Return what the pieces from wall to wall do."""
        return dict(self.part)

    # ------------------------------------------------------------------ moves

    def _sums(self, low: int, high: int) -> tuple[Floats, Floats]:
        """Return running sums of the failure at some levels, and their totals."""
        levels = np.arange(low, high + 1)[:, None]
        sums = np.zeros((high - low + 1, self.size + 1))
        np.cumsum(np.maximum(self.G[None, :] + levels, 0), axis=1, out=sums[:, 1:])
        return sums, sums[:, -1]

    def _draw(self, cost: Floats, temperature: float) -> int:
        weight = np.exp((cost.min() - cost) / temperature)
        total = np.cumsum(weight)
        return min(int(np.searchsorted(total, self.random.random() * total[-1], side="right")), len(cost) - 1)

    def _redraw(self, i: int, temperature: float) -> None:
        """Take a run out and put it back with a first piece drawn by its weight."""
        cuts, c, G = self.cuts[i], self.choice[i], self.G
        s, t = self._s(i, int(cuts.s[c])), self._t(i, int(cuts.t[c]))
        G[t:] -= 1
        G[s:] += 1
        if cuts.more[c]:
            G -= 1
        sums, totals = self._sums(-1, 2)
        flat = sums.ravel()
        if (i, Kind.START) in self.guests or (i, Kind.END) in self.guests:
            cost = self._with_guests(i, flat, totals)
        else:
            inside, outside, moved, back = flat.take(cuts.read)
            cost = totals.take(cuts.level)
            cost += outside
            cost -= inside
            cost += moved
            cost -= back
        self.near.add(cost, i, self.choice)
        c = self.choice[i] = self._draw(cost, temperature)
        s, t = self._s(i, int(cuts.s[c])), self._t(i, int(cuts.t[c]))
        G[t:] += 1
        G[s:] -= 1
        if cuts.more[c]:
            G += 1

    def _with_guests(self, i: int, flat: Floats, totals: Floats) -> Floats:
        """Return the failure for all first pieces of a run whose plank carries pieces from wall to wall as well."""
        cuts, wide = self.cuts[i], self.size + 1
        with_start, with_end = self.guests.get((i, Kind.START), 0), self.guests.get((i, Kind.END), 0)
        s = np.minimum(cuts.s + with_start, self.size)
        t = np.maximum(cuts.t - with_end, 0)
        too_long = (with_start > 0) & (cuts.s + with_start >= self.size) | (with_end > 0) & (cuts.t <= with_end)
        low, high = np.minimum(s, t), np.maximum(s, t)
        other = np.where(s < t, cuts.level - 1, cuts.level + 1)
        cost: Floats = (
            totals[cuts.level]
            - flat[cuts.level * wide + high]
            + flat[cuts.level * wide + low]
            + flat[other * wide + high]
            - flat[other * wide + low]
        )
        return cost + NEVER * too_long

    def _recast(self, i: int, temperature: float) -> None:
        """Let a piece from wall to wall stand for a start or an end, or go along with another piece."""
        part = self.part[i]
        if (i, part.kind) in self.guests and part.beside is None:
            return  # what goes along with it has to leave first
        if part.beside is not None:
            self._leave(i, part)
        else:
            low, high = self._range(i)
            self.G[low:high] -= 1
        sums, totals = self._sums(0, 1)
        parts = [Part(Kind.START), Part(Kind.END)]
        ranges = [self._own_range(i, Kind.START), self._own_range(i, Kind.END)]
        if i in self.small:
            for host, kind, low, high in self._hosts(i):
                parts.append(Part(kind, host))
                ranges.append((low, high))
        where = np.array(ranges)
        change = sums[1] - sums[0]
        cost = totals[0] + change[where[:, 1]] - change[where[:, 0]]
        drawn = self._draw(cost, temperature)
        self.part[i] = parts[drawn]
        self._join(i, parts[drawn])
        begin, end = ranges[drawn]
        self.G[begin:end] += 1

    def _join(self, i: int, part: Part) -> None:
        """Let a piece go along with another, if that is its part."""
        if part.beside is not None:
            host = (part.beside, part.kind)
            self.guests[host] = self.guests.get(host, 0) + self.along[i]

    def _hosts(self, i: int) -> list[tuple[int, Kind, int, int]]:
        """Return some pieces another can go along with, and between which lengths that adds one to the failure."""
        more = self.along[i]
        found: list[tuple[int, Kind, int, int]] = []
        hosts = [*self.long, *(host for host in self.short if host != i and self.part[host].beside is None)]
        if not hosts:
            return found
        for place in self.random.integers(len(hosts), size=min(HOSTS, len(hosts))).tolist():
            host = hosts[place]
            for kind in (Kind.START, Kind.END) if host in self.cuts else (self.part[host].kind,):
                at = self._edge(host, kind)
                if kind is Kind.START and at + more < self.size:
                    found.append((host, kind, at, at + more))
                elif kind is Kind.END and at > more:
                    found.append((host, kind, at - more, at))
        return found

    def _leave(self, i: int, part: Part) -> None:
        """Part a piece from the one it went along with."""
        assert part.beside is not None
        host = (part.beside, part.kind)
        before = self._edge(*host)
        self.guests[host] -= self.along[i]
        if not self.guests[host]:
            del self.guests[host]
        after = self._edge(*host)
        self.G[min(before, after) : max(before, after)] -= 1
        self.part[i] = Part(Kind.START)

    def _edge(self, host: int, kind: Kind) -> int:
        """Return where on the axis a piece lies with what goes along with it."""
        if host in self.cuts:
            cuts, c = self.cuts[host], self.choice[host]
            return self._s(host, int(cuts.s[c])) if kind is Kind.START else self._t(host, int(cuts.t[c]))
        low, high = self._own_range(host, kind)
        return high if kind is Kind.START else low

    def _exchange(self, temperature: float) -> None:
        """Exchange the first pieces of two runs of one length."""
        members = self.alike[int(self.random.integers(len(self.alike)))]
        a, b = (members[int(k)] for k in self.random.choice(len(members), 2, replace=False))
        if self.choice[a] == self.choice[b] or self._hosting(a) or self._hosting(b):
            return
        before = self.near.of_pair(a, b, self.choice)
        self.choice[a], self.choice[b] = self.choice[b], self.choice[a]
        worse = self.near.of_pair(a, b, self.choice) - before
        if worse > 0 and self.random.random() >= np.exp(-worse / temperature):
            self.choice[a], self.choice[b] = self.choice[b], self.choice[a]

    def _hosting(self, i: int) -> bool:
        return (i, Kind.START) in self.guests or (i, Kind.END) in self.guests

    def cycle(self, sweeps: int, stop: Callable[[], bool], *, warm: float = WARM) -> bool:
        """Cool down over so many sweeps; return whether the target was reached with all joints apart."""
        movers = [*self.long, *self.short]
        if self.done():
            return True
        for sweep in range(sweeps):
            temperature = warm * (COLD / warm) ** (sweep / max(1, sweeps - 1))
            for k in self.random.permutation(len(movers)):
                i = movers[int(k)]
                if i in self.cuts:
                    self._redraw(i, temperature)
                else:
                    self._recast(i, temperature)
            if self.alike:
                for _ in range(len(movers) // 2):
                    self._exchange(temperature)
            if self.done():
                return True
            if stop():
                break
        return False

    def done(self) -> bool:
        """Return whether the target is reached and all joints are apart."""
        return self.failure() < 0.5 and self.too_near() < 1e-9 and self.near.stairs(self.choice) <= self.stairs_allowed
