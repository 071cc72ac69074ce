"""Deliveries, new dates, checks and the lead's word as commands print them."""

from __future__ import annotations

import json

import pytest

from tests.services.conftest import JOB, SHOP

TUESDAY = ["--at", "2020-03-03 10:30"]


@pytest.fixture
def later(tmp_path, run):
    """A command line on a database whose planks were ordered long ago, whatever today is."""
    path = tmp_path / "shop.sqlite3"
    ordered = JOB.replace("ordered = 2026", "ordered = 2020").replace('due = "2026', 'due = "2020')
    files = {tmp_path / "shop.toml": SHOP, tmp_path / "den.toml": ordered}
    for file, text in files.items():
        file.write_text(text, encoding="utf-8")
    assert run("--db", path, "load", *files).code == 0
    return lambda *words: run("--db", path, *words)


def test_a_lots_way_from_the_truck_to_its_room(later):
    """Arrived by name, checked, said for its room: each prints what it did and what follows, one arrow a line."""
    came = later("arrived", "4", "gray plank", "8", "--lot", "A", *TUESDAY)
    assert came.code == 0, came.err
    assert "8 cartons of gray plank, lot A, came Tue 3 Mar 10:30." in came.out
    assert "→ 1 carton of gray plank is still missing" in came.out
    checked = later("check-lot", "4", "gray plank", "A", "--cartons", "8", *TUESDAY)
    assert "8 cartons, none damaged, color as the signed sample" in checked.out
    said = later("lots", "4", "gray plank", "A")
    assert "→ Lot A: 8 cartons cover 190 ft², the room is 178 ft²; 12.2 ft² (7 %) for cuts." in said.out
    page = later("job", "4").out
    assert "lot A: 8 cartons, came Tue 3 Mar 10:30, checked Tue 3 Mar 10:30" in page
    assert "goes into all its rooms" in " ".join(page.split())


def test_one_command_takes_what_a_truck_brought(later, tmp_path):
    """Names and counts in turn are one change; a name with a number in it is still one name; no count is refused."""
    goods = '\n[[order]]\ngoods = "GOODS"\ncount = 2\nordered = 2020-02-16\n'
    ordered = JOB.replace("ordered = 2026", "ordered = 2020").replace('due = "2026', 'due = "2020')
    file = tmp_path / "more.toml"
    file.write_text(ordered + goods.replace("GOODS", "glue") + goods.replace("GOODS", "transition"), encoding="utf-8")
    assert later("load", file, "--replace").code == 0
    came = later("arrived", "4", "glue", "2", "transition", "1", *TUESDAY)
    assert came.code == 0, came.err
    assert "2 pails of glue came and 1 piece of transition came Tue 3 Mar " in " ".join(came.out.split())
    refused = later("arrived", "4", "glue", "2", "transition", *TUESDAY)
    assert (refused.code, "'transition' is not a count" in refused.err) == (1, True)
    assert "no material or goods 'oak 5'" in " ".join(later("arrived", "4", "oak", "5", "9", *TUESDAY).err.split())


def test_a_house_not_ready_is_told_with_the_way(later):
    """Into a house answered not ready: refused with `--because`, taken with it."""
    assert later("ready", "4", "--asked", "Teo Halloran", "--not-ready", "paint", "--at", "2020-03-03 08:00").code == 0
    refused = later("arrived", "4", "9", "--in-rooms", *TUESDAY)
    assert refused.code == 1
    assert "give the reason with --because." in " ".join(refused.err.split())
    assert later("arrived", "4", "9", "--in-rooms", "--because", "it is dry in the den", *TUESDAY).code == 0


def test_a_color_that_differs_is_asked_about(later):
    """The check says that the lead decides, and the job's page goes on saying it."""
    later("arrived", "4", "9", *TUESDAY)
    checked = later("check-lot", "4", "gray plank", "A", "--cartons", "9", "--color-differs", *TUESDAY)
    assert "the lead decides, with a reason" in " ".join(checked.out.split())
    assert "differs in color from the signed sample" in later("job", "4").out
    assert "TO DECIDE" in later("waiting").out


@pytest.mark.parametrize(
    "words",
    [
        ["arrived", "4", "gray plank", "8", *TUESDAY],
        ["back-ordered", "4", "gray plank", "2190-03-18"],
        ["check-lot", "4", "gray plank", "A", "--cartons", "1", *TUESDAY],
        ["lots", "4", "gray plank", "A", "--because", "the rest stays as it is"],
    ],
    ids=lambda words: words[0],
)
def test_each_prints_one_object_for_programs(later, words):
    """With --json a sentence and the change's number."""
    if words[0] in ("check-lot", "lots"):
        later("arrived", "4", "1", "--lot", "A", *TUESDAY)
    ran = later(*words, "--json")
    assert ran.code == 0, ran.err
    answer = json.loads(ran.out)
    assert answer["sentence"].startswith("Job 4: ")
    assert answer["change"] > 0
