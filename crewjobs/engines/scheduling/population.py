"""A population of schedules of a network that is bred back and forth: each generation is built in the other direction.

After D. Debels and M. Vanhoucke (2007), A decomposition-based genetic algorithm for the resource-constrained project
scheduling problem, Operations Research 55: a child takes all that its father does within a window of time, and the
rest before and after in its mother's order; it is decoded from the other end of the project, which justifies it, and
takes its father's place among the schedules of that direction where it is no longer and none there is like it (else
equal schedules fill the population, and it stands still). `Herd` breeds one after the
other in plain Python, `Flock` the whole generation at once with numpy. Equal seeds give equal populations.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any, Protocol

from crewjobs.engines.scheduling.batch import Batch, suits
from crewjobs.engines.scheduling.network import Network
from crewjobs.engines.scheduling.serial import BACKWARD, FORWARD, Serial

SHARE = (0.25, 0.75)
"""How much of the father's time the window takes, least and most."""
MUTATION = 0.005
"""The chance of each activity to be moved on its own, so that a grown-up population does not stand still."""
REACH = 14
"""It is moved by up to one part in so many of the makespan."""
STALE = 40
"""Generations without one shorter child after which a population is spent, and a new one, twice as large, begins."""
MOST = 1024
"""The largest population."""


class Population(Protocol):
    """What both kinds do. `best` are the forward finishes of the shortest schedule so far, `makespan` its length."""

    best: list[int]
    makespan: int

    def step(self) -> bool:
        """Breed one generation; return whether a shorter schedule than ever was found."""

    def add(self, finish: Sequence[int]) -> None:
        """Let a schedule from elsewhere, by its forward finishes, take the place of one of the longest."""


def population(network: Network, seed: int) -> Population:
    """Return a first population: bred with numpy where it is installed and suits the network."""
    if suits(network):
        try:
            return Flock(network, seed)
        except ImportError:
            pass
    return Herd(network, seed)


