"""Whether a house is ready: what was asked and answered, and what it holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.house_ready import ReadyAnswer, ReadyAsked, ReadyItem
from crewjobs.domain.tasks import Phase, Scope, ScopeKind, TaskKey
from crewjobs.engines.readiness.holds import HoldKind, cannot_be_planned, holds, known_instants
from crewjobs.engines.readiness.house import HouseState, house, items_of
from tests.builders import central, link, material, record, task

MONDAY = central("2026-03-02", "09:00")
THURSDAY = central("2026-03-05", "07:00")
HOUR = timedelta(hours=1)
ASKED = ReadyAsked(at=MONDAY, of="Odalys Brandt")
PLANK = material()
LOOK = replace(task(1, phase=Phase.HOUSE), key=TaskKey(template="walk-through-before", scope=Scope(kind=ScopeKind.JOB)))
CARRY = task(2, "carry in", phase=Phase.HOUSE, scope=Scope(kind=ScopeKind.MATERIAL, name=PLANK.name))
PROTECT = task(3, "protect", phase=Phase.HOUSE)
LAY = task(4, "lay")


def answer(item=ReadyItem.PAINT, ready=True, at=MONDAY + HOUR, until=None):
    return ReadyAnswer(item=item, ready=ready, at=at, by="Odalys Brandt", until=until)


def job(*answers, asked=(ASKED,), tasks=(LOOK, CARRY, PROTECT, LAY), links=()):
    base = record(list(tasks), [link(3, 4), *links], materials=[PLANK], ready=False)
    return replace(base, asked=asked, answers=answers)


ALL_YES = tuple(answer(item) for item in ReadyItem)
NOT_PAINTED = answer(ready=False, at=MONDAY + 2 * HOUR, until=THURSDAY)


def held(seen, at=MONDAY + 3 * HOUR):
    return {t.number for t in seen.tasks if any(hold.kind is HoldKind.HOUSE for hold in holds(seen, t, at))}


def test_the_four_states_follow_what_was_asked_and_answered():
    """Nothing asked; asked; all answered yes; one answered no."""
    later = MONDAY + 3 * HOUR
    states = [house(seen, later).state for seen in (job(asked=()), job(), job(*ALL_YES), job(*ALL_YES, NOT_PAINTED))]
    assert states == [HouseState.NOT_ASKED, HouseState.ASKED, HouseState.READY, HouseState.NOT_READY]


def test_it_holds_carrying_in_and_the_start_and_nobody_who_only_looks():
    """Until the house is ready, somebody may go there to look; after the last yes nothing is held."""
    assert held(job(asked=())) == {2, 3, 4}
    assert held(job(*ALL_YES[:-1])) == {2, 3, 4}
    assert held(job(*ALL_YES)) == set()


def test_the_hold_says_what_is_missing_and_what_would_be_right():
    """Not asked, without an answer, answered no: one sentence each, with the command."""
    said = [
        holds(seen, PROTECT, MONDAY + 3 * HOUR)[0].what for seen in (job(asked=()), job(*ALL_YES[1:]), job(NOT_PAINTED))
    ]
    assert said == [
        "nobody has asked whether the house is ready (`crewjobs ready 1 --asked NAME --all` when it is)",
        "the house was asked but there is no answer yet: heat or air running (`crewjobs ready 1 --all` when all are so)",
        "the house is not ready: wet work or paint is not done (`crewjobs ready 1 --item paint` when it is)",
    ]


def test_a_day_that_has_come_makes_no_house_ready():
    """Not ready until Thursday: on Thursday it is still held, without an end by itself, and to be asked again."""
    seen = job(*ALL_YES, NOT_PAINTED)
    at = THURSDAY + HOUR
    assert held(seen, at) == {2, 3, 4}
    assert [hold.until for hold in holds(seen, PROTECT, at)] == [None]
    assert house(seen, at).ask_again(at)
    assert not house(seen, THURSDAY - HOUR).ask_again(THURSDAY - HOUR)


def test_what_is_said_later_stands():
    """A yes after a no makes it ready; a no after a yes does not."""
    painted = answer(at=MONDAY + 4 * HOUR)
    assert house(job(*ALL_YES, NOT_PAINTED, painted), THURSDAY).state is HouseState.READY
    assert house(job(*ALL_YES, NOT_PAINTED, painted), MONDAY + 3 * HOUR).state is HouseState.NOT_READY


def test_an_empty_house_is_asked_all_but_the_emptying():
    """Nobody lives there and no room has furniture: air, paint, power and key are asked all the same."""
    base = job().job
    empty = replace(base, site=replace(base.site, occupied=False))
    assert items_of(base) == tuple(ReadyItem)
    assert items_of(empty) == tuple(item for item in ReadyItem if item is not ReadyItem.EMPTIED)


def test_once_work_has_begun_only_a_no_holds():
    """The crew in the house sees for itself; a dry run's no holds what has not begun, not what has."""
    begun = replace(PROTECT, started_at=MONDAY, done_at=MONDAY + HOUR)
    going = replace(LAY, started_at=MONDAY + HOUR)
    after = task(5, "trim")
    assert held(job(asked=(), tasks=(LOOK, CARRY, begun, LAY))) == set()
    assert held(job(NOT_PAINTED, tasks=(LOOK, CARRY, begun, going, after))) == {2, 5}


def test_carrying_in_and_looking_are_not_the_start():
    """Cartons that lie in the house do not spare the question before the crew comes."""
    carried = replace(CARRY, started_at=MONDAY, done_at=MONDAY)
    looked = replace(LOOK, started_at=MONDAY, done_at=MONDAY)
    assert held(job(asked=(), tasks=(looked, carried, PROTECT, LAY))) == {3, 4}


def test_the_plan_takes_an_open_question_for_a_yes_and_a_no_by_its_day():
    """Nothing asked or answered bounds nothing; a day bounds the first tasks; no day cannot be planned."""
    later = MONDAY + 3 * HOUR
    for open_ in (job(asked=()), job()):
        assert known_instants(open_, later) == {}
        assert {3, 4} & cannot_be_planned(open_, later).keys() == set()
    dated = known_instants(job(*ALL_YES, NOT_PAINTED), later)
    assert {number: [(k.at, k.reason) for k in known] for number, known in dated.items()} == {
        2: [(THURSDAY, "paint not done before")],
        3: [(THURSDAY, "paint not done before")],
    }
    undated = cannot_be_planned(job(*ALL_YES, replace(NOT_PAINTED, until=None)), later)
    assert undated[3] == "the house is not ready: wet work or paint is not done; get a day"
    assert known_instants(job(*ALL_YES, NOT_PAINTED), THURSDAY + HOUR) == {}


answers_st = st.lists(
    st.builds(
        answer,
        item=st.sampled_from(ReadyItem),
        ready=st.booleans(),
        at=st.integers(1, 40).map(lambda hours: MONDAY + hours * HOUR),
    ),
    max_size=12,
)


@given(answers=answers_st, hours=st.integers(0, 45))
def test_it_is_ready_exactly_when_the_last_word_on_every_item_is_yes(answers, hours):
    """Whatever was said in whatever order: the last answer on each item by the instant decides, and what comes later nothing."""
    at = MONDAY + hours * HOUR
    by_then = sorted((a for a in answers if a.at <= at), key=lambda a: a.at)
    last = {item: [a.ready for a in by_then if a.item is item][-1:] for item in ReadyItem}
    ready = all(words == [True] for words in last.values())
    seen = job(*answers)
    assert (house(seen, at).state is HouseState.READY) == ready
    assert (held(seen, at) == set()) == ready
    assert house(job(*by_then), at) == house(seen, at)
