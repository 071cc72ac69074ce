"""Whose a kept form is, as the records say it, and what is another's by the time it is opened."""

from __future__ import annotations

import re
from dataclasses import replace

from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.forms.kept_whose import another, by_its_clock, jobs_of
from tests.services.conftest import Shop

FORM = KeptForm(
    form="record",
    title="House ready, job 4",
    about={"job": "4"},
    whose={"shop": "Linden Floor Crew", "4": "Teo Halloran, 9 Quarry Road, Marrow Bend"},
)


def test_the_records_say_whose_a_job_is(shop: Shop) -> None:
    """The shop, and customer and address of each job; of one that is not there nothing."""
    assert shop.office.whose([4, 77]) == FORM.whose
    assert another(FORM, shop.office.whose(jobs_of(FORM))) == ()


def test_another_house_of_the_same_number_is_said() -> None:
    """And so is another shop; spaces and capitals are none, nor is a job that is gone: that is said as such."""
    now = {"shop": "linden floor crew ", "4": "Ann Lee, 4 Elm Street"}
    (said,) = another(FORM, now)
    assert said == (
        "Job 4 was of Teo Halloran, 9 Quarry Road, Marrow Bend, when it was typed; "
        "now job 4 is of Ann Lee, 4 Elm Street."
    )
    assert another(FORM, {"shop": "Linden Floor Crew"}) == ()
    assert another(KeptForm(form="record", title="Of before", about={"job": "4"}), now) == ()
    assert len(another(FORM, now | {"shop": "Elm Floors"})) == 2


def test_hours_of_a_house_with_a_clock_of_its_own_were_meant_by_that(shop: Shop) -> None:
    """An hour left empty was now there: written out by the shop's clock it would come an hour too early."""
    job = shop.office.dump(4)
    there = re.sub(r'zone = ".*"\n', "", job).replace("[site]\n", '[site]\nzone = "America/New_York"\n')
    shop.office.load([shop.file("there.toml", there)], replace=True)
    whose = shop.office.whose([4])
    came = KeptForm(
        form="arrived", title="Arrived", about={"job": "4"}, whose=whose, moment="2026-03-02T23:30:00-06:00"
    )
    assert by_its_clock(came).moment == "2026-03-03T00:30:00-05:00"
    assert another(came, {key: words for key, words in whose.items() if not key.startswith("zone")}) == ()
    evening = replace(came, form="evening")
    assert by_its_clock(evening) is evening
    assert by_its_clock(replace(came, whose=FORM.whose)).moment == came.moment


def test_a_sheet_is_about_each_of_its_houses() -> None:
    """By their jobs' numbers."""
    assert jobs_of(KeptForm(form="evening", title="Evening", about={"crew": "Birch", "houses": "4,0,11"})) == (4, 0, 11)
    assert jobs_of(KeptForm(form="job", title="New job", about={"job": ""})) == ()
