"""Every `--json` is as its schema says: each command on the demo shop or on a small one, and the schemas themselves."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import make_dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from crewjobs.cli.commands import COMMANDS
from crewjobs.cli.json_answers import answer_schema
from crewjobs.cli.json_schema import schema_of
from crewjobs.cli.printing import plain
from crewjobs.domain.waits import WaitState
from crewjobs.services.rows import WaitRow
from tests.cli.json_checked import checked

NAMES = [name for name, _ in COMMANDS]
LOOKED_AT: tuple[tuple[object, ...], ...] = (
    ("jobs", "--all"),
    ("job", 4, "--all"),
    ("week",),
    ("why",),
    ("why", 12),
    ("waiting",),
    ("take-off", 5, "--seconds", 0),
    ("heights", 3),
    ("layout", 1, "hall", "--seconds", 0),
    ("furniture", 1, "hall"),
    ("moves", 6, "--look"),
    ("odds", 12),
    ("promise", 12),
    ("rates",),
    ("rates", "--job", 1),
    ("templates",),
    ("figure",),
    ("figure", "dew-point", "temp=70", "rh=50"),
    ("log",),
    ("dump", 4),
    ("dump", "shop"),
    ("visit", 8, "measuring"),
    ("evening", "Birch", "--form"),
    ("hours", "Birch", "tomorrow"),
    ("schema", "week"),
    ("completion", "bash"),
    ("week-sheet",),
    ("notice", 1),
    ("house-ready", 1),
    ("job-record", 1),
    ("shopping-list",),
    ("what-if", "--visit", 4, "2026-03-04", "of", "Birch", "to", "Cedar", "2026-03-05", "--seconds", 0),
    ("printed",),
    ("printed", "--all"),
    ("export", "jobs"),
    ("export", "hours"),
    ("export", "material"),
)
"""What only looks, on the demo shop with its history."""
RECORDED: tuple[tuple[object, ...], ...] = (
    ("load", "shop.toml", "den.toml", "--replace"),
    ("ready", 4, "--asked", "Teo Halloran", "--item", "air"),
    ("ready", 4, "--all"),
    ("plan", "--seconds", 0),
    ("when", 200, "ft2", "click", "vinyl"),
    ("what-if", "--promise", 4, "2026-03-20", "--rounds", 0),
    ("pin", 4, 1, "Cedar", "fri"),
    ("proposal", "--seconds", 0),
    ("accept",),
    ("unpin", 4, 1),
    ("ask", 4, "plumber", "water off"),
    ("promised", 4, "plumber", "tue 10:00"),
    ("chased", 4, "plumber"),
    ("came", 4, "plumber"),
    ("back-ordered", 4, "gray plank", "2026-03-04"),
    ("arrived", 4, 9, "--lot", "A", "--at", "6:10"),
    ("check-lot", 4, "gray plank", "A", "--cartons", 9, "--damaged", 1),
    ("returned", 4, "gray plank", 1),
    ("lots", 4, "gray plank", "A", "--because", "the customer agreed"),
    ("reading", 4, "air", "70F", "40%"),
    ("away", "Tobiah Lund", "tomorrow"),
    ("dry-run", 4, "--crew", "Birch", "--because", "paint is wet", "--item", "paint", "--until", "tue 7:00"),
    ("offers", "Cedar"),
    ("walk", 4, "before", "--with", "Teo Halloran", "--color", "gray", "--direction", "along the window", "--lot", "A"),
    ("tick", 4, 1, "--at", "6:20"),
    ("tick", 4, 1, "--take-back"),
    ("tick", 4, 1, "--at", "6:20"),
    ("tick", 4, 2, "--begun", "--crew", "Birch"),
    ("how-far", 4, 2, "50 %"),
    ("found", 4, "den", "rot", "--area", "3 ft2"),
    ("agreed", 4, "new shoe", 120, "--by", "Teo Halloran"),
    ("money", 4, "deposit", 500),
    ("told", 4, "2026-03-12"),
    ("calendar", "--out", "calendars"),
    ("day-plan", "tomorrow", "--out", "pages"),
    ("amend", 4, "--state", "done"),
    ("callback", 4, "board clicks"),
    ("undo",),
    ("backup", "copy.sqlite3"),
    ("check",),
    ("restore", "copy.sqlite3"),
    ("import", "list.csv"),
    ("import", "list.csv", "--keep"),
)
"""What records, in the order of a job, on the small shop under the demo's clock."""
ELSEWHERE = {"demo"}
"""Whose answer another test looks at."""


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory, loaded: Path) -> Path:
    """The small shop, under the demo's clock."""
    folder = shutil.copytree(loaded, tmp_path_factory.mktemp("small"), dirs_exist_ok=True)
    with closing(sqlite3.connect(folder / "shop.sqlite3")) as connection:
        connection.execute("UPDATE shop SET demo = 1")
        connection.commit()
    (folder / "list.csv").write_text("Client,Address\nIda Marsh,5 Mill Lane\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize("words", LOOKED_AT, ids=lambda words: " ".join(map(str, words)))
def test_what_looks_prints_what_its_schema_says(words, run, demo_made, tmp_path_factory):
    """The demo shop, command by command; nothing of it is changed that a later answer shows."""
    copy = tmp_path_factory.getbasetemp() / "looked-at.sqlite3"
    if not copy.exists():
        shutil.copy(demo_made, copy)
    ran = run("--db", copy, *words, "--json")
    assert ran.code == 0, ran.err
    checked(str(words[0]), ran.out)


def test_what_records_prints_what_its_schema_says(run, small, monkeypatch):
    """A job's way through the small shop; what is refused prints no JSON, and is no answer."""
    monkeypatch.chdir(small)
    answered = set()
    for words in RECORDED:
        ran = run("--db", "shop.sqlite3", *words, "--json")
        if words[0] not in ("proposal", "accept"):  # whether there is a better plan is not the matter here
            assert ran.code == 0, (words, ran.err)
        if ran.code == 0:
            checked(str(words[0]), ran.out)
            answered.add(words[0])
    assert answered >= {str(words[0]) for words in RECORDED} - {"proposal", "accept"}


def test_what_the_demo_prints_is_as_its_schema_says(demo_made):
    """The demo's own answer, kept when it was made."""
    checked("demo", (demo_made.parent / "printed.json").read_text(encoding="utf-8"))


def test_every_command_is_tried_here():
    """A new command is added to one of the lists."""
    tried = {str(words[0]) for words in (*LOOKED_AT, *RECORDED)} | ELSEWHERE
    assert set(NAMES) - tried == set()


@pytest.mark.parametrize("name", NAMES)
def test_every_command_has_a_schema_that_is_one_and_is_strict(name):
    """It is valid by the draft's own meta-schema; every object names all it holds, and allows nothing else."""
    found = answer_schema(name)
    Draft202012Validator.check_schema(found)
    assert found["$schema"].endswith("2020-12/schema")
    for one in every_object(found):
        assert one["additionalProperties"] is not True
        if "properties" in one:
            assert one["additionalProperties"] is False
            assert one["required"] == list(one["properties"])


@pytest.mark.parametrize("name", NAMES)
def test_every_measured_figure_has_its_unit(name):
    """A number that is no count says what it is in: in its name, or by its schema's `unit`."""
    bare = [
        f"{row}.{field}"
        for row, schema in answer_schema(name).get("$defs", {}).items()
        for field, one in schema["properties"].items()
        if measured(one) and "unit" not in one
    ]
    assert bare == []


WAIT = WaitRow(
    job=1,
    title="Den",
    what="planks",
    state=WaitState.DUE,
    since=None,
    ready_at=datetime.fromisoformat("2026-03-03T10:00:00-06:00"),
    minutes_left=90,
    done=0.5,
    verified=False,
    holds="",
    call="",
)


@pytest.mark.parametrize(
    "changed",
    [
        lambda row: row | {"more": 1},
        lambda row: {name: value for name, value in row.items() if name != "basis"},
        lambda row: row | {"job": "1"},
        lambda row: row | {"state": "soon"},
        lambda row: row | {"ready_at": "2026-03-03T10:00:00"},
        lambda row: row | {"ready_at": "2026-03-03 10:00"},
    ],
    ids=["a field more", "a field less", "text for a number", "another word", "no zone", "no instant"],
)
def test_a_row_that_is_otherwise_is_no_answer(changed):
    """The validator finds each kind of change; the row as it is passes."""
    validator = Draft202012Validator(schema_of([WaitRow], "a wait"))
    row: Any = plain(WAIT)
    assert validator.is_valid(row)
    assert not validator.is_valid(changed(row))


def test_an_instant_without_its_zone_is_found():
    """A wall time that lost its offset is no answer (RFC 3339 asks for one)."""
    validator = Draft202012Validator(schema_of([WaitRow], "a wait"))
    assert not validator.is_valid(plain(replace(WAIT, since=datetime(2026, 3, 3, 10))))


def test_rows_of_one_name_are_told_apart():
    """Each has its own schema, the second under the name of its module too."""
    found = schema_of([tuple[WaitRow, ...], make_dataclass("WaitRow", [("other", int)])], "two rows")
    other = {name: schema["properties"] for name, schema in found["$defs"].items()}
    assert sorted(other) == ["WaitRow", "types.WaitRow"]
    assert list(other["types.WaitRow"]) == ["other"]


def test_all_schemas_are_printed_by_name(run):
    """`crewjobs schema` gives one object with every command's."""
    found = json.loads(run("schema").out)
    assert list(found) == NAMES
    assert found["week"] == json.loads(run("schema", "week", "--json").out)


def test_the_schema_of_no_command_is_refused(run):
    """One sentence."""
    ran = run("schema", "wek")
    assert ran.code == 1
    assert "there is no command 'wek'" in ran.err


def every_object(schema: object) -> Iterator[dict[str, Any]]:
    if isinstance(schema, dict):
        if schema.get("type") == "object":
            yield schema
        for one in schema.values():
            yield from every_object(one)
    elif isinstance(schema, list):
        for one in schema:
            yield from every_object(one)


def measured(schema: dict[str, Any]) -> bool:
    """Whether it holds numbers that are not whole."""
    kinds = schema.get("type")
    if "number" in (kinds if isinstance(kinds, list) else [kinds]):
        return True
    items = schema.get("items")
    inner = [*schema.get("anyOf", ()), *schema.get("prefixItems", ()), *([items] if isinstance(items, dict) else [])]
    return any(measured(one) for one in inner)
