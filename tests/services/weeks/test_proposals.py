"""A better plan: proposed with what it saves and moves, accepted only where it still is better."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words
from crewjobs.engines.planning.objective import PlanCost
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.demonstration.demo import demo_office
from crewjobs.services.office import Office
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.proposals import NEARER, NOTHING_NOW, _finishes, _saves, lost_words, saved_words
from crewjobs.services.weeks.repair import repaired, stays
from crewjobs.storage.database import open_database
from tests import thorough

ROUNDS = 3


@pytest.fixture
def office(demo_file: Path) -> Office:
    """The demo shop, which is planned."""
    return demo_office(demo_file)


@pytest.fixture(scope="module")
def proposed_once(demo_by_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's database with a better plan proposed, looked for once."""
    path = Path(shutil.copy(demo_by_book, tmp_path_factory.mktemp("proposed") / "demo.sqlite3"))
    demo_office(path).improve(rounds=2 * ROUNDS)
    return path


@pytest.fixture
def proposed(proposed_once: Path, tmp_path: Path) -> Path:
    """A copy of it for one test, to write to."""
    return Path(shutil.copy(proposed_once, tmp_path / "proposed.sqlite3"))


def _number(office: Office) -> int:
    return office.week().plan_number


def test_a_proposal_leaves_the_plan_in_force_until_it_is_accepted(office: Office) -> None:
    """The proposal is a plan with a number of its own; accepting makes a third; undo brings the one before back."""
    before, number = office.week(), _number(office)
    done = office.improve(rounds=ROUNDS)
    assert f"Plan {number + 1} is proposed" in done.sentence
    assert office.week() == replace(before, proposed=number + 1)
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


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_what_moves_is_where_the_accepted_plan_has_it(proposed: Path) -> None:
    """Every move that is told ends with a crew and day on which the accepted plan has a visit to that house."""
    office = demo_office(proposed)
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


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_equal_rounds_propose_equal_plans(demo_file: Path, tmp_path: Path) -> None:
    """Two databases that are the same get the same proposal."""
    other = tmp_path / "other.sqlite3"
    other.write_bytes(demo_file.read_bytes())
    views = []
    for file in (demo_file, other):
        office = demo_office(file)
        office.improve(rounds=ROUNDS)
        views.append(office.proposal())
    assert views[0] == views[1]


def test_undo_right_after_a_plan_and_a_look_takes_back_the_proposal_alone(proposed: Path) -> None:
    """It took back the plan in force with it, of which crews have their pages."""
    office = demo_office(proposed)
    number = _number(office)
    assert office.undo().sentence == f"Taken back: plan {number + 1} proposed."
    assert (_number(office), office.week().proposed) == (number, 0)


def test_accepting_looks_at_todays_facts(proposed: Path) -> None:
    """A proposal of which all is done or gone saves nothing any more and is refused; nothing is changed by that."""
    office = demo_office(proposed)
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
    assert re.match(r"No better plan found in \d+ s;", office.improve(60, stop=lambda: True).sentence)
    assert office.changes()[0].number == change
    with pytest.raises(Refused, match="no plan is proposed"):
        office.accept()


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_nobody_has_seen_the_first_plan_yet(demo_file: Path) -> None:
    """Right after the first plan of all the better one is taken at once: there is nobody whose days would move. Printed, it was seen."""
    office = demo_office(demo_file)
    assert _number(office) == 1
    office.undo()
    assert office.improve(rounds=ROUNDS, unseen=1).sentence.startswith("Plan 2: ")
    assert _number(office) == 2
    office.improve(rounds=ROUNDS, unseen=1)
    assert _number(office) == 2, "somebody has seen plan 2"


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_planning_again_sets_a_proposal_aside(office: Office) -> None:
    """A plan made after it is the plan people look at: the older proposal is none any more."""
    office.improve(rounds=ROUNDS)
    office.plan()  # which leaves all as it is
    assert office.week().proposed
    office.edit(6, office.job(6).version, {"blocked": "2026-03-09, 2026-03-10, 2026-03-11"})
    assert office.plan().plan is not None
    assert not office.week().proposed
    with pytest.raises(Refused, match="no plan is proposed"):
        office.proposal()


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_a_proposal_after_a_record_goes_with_it(office: Office) -> None:
    """Looked for by itself after a tick, it is no act of its own: one undo takes the tick and the proposal back."""
    done = office.tick(1, [5])
    found = office.improve(rounds=ROUNDS, after=done.change)
    assert found.plan == office.week().proposed > 0
    assert office.proposal_waits()
    assert "task 5" in office.undo().sentence
    assert office.week().proposed == 0
    assert not office.proposal_waits()
    with pytest.raises(Refused, match="no plan is proposed"):
        office.proposal()


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_what_is_recorded_during_the_search_makes_its_proposal_void(office: Office) -> None:
    """A search that began after one record keeps nothing where another came meanwhile: that one is looked after anew."""
    change = office.tick(1, [5]).change
    asked = False

    def meanwhile() -> bool:
        nonlocal asked
        if not asked:
            asked = True
            office.tick(1, [6])
        return False

    found = office.improve(rounds=ROUNDS, stop=meanwhile, after=change)
    assert found.plan is None
    assert office.week().proposed == 0


def test_looking_after_a_record_makes_no_first_plan(demo_file: Path) -> None:
    """Where nothing is planned yet, a record plans nothing by itself."""
    office = demo_office(demo_file)
    office.undo()  # the demo's plan
    done = office.tick(1, [5])
    assert office.improve(rounds=1, after=done.change).plan is None
    assert office.week().plan_number == 0


