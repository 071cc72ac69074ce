"""The shop changed where it is looked at: the palette's form on real records, its words kept as the office gave them."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import Input

from crewjobs.screens.app import CrewApp
from crewjobs.screens.draft.answers import Answer
from crewjobs.screens.draft.form import DraftForm
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database
from tests.screens.conftest import press, said, settled


async def test_the_shop_is_changed_on_real_records(demo_file: Path, tmp_path: Path) -> None:
    """Kept as opened, nothing was changed; with another name, the shop has it. What no page shows stays as it was."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    before = office.dump_shop()
    name = office.shop_name()
    app = CrewApp(lambda: office, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        app.change_shop()
        await settled(pilot)
        await press(pilot, "ctrl+s")
        form = app.screen
        assert isinstance(form, DraftForm)
        assert "nothing was changed in this form" in str(form.query_one("#fault").render()).lower()
        field = next(one for one in form.query(Answer) if one.key == "shop.name")
        field.query_one(Input).value = "Linden and Daughters"
        await press(pilot, "ctrl+s")
        assert not isinstance(app.screen, DraftForm)
        assert "Linden and Daughters changed" in said(app)
    assert office.shop_name() == "Linden and Daughters"
    assert office.dump_shop() == before.replace(name, "Linden and Daughters")


async def test_a_job_with_words_of_several_lines_keeps_them(demo_file: Path, tmp_path: Path) -> None:
    """A job's form keeps what it was opened on, line breaks too: only what was changed in it is another."""
    office = Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)
    draft = office.job_draft(1)
    draft.kept["remark"] = "one\ntwo"
    from crewjobs.screens.words import cleaned

    assert cleaned(draft) is draft
    assert draft.kept["remark"] == "one\ntwo"
