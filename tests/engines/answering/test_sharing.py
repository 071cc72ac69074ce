"""Clashes that share a job are told in one sentence, in fewer words and with nothing more said."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.tasks import Phase
from crewjobs.engines.answering.clash_words import apart_sentence, clash_sentence
from crewjobs.engines.answering.clashes import Clash, sharing
from crewjobs.engines.answering.shortage import Shortage
from crewjobs.engines.planning.problem import PlanProblem
from tests.engines.planning.networks import MONDAY, Network, crew, job, problem, shop


def _pair(*jobs: int) -> Clash:
    return Clash(jobs=jobs, smallest=True, without={}, late=jobs[-1])


def _promised(*days: int) -> PlanProblem:
    """Jobs 1, 2 … promised for days of March."""
    records = []
    for number, day in enumerate(days, start=1):
        net = Network(job=job(number, drive=0, promised=MONDAY.replace(day=day)))
        net.add("Lay rows", Phase.INSTALL, 60)
        records.append(net.record())
    return problem(records, shop(crew("Birch", 2)))


@pytest.mark.parametrize(
    ("jobs", "said"),
    [
        (
            ((1, 2), (1, 3)),
            "Job 1 (Fri 6 Mar) can be kept with neither 2 (Mon 9 Mar) nor 3 (Mon 9 Mar) in any plan found; ",
        ),
        (
            ((1, 3), (2, 3), (3, 4)),
            "Job 3 (Mon 9 Mar) can be kept with none of 1 (Fri 6 Mar), 2 (Mon 9 Mar) and 4 (Tue 10 Mar) in any plan found; ",
        ),
        (
            ((1, 2), (1, 3), (2, 3)),
            "No two of the promises of jobs 1 (Fri 6 Mar), 2 (Mon 9 Mar) and 3 (Mon 9 Mar) can be kept together in any plan found; ",
        ),
    ],
)
def test_pairs_that_share_a_job_are_one_sentence(jobs: tuple[tuple[int, int], ...], said: str) -> None:
    """What one job clashes with one by one, and three of which no two can be kept: shorter than a sentence a pair."""
    the_problem = _promised(6, 9, 9, 10)
    pairs = [_pair(*pair) for pair in jobs]
    (group,) = sharing(pairs, lambda _: "tried")
    sentence = apart_sentence(the_problem, group)
    assert sentence.startswith(said)
    assert len(sentence) < sum(len(clash_sentence(the_problem, pair, None)) for pair in pairs)


@given(st.sets(st.sampled_from([*combinations(range(1, 6), 2), (1, 2, 3), (2, 4, 5)]), max_size=6))
def test_every_clash_is_told_once(jobs: set[tuple[int, ...]]) -> None:
    """Whatever clashes: each is in one group; a group of more than one is pairs with a job in common, or all of three jobs."""
    clashes = [_pair(*one) for one in sorted(jobs)]
    groups = list(sharing(clashes, lambda _: "tried"))
    assert sorted(clash.jobs for group in groups for clash in group) == sorted(jobs)
    for group in groups:
        if len(group) > 1:
            assert all(len(clash.jobs) == 2 for clash in group)
            common = set.intersection(*({*clash.jobs} for clash in group))
            assert common or len({number for clash in group for number in clash.jobs}) == len(group) == 3


def test_what_has_another_reason_keeps_its_own_sentence() -> None:
    """Pairs of two reasons, such as the hours of two crews, stand alone, and so does one without a reason to be joined."""
    for reason in ({(1, 2): "Birch", (1, 3): "Cedar"}, {(1, 2): None, (1, 3): None}):
        groups = list(sharing([_pair(1, 2), _pair(1, 3)], lambda clash, by=reason: by[clash.jobs]))
        assert [[clash.jobs for clash in group] for group in groups] == [[(1, 2)], [(1, 3)]]


def test_hours_that_are_short_for_every_pair_are_said_once() -> None:
    """Two hours for each of three jobs, all promised for a day of three: no two fit, and the sentence has the hours."""
    the_problem = _promised(2, 2, 2)
    pairs = [_pair(1, 2), _pair(1, 3)]
    shorts = [
        Shortage(jobs=one.jobs, crew="Birch", since=the_problem.now, until=MONDAY, work_min=work, has_min=180)
        for one, work in zip(pairs, (240, 300), strict=True)
    ]
    assert apart_sentence(the_problem, pairs, shorts) == (
        "Job 1 can be kept with neither 2 nor 3 (all Mon 2 Mar): with any of them its work takes Birch "
        "4 h at the least, and by Mon 2 Mar there are 3 h."
    )
