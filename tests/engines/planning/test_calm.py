"""Planning again, calmly: which of two ways to keep the coming days harms people less."""

from __future__ import annotations

from crewjobs.engines.planning import calm
from crewjobs.engines.planning.calendars import SLOTS_A_DAY
from crewjobs.engines.planning.jobwork import Floor, job_work
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.placing import Attempt
from crewjobs.engines.planning.timeline import Booking
from tests.engines.planning.networks import crew, house, problem, shop


def test_a_job_let_go_harms_more_than_one_a_day_later() -> None:
    """Nobody knows where the job let go will lie; the one kept a day later is known to be no worse than that."""
    record, the_shop = house(1), shop(crew("Birch", 3))
    plan = plan_week(problem([record], the_shop))
    floor = Floor(problem([record], the_shop, previous=plan))
    (one,) = calm._before([job_work(record, floor)], floor)
    slid = Attempt(
        way=one.way,
        placed={
            placed.key: Booking(
                key=placed.key,
                crew=placed.crew,
                start=floor.axis.down(placed.start) + SLOTS_A_DAY,
                end=floor.axis.down(placed.end) + SLOTS_A_DAY,
                people=3,
            )
            for placed in plan.placements
        },
    )
    later, let_go = calm._harm([one], {1: slid}, floor), calm._harm([one], {}, floor)
    assert later.later == 1
    assert later < let_go
