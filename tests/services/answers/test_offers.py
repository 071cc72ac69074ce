"""What a crew is offered follows the plan: a house that it leaves shut is not got ready for work either."""

from __future__ import annotations

from dataclasses import replace

from crewjobs.domain.plan import LeftOut
from crewjobs.engines.readiness.house import is_looking
from crewjobs.services.answers.offers import chains, morning_of
from crewjobs.services.clock import DEMO_NOW
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.storage.database import open_database


def test_of_a_house_the_plan_leaves_shut_nothing_but_looking_is_offered(demo_made) -> None:
    """Job 1 may be protected and emptied on Monday; left out of the plan it is not. Of job 6 the rooms may be read all the same."""
    with open_database(demo_made, create=False).reading() as uow:
        morning = morning_of(uow, catalogue_of(uow), DEMO_NOW, "Birch", None)
        records = [uow.job(1), uow.job(6)]
    found = morning.found
    assert found is not None
    left = [LeftOut(job=one.job.number, tasks=tuple(task.number for task in one.tasks), why="rot") for one in records]
    plan = replace(found.plan, left_out=tuple(left))
    shut = replace(morning, found=replace(found, plan=plan))

    def offered(record, morning) -> list[str]:
        return [task.key.template for block in chains(record, morning, frozenset()) for task in block]

    assert {"protect-house", "move-furniture-over"} <= set(offered(records[0], morning))
    assert offered(records[0], shut) == []
    looks = [task for block in chains(records[1], shut, frozenset()) for task in block]
    assert looks
    assert all(is_looking(task) for task in looks)
