"""Where there is no way through: each rule given up by the least that is enough, held to trying everything."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from random import Random

import pytest

from crewjobs.engines.moving import needs, no_way
from crewjobs.engines.moving.changes import (
    Change,
    FewerBeds,
    InDust,
    KeptElsewhere,
    MoreFloor,
    MustMove,
    Opened,
    OtherStart,
    Rule,
    ShorterCure,
    StepOver,
    WithoutPower,
    WithoutToilet,
)
from crewjobs.engines.moving.fitting import FloorPlan, Rect
from crewjobs.engines.moving.model import OUTSIDE, MovingProblem, Piece, Place, Status
from crewjobs.engines.moving.no_way import what_would_open
from crewjobs.engines.moving.relaxed import rooted
from crewjobs.engines.moving.search import solve
from crewjobs.engines.moving.step import Step, numbers
from tests import thorough
from tests.engines.moving.plain import has_plan, least_cost
from tests.engines.moving.tiny import tiny


def _house(seed: int) -> MovingProblem:
    """Return a tiny house with some places taken from pieces because they have no power there."""
    random = Random(seed)
    problem = tiny(seed, shapes=seed % 3 == 0, comes=seed % 4 == 0)
    pieces = []
    for piece in problem.pieces:
        floors = sorted(piece.allowed - {piece.home})
        if random.random() < 0.4 and floors:
            cold = frozenset(random.sample(floors, random.randint(1, len(floors))))
            piece = replace(piece, allowed=piece.allowed - cold, unpowered=cold)
        elif random.random() < 0.1 and piece.home != problem.nowhere:
            piece = replace(piece, allowed=frozenset({piece.home}))
        pieces.append(piece)
    return replace(problem, pieces=tuple(pieces))


@cache
def _closed() -> tuple[int, ...]:
    """Return the seeds of tiny houses that have no plan."""
    return tuple(seed for seed in range(240) if not has_plan(_house(seed)))


def _of(opened: Opened, kind: type[Change]) -> Change | None:
    found = [change for change in opened.changes if isinstance(change, kind)]
    assert len(found) <= 1
    return found[0] if found else None


@pytest.mark.parametrize("part", thorough.of(range(5), (1,)))
def test_trying_everything_names_the_same_changes(part: int) -> None:
    """For every rule: the least that opens the house is what trying each size in turn says, and nothing is left undecided."""
    for seed in _closed()[part::10]:
        problem = _house(seed)
        opened = what_would_open(problem)
        assert not opened.open
        assert not opened.undecided
        for kind, houses in TRIED.items():
            change = _of(opened, kind)
            least = next((name for name, house in houses(problem) if has_plan(house)), None)
            assert (change and NAMED[kind](change)) == least, (seed, kind)
        if not opened.changes:
            _hold_together(problem, opened)


def _hold_together(problem: MovingProblem, opened: Opened) -> None:
    """Hold pairs of a rule and floor to trying every size of both: the rule with all the floor there could be, then the floor."""
    *_, (_, large) = _more_floor(problem)
    for kind, houses in TRIED.items():
        if kind is MoreFloor:
            continue
        pair = next((pair for pair in opened.together if isinstance(pair[0], kind)), None)
        rule, house = next(((name, house) for name, house in houses(large) if has_plan(house)), (None, None))
        assert (pair and NAMED[kind](pair[0])) == rule
        if pair is not None and house is not None:
            sizes = range(sum(piece.footprint for piece in problem.pieces) + 1)
            store = len(problem.places)
            least = next(size for size in sizes if has_plan(_places(house, store, capacity=size)))
            assert pair[1].floor == least
            assert pair[0].problem == pair[1].problem
            assert has_plan(pair[0].problem)


@pytest.mark.parametrize("part", thorough.of(range(3), 1))
def test_the_changed_house_has_a_plan(part: int) -> None:
    """Every change comes with the house it makes, and the search finds a plan there."""
    seen = 0
    for seed in _closed()[part::5]:
        for change in what_would_open(_house(seed)).changes:
            assert solve(change.problem, rounds=3000).status is Status.PROVED
            seen += 1
    assert seen


def test_a_plan_is_one_that_costs_something() -> None:
    """The judge's question whether there is a plan is the one whether it has a cost."""
    for seed in range(40):
        assert has_plan(_house(seed)) == (least_cost(_house(seed)) is not None)


