"""Spreadsheets from the screens, over the real office on the small shop: a table out, a list in."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Button, Select, Static

from crewjobs.screens.app import CrewApp
from crewjobs.screens.export_table import ask_export
from crewjobs.screens.import_list import FIELDS, ask_list
from crewjobs.screens.spreadsheets import spreadsheet_commands
from crewjobs.services.office import Office
from tests.cli.conftest import database as database
from tests.cli.conftest import loaded as loaded
from tests.screens.conftest import press, settled

LIST = "Who;Street;What;Remark\nIda Marsh;14 Fennel Way;Kitchen;=late\nTeo Lind;15 Fennel Way;Den;\n"


@pytest.fixture
def app(database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CrewApp:
    """The screens on the small shop, started in a scratch folder."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "list.csv").write_text(LIST, encoding="utf-8")
    return CrewApp(lambda: Office.at(database=database), tmp_path)


def shown(app: CrewApp, name: str) -> str:
    return str(app.screen.query_one(name, Static).render())


def test_the_palette_offers_both(app):
    """By the words a person would look for."""
    assert [one.title for one in spreadsheet_commands(app)] == ["Export to a spreadsheet", "Import a list of jobs"]


async def test_a_table_is_written_and_said_where(app, tmp_path):
    """The file is named after its table; written again, it is left alone and what was typed stays."""
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        next(iter(spreadsheet_commands(app))).callback()
        await settled(pilot)
        app.screen.query_one("#table", Select).value = "hours"
        await settled(pilot)
        await pilot.click(Button)
        await settled(pilot)
        assert (tmp_path / "hours.csv").read_bytes().startswith(b"day,job,")
        assert "hours.csv: 0 rows" in " ".join(app.front.status.said)
        ask_export(app.front)
        await settled(pilot)
        app.screen.query_one("#table", Select).value = "hours"
        await settled(pilot)
        await pilot.click(Button)
        await settled(pilot)
        assert "is there already" in shown(app, "#fault")


async def test_a_list_is_mapped_looked_at_and_kept(app, database):
    """Nobody knows who is who before it is said; said once, all rows come in, and undo takes them back."""
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        ask_list(app.front)
        await settled(pilot)
        await press(pilot, *"nolist.csv", "enter")
        await settled(pilot)
        assert "there is no such file" in shown(app, "#fault")
        await press(pilot, *["home"], *["delete"] * 2, "enter")
        await settled(pilot)
        assert "No new job" in shown(app, "#sentence")
        assert app.screen.query(Button).first().disabled
        app.screen.query_one("#column-0", Select).value = "customer"
        await settled(pilot)
        assert "2 new jobs." in shown(app, "#sentence")
        app.screen.query_one("#column-3", Select).value = "title"
        await settled(pilot)
        assert "of one column only" in shown(app, "#fault")
        app.screen.query_one("#column-3", Select).value = ""
        await settled(pilot)
        await pilot.click(app.screen.query(Button).first())
        await settled(pilot)
        assert "Imported 2 jobs from list.csv" in " ".join(app.front.status.said)
        office = Office.at(database=database)
        assert [row.title for row in office.jobs()] == ["Den, Quarry Road", "Kitchen", "Den"]
        await press(pilot, "u")
        await settled(pilot)
        assert len(office.jobs()) == 1


def test_every_field_of_a_list_can_be_picked():
    """The screens offer what the importer takes, no more and no less."""
    from crewjobs.files.list_columns import FIELDS as KNOWN

    assert {value for _, value in FIELDS} == {"", *(field.name for field in KNOWN)}
