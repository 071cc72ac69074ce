"""A shop that works in metric: no inch, foot, pound or gallon comes out of take-off, layouts, pages and figures."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from crewjobs.services.demonstration.demo import LOADED_AT, WHO
from crewjobs.services.jobs import loading
from crewjobs.services.resources import seed_folder
from crewjobs.storage import open_database

SHEET = """
number = 41
title = "Sheet in two rooms"
[customer]
name = "Odalys Brandt"
[site]
address = "15 Mill Lane, Marrow Bend"
[[room]]
name = "hall"
length = "18' 6"
width = "14' 3"
floor = "dune sheet"
trim = "new base"
[[room]]
name = "den"
length = "12' 2"
width = "9' 3"
floor = "dune sheet"
trim = "new base"
[[opening]]
between = ["hall", "den"]
width = "32 in"
transition = "T-mold"
[[material]]
name = "dune sheet"
kind = "sheet vinyl"
roll = "12'"
method = "perimeter"
repeat = "18 in"
[[order]]
material = "dune sheet"
metres = 13.1
supplier = "north yard"
ordered = 2026-02-10
"""
JOBS = {
    2: "bath",  # tiles, plywood underlayment, a toilet
    3: "kitchen",  # planks that click
    4: "family room",  # glued down on a slab, leveler and patch
    5: "front room",  # nailed wood of random lengths, stairs
    6: "corner bedroom",  # laminate on pad
    11: "front room",  # measured in metric
    41: "hall",  # sheet goods
}
US = re.compile(
    r"\d ?(?:ft|feet|foot|ft²|inch|inches|in(?! (?:a|an|the|all|it|one|reserve|every|each|two|rows?|half|sight)\b)|lb|"
    r"gal|gallons?|cfm|fl oz|°F)(?![\w²])|running ft|[0-9]['\"]"
)
"""A measure of feet, inches, pounds, gallons or degrees Fahrenheit; not ``7 in a carton``."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's shop set to metric, with some of the demo's jobs and one of sheet goods."""
    folder = tmp_path_factory.mktemp("metric")
    shop = (seed_folder() / "shop.toml").read_text(encoding="utf-8")
    (folder / "shop.toml").write_text(shop.replace('units = "us" ', 'units = "metric" '), encoding="utf-8")
    (folder / "sheet.toml").write_text(SHEET, encoding="utf-8")
    jobs = [next(seed_folder().glob(f"{number:02}-*.toml")) for number in JOBS if number < 41]
    database = open_database(folder / "metric.sqlite3", create=True, demo=True)
    with database.unit_of_work(who=WHO) as uow:
        loading.load(uow, LOADED_AT, loading.read([folder / "shop.toml", folder / "sheet.toml", *jobs]))
    return folder / "metric.sqlite3"


@pytest.fixture
def shop(made: Path, tmp_path: Path) -> Path:
    """A copy of the metric shop for one test, to write to."""
    return Path(shutil.copy(made, tmp_path / "metric.sqlite3"))


def us_measures(text: str) -> list[str]:
    """Return what of a text is a US measure, with a little of what stands before it."""
    return [text[max(0, found.start() - 30) : found.end() + 10] for found in US.finditer(text)]


@pytest.mark.parametrize(
    "text",
    ["3 in over", "43 running ft", "12' 6", 'a 1/4" gap', "100 ft of wall", "25 lb", "1 gallon", "70 °F", "20 ft²"],
)
def test_the_search_of_these_tests_finds_us_measures(text: str) -> None:
    """Each way in which they are written is found; counts of what is in a carton are none."""
    assert us_measures(text)
    assert not us_measures("1000 in a box, 20 in a carton, 3 planks in reserve, 13 mm, 4.27 m of 9.14 m")


@pytest.mark.parametrize(("number", "room"), JOBS.items())
def test_take_off_layout_and_page_are_metric(run, shop, number, room) -> None:
    """Planks, tiles, sheet goods, stairs, glued and nailed wood: text of take-off, layout, job page and heights, and every word of their JSON."""
    for words in (
        ["take-off", number, "--seconds", "0.3"],
        ["layout", number, room, "--seconds", "0.3"],
        ["job", number],
        ["heights", number],
    ):
        ran = run("--db", shop, *words)
        assert (ran.code, us_measures(" ".join(ran.out.split()))) == (0, []), words
        told = json.loads(run("--db", shop, *words, "--json").out)
        assert us_measures(" ".join(_strings(told))) == [], words


