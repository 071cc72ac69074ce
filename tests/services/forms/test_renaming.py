"""A crew or a person whose name is corrected in the shop's form stays the same one in all that is recorded."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from crewjobs.domain.crew import Away
from crewjobs.domain.evening import CrewHours
from crewjobs.domain.pace import RatePin
from crewjobs.domain.plan import Pin
from crewjobs.engines.planning.roster import present
from crewjobs.services.forms.renaming import crews_renamed
from crewjobs.storage.ledger import stored
from crewjobs.storage.records import metadata
from tests.builders import central
from tests.services.conftest import SHOP, Shop

THURSDAY = date(2026, 3, 5)


def renamed(shop: Shop, old: str, new: str):
    """Save the shop's form with one word of it changed in every crew's name and people."""
    form = shop.office.shop_draft()
    for part in form.of("crew"):
        texts = {key: part.texts[key].replace(old, new) for key in ("name", "workers")}
        form.write(part, texts)
    return shop.office.keep_shop(form)


def away(shop: Shop) -> list[Away]:
    """Who is away when."""
    with shop.office._database.reading() as uow:
        return list(uow.away())


def everything(shop: Shop) -> dict[str, list[str]]:
    """All rows of all tables, but for the log, plans and what only ever rises."""
    left_out = {"change", "change_row", "plan", "plan_block", "plan_left_out", "kept_pace", "job"}
    with shop.office._database.reading() as uow:
        return {
            name: sorted(map(repr, stored(uow._connection, table)))
            for name, table in metadata.tables.items()
            if name not in left_out
        }


def test_an_absence_stays_with_the_person_whose_name_is_corrected(shop: Shop):
    """Sick on Thursday under the old name, sick on Thursday under the new one, told, and brought back by an undo."""
    shop.office.away("Tobiah Lund", THURSDAY, because="sick")
    before = everything(shop)
    done = renamed(shop, "Tobiah", "Tobias")
    assert done.then[0] == "Tobiah Lund is now called Tobias Lund everywhere; what was printed keeps the old name."
    assert away(shop) == [Away(crew="Birch", worker="Tobias Lund", day=THURSDAY, why="sick")]
    with shop.office._database.reading() as uow:
        assert [one.name for one in present(uow.shop(), uow.away(), "Birch", THURSDAY)] == [
            "Ines Varga",
            "Rém Achterberg",
        ]
    shop.office.undo()
    assert everything(shop) == before


def test_another_person_in_the_same_place_inherits_no_absence(shop: Shop):
    """One has left and another came: what is left behind is told."""
    shop.office.away("Tobiah Lund", THURSDAY, because="sick")
    done = renamed(shop, "Tobiah Lund", "Jo Ekwueme")
    assert away(shop)[0].worker == "Tobiah Lund"
    assert any(words.startswith("Tobiah Lund is no longer in Birch under that name: being away") for words in done.then)
    again = renamed(shop, "Jo Ekwueme", "Joe Ekwueme")
    assert not any("Tobiah" in words for words in again.then)


def test_an_absence_goes_with_a_person_to_another_crew(shop: Shop):
    """Away from the crew they are in by then; lent to it, they are at home there."""
    shop.office.away("Tobiah Lund", THURSDAY, because="sick")
    shop.office.away("Tobiah Lund", THURSDAY + timedelta(days=1), to="Cedar")
    form = shop.office.shop_draft()
    birch, cedar = form.of("crew")
    form.write(birch, {"workers": "Ines Varga, Rém Achterberg"})
    form.write(cedar, {"workers": "Maeve Ostrow, Dario Nkemelu, Tobiah Lund"})
    shop.office.keep_shop(form)
    assert away(shop) == [Away(crew="Cedar", worker="Tobiah Lund", day=THURSDAY, why="sick")]


@pytest.fixture
def at_work(shop: Shop) -> Shop:
    """A shop with a plan, work under way and hours, a pin, a rate by hand, hours of a day and absences of its crews."""
    shop.office.plan()
    shop.clock.set("2026-03-03", "11:00")
    [first, *_] = (task.number for task in shop.record().tasks)
    shop.office.start(4, first, crew="Birch", at="2026-03-03 08:00")
    shop.office.hours("Birch", THURSDAY, "7:00-12:00", because="a funeral")
    shop.office.away("Tobiah Lund", THURSDAY, because="sick")
    shop.office.away("Dario Nkemelu", THURSDAY, to="Birch")
    with shop.office._database.unit_of_work(who="tester") as uow:
        uow.save_rate_pin(RatePin(crew="Birch", template=shop.record().tasks[0].key.template, factor=1.5))
        uow.commit("a rate by hand", at=central("2026-03-03", "11:00"))
    later = next(task.number for task in shop.record().tasks if task.number != first)
    with shop.office._database.unit_of_work(who="tester") as uow:
        record = uow.job(4)
        worked = CrewHours(
            crew="Birch", start=central("2026-03-02", "08:00"), stop=central("2026-03-02", "12:00"), people=3
        )
        uow.save_job(record, replace(record, crew_hours=(worked,)))
        uow.save_pin(Pin(job=4, task=later, crew="Birch", day=date(2026, 3, 4)))
        uow.commit("a pin, and hours", at=shop.clock.at)
    return shop


def test_a_crew_with_another_name_is_the_same_crew(at_work: Shop):
    """No work moves, nothing is handed on, and no table but the log and what was said of plans has the old name."""
    before = everything(at_work)
    with at_work.office._database.reading() as uow:
        plan = uow.latest_plan()
    done = renamed(at_work, "Birch", "Spruce")
    told = " ".join(done.then)
    assert done.then[0] == "Birch is now called Spruce everywhere; what was printed keeps the old name."
    assert "no longer in the shop" not in told
    assert "move" not in told.replace("no work moves", "")
    for name, rows in everything(at_work).items():
        assert not [row for row in rows if "Birch" in row], name
    with at_work.office._database.reading() as uow:
        now = uow.latest_plan()
    assert [(one.key, one.start, one.end) for one in now.placements] == [
        (one.key, one.start, one.end) for one in plan.placements
    ]
    assert {one.crew for one in now.placements} <= {"Spruce", "Cedar"}
    assert not any("Birch" in one.reason for one in now.placements)
    at_work.office.undo()
    assert everything(at_work) == before
    with at_work.office._database.reading() as uow:
        assert uow.latest_plan() == plan


def test_two_crews_swap_their_names(at_work: Shop):
    """All at once: what Willow did is Cedar's now, and the other way round."""
    renamed(at_work, "Birch", "Willow")
    before = everything(at_work)
    form = at_work.office.shop_draft()
    first, second = form.of("crew")
    form.write(first, {"name": "Cedar"})
    form.write(second, {"name": "Willow"})
    at_work.office.keep_shop(form)
    swapped = {
        name: sorted(row.replace("Cedar", "X").replace("Willow", "Cedar").replace("X", "Willow") for row in rows)
        for name, rows in before.items()
    }
    assert everything(at_work) == swapped


def test_a_page_that_takes_the_name_of_a_crew_taken_out_is_not_that_crew(shop: Shop):
    """Who is meant is not known: it stays removal and addition."""
    form = shop.office.shop_draft()
    birch, cedar = form.of("crew")
    form.remove(birch)
    form.write(cedar, {"name": "Birch"})
    assert crews_renamed(form) == {}


def test_a_file_that_leaves_somebody_out_tells_what_is_left_behind(at_work: Shop):
    """From a file nobody is renamed: an absence and learned hours that count for nobody are said, once."""
    with at_work.office._database.unit_of_work(who="tester") as uow:
        uow.drop_pin(4, uow.pins()[0].task)
        uow.commit("no pin", at=at_work.clock.at)
    text = SHOP.replace("Tobiah", "Tobias").replace('"Birch"', '"Spruce"')
    done = at_work.office.load([at_work.file("shop.toml", text)], replace=True)
    assert any(
        words.startswith("Tobiah Lund is no longer in Birch under that name: being away on Thu") for words in done.then
    )
    assert any(words.startswith("Birch is no longer in the shop: the hours recorded of it") for words in done.then)
