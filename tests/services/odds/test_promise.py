"""The first day that can be promised for a job nobody has booked yet, or whose material has no day."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.job import JobState
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.jobs import loading
from tests.services.conftest import JOB, SHOP, Shop, kept

ASKED_FOR = (
    JOB.replace("number = 4", 'number = 6\nstate = "quoted"')
    .replace("9 Quarry", "11 Quarry")
    .replace("promised = 2026-03-13\n", "")
    .partition("[[order]]")[0]
)
UNDATED = JOB.replace("number = 4", "number = 7").replace("9 Quarry", "13 Quarry").partition("[[order]]")[0]


def make_asked(shop: Shop) -> None:
    """The den is planned; another is quoted, nothing ordered for it; a third is booked and its planks are not ordered."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    shop.office.ready(4, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    shop.office.plan()
    with shop.office._writing() as uow:
        files = [shop.file("6.toml", ASKED_FOR), shop.file("7.toml", UNDATED)]
        loading.load(uow, shop.clock.now(), loading.read(files))
        uow.commit("jobs", at=shop.clock.now())


asked = kept(make_asked)


def test_a_quoted_job_is_placed_beside_all_that_is_planned(asked):
    """As if it were booked and its planks were there tomorrow, which is said; nothing is kept of it."""
    before = asked.path.read_bytes()
    view = asked.office.promise(6, 90)
    assert view.chance >= 0.9 > view.before
    assert view.day >= view.planned
    words = " ".join(view.sentences)
    assert "as if it were booked and gray plank were there Tue 3 Mar" in words
    assert f"`crewjobs amend 6 --state booked --promised {view.day}`" in words
    assert view.sentences[-1] == "Order first: gray plank, there by Tue 3 Mar."
    assert asked.path.read_bytes() == before
    assert asked.record(6).job.state is JobState.QUOTED


def test_later_material_makes_a_later_day(asked):
    """Planks a fortnight later: the day comes later, too, and more of the risk is theirs."""
    soon, late = asked.office.promise(6, 90), asked.office.promise(6, 90, "2026-03-17")
    assert late.planned > soon.planned
    assert late.day > soon.day
    assert any("gray plank (job 6)" in driver.words for driver in late.drivers)


def test_the_promise_it_names_can_be_kept_in_the_plan(asked):
    """Booked, ordered and planned as supposed, the job ends no later than it said."""
    view = asked.office.promise(6, 90)
    with_order = ASKED_FOR.replace('state = "quoted"\n', "") + (
        '[[order]]\nmaterial = "gray plank"\ncartons = 9\nordered = 2026-03-02\ndue = "2026-03-03 08:00"\n'
    )
    asked.office.load([asked.file("6.toml", with_order)], replace=True)
    asked.office.edit(6, asked.office.job(6).version, {"state": "booked", "promised": str(view.day)})
    asked.office.plan()
    (row,) = asked.office.odds(6).rows
    assert row.planned is not None
    assert row.planned <= view.day
    assert row.chance is not None
    assert row.chance > 0.7, "the house's readiness has not been asked yet, and the plan may find another place"


def test_booked_and_promised_at_once_are_taken_back_at_once(asked):
    """As the screens do it with a day that was found: one change, and one undo leaves neither state nor promise behind."""
    done = asked.office.edit(6, asked.office.job(6).version, {"state": "booked", "promised": "2026-03-27"})
    assert done.sentence == "Job 6: state quoted → booked, promised none → Fri 27 Mar."
    asked.office.undo()
    job = asked.record(6).job
    assert (job.state, job.promised) == (JobState.QUOTED, None)


def test_a_booked_job_without_a_date_is_asked_with_one(asked):
    """Without a day for its planks it is not planned to its end; with one it is as if they came then."""
    asked.office.plan()
    with pytest.raises(Refused, match="job 7 is not planned to its end: gray plank is not ordered"):
        asked.office.promise(7, 90)
    view = asked.office.promise(7, 90, "fri")
    assert "as if gray plank were there Fri 6 Mar" in view.sentences[0]
    assert "--state" not in view.sentences[-1]


@pytest.mark.parametrize(
    ("ready", "said"), [("2026-02-27", "Fri 27 Feb has gone by"), ("someday", "'someday' is not a day")]
)
def test_a_day_that_cannot_be_is_one_sentence(asked, ready, said):
    """What, where, what would be right; nothing is changed."""
    before = asked.path.read_bytes()
    with pytest.raises(Refused, match=said):
        asked.office.promise(6, 90, ready)
    assert asked.path.read_bytes() == before