def test_pages_on_paper_are_metric(run, shop) -> None:
    """Notices, records and the shopping list of every kind of floor, planned, have no US measure in text or JSON."""
    run("--db", shop, "plan")
    pages = [[page, number] for page in ("notice", "job-record") for number in (3, 5, 41)]
    for words in (*pages, ["house-ready", 41], ["shopping-list"], ["week-sheet", "2026-03-04"]):
        ran = run("--db", shop, *words)
        assert (ran.code, us_measures(" ".join(ran.out.split()))) == (0, []), words
        assert us_measures(" ".join(_strings(json.loads(run("--db", shop, *words, "--json").out)))) == [], words


def _strings(value: object) -> list[str]:
    """Return all texts in a value, those that a person reads: sources are quoted as they are published."""
    if isinstance(value, dict):
        return [text for key, one in value.items() if key != "source" for text in _strings(one)]
    if isinstance(value, list):
        return [text for one in value for text in _strings(one)]
    return [value] if isinstance(value, str) else []


def test_a_cut_list_has_one_unit(run, shop) -> None:
    """Every length of a cut list is in whole millimetres, however long: no metres among them."""
    data = json.loads(run("--db", shop, "layout", 11, "front room", "--seconds", "0.3", "--json").out)
    lengths = {piece["length"] for row in data["rows"] for piece in row["pieces"]}
    assert all(re.fullmatch(r"\d+ mm", length) for length in lengths)
    assert "1219 mm" in lengths
    assert {round(piece["length_in"] * 25.4) for row in data["rows"] for piece in row["pieces"]} == {
        int(length.split()[0]) for length in lengths
    }


def test_sheet_goods_are_counted_in_metres(run, shop) -> None:
    """43 ft off a 12 ft roll are 13.11 m off one of 3.658 m; what came is typed in metres, and the page counts so."""
    out = " ".join(run("--db", shop, "take-off", 41).out.split())
    assert "13.11 m dune sheet" in out
    assert "13.11 m off a 3.658 m roll" in out
    assert "Ordered are 13.11 m." in out
    came = run("--db", shop, "arrived", 41, "dune sheet", "9.14", "--at", "2026-02-25 09:00")
    assert (came.code, came.err) == (0, "")
    assert us_measures(came.out) == []
    page = " ".join(run("--db", shop, "job", 41).out.split())
    assert "9.14 of 13.11 m here" in page
    assert "short 3.96 m" in page
    (row,) = json.loads(run("--db", shop, "job", 41, "--json").out)["materials"]
    assert (row["cartons_come"], row["cartons_ordered"], row["unit"]) == (9.14, 13.11, "m")
    checked = run("--db", shop, "check-lot", 41, "dune sheet", "A", "--cartons", "9.14", "--at", "2026-02-25 10:00")
    assert (checked.code, us_measures(checked.out)) == (0, [])
    word = run("--db", shop, "lots", 41, "dune sheet", "A", "--because", "the rest comes later")
    assert (word.code, us_measures(word.out)) == (0, [])
    assert "9.14 m, the rooms take 13.11 m" in " ".join(word.out.split())


def test_cartons_are_whole(run, shop, demo_file) -> None:
    """Half a carton, and broken feet in a shop that counts in feet, are refused in one sentence."""
    for words in (["--db", shop, "arrived", 11, "3.5"], ["--db", demo_file, "arrived", 9, "3.5"]):
        ran = run(*words)
        assert ran.code == 1
        assert "write a whole number" in ran.err


def test_refusals_are_metric(run, shop) -> None:
    """Sticks that are too short and a length that is none: said in metric, what was typed as it was typed."""
    short = run("--db", shop, "take-off", 11, "--base-stick", "1 ft").err
    assert "sticks of base 305 mm long: they are 610 mm to 7.315 m" in short
    none = run("--db", shop, "layout", 3, "kitchen", "--row", 1, "--measured", "12' x").err
    assert '"12\' x"' in none or "'12' x'" in none
    assert "381 cm, 3.81 m or 3810 mm" in none


def test_the_day_plan_is_metric(shop) -> None:
    """A planned week of the metric shop: no US measure on any page of any crew and day."""
    from crewjobs.services.demonstration.demo import demo_office

    office = demo_office(shop)
    office.plan()
    days = [day.day for day in office.week().days if day.visits]
    assert days
    pages = " ".join(" ".join(office.day_plan_text(day, "").split()) for day in days)
    assert "mm" in pages
    assert us_measures(pages) == []


