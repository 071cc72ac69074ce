"""A better plan: proposed with what it saves and moves, accepted only where it still is better."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services.demo import demo_office
from crewjobs.services.office import Office

ROUNDS = 6


@pytest.fixture
def office(demo_file: Path) -> Office:
    """The demo shop, planned."""
    found = demo_office(demo_file)
    found.plan()
    return found


def _number(office: Office) -> int:
    return office.week().plan_number


def test_a_proposal_leaves_the_plan_in_force_until_it_is_accepted(office: Office) -> None:
    """The proposal is a plan with a number of its own; accepting makes a third; undo brings the one before back."""
    before, number = office.week(), _number(office)
    done = office.improve(rounds=ROUNDS)
    assert f"Plan {number + 1} is proposed" in done.sentence
    assert office.week() == before
    view = office.proposal()
    assert (view.number, view.in_force, view.changed) == (number + 1, number, 0)
    assert view.saves
    assert view.moves
    assert office.accept().sentence.startswith(f"Plan {number + 2}:")
    assert _number(office) == number + 2
    assert office.week() != before
    with pytest.raises(Refused, match="no plan is proposed"):
        office.proposal()
    office.undo()
    assert _number(office) == number


def test_what_moves_is_where_the_accepted_plan_has_it(office: Office) -> None:
    """Every move that is told ends with a crew and day on which the accepted plan has a visit to that house."""
    office.improve(rounds=ROUNDS)
    moves = [row for row in office.proposal().moves if row.now is not None]
    office.accept()
    for row in moves:
        assert row.now is not None
        days = office.week(row.now.date()).days
        assert any(
            visit.job == row.job and visit.crew == row.crew
            for day in days
            if day.day == row.now.date()
            for visit in day.visits
        ), row


def test_equal_rounds_propose_equal_plans(demo_file: Path, tmp_path: Path) -> None:
    """Two databases that are the same get the same proposal."""
    other = tmp_path / "other.sqlite3"
    other.write_bytes(demo_file.read_bytes())
    views = []
    for file in (demo_file, other):
        office = demo_office(file)
        office.plan()
        office.improve(rounds=ROUNDS)
        views.append(office.proposal())
    assert views[0] == views[1]


def test_accepting_looks_at_todays_facts(office: Office) -> None:
    """A proposal of which all is done or gone saves nothing any more and is refused; nothing is changed by that."""
    office.improve(rounds=ROUNDS)
    jobs = {row.job for row in office.proposal().moves}
    for job in jobs:
        office.edit(job, office.job(job).version, {"state": "called off"})
    number, change = _number(office), office.changes()[0].number
    with pytest.raises(Refused, match="with what is known now it saves nothing"):
        office.accept()
    assert (_number(office), office.changes()[0].number) == (number, change)


def test_a_search_that_finds_nothing_keeps_nothing(office: Office) -> None:
    """Stopped before its first round, it says so; there is no proposal and no change."""
    change = office.changes()[0].number
    assert office.improve(60, stop=lambda: True).sentence.startswith("No better plan found in 0 rounds;")
    assert office.changes()[0].number == change
    with pytest.raises(Refused, match="no plan is proposed"):
        office.accept()


def test_nobody_has_seen_the_first_plan_yet(demo_file: Path) -> None:
    """Right after the first plan of all the better one is taken at once: there is nobody whose days would move."""
    office = demo_office(demo_file)
    assert _number(office) == 1
    assert office.improve(rounds=ROUNDS).sentence.startswith("Plan 2: ")
    assert _number(office) == 2


def test_planning_again_sets_a_proposal_aside(office: Office) -> None:
    """A plan made after it is the plan people look at: the older proposal is none any more."""
    office.improve(rounds=ROUNDS)
    office.plan()
    with pytest.raises(Refused, match="no plan is proposed"):
        office.proposal()
