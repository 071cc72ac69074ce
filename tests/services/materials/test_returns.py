"""Things for the supplier's return, as people record and read them."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.cli.job import job_text
from crewjobs.domain.errors import Refused
from crewjobs.services.pages.sheets import day_plans
from tests.services.conftest import JOB, Shop, kept, load_den

PLANK = "gray plank"


def make_den(shop: Shop) -> None:
    """Twelve cartons of 23.8 ft² for the den's 178 ft², which take eight: two damaged, two left over of which one stays."""
    text = JOB.replace("cartons = 9", "cartons = 12").replace("2026-03-03 10:00", "2026-02-20 10:00")
    shop.office.load([shop.file("den.toml", text)], replace=True)
    shop.office.arrived(4, PLANK, 12, in_rooms=True, at="2026-02-26 10:00")
    shop.office.check_lot(4, PLANK, "A", 12, damaged=2)


den = kept(load_den, make_den)


def lay(shop):
    shop.office.tick(4, [shop.number_of("lay-click-vinyl")], because="set up by the test")


def test_the_page_says_what_goes_back_to_whom(den):
    """Damaged cartons from the check on; full ones left over by area once the rows are laid; by text too."""
    assert den.office.job(4).returns == ("Gray plank to north yard: 2 cartons damaged in lot A",)
    lay(den)
    (line,) = den.office.job(4).returns
    assert line == (
        "Gray plank to north yard: 2 cartons damaged in lot A, 1 carton left over by area (count them) "
        "and 1 carton more stays in the house"
    )
    assert "Back to the supplier" in job_text(den.office.job(4), everything=False)


def test_what_went_back_is_one_change(den):
    """Recorded with what is still to go; undone it is to go again."""
    lay(den)
    changes = len(den.office.changes())
    done = den.office.returned(4, "", 2, at="6:00")
    assert done.sentence == "Job 4: 2 cartons of gray plank went back to north yard Mon 2 Mar 06:00."
    assert done.then == ("1 carton still to go back.",)
    assert len(den.office.changes()) == changes + 1
    assert den.office.job(4).returns[-1] == "Went back Mon 2 Mar 06:00: 2 cartons of gray plank"
    den.office.undo()
    assert den.record().went_back == ()


def test_the_carton_of_the_house_may_go_and_is_said(den):
    """All four that are there go back: the house keeps none, and that is said."""
    lay(den)
    assert den.office.returned(4, PLANK, 4).then == ("No full carton of it is left for the house by that.",)


@pytest.mark.parametrize(
    ("what", "count", "at", "said"),
    [
        (PLANK, 5, "", r"4 cartons of gray plank can go back \(2 cartons damaged in lot A, .*\), not 5\."),
        (PLANK, 0, "", "0 cartons is no return"),
        (PLANK, -1, "", "is no return"),
        ("oak", 1, "", "oak"),
        (PLANK, 1, "7:00", "has not come yet"),
        (PLANK, 1, "2026-02-25 10:00", "none of it can have gone back before that"),
    ],
)
def test_more_than_there_is_and_what_cannot_be_is_refused(den, what, count, at, said):
    """One sentence, and nothing is recorded."""
    lay(den)
    before = den.record()
    with pytest.raises(Refused, match=said) as refused:
        den.office.returned(4, what, count, at=at)
    assert len(refused.value.args[0] if isinstance(refused.value.args[0], tuple) else (1,)) == 1
    assert den.record() == before


def test_before_the_floor_is_laid_only_what_is_damaged_goes(den):
    """Two are damaged; a third is refused, since what is left over is known when the floors are laid."""
    with pytest.raises(Refused, match="not 3; what is left over is known when its floors are laid"):
        den.office.returned(4, PLANK, 3)
    den.office.returned(4, PLANK, 2)
    assert den.office.job(4).returns == ("Went back Mon 2 Mar 06:30: 2 cartons of gray plank",)


def test_the_day_of_the_returns_lists_them_on_the_crews_page(den):
    """The page of the day with the task 'returns' names supplier and material; the pages of other days do not."""
    den.office.lots(4, PLANK, ["A"])  # ten carry the den: nothing more is waited for
    den.office.plan()
    number = den.number_of("returns")
    with den.office._database.reading() as uow:
        weeks = [den.office.week(date(2026, 3, 2)), den.office.week(date(2026, 3, 9))]
        visits = [(day.day, v.crew, number in v.tasks) for week in weeks for day in week.days for v in day.visits]
        found = {}
        for day, crew, returns in visits:
            (plan,) = day_plans(uow, den.office._catalogue(uow), den.clock.now(), day, crew, lead_copy=False, paper="")
            found[day, crew] = returns, [f.text for h in plan.houses for f in h.facts if f.label == "Back to supplier"]
    assert any(returns for returns, _ in found.values())
    for returns, texts in found.values():
        damaged = "gray plank to north yard: 2 cartons damaged in lot A; full cartons left over, 1 stays in the house"
        wanted = [damaged] if returns else []
        assert texts == wanted