def test_rates_and_odds_are_metric(run, shop) -> None:
    """A sub's capacity, rates and odds of a planned week, in text and in every word of their JSON."""
    assert run("--db", shop, "plan", "--seconds", "0").code == 0
    for words in (["rates"], ["odds"], ["odds", 11]):
        ran = run("--db", shop, *words)
        assert (ran.code, us_measures(" ".join(ran.out.split()))) == (0, []), words
        told = json.loads(run("--db", shop, *words, "--json").out)
        assert us_measures(" ".join(_strings(told))) == [], words
    assert "27.9 m²" in " ".join(run("--db", shop, "rates", "Hazel").out.split())


def test_figures_are_metric(run, shop) -> None:
    """What can be asked, and every answer to its example: the unit of the shop, with the published value behind it."""
    listed = run("--db", shop, "figure").out
    assert us_measures(" ".join(listed.split())) == []
    import shlex

    for row in json.loads(run("--db", shop, "figure", "--json").out)["figures"]:
        found = json.loads(run("--db", shop, "figure", *shlex.split(row["example"]), "--json").out)
        assert us_measures(" ".join(_strings({**found, "unit": f"1 {found['unit']}"}))) == [], row["name"]
    depth = json.loads(run("--db", shop, "figure", "slab-depth", "thickness=100", "sides=1", "--json").out)
    assert (depth["value"], depth["unit"]) == (40, "mm")  # ASTM F2170 sec. 10.2: 40 % of the thickness
    refused = run("--db", shop, "figure", "slab-depth", "thickness=9000", "sides=1").err
    assert "'9000' cannot be: it is more than 0 and at most 1.5 m" in " ".join(refused.split())


def test_readings_findings_and_holds_are_metric(run, shop) -> None:
    """Air, slab, dew point, flatness and findings as recorded, refused, and told again on the pages that use them."""
    at = ["--now", "2026-03-03 09:00"]
    for words in (
        ["arrived", 4, "pier plank", 9, "--in-rooms"],
        ["arrived", 5, "mill oak", 23, "--in-rooms"],
        ["reading", 4, "air", "13C", "62%", "--room", "entry"],
        ["reading", 4, "surface", "8.5C", "9C", "--room", "entry"],
        ["reading", 4, "slab-vapor", "5", "4", "4", "--hours", "70", "--room", "family room"],
        ["reading", 4, "flatness", "8mm", "--room", "family room"],
        ["reading", 5, "air", "24C", "62%"],
        ["reading", 5, "boards", "11.2", "11.4", "11", "11.3"],
        ["found", 2, "bath", "mold", "--area", "0.4m2"],
        ["found", 2, "bath", "mold", "--area", "2m2"],
        ["found", 4, "entry", "dip", "--area", "1m2"],
    ):
        ran = run("--db", shop, *words, *at)
        assert (ran.code, us_measures(" ".join(ran.out.split()))) == (0, []), ran.err
    refused = [
        (["reading", 4, "surface", "400C", "--room", "entry"], "400 °C cannot be in a house: it is -40 to 54 °C"),
        (["reading", 4, "flatness", "900mm", "--room", "entry"], "900 mm under a straightedge of 3 m cannot be"),
        (["tick", 4, 22], "the slab gives off 42 g/m²/24 h, 15 g/m²/24 h at most"),
        (["tick", 4, 24], "8.5 °C, air 13 °C and 62 % RH"),
    ]
    record = run("--db", shop, "job", 4, *at, "--json")
    tasks = {(task["title"], task["where"]): task["number"] for task in json.loads(record.out)["tasks"]}
    rows = tasks["Spread glue and lay vinyl into it, rolled", "family room"]
    patch = next(number for (title, where), number in tasks.items() if "patch or skim" in title and where == "entry")
    for words, says in refused:
        if words[0] == "tick":
            words[2] = rows if "slab" in says else patch
        ran = run("--db", shop, *words, *at)
        assert ran.code == 1
        assert says in " ".join(ran.err.split())
        assert us_measures(" ".join(ran.err.split())) == []
    for words in (["plan"], ["waiting"], ["week"], ["job", 2], ["job", 4], ["job", 5], ["why", 4], ["why", 5]):
        ran = run("--db", shop, *words, *at)
        assert us_measures(" ".join(ran.out.split())) == [], words