def test_a_house_that_has_a_way_needs_no_change() -> None:
    """Asked of a house with a plan: it is open."""
    for seed in range(30):
        if seed not in _closed():
            assert what_would_open(_house(seed)) == Opened(open=True)


def _places(problem: MovingProblem, number: int, **given: object) -> MovingProblem:
    places = [*problem.places]
    places[number] = replace(places[number], **given)  # type: ignore[arg-type]
    return replace(problem, places=tuple(places))


def _more_floor(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    count = len(problem.places)
    for size in range(sum(piece.footprint for piece in problem.pieces) + 1):
        yield (
            size,
            replace(
                problem,
                places=(*problem.places, Place(name="container", capacity=size, as_passage=0)),
                pieces=tuple(
                    replace(
                        piece,
                        allowed=piece.allowed
                        | ({count} if piece.allowed - {piece.home} and not piece.unpowered else set()),
                        moves=(*((*row, 99) for row in piece.moves), (99,) * count + (0,)),
                        nights=(*piece.nights, 0),
                    )
                    for piece in problem.pieces
                ),
                ways=(*problem.ways, (OUTSIDE, count)),
            ),
        )


def _step_over(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    for over in range(40):
        for number, place in enumerate(problem.places):
            floor = replace(place.floor, walkways=()) if place.floor else None
            if number != problem.nowhere and over <= max(0, place.capacity - place.as_passage):
                yield (number, over), _places(problem, number, as_passage=place.as_passage + over, floor=floor)


def _fewer_beds(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    for fewer in range(1, problem.beds + 1):
        yield fewer, replace(problem, beds=problem.beds - fewer)


def _subsets(every: list[int]) -> Iterator[tuple[int, ...]]:
    for size in range(1, len(every) + 1):
        yield from combinations(every, size)


def _without_power(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    for some in _subsets([i for i, piece in enumerate(problem.pieces) if piece.unpowered]):
        pieces = [replace(p, allowed=p.allowed | p.unpowered) if i in some else p for i, p in enumerate(problem.pieces)]
        yield some, replace(problem, pieces=tuple(pieces))


def _kept_elsewhere(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    for some in _subsets([i for i, piece in enumerate(problem.pieces) if piece.used_by - problem.done]):
        yield some, replace(problem, pieces=tuple(p for i, p in enumerate(problem.pieces) if i not in some))


def _in_dust(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    for some in _subsets(sorted({*problem.clear} - problem.done)):
        yield some, replace(problem, clear={s: kept for s, kept in problem.clear.items() if s not in some})


def _shorter_cure(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    lying = dict(problem.curing)
    glued = [
        number
        for number, place in enumerate(problem.places)
        if lying.get(number, 0) or (place.worked and place.cures and number not in problem.done)
    ]
    for size in range(1, len(glued) + 1):
        for earlier in range(1, 4):
            for places in combinations(glued, size):
                if earlier > max(
                    max(lying.get(n, 0), problem.places[n].cures if n not in problem.done else 0) for n in places
                ):
                    continue
                house = problem
                for number in places:
                    house = _places(house, number, cures=max(0, house.places[number].cures - earlier))
                curing = tuple((p, n - earlier if p in places else n) for p, n in problem.curing)
                yield (places, earlier), replace(house, curing=curing)


def _must_move(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    inside = {number for number, place in enumerate(problem.places) if place.name != "container"}
    floors = frozenset(inside - {problem.nowhere})
    stay = [i for i, piece in enumerate(problem.pieces) if piece.allowed <= {piece.home}]
    for some in _subsets(stay):
        pieces = [replace(p, allowed=floors - p.unpowered) if i in some else p for i, p in enumerate(problem.pieces)]
        yield some, replace(problem, pieces=tuple(pieces))


def _without_toilet(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    if problem.reach or any(place.toilet for place in problem.places):
        places = tuple(replace(place, toilet=False) for place in problem.places)
        yield True, replace(problem, places=places, reach=frozenset())


def _other_start(problem: MovingProblem) -> Iterator[tuple[object, MovingProblem]]:
    """Yield the field's sections with every start that opens the house; a field here is a chain of three sections."""
    chains: list[tuple[frozenset[int], Callable[[int], MovingProblem]]] = []
    for field in problem.fields:
        (first, middle), (_, last) = field[0]
        from_each = {
            first: ((first, middle), (middle, last)),
            middle: ((middle, first), (middle, last)),
            last: ((last, middle), (middle, first)),
        }
        chains.append((frozenset(from_each), lambda s, pairs=from_each: replace(problem, fields=((pairs[s],),))))  # type: ignore[misc]
    for pair in problem.before:
        other = {pair[0]: pair, pair[1]: pair[::-1]}
        chains.append((frozenset(pair), lambda s, pairs=other: replace(problem, before=(pairs[s],))))  # type: ignore[misc]
    for sections, house in chains:
        starts = tuple(s for s in sorted(sections - problem.done) if has_plan(house(s)))
        if starts:
            yield (sections, starts), house(starts[0])


TRIED: dict[type[Change], Callable[[MovingProblem], Iterator[tuple[object, MovingProblem]]]] = {
    MoreFloor: _more_floor,
    StepOver: _step_over,
    FewerBeds: _fewer_beds,
    WithoutPower: _without_power,
    KeptElsewhere: _kept_elsewhere,
    InDust: _in_dust,
    ShorterCure: _shorter_cure,
    MustMove: _must_move,
    OtherStart: _other_start,
    WithoutToilet: _without_toilet,
}
NAMED: dict[type[Change], Callable[..., object]] = {
    MoreFloor: lambda change: change.floor,
    StepOver: lambda change: (change.place, change.over),
    FewerBeds: lambda change: change.fewer,
    WithoutPower: lambda change: change.pieces,
    KeptElsewhere: lambda change: change.pieces,
    InDust: lambda change: change.sections,
    ShorterCure: lambda change: (change.places, change.earlier),
    MustMove: lambda change: change.pieces,
    OtherStart: lambda change: (change.sections, change.starts),
    WithoutToilet: lambda change: True,
}


# -- by hand


def _small(
    rooms: dict[str, int],
    pieces: list[tuple[int, int]],
    *,
    stores: dict[str, int] | None = None,
    ways: tuple[tuple[int, int], ...] = (),
    **given: object,
) -> MovingProblem:
    """Return rooms to be worked and stores of so much floor, each with its own door unless ways are given; pieces (home, floor)."""
    sizes = rooms | (stores or {})
    count = len(sizes)
    return MovingProblem(
        places=tuple(
            Place(name=name, capacity=size, as_passage=size - 10, worked=name in rooms, sleeps=name in rooms)
            for name, size in sizes.items()
        ),
        pieces=tuple(
            Piece(
                name=f"piece {i}", home=home, footprint=size, allowed=frozenset(range(count)),
                moves=tuple(tuple(5 * (a != b) for b in range(count)) for a in range(count)), nights=(0,) * count,
            )
            for i, (home, size) in enumerate(pieces)
        ),
        ways=ways or tuple((OUTSIDE, z) for z in range(count)),
        sets=tuple(frozenset({s}) for s in range(len(rooms))),
        setup=60,
        **given,  # type: ignore[arg-type]
    )  # fmt: skip


def _pieces(problem: MovingProblem, **given: object) -> MovingProblem:
    return replace(problem, pieces=tuple(replace(piece, **given) for piece in problem.pieces))  # type: ignore[arg-type]


def _with_shapes(problem: MovingProblem, *shapes: tuple[int, int]) -> MovingProblem:
    pieces = tuple(replace(p, shape=(one,)) for p, one in zip(problem.pieces, shapes, strict=True))
    return replace(problem, pieces=pieces)


def test_floor_is_named_to_the_foot() -> None:
    """Two pieces of 30 and a shed for one of them: 30 more outside, for the den; each one that fits alone needs nothing more."""
    change = _of(what_would_open(_small({"den": 80}, [(0, 30), (0, 30)], stores={"shed": 40})), MoreFloor)
    assert isinstance(change, MoreFloor)
    assert (change.floor, change.stages, change.worked) == (30, 1, {0})


def test_only_some_pieces_stand_outside() -> None:
    """What may not stand outside does not: the other piece goes there, and if it may not either, floor is no answer."""
    house = _small({"den": 80}, [(0, 30), (0, 20)], stores={"shed": 40})
    assert [
        change and change.floor  # type: ignore[attr-defined]
        for change in (_of(what_would_open(house, outside=frozenset(some)), MoreFloor) for some in ({0, 1}, {0}, ()))
    ] == [20, 30, None]


def test_the_place_to_step_over_is_named() -> None:
    """A hall of 30 holds 25 where 20 leave a way: 5 too many there, and nothing else helps but floor outside."""
    house = _small({"den": 80}, [(0, 25)], stores={"hall": 30}, ways=((OUTSIDE, 1), (1, 0)))
    opened = what_would_open(house)
    change = _of(opened, StepOver)
    assert isinstance(change, StepOver)
    assert (change.place, change.over, change.worked) == (1, 5, {0})
    assert {one.rule for one in opened.changes} == {Rule.WALKWAY, Rule.FLOOR}


def test_a_sofa_across_the_way_is_stepped_over() -> None:
    """A hall in which the sofa's rectangle leaves no way, whatever its area: the hall, and no floor too many."""
    house = _with_shapes(_small({"den": 80}, [(0, 5)], stores={"hall": 90}, ways=((OUTSIDE, 1), (1, 0))), (84, 36))
    house = _places(house, 1, floor=FloorPlan(width=60, depth=90, walkways=((Rect(0, 0, 32, 90),),)))
    change = _of(what_would_open(house), StepOver)
    assert isinstance(change, StepOver)
    assert (change.place, change.over) == (1, 0)
    assert solve(change.problem).status is Status.PROVED


def test_one_night_without_the_second_bed() -> None:
    """Two beds in a den, a loft that takes one, and a shed: one bed fewer, in one night."""
    house = _pieces(_small({"den": 80, "loft": 25}, [(0, 20), (0, 20)], stores={"shed": 80}, beds=2), bed=True)
    change = _of(what_would_open(house), FewerBeds)
    assert isinstance(change, FewerBeds)
    assert (change.fewer, change.stages, change.worked) == (1, 1, {0})


def test_the_piece_without_power_is_named() -> None:
    """Of two fridges that could stand in the shed but for power, one fits elsewhere: the other is named."""
    house = _small({"den": 80}, [(0, 10), (0, 20)], stores={"shed": 80, "hall": 15})
    house = replace(
        house,
        pieces=tuple(replace(p, allowed=frozenset({0, 2}), unpowered=frozenset({1})) for p in house.pieces),
    )
    change = _of(what_would_open(house), WithoutPower)
    assert isinstance(change, WithoutPower)
    assert change.pieces == (1,)


def test_the_dust_is_named() -> None:
    """Den and loft hold each other's pieces; only the grinding in the den asks the loft to be clear."""
    house = _small({"den": 40, "loft": 40}, [(0, 20), (1, 20)], clear={0: frozenset({1}), 1: frozenset()})
    change = _of(what_would_open(house), InDust)
    assert isinstance(change, InDust)
    assert (change.sections, change.worked) == ((0,), {0})


def test_a_toilet_that_cures_now_is_used_so_many_nights_earlier() -> None:
    """The only toilet cures for 2 stages more: 2 fewer, or as many nights without."""
    house = _places(_small({"den": 40, "bath": 40}, [], done=frozenset({1}), curing=((1, 2),)), 1, toilet=True)
    opened = what_would_open(house)
    cure, toilet = _of(opened, ShorterCure), _of(opened, WithoutToilet)
    assert isinstance(cure, ShorterCure)
    assert toilet is not None
    assert (cure.places, cure.earlier) == ((1,), 2)
    assert toilet.stages == 1


def test_the_other_start_is_named() -> None:
    """Cartons for the loft fill the shed until it is laid; laid from the den there is no floor, from the loft there is."""
    house = _small({"den": 30, "loft": 30}, [(0, 20)], stores={"shed": 20}, before=((0, 1),))
    away = len(house.places)
    moves = tuple(tuple(5 * (a != b) for b in range(away + 1)) for a in range(away + 1))
    furniture = replace(house.pieces[0], allowed=frozenset({0, 2}), moves=moves, nights=(0,) * (away + 1))
    cartons = replace(
        furniture, name="cartons", start=away, home=away, footprint=5, allowed=frozenset({2}), used_by=frozenset({1})
    )
    house = replace(
        house,
        places=(*house.places, Place(name="nowhere", capacity=0, as_passage=-1)),
        pieces=(furniture, cartons),
        nowhere=away,
    )
    change = _of(what_would_open(house), OtherStart)
    assert isinstance(change, OtherStart)
    assert (change.sections, change.starts) == ({0, 1}, (1,))
    plan = solve(change.problem)
    assert [stage.worked for stage in plan.stages] == [{1}, {0}]


def test_the_piano_on_the_floor_to_be_laid_is_named() -> None:
    """Of two pieces that may not move, the one that stands where the floor is laid."""
    house = _small({"den": 80}, [(0, 30), (1, 20)], stores={"hall": 60})
    house = replace(house, pieces=tuple(replace(p, allowed=frozenset({p.home})) for p in house.pieces))
    opened = what_would_open(house)
    assert [change.rule for change in opened.changes] == [Rule.STAYS]
    change = opened.changes[0]
    assert isinstance(change, MustMove)
    assert change.pieces == (0,)


def test_stopped_it_says_what_it_did_not_look_at() -> None:
    """Stopped before it begins: every rule is undecided, and nothing is said to help."""
    house = _small({"den": 80}, [(0, 30)], stores={"shed": 20})
    assert what_would_open(house, stop=lambda: True) == Opened(undecided=tuple(Rule))


def test_without_the_solver_nothing_is_decided(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver is not installed no change is named, and it is said that none was looked at."""
    monkeypatch.setattr(no_way, "available", lambda: False)
    house = _small({"den": 80}, [(0, 30)], stores={"shed": 20})
    assert what_would_open(house) == Opened(undecided=tuple(Rule))


def test_no_rule_alone_and_the_least_of_two() -> None:
    """Two beds of 20 in a den, a loft that takes one of them: one bed fewer in one night, and 20 outside for it."""
    house = _pieces(_small({"den": 80, "loft": 25}, [(0, 20), (0, 20)], stores={"shed": 5}, beds=2), bed=True)
    opened = what_would_open(house)
    assert opened.changes == ()
    ((change, floor),) = opened.together
    assert isinstance(change, FewerBeds)
    assert (change.fewer, change.stages, floor.floor) == (1, 1, 20)
    assert solve(change.problem).status is Status.PROVED


def _doubting(monkeypatch: pytest.MonkeyPatch, worked: set[int]) -> None:
    """Let the solver come to no end with a stage that works these sections."""
    solved = needs.Needs._solved

    def doubt(self: needs.Needs, step: Step) -> needs.Looked | None:
        if {*numbers(step.worked)} == worked:
            raise needs.Undecided
        return solved(self, step)

    monkeypatch.setattr(needs.Needs, "_solved", doubt)


def test_a_stage_that_is_not_decided_counts_only_where_it_matters(monkeypatch: pytest.MonkeyPatch) -> None:
    """Both rooms at once could not be decided: one after the other is a way all the same; where it is not, nothing is known."""
    both = (frozenset({0}), frozenset({1}), frozenset({0, 1}))
    house = replace(_small({"den": 40, "loft": 40}, [(0, 20), (1, 20)]), sets=both)
    tight = _small({"den": 30, "loft": 30}, [(0, 20), (1, 20)])
    _doubting(monkeypatch, {0, 1})
    assert what_would_open(house) == Opened(open=True)
    assert what_would_open(replace(tight, sets=both)) == Opened(undecided=tuple(Rule))
    assert _of(what_would_open(tight), MoreFloor) is not None


def test_as_few_nights_as_can_be_go_without() -> None:
    """The only toilet cures for a night: worked last it is missed that night and the one it cures on, when all is done."""
    house = _places(_small({"bath": 40, "loft": 40}, []), 0, toilet=True, cures=1)
    change = _of(what_would_open(house), WithoutToilet)
    assert change is not None
    assert (change.stages, change.worked) == (2, {0})


def test_a_field_is_laid_away_from_its_start() -> None:
    """Neighbors are laid in the order of their distance from the start; of two that are equally far neither waits."""
    ring = ((0, 1), (0, 2), (1, 2), (2, 3))
    assert rooted(ring, 0) == ((0, 1), (0, 2), (2, 3))
    assert rooted(ring, 3) == ((2, 0), (2, 1), (3, 2))
