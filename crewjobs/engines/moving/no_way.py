"""What stands in the way of a house that has no plan: one rule at a time given up, by as little as is enough.

Each change found is the least of its kind, and comes with the house in which it was made, so that it can be planned: floor
outside, a place that is stepped over, cartons, beds, power, dust, a cure, the start of a field, a piece that was to stay, a toilet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import combinations
from typing import Any, TypeVar

from crewjobs.engines.moving.changes import (
    Change,
    FewerBeds,
    InDust,
    KeptElsewhere,
    MoreFloor,
    MustMove,
    NightsAway,
    Opened,
    OtherStart,
    Rule,
    ShorterCure,
    StepOver,
    WithoutPower,
    WithoutToilet,
)
from crewjobs.engines.moving.fitting import Fits, FloorPlan, stand
from crewjobs.engines.moving.kinds import Kinds
from crewjobs.engines.moving.model import MovingProblem
from crewjobs.engines.moving.needs import Lack, Needs, Purse, Undecided, Way
from crewjobs.engines.moving.relaxed import cured, hanging, kept_elsewhere, stepped_over, with_pieces, with_store
from crewjobs.engines.moving.standing import Known, Stop
from crewjobs.engines.moving.step import numbers
from crewjobs.engines.scheduling.solver import available

__all__ = [
    "Change",
    "FewerBeds",
    "InDust",
    "KeptElsewhere",
    "MoreFloor",
    "MustMove",
    "NightsAway",
    "Opened",
    "OtherStart",
    "Rule",
    "ShorterCure",
    "StepOver",
    "WithoutPower",
    "WithoutToilet",
    "what_would_open",
]
T = TypeVar("T")
EFFORTS = ((1.5, 6.0), (24.0, 96.0))
"""The solver's deterministic time for one rule; one that is not done with then is left undecided, and the next is looked at.
As long as nothing was found undecided ones are looked at again with more, after the first two also each together with floor."""
BOX_WIDE = 96
"""Inches a container is wide; common practice, no source."""
LENGTHENED = 6
LONGEST_BOX = 40 * 12
BOX_EFFORT = 0.2
"""The solver's deterministic time for whether things stand in a box."""
MOST_TOGETHER = 5
"""Pieces or sections of which every choice is tried; of more, all together are."""


def what_would_open(
    problem: MovingProblem, *, outside: frozenset[int] | None = None, stop: Stop = lambda: False
) -> Opened:
    """Return for each rule the least of it that has to be given up for a plan, rules that would not help left out.

    `outside` are the pieces that may stand in a store outside, without heat and power; none given: all that may stand
    elsewhere than at home and need no power.
    """
    if not available():
        return Opened(undecided=tuple(Rule))
    known: Known = {}
    purse = Purse()
    whole = Needs(problem, known=known, stop=stop, purse=purse)
    try:
        if whole.least() is not None:
            return Opened(open=True)
    except Undecided:
        return Opened(undecided=tuple(Rule))
    if outside is None:
        outside = frozenset(
            i for i, piece in enumerate(problem.pieces) if not piece.unpowered and piece.allowed - {piece.home}
        )
    opening = _Opening(problem, whole, known, stop, outside, len(problem.places), purse)
    alone, together = opening.looks(), opening.with_floor()
    open_rules, open_pairs = tuple(alone), tuple(together)
    for efforts in EFFORTS:
        for effort in efforts:
            changes, open_rules = _looked(alone, open_rules, purse, effort)
            if changes or stop():
                return Opened(changes=changes, undecided=open_rules)
        pairs, open_pairs = _looked(together, open_pairs, purse, efforts[0])
        if pairs:
            return Opened(together=pairs, undecided=tuple(dict.fromkeys((*open_rules, *open_pairs))))
    return Opened(undecided=tuple(dict.fromkeys((*open_rules, *open_pairs))))