class Herd:
    """A population of `size` schedules in each direction in plain Python."""

    def __init__(self, network: Network, seed: int, size: int = 30) -> None:
        self._serial = Serial(network)
        self._random = Random(seed)
        self._waits = (network.before, network.after)
        self.best = self._serial.first()
        self.makespan = max(self.best, default=0)
        self._begin(size)

    def _begin(self, size: int) -> None:
        """Make a population of the rule of the latest finish, with more chance from one schedule to the next."""
        self._size, self._stale = size, 0
        first = [self._serial.decode(self._noisy(c / size)) for c in range(size)]
        back = [self._decode(finish, FORWARD) for finish in first]
        self._of = {BACKWARD: back, FORWARD: [self._decode(finish, BACKWARD) for finish in back]}
        self._direction = FORWARD
        for finish in self._of[FORWARD]:
            self._note(finish, FORWARD)

    def _noisy(self, noise: float) -> list[int]:
        """Return an order by the latest finish, with more or less chance in it."""
        network, random = self._serial.network, self._random
        tails = [d + tail for d, tail in zip(network.durations, network.tails(), strict=True)]
        most = max(tails, default=0) * noise
        rank = [random.random() * most - tail for tail in tails]
        return self._serial.feasible(sorted(range(len(rank)), key=rank.__getitem__))

    def _decode(self, keys: Sequence[int], direction: int) -> list[int]:
        """Return the schedule of the direction other than that of the keys."""
        return self._serial.decode(self._serial.turned(keys, direction), 1 - direction)

    def _note(self, finish: list[int], direction: int) -> bool:
        makespan = max(finish, default=0)
        if makespan >= self.makespan:
            return False
        self.makespan = makespan
        self.best = finish if direction == FORWARD else self._decode(finish, BACKWARD)
        self.makespan = max(self.best)
        return True

    def step(self) -> bool:
        """Breed one generation; return whether a shorter schedule than ever was found."""
        if self._stale >= STALE:
            self._begin(min(2 * self._size, MOST))
        direction, random = self._direction, self._random
        parents, others = self._of[direction], self._of[1 - direction]
        better, self._stale = False, self._stale + 1
        for i, father in enumerate(parents):
            mother = min(random.choice(parents), random.choice(parents), key=max)
            child = self._decode(self._bred(father, mother, direction), direction)
            if max(child) < max(others[i]):
                self._stale = 0
            if max(child) <= max(others[i]) and child not in others:
                others[i] = child
            better = self._note(child, 1 - direction) or better
        self._direction = 1 - direction
        return better

    def _bred(self, father: list[int], mother: list[int], direction: int) -> list[int]:
        random, makespan = self._random, max(father)
        low, high = SHARE
        window = int(makespan * (low + (high - low) * random.random()))
        since = int((makespan - window) * random.random())
        until, far = since + window, 2 * makespan + max(mother)
        keys = [
            f + far if since < f <= until else m if m <= since else m + 2 * far
            for f, m in zip(father, mother, strict=True)
        ]
        reach = max(1, makespan // REACH)
        for _ in range(sum(random.random() < MUTATION for _ in keys)):
            keys[random.randrange(len(keys))] += random.randint(-reach, reach)
        waits = self._waits[direction]
        for i in range(len(keys)) if direction == FORWARD else range(len(keys) - 1, -1, -1):
            key = keys[i]
            for j, _ in waits[i]:
                if keys[j] > key:
                    key = keys[j]
            keys[i] = key
        return keys

    def add(self, finish: Sequence[int]) -> None:
        """Let a schedule from elsewhere, by its forward finishes, take the place of one of the longest."""
        back = self._decode(finish, FORWARD)
        for direction, added in ((BACKWARD, back), (FORWARD, self._decode(back, BACKWARD))):
            those = self._of[direction]
            those[max(range(self._size), key=lambda i: max(those[i]))] = added
            self._note(added, direction)


class Flock:
    """A population of `size` schedules in each direction as numpy arrays (activities × schedules)."""

    def __init__(self, network: Network, seed: int, size: int = 256) -> None:
        self._network, self._serial = network, Serial(network)
        self._batch = Batch(network, size)
        self.np: Any = self._batch.np
        self._generator: Any = self.np.random.default_rng(seed)
        self._count = len(network.durations)
        self._ids = self.np.arange(self._count)[:, None]
        self._waits = (network.before, network.after)
        self._weights = self._generator.integers(1, 2**40, self._count)  # a schedule's mark tells it from others
        self.best = self._serial.first()
        self.makespan = max(self.best)
        self._begin(size)

    def _begin(self, size: int) -> None:
        """Make a population of the rule of the latest finish, with more chance from one schedule to the next."""
        np, network = self.np, self._network
        if size != self._batch.size:
            self._batch = Batch(network, size)
        self._size, self._stale = size, 0
        tails = np.array([d + tail for d, tail in zip(network.durations, network.tails(), strict=True)])
        noise = self._generator.random((self._count, size)) * np.linspace(0, 1, size)
        keys = self._grown((noise * tails.max() - tails[:, None] + tails.max()).astype(np.int64), FORWARD)
        first = self._batch.decode(np.argsort(keys * self._count + self._ids, axis=0), FORWARD)
        back = self._decode(first, FORWARD)
        self._of = {BACKWARD: back, FORWARD: self._decode(back, BACKWARD)}
        self._spans = {way: finish.max(axis=0) for way, finish in self._of.items()}
        self._marks = {way: self._weights @ finish for way, finish in self._of.items()}
        self._direction = FORWARD
        self._note(self._of[FORWARD], self._spans[FORWARD], FORWARD)

    def _grown(self, keys: Any, direction: int) -> Any:
        """Raise keys so that nothing comes before what it waits for."""
        np, waits = self.np, self._waits[direction]
        for i in range(self._count) if direction == FORWARD else range(self._count - 1, -1, -1):
            row = keys[i]
            for j, _ in waits[i]:
                np.maximum(row, keys[j], out=row)
        return keys

    def _decode(self, keys: Any, direction: int) -> Any:
        """Return the schedules of the direction other than that of the keys."""
        sign = 1 if direction == FORWARD else -1
        orders = self.np.argsort(-(keys * self._count + sign * self._ids), axis=0)
        return self._batch.decode(orders, 1 - direction)

    def _note(self, finish: Any, spans: Any, direction: int) -> bool:
        place = int(spans.argmin())
        if int(spans[place]) >= self.makespan:
            return False
        found = finish[:, place].tolist()
        if direction == BACKWARD:
            found = self._serial.decode(self._serial.turned(found, BACKWARD), FORWARD)
        self.best, self.makespan = found, max(found)
        return True

    def step(self) -> bool:
        """Breed one generation; return whether a shorter schedule than ever was found."""
        if self._stale >= STALE:
            self._begin(min(2 * self._size, MOST))
        np, direction, spans = self.np, self._direction, self._spans[self._direction]
        pair = self._generator.integers(0, self._size, (2, self._size))
        mothers = np.where(spans[pair[0]] <= spans[pair[1]], pair[0], pair[1])
        keys = self._bred(self._of[direction], self._of[direction][:, mothers], spans)
        children = self._decode(self._grown(keys, direction), direction)
        lengths, other = children.max(axis=0), 1 - direction
        marks = self._weights @ children
        kept = (lengths <= self._spans[other]) & self._fresh(marks, self._marks[other])
        self._stale = 0 if (lengths < self._spans[other]).any() else self._stale + 1
        self._of[other] = np.where(kept, children, self._of[other])
        self._spans[other] = np.where(kept, lengths, self._spans[other])
        self._marks[other] = np.where(kept, marks, self._marks[other])
        self._direction = other
        return self._note(children, lengths, other)

    def _fresh(self, marks: Any, there: Any) -> Any:
        """Return which marks are not there yet, nor in an earlier place among themselves."""
        fresh = self.np.zeros(2 * self._size, dtype=bool)
        fresh[self.np.unique(self.np.concatenate((there, marks)), return_index=True)[1]] = True
        return fresh[self._size :]

    def _bred(self, fathers: Any, mothers: Any, spans: Any) -> Any:
        np, chance = self.np, self._generator.random
        low, high = SHARE
        window = (spans * (low + (high - low) * chance(self._size))).astype(np.int64)
        since = ((spans - window) * chance(self._size)).astype(np.int64)
        far = 4 * int(spans.max())
        within = (fathers > since) & (fathers <= since + window)
        keys = np.where(within, fathers + far, np.where(mothers <= since, mothers, mothers + 2 * far))
        reach = max(1, self.makespan // REACH)
        moved = np.nonzero(chance(keys.shape) < MUTATION)
        keys[moved] += self._generator.integers(-reach, reach + 1, len(moved[0]))
        return keys

    def add(self, finish: Sequence[int]) -> None:
        """Let a schedule from elsewhere, by its forward finishes, take the place of one of the longest."""
        back = self._serial.decode(self._serial.turned(finish, FORWARD), BACKWARD)
        forth = self._serial.decode(self._serial.turned(back, BACKWARD), FORWARD)
        for direction, added in ((BACKWARD, back), (FORWARD, forth)):
            place = int(self._spans[direction].argmax())
            self._of[direction][:, place] = added
            self._spans[direction][place] = max(added)
            self._marks[direction][place] = self._weights @ added
        if max(forth) < self.makespan:
            self.best, self.makespan = forth, max(forth)
