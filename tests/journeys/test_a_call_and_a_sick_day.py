"""The lead's morning: Birch is ill on Friday, somebody asks for a floor, and only what is decided is written down."""

from __future__ import annotations

from datetime import date

import pytest

from crewjobs.services.answers.what_if_rows import WhatIfAsked
from crewjobs.services.demonstration.demo import demo_office, run_demo
from tests import thorough


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_a_sick_day_and_a_call_are_looked_at_before_they_are_decided(tmp_path) -> None:
    """What is supposed comes true: somebody out, planned again, moves the finish the supposition named; asking keeps nothing."""
    path = tmp_path / "demo.sqlite3"
    run_demo(path, tmp_path / "pages")
    office = demo_office(path)
    before = {row.job: row.finish for row in office.week().promises}
    changes = office.changes()

    # Friday: all of Birch is out. The crew looks at it first.
    view = office.what_if(WhatIfAsked(off=(("Birch", "2026-03-06"),)))
    supposed = {row.job: row.then for row in view.jobs}
    assert supposed
    assert view.lost == ()
    assert {row.job: row.finish for row in view.jobs} == {job: before[job] for job in supposed}

    # A caller asks for 400 ft² of click vinyl over carpet; the answer touches no promise.
    answer = office.when("400 ft2 click vinyl", removes=("carpet",))
    assert answer.undisturbed is not None
    assert answer.undisturbed.others == "No promise is touched: nothing that is planned moves."
    assert answer.soonest.finish.date() <= answer.undisturbed.finish.date()
    assert office.changes() == changes
    assert {row.job: row.finish for row in office.week().promises} == before

    # Then it is written down, person by person, and the plan follows: the jobs end on the days that were supposed.
    for name in ("Ines Varga", "Tobiah Lund", "Rém Achterberg"):
        office.away(name, date(2026, 3, 6), because="ill")
    office.plan()
    after = {row.job: row.finish for row in office.week().promises}
    assert {job: _day(after[job]) for job in supposed} == {job: _day(finish) for job, finish in supposed.items()}


def _day(finish) -> date | None:
    return finish.date() if finish is not None else None