def _looked(
    looks: Mapping[Rule, Callable[[], T | None]], rules: Sequence[Rule], purse: Purse, effort: float
) -> tuple[tuple[T, ...], tuple[Rule, ...]]:
    """Return what was found of the rules looked at, and which could not be decided with the effort each may take."""
    found: list[T] = []
    undecided: list[Rule] = []
    for rule in rules:
        look = looks[rule]
        purse.left = effort
        try:
            one = look()
        except Undecided:
            undecided.append(rule)
        else:
            found += [one] if one is not None else []
    return tuple(found), tuple(undecided)


@dataclass(frozen=True, slots=True)
class _Opening:
    """The rules of one house, each looked at by itself."""

    problem: MovingProblem
    whole: Needs
    known: Known
    stop: Stop
    outside: frozenset[int]
    inside: int
    """How many places there are without a store outside: what was to stay is not carried out of the house."""
    purse: Purse
    asked: list[Needs] = field(default_factory=list)
    """The houses looked at: one that was left undecided is gone on with."""

    def looks(self) -> Mapping[Rule, Callable[[], Change | None]]:
        """Return how each rule is looked at, the one a crew would change first at the head."""
        return {
            Rule.FLOOR: self._floor,
            Rule.WALKWAY: self._walkway,
            Rule.CARTONS: self._cartons,
            Rule.BEDS: self._beds,
            Rule.POWER: self._power,
            Rule.DUST: self._dust,
            Rule.CURE: self._cure,
            Rule.ORDER: self._order,
            Rule.STAYS: self._stays,
            Rule.TOILET: self._toilet,
            Rule.AWAY: self._away,
        }

    def _way(self, problem: MovingProblem, lack: Lack | None = None, *, same_phases: bool = True) -> Way | None:
        """Return a way through a relaxed house; without `same_phases` its stages are not those of the house as it is."""
        needs = next((one for one in self.asked if one.counts == bool(lack) and one.problem == problem), None)
        if needs is None:
            needs = Needs(
                problem,
                lack=lack,
                whole=self.whole if same_phases else None,
                known=self.known,
                stop=self.stop,
                purse=self.purse,
            )
            self.asked.append(needs)
        return needs.least()

    def _large(self) -> MovingProblem:
        """Return the house with a store outside for all that may stand there."""
        return with_store(self.problem, sum(self.problem.pieces[i].footprint for i in self.outside), self.outside)

    def with_floor(self) -> Mapping[Rule, Callable[[], tuple[Change, MoreFloor] | None]]:
        """Return how each other rule is looked at in the house with a large store, which is then made as small as can be."""
        if not self.outside:
            return {}
        large = self._large()
        other = _Opening(
            large,
            Needs(large, known=self.known, stop=self.stop, purse=self.purse),
            self.known,
            self.stop,
            frozenset(),
            self.inside,
            self.purse,
        )

        def both(look: Callable[[], Change | None]) -> tuple[Change, MoreFloor] | None:
            change = look()
            floor = None if change is None else self._floor_of(change.problem)
            return None if change is None or floor is None else (replace(change, problem=floor.problem), floor)

        looks = other.looks()
        return {rule: partial(both, looks[rule]) for rule in looks if rule is not Rule.FLOOR}

    def _floor(self) -> Change | None:
        return self._floor_of(self._large()) if self.outside else None

    def _floor_of(self, large: MovingProblem) -> MoreFloor | None:
        """Return the least floor of the store of a house with a large one."""
        store = len(self.problem.places)

        def stored(_: Any, kinds: Kinds, at: Mapping[tuple[int, int], Any], __: Any) -> Any:
            return sum(int(kinds.footprint[k]) * var for (k, z), var in at.items() if z == store)

        way = self._way(large, stored)
        if way is None:
            return None
        box = self._box(way, store)
        plan = FloorPlan(width=box[0], depth=box[1]) if all(box) else None
        smaller = replace(large.places[store], capacity=way.most, floor=plan)
        problem = replace(large, places=(*large.places[:store], smaller))
        stored_most = way.standing(store)
        return MoreFloor(rule=Rule.FLOOR, problem=problem, floor=way.most, box=box, pieces=stored_most, **_where(way))

    def _box(self, way: Way, store: int) -> tuple[int, int]:
        """Return the shortest box of a usual width in which what is stored stands in every stage; nothing without shapes."""
        heaps = []
        for stage in way.stages:
            here = stage.counts[:, store].tolist()
            heaps.append(
                [
                    one
                    for many, members in zip(here, way.members, strict=True)
                    for number in members[:many]
                    for one in self.problem.pieces[number].shape
                ]
            )
        length = LENGTHENED
        for heap in (heap for heap in heaps if heap):
            while (
                stand(FloorPlan(width=BOX_WIDE, depth=length), heap, effort=BOX_EFFORT, stop=self.stop).fits
                is not Fits.YES
            ):
                length += LENGTHENED
                if length > LONGEST_BOX or self.stop():
                    return 0, 0
        return (BOX_WIDE, length) if any(heaps) else (0, 0)

    def _walkway(self) -> Change | None:
        best: StepOver | None = None
        for number, place in enumerate(self.problem.places):
            narrow = place.as_passage < place.capacity or (place.floor is not None and place.floor.walkways)
            if number == self.problem.nowhere or not narrow:
                continue

            def over(model: Any, kinds: Kinds, at: Mapping[tuple[int, int], Any], _: Any, number: int = number) -> Any:
                limit = self.problem.places[number].as_passage
                load = sum(int(kinds.footprint[k]) * var for (k, z), var in at.items() if z == number)
                more = model.new_int_var(max(0, -limit), int(kinds.footprint @ kinds.count) + abs(limit), "over")
                model.add(more >= load - limit)
                return more

            way = self._way(stepped_over(self.problem, number, place.capacity - place.as_passage), over)
            if way is not None and (best is None or way.most < best.over):
                problem = stepped_over(self.problem, number, way.most)
                best = StepOver(
                    rule=Rule.WALKWAY,
                    problem=problem,
                    place=number,
                    over=way.most,
                    pieces=way.standing(number),
                    **_where(way),
                )
        return best

    def _beds(self) -> Change | None:
        beds = self.problem.beds

        def short(model: Any, _: Kinds, __: Mapping[tuple[int, int], Any], slept: Any) -> Any:
            fewer = model.new_int_var(0, beds, "fewer")
            model.add(fewer >= beds - slept)
            return fewer

        way = self._way(replace(self.problem, beds=0), short) if beds else None
        if way is None:
            return None
        problem = replace(self.problem, beds=beds - way.most)
        return FewerBeds(rule=Rule.BEDS, problem=problem, fewer=way.most, **_where(way))

    def _power(self) -> Change | None:
        needy = [i for i, piece in enumerate(self.problem.pieces) if piece.unpowered]

        def without(chosen: Sequence[int]) -> MovingProblem:
            return with_pieces(self.problem, chosen, lambda piece: piece.allowed | piece.unpowered)

        for pieces, problem, way in self._fewest(needy, without):
            return WithoutPower(rule=Rule.POWER, problem=problem, pieces=pieces, **_where(way))
        return None

    def _cartons(self) -> Change | None:
        cartons = [i for i, piece in enumerate(self.problem.pieces) if piece.used_by - self.problem.done]
        for pieces, problem, _ in self._fewest(cartons, partial(kept_elsewhere, self.problem), same_phases=False):
            return KeptElsewhere(rule=Rule.CARTONS, problem=problem, pieces=pieces, stages=0, worked=frozenset())
        return None

    def _dust(self) -> Change | None:
        dusty = sorted(s for s, kept in self.problem.clear.items() if kept and s not in self.problem.done)

        def without(chosen: Sequence[int]) -> MovingProblem:
            return replace(self.problem, clear={s: kept for s, kept in self.problem.clear.items() if s not in chosen})

        for sections, problem, way in self._fewest(dusty, without):
            return InDust(rule=Rule.DUST, problem=problem, sections=sections, **_where(way))
        return None

    def _fewest(
        self, every: Sequence[int], without: Callable[[Sequence[int]], MovingProblem], *, same_phases: bool = True
    ) -> Iterator[tuple[tuple[int, ...], MovingProblem, Way]]:
        """Yield choices that open the house, the smallest first; nothing where all together would not."""
        if not every or self._way(without(every), same_phases=same_phases) is None:
            return
        sizes = range(1, len(every) + 1) if len(every) <= MOST_TOGETHER else (1, 2, len(every))
        for size in sizes:
            for chosen in combinations(every, size):
                problem = without(chosen)
                way = self._way(problem, same_phases=same_phases)
                if way is not None:
                    yield chosen, problem, way

    def _cure(self) -> Change | None:
        left = dict(self.problem.curing)
        most = {
            number: max(place.cures if place.worked and number not in self.problem.done else 0, left.get(number, 0))
            for number, place in enumerate(self.problem.places)
        }
        curing = tuple(number for number, stages in most.items() if stages > 0)
        if not curing or self._way(cured(self.problem, curing, max(most.values()))) is None:
            return None
        longest = range(1, max(most.values()) + 1)
        sizes = range(1, len(curing) + 1) if len(curing) <= MOST_TOGETHER else (1, len(curing))
        for size in sizes:
            for earlier in longest:
                for places in combinations(curing, size):
                    if earlier > max(most[place] for place in places):
                        continue
                    problem = cured(self.problem, places, earlier)
                    way = self._way(problem)
                    if way is not None:
                        return ShorterCure(
                            rule=Rule.CURE, problem=problem, places=places, earlier=earlier, **_where(way)
                        )
        return None

    def _order(self) -> Change | None:
        for sections, freed, rooted in hanging(self.problem):
            if self._way(freed) is None:
                continue
            ways = {start: self._way(rooted(start)) for start in sorted(sections - self.problem.done)}
            starts = tuple(start for start, way in ways.items() if way is not None)
            if starts:
                problem = rooted(starts[0])
                return OtherStart(
                    rule=Rule.ORDER, problem=problem, sections=sections, starts=starts, stages=0, worked=frozenset()
                )
        return None

    def _stays(self) -> Change | None:
        stay = [i for i, piece in enumerate(self.problem.pieces) if piece.allowed <= {piece.home}]
        floors = frozenset(range(self.inside)) - {self.problem.nowhere}

        def moved(chosen: Sequence[int]) -> MovingProblem:
            return with_pieces(self.problem, chosen, lambda piece: floors - piece.unpowered - piece.shut)

        for pieces, problem, way in self._fewest(stay, moved):
            return MustMove(rule=Rule.STAYS, problem=problem, pieces=pieces, **_where(way))
        return None

    def _toilet(self) -> Change | None:
        places = tuple(replace(place, toilet=False) for place in self.problem.places)
        problem = replace(self.problem, places=places, reach=frozenset())
        way = self._way(problem) if problem != self.problem else None
        return None if way is None else WithoutToilet(rule=Rule.TOILET, problem=problem, **self._nights(way))

    def _away(self) -> Change | None:
        """Return the nights away that open a house of which neither the beds nor the toilet alone is in the way."""
        places = tuple(replace(place, toilet=False) for place in self.problem.places)
        problem = replace(self.problem, places=places, reach=frozenset(), beds=0)
        if not self.problem.beds or replace(problem, beds=self.problem.beds) == self.problem:
            return None
        alone = self._beds() is not None or self._toilet() is not None
        way = None if alone else self._way(problem)
        return None if way is None else NightsAway(rule=Rule.AWAY, problem=problem, **self._nights(way))

    def _nights(self, way: Way) -> dict[str, Any]:
        """Return where a change is needed, and in how many nights: what was laid last cures on when all is done."""
        found, last = _where(way), way.steps[-1]
        if way.stages[-1].helped:
            cures = [self.problem.places[s].cures for s in numbers(last.worked)]
            found["stages"] += max(cures, default=0)
        return found


def _where(way: Way) -> dict[str, Any]:
    worked = [frozenset(numbers(step.worked)) for step in way.helped_steps]
    return {"stages": way.helped, "worked": worked[0] if worked else frozenset(), "also": tuple(worked[1:])}
