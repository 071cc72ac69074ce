"""Loading and dumping: all or none, nothing that happened lost, nothing private given out."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import Refused
from tests.services.conftest import JOB, SHOP


def test_a_known_job_is_changed_only_when_told(shop):
    """Loading job 4 again is refused with its name and the way; with replace it is changed."""
    file = shop.file("again.toml", JOB.replace("Den, Quarry Road", "Den and closet"))
    with pytest.raises(Refused, match="job 4 is there already"):
        shop.office.load([file])
    shop.office.load([file], replace=True)
    assert shop.record().job.title == "Den and closet"


def test_one_wrong_file_keeps_all_out(shop):
    """A good and a bad file: nothing of either is stored."""
    good = shop.file("good.toml", JOB.replace("number = 4", "number = 5"))
    bad = shop.file(
        "bad.toml", JOB.replace("number = 4", "number = 6").replace('kind = "click vinyl"', 'kind = "clik vinyl"')
    )
    with pytest.raises(Refused, match=r"bad\.toml"):
        shop.office.load([good, bad])
    assert [row.number for row in shop.office.jobs()] == [4]


def test_a_ticked_task_survives_a_changed_job(shop):
    """A smaller room re-estimates what is open; what was ticked keeps its estimate and its number."""
    patch = shop.number_of("patch")
    shop.office.tick(4, [patch], because="set up by the test")
    before = shop.record()
    shop.office.load(
        [shop.file("small.toml", JOB.replace("14' 6", "10' 0").replace('patch = "20 ft2"\n', ""))], replace=True
    )
    after = shop.record()
    assert after.task(patch) == before.task(patch)
    lay = shop.number_of("lay-click-vinyl")
    assert after.task(lay).estimate.expected < before.task(lay).estimate.expected


def test_a_dump_loads_back_and_keeps_entry_notes_private(shop):
    """The dumped file holds no entry note; loading it with replace changes nothing, entry notes included."""
    text = shop.office.dump(4)
    assert "4471" not in text
    before = shop.record().job
    shop.office.load([shop.file("dumped.toml", text)], replace=True)
    assert shop.record().job == before
    assert before.site.entry_notes == "side door, code 4471"


def test_without_a_shop_a_job_is_refused_with_the_way(empty_shop):
    """A first job without a shop file says which file to give."""
    with pytest.raises(Refused, match="no shop yet"):
        empty_shop.office.load([empty_shop.file("den.toml", JOB)])


def test_a_job_without_a_number_gets_a_free_one(shop):
    """Two jobs without numbers get numbers no job has."""
    files = [shop.file(f"job{i}.toml", JOB.replace("number = 4\n", "")) for i in (1, 2)]
    shop.office.load(files)
    assert [row.number for row in shop.office.jobs()] == [4, 5, 6]


def test_a_material_that_came_cannot_leave_the_job(shop):
    """A file without the material of lots that came is refused."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.arrived(4, "", 9)
    text = JOB.replace("gray plank", "blue plank")
    with pytest.raises(Refused, match="cartons of gray plank have come for job 4"):
        shop.office.load([shop.file("blue.toml", text)], replace=True)


def test_an_order_is_not_made_less_than_what_came(shop):
    """9 cartons and 2 transitions came: a file that orders 8 or 1 is refused in a sentence each; nothing changes."""
    goods = '\n[[order]]\ngoods = "transition"\ncount = 2\nordered = 2026-02-16\n'
    shop.office.load([shop.file("den.toml", JOB + goods)], replace=True)
    shop.office.arrived(4, "gray plank", 9)
    shop.office.arrived(4, "transition", 2)
    before = shop.record()
    less = (JOB + goods).replace("cartons = 9", "cartons = 8").replace("count = 2", "count = 1")
    with pytest.raises(Refused) as refused:
        shop.office.load([shop.file("den.toml", less)], replace=True)
    planks, strips = refused.value.sentences
    assert planks.endswith(
        "9 cartons of gray plank came for job 4, and the file orders 8: what came stays, so order at least 9."
    )
    assert strips.endswith("the file orders 1: what came stays, so order at least 2.")
    assert shop.record() == before
    shop.office.load([shop.file("den.toml", (JOB + goods).replace("cartons = 9", "cartons = 10"))], replace=True)


def test_a_shops_own_rate_reaches_its_open_jobs(shop):
    """A template override in the shop file, loaded with replace, re-estimates open tasks."""
    lay = shop.number_of("lay-click-vinyl")
    before = shop.record().task(lay).estimate.expected
    own = SHOP + '\n[[template]]\nkey = "lay-click-vinyl"\nminutes = [0.6, 0.9, 1.35]\n'
    with pytest.raises(Refused, match="the shop is there already"):
        shop.office.load([shop.file("own.toml", own)])
    shop.office.load([shop.file("own.toml", own)], replace=True)
    assert shop.record().task(lay).estimate.expected < before


def test_a_file_that_changes_nothing_is_not_called_a_change(shop):
    """Loading the very same job with replace leaves its version and says that nothing was new."""
    before = shop.record()
    done = shop.office.load([shop.file("same.toml", JOB)], replace=True)
    assert done.sentence == "Loaded nothing new."
    assert shop.record() == before


def test_a_blank_title_is_the_customers_name(empty_shop):
    """A title of blanks would leave a job without a name on every list."""
    text = JOB.replace("Den, Quarry Road", "  ")
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", text)])
    assert empty_shop.record().job.title == "Teo Halloran"


def test_a_long_material_name_can_be_pointed_at(empty_shop):
    """What may name a material may be written where a room or an order points at it."""
    name = "gray plank " * 15
    text = JOB.replace("gray plank", name)
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", text)])
    assert empty_shop.record().job.rooms[0].floor == name


def test_a_number_taken_back_is_not_given_again(shop):
    """A load undone leaves its number behind: what was printed or said of job 5 is never another house."""
    shop.office.load([shop.file("one.toml", JOB.replace("number = 4\n", ""))])
    assert [row.number for row in shop.office.jobs()] == [4, 5]
    shop.office.undo()
    shop.office.load([shop.file("two.toml", JOB.replace("number = 4\n", ""))])
    assert [row.number for row in shop.office.jobs()] == [4, 6]
