"""The exact oracle for small houses: a dynamic programme over every layout there is, held in arrays.

It is a judge: it shares nothing with the engine, whose method (orders, bounds, a solver) it does not resemble, and
nothing with the replay. It tries every order, every layout and every wait, so that its answer needs no argument.

A state is what is done and what cures; its array holds, for each layout (an axis a piece, an entry a place it may
stand), the least cost in tenths of a minute of a plan whose last stage has that layout. Before a stage everything may
be carried: since pieces are carried one by one, the cheapest way over all layouts is a min-plus product an axis, one
piece after another. A wait where nothing cures leads back to its own state, and is repeated until nothing gets cheaper.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from tests.engines.moving.instances import Instance, Item, Stage, tenths

MOST_LAYOUTS = 10**7
MOST_CELLS = 10**8
NEVER = np.int32(2**29)

Costs = NDArray[np.int32]
Mask = NDArray[np.bool_]
State = tuple[frozenset[str], frozenset[str]]


def best_plan(instance: Instance) -> tuple[float, list[Stage]] | None:
    """Return the least cost in labor minutes and a plan of that cost, or None when there is no plan.

    Raises ValueError for a house with more than about 10^7 layouts, or more than 10^8 over all its states.
    """
    oracle = _Oracle(instance)
    oracle.sweep()
    return oracle.answer()


@dataclass(frozen=True, slots=True)
class _Step:
    """One way into a state: from which layer of which state, with what work."""

    state: State
    layer: int
    work: frozenset[str]


@dataclass(slots=True)
class _Layers:
    """The arrays of a state, each cheaper than the one before by one more wait, and the steps that lead into each."""

    costs: list[Costs] = field(default_factory=list)
    steps: list[list[_Step]] = field(default_factory=list)


class _Oracle:
    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.items = instance.items
        self.goal = frozenset(instance.worked)
        self.work_sets = sorted({frozenset(work) for work in instance.work_sets}, key=sorted)
        # A piece starts at home even where it may not stand during a stage: home is a place of its axis, never legal.
        self.places = [tuple(dict.fromkeys((item.home, *item.allowed))) for item in self.items]
        self.shape = tuple(len(places) for places in self.places)
        self.states: dict[State, _Layers] = {}
        self._legal: dict[tuple[frozenset[str], frozenset[str]], Mask] = {}
        layouts = 1
        for length in self.shape:
            layouts *= length
        if layouts > MOST_LAYOUTS:
            raise ValueError(f"The house has {layouts} layouts; the oracle takes at most {MOST_LAYOUTS}.")
        self.order = self._reachable()
        if layouts * len(self.order) > MOST_CELLS:
            cells = layouts * len(self.order)
            raise ValueError(
                f"The house has {cells} layouts over all its states; the oracle takes at most {MOST_CELLS}."
            )

    # The states

    def _reachable(self) -> list[State]:
        """Return the states that some order of work reaches, fewest zones done first, a state before what waits for it."""
        start: State = (frozenset(), frozenset())
        seen = {start}
        to_see = [start]
        while to_see:
            for _, after in self._ahead(to_see.pop()):
                if after not in seen:
                    seen.add(after)
                    to_see.append(after)
        return sorted(seen, key=lambda state: (len(state[0]), sorted(state[0]), not state[1], sorted(state[1])))

    def _ahead(self, state: State) -> Iterator[tuple[frozenset[str], State]]:
        """Yield what may be worked next, and what is then done and cures; no work is a wait."""
        done, _ = state
        yield frozenset(), (done, frozenset())
        for work in self.work_sets:
            after = done | work
            ready = all(earlier in after for earlier, later in self.instance.precedence if later in work)
            if ready and not done & work:
                yield work, (after, work & frozenset(self.instance.cure_zones))

    # Layouts

    def _along(self, axis: int, values: list[int] | list[bool]) -> NDArray[np.int32]:
        """Return one value per place of a piece, shaped to be added to an array over all layouts."""
        shape = [1] * len(self.shape)
        shape[axis] = self.shape[axis]
        return np.array(values, dtype=np.int32).reshape(shape)

    def _sum(self, value: dict[int, list[int]]) -> NDArray[np.int32]:
        total = np.zeros(self.shape, dtype=np.int32)
        for axis, values in value.items():
            total += self._along(axis, values)
        return total

    @cached_property
    def _night(self) -> Costs:
        rooms = {name: zone.room for name, zone in self.instance.zones.items()}
        return self._sum(
            {
                axis: [tenths(item.night_cost_min) * (rooms[place] != rooms[item.home]) for place in self.places[axis]]
                for axis, item in enumerate(self.items)
            }
        )

    @cached_property
    def _zones(self) -> tuple[Mask, dict[str, Mask], dict[str, Mask]]:
        """Return the layouts that hold in any stage, and by zone those that leave it empty and those that let it be crossed."""
        zones = self.instance.zones
        holds = self._sum(
            {a: [int(place in item.allowed) for place in self.places[a]] for a, item in enumerate(self.items)}
        ) == len(self.items)
        beds = self._sum(
            {
                a: [int(zones[place].sleep) for place in self.places[a]]
                for a, item in enumerate(self.items)
                if item.is_bed
            }
        )
        holds &= beds >= self.instance.beds_needed
        empty, crossed = {}, {}
        for name, zone in zones.items():
            load = self._sum(
                {a: [item.floor * (place == name) for place in self.places[a]] for a, item in enumerate(self.items)}
            )
            holds &= load <= zone.capacity_ft2 * 100
            empty[name] = load == 0
            crossed[name] = load <= zone.capacity_as_passage_ft2 * 100
        return holds, empty, crossed

    def legal(self, work: frozenset[str], curing: frozenset[str]) -> Mask:
        """Return the layouts in which a stage with this work may be done while these zones cure."""
        if (work, curing) not in self._legal:
            holds, empty, _ = self._zones
            legal = holds.copy()
            for zone in work | curing:
                legal &= empty[zone]
            if work:
                reached = self._reached(curing)
                for zone in work:
                    legal &= reached[zone]
            self._legal[work, curing] = legal
        return self._legal[work, curing]

    def _reached(self, curing: frozenset[str]) -> dict[str, Mask]:
        """Return for each zone the layouts in which it is reached from outside; spread until nothing more is reached."""
        _, _, crossed = self._zones
        reached = {name: np.zeros(self.shape, dtype=np.bool_) for name in self.instance.zones}
        ways = [(p.a, p.b) for p in self.instance.passages] + [(p.b, p.a) for p in self.instance.passages]
        more = True
        while more:
            more = False
            for start, end in ways:
                if end == self.instance.outside or start in curing:
                    continue
                through = np.True_ if start == self.instance.outside else reached[start] & crossed[start]
                wider = reached[end] | through
                if (wider != reached[end]).any():
                    reached[end], more = wider, True
        return reached

    # Costs

    def _minutes(self, item: Item, axis: int) -> NDArray[np.int32]:
        return np.array(
            [[tenths(item.move_minutes[a][b]) for b in self.places[axis]] for a in self.places[axis]], dtype=np.int32
        )

    def _carried(self, costs: Costs) -> Costs:
        """Return the least cost of every layout after everything was carried as it likes."""
        for axis, item in enumerate(self.items):
            before = np.moveaxis(costs, axis, 0)
            after = np.full_like(before, NEVER)
            for start, row in enumerate(self._minutes(item, axis)):
                np.minimum(after, before[start] + row.reshape(-1, *[1] * (before.ndim - 1)), out=after)
            costs = np.moveaxis(after, 0, axis)
        return costs

    def _price(self, work: frozenset[str]) -> int:
        return tenths(self.instance.setup_min if work else self.instance.wait_min)

    def _after(self, carried: Costs, work: frozenset[str], curing: frozenset[str]) -> Costs:
        costs = np.where(self.legal(work, curing), carried + self._night + self._price(work), NEVER)
        return np.minimum(costs, NEVER).astype(np.int32)

    def sweep(self) -> None:
        """Fill the arrays, state after state: each is finished before it is left."""
        for state in self.order:
            self.states[state] = _Layers()
        start = np.full(self.shape, NEVER, dtype=np.int32)
        start[(0,) * len(self.shape)] = 0
        first = self.states[self.order[0]]
        first.costs.append(start)
        first.steps.append([])
        for state in self.order:
            self._leave(state)

    def _leave(self, state: State) -> None:
        layers = self.states[state]
        if not layers.costs or bool((layers.costs[-1] >= NEVER).all()):
            return
        carried = self._carried(layers.costs[-1])
        while not state[1]:
            waited = self._after(carried, frozenset(), frozenset())
            if not (waited < layers.costs[-1]).any():
                break
            layers.steps.append([_Step(state, len(layers.costs) - 1, frozenset())])
            layers.costs.append(np.minimum(layers.costs[-1], waited))
            carried = self._carried(layers.costs[-1])
        for work, after in self._ahead(state):
            if after == state:
                continue
            ahead = self.states[after]
            if not ahead.costs:
                ahead.costs.append(np.full(self.shape, NEVER, dtype=np.int32))
                ahead.steps.append([])
            np.minimum(ahead.costs[0], self._after(carried, work, state[1]), out=ahead.costs[0])
            ahead.steps[0].append(_Step(state, len(layers.costs) - 1, work))

    # The answer

    def answer(self) -> tuple[float, list[Stage]] | None:
        """Return the cheapest of all ends with everything carried home, and the way back from it to the start."""
        best: tuple[int, State, tuple[int, ...]] | None = None
        home = (0,) * len(self.shape)
        for state in self.order:
            if state[0] != self.goal or not self.states[state].costs:
                continue
            whole = self.states[state].costs[-1] + self._from_all(home)
            cell = np.unravel_index(int(np.argmin(whole)), self.shape) if self.shape else ()
            if whole[cell] < NEVER and (best is None or whole[cell] < best[0]):
                best = (int(whole[cell]), state, tuple(int(place) for place in cell))
        return None if best is None else (best[0] / 10, self._back(best[1], best[2]))

    def _from_all(self, cell: tuple[int, ...]) -> Costs:
        """Return what carrying everything into one layout costs, from every layout."""
        return self._sum({a: [int(x) for x in self._minutes(item, a)[:, cell[a]]] for a, item in enumerate(self.items)})

    def _back(self, state: State, cell: tuple[int, ...]) -> list[Stage]:
        stages: list[Stage] = []
        layer = len(self.states[state].costs) - 1
        while True:
            layers = self.states[state]
            while layer and layers.costs[layer - 1][cell] == layers.costs[layer][cell]:
                layer -= 1
            step, before = self._step(layers, layer, cell)
            if step is None:
                return stages[::-1]
            positions = {item.id: self.places[a][cell[a]] for a, item in enumerate(self.items)}
            stages.append((tuple(zone for zone in self.instance.zones if zone in step.work), positions))
            state, layer, cell = step.state, step.layer, before

    def _step(self, layers: _Layers, layer: int, cell: tuple[int, ...]) -> tuple[_Step | None, tuple[int, ...]]:
        """Return the step that led to a layout at its cost, and the layout it came from; none at the start."""
        value = int(layers.costs[layer][cell])
        for step in layers.steps[layer]:
            if not self.legal(step.work, step.state[1])[cell]:
                continue
            whole = self.states[step.state].costs[step.layer] + self._from_all(cell)
            before = np.unravel_index(int(np.argmin(whole)), self.shape) if self.shape else ()
            if int(whole[before]) + int(self._night[cell]) + self._price(step.work) == value:
                return step, tuple(int(place) for place in before)
        return None, ()