def test_planning_again_leaves_what_holds(office: Office) -> None:
    """With a plan that still holds, planning makes no new one and says so; what is better is for a proposal."""
    before = office.week()
    done = office.plan()
    assert done.sentence == f"Plan {before.plan_number} stays as it is: nothing of it has to move."
    assert done.plan is None
    assert office.week() == before


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_undo_after_looking_takes_back_what_was_recorded_and_the_proposal_with_it(office: Office) -> None:
    """A proposal is nobody's record: undo takes back the tick before it, and the proposal, which knew of the tick."""
    office.tick(1, [5])
    office.improve(rounds=ROUNDS)
    assert office.week().proposed > 0
    assert "task 5" in office.undo().sentence
    assert office.week().proposed == 0
    assert office.week().stale == ""
    assert next(task for task in office.job(1).tasks if task.number == 5).state != "done"


def test_a_proposal_shows_what_accepting_it_does(proposed: Path) -> None:
    """Hours went by without a tick: the finishes and promises the proposal names are those that accepting names.

    After a day it is no better than the plan in force, and both say so.
    """
    days = [
        Office(open_database(proposed, create=False), FixedClock(DEMO_NOW + timedelta(hours=n)), who="tester")
        for n in (4, 24)
    ]
    assert days[1].proposal().saves[0] == NOTHING_NOW
    with pytest.raises(Refused, match="with what is known now it saves nothing"):
        days[1].accept()
    later = days[0]
    shown = [words for words in later.proposal().saves if words.startswith("Job ")]
    done = [words for words in later.accept().then if words.startswith("Job ") and " ends " in words]
    as_done = [w.replace("would end", "ends").replace("unlike now", "unlike before") for w in shown]
    assert [w.replace("which it does now", "which it did before") for w in as_done] == done
    assert not any("would" in words for words in done)


def test_a_proposal_overtaken_by_a_record_says_so_when_it_is_accepted(proposed: Path) -> None:
    """Somebody is out tomorrow, which the proposal did not know: accepting it is refused, and the refusal says why."""
    office = Office(open_database(proposed, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    number = office.week().proposed
    done = office.away("Ines", office.read_day("tomorrow"), because="sick")
    assert done.plan is not None
    with pytest.raises(
        Refused, match=rf"plan {number} is void: it did not know of \"Ines .*after which plan {done.plan} was"
    ):
        office.accept()
    office.undo()
    assert office.week().plan_number == 1


def test_what_was_taken_back_is_no_change(proposed: Path) -> None:
    """A tick and its undo leave the plan as it was: neither the week nor the proposal counts them."""
    office = demo_office(proposed)
    office.tick(1, [5])
    assert office.proposal().changed == 1
    office.undo()
    assert office.proposal().changed == 0
    assert office.week().stale == ""


def test_what_a_chosen_plan_costs_is_said_before_what_it_saves() -> None:
    """Days later and crews more are costs, whatever else gets better; a plan that only saves names no cost."""
    better, worse = PlanCost(late=2, crews=1, short=4), PlanCost(late=5, crews=3, short=1)
    assert lost_words(better, worse) == (
        "3 days later than promised, by the jobs' weights and 2 crews more sent to a house that another crew works at"
    )
    assert saved_words(better, worse) == "more time left before promises that are tight"
    assert lost_words(worse, better) == ""


def test_what_is_better_is_named_and_a_later_finish_is_not_the_reason(proposed: Path) -> None:
    """A house open on fewer days is named with its job; a job that ends later stands behind the reason, never as it."""
    office = demo_office(proposed)
    with office._database.reading() as uow:
        problem, plan = problem_of(uow, DEMO_NOW), uow.latest_plan()
    assert plan is not None
    # Job 5's first work two days earlier: open on two days more, and job 6 ends two days later.
    first = min((one for one in plan.placements if one.key.job == 5), key=lambda one: one.start)
    last = max((one for one in plan.placements if one.key.job == 6), key=lambda one: one.end)
    days = timedelta(days=2)
    longer = replace(
        plan,
        placements=tuple(replace(one, start=one.start - days) if one is first else one for one in plan.placements),
    )
    later = replace(
        plan,
        placements=tuple(
            replace(one, start=one.start + days, end=one.end + days) if one is last else one for one in plan.placements
        ),
    )
    said = list(_saves(problem, longer, later, PlanCost(days=9), PlanCost(days=1), plan))
    assert said[0] == "In all: the house of job 5 is open on 2 days fewer."
    assert said[1].startswith("Job 6: would end ")
    assert not any(NEARER in words for words in said)


def test_a_finish_is_told_against_the_day_people_know(proposed: Path) -> None:
    """A day went by without a tick, so that the plan in force would not stay as it is: no such plan was ever seen.

    What finishes are said to move from, and work to move from, is where the plan in force has them.
    """
    first = Office(open_database(proposed, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    at = DEMO_NOW + timedelta(hours=23)
    office = Office(first._database, FixedClock(at), who="tester", follows=True)
    with office._database.reading() as uow:
        problem, plan = problem_of(uow, at), uow.latest_plan()
    assert plan is not None
    assert not stays(problem, plan, repaired(problem, plan)[0])
    known = _finishes(problem, plan)
    view = office.proposal()
    told = [re.match(r"Job (\d+): would end .* instead of (\w+ \d+ \w+)", words) for words in view.saves]
    assert any(told)
    for one in filter(None, told):
        day = known[int(one[1])]
        assert day is not None
        assert one[2] == day_words(day)
    zones = {record.job.number: record.job.site.zone for record in problem.jobs}
    starts = {(p.key.job, p.crew, to_wall(zones[p.key.job], p.start)) for p in plan.placements}
    assert {(row.job, row.was_crew, row.was) for row in view.moves if row.was} <= starts
