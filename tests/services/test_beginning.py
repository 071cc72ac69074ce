"""The first run: nothing is written before the shop is whole, and then all of it at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.services import beginning
from crewjobs.services.beginning import Beginning
from crewjobs.services.demonstration.demo import run_demo
from crewjobs.services.forms.draft import Draft
from crewjobs.services.office import Office


def filled(begin: Beginning) -> Draft:
    """A shop of one crew."""
    draft = begin.draft()
    draft.write(draft.of("shop")[0], {"shop.name": "Alder Street Floors", "shop.zone": "America/Chicago"})
    draft.write(draft.of("crew")[0], {"name": "Alder", "workers": "Pia Sandoval, Jon Ekwueme (lead)"})
    return draft


def test_a_shop_is_made_in_one_change(tmp_path: Path):
    """One crew of two with the second as lead, in a database of its own: one change, and no set-up any more."""
    path = tmp_path / "folder" / "shop.sqlite3"
    begin = Beginning(path)
    assert begin.needed()
    office = begin.make(filled(begin))
    assert office.shop_name() == "Alder Street Floors"
    assert office.crews() == ("Alder",)
    assert "lead = true" in office.dump_shop()
    assert len(office.changes()) == 1
    assert not Beginning(path).needed()


def test_nothing_is_written_of_a_shop_that_is_not_whole(tmp_path: Path):
    """Without a name, without a crew, with unreadable hours: refused, and there is no file and no folder."""
    path = tmp_path / "folder" / "shop.sqlite3"
    begin = Beginning(path)
    for part, key, text in (("shop", "shop.name", ""), ("crew", "hours", "always"), ("shop", "shop.holidays", "soon")):
        draft = filled(begin)
        draft.write(draft.of(part)[0], {key: text})
        with pytest.raises(Refused):
            begin.make(draft)
        assert begin.check(draft).faults
    draft = filled(begin)
    draft.remove(draft.of("crew")[0])
    with pytest.raises(Refused, match="a shop without a crew"):
        begin.make(draft)
    assert not path.parent.exists()


@pytest.mark.parametrize("goes_on", [0, 3, 40])
def test_a_stopped_demo_leaves_nothing_behind(tmp_path: Path, goes_on: int):
    """Stopped at once, while its past is told, or while its week is planned: no database, no page, nothing half made."""
    asked: list[bool] = []

    def stop() -> bool:
        asked.append(True)
        return len(asked) > goes_on

    with pytest.raises(Refused, match="the demo was stopped"):
        run_demo(tmp_path / "demo.sqlite3", tmp_path / "pages", stop)
    assert list(tmp_path.iterdir()) == []


def test_stopped_while_it_is_planned_the_demo_is_said_not_to_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """There is no plan in force then, and no shop: what planning says of a stop is not told."""
    planning: list[bool] = []
    plan = Office.plan

    def noted(*given: object, **named: object) -> object:
        planning.append(True)
        return plan(*given, **named)

    monkeypatch.setattr(Office, "plan", noted)
    with pytest.raises(Refused) as refused:
        run_demo(tmp_path / "demo.sqlite3", tmp_path / "pages", lambda: bool(planning))
    assert refused.value.sentences == ("the demo was stopped: it is not made, and nothing of it is kept.",)
    assert list(tmp_path.iterdir()) == []


def test_a_fault_while_it_is_written_leaves_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """What was made for a shop that then cannot be stored is taken away again."""
    path = tmp_path / "shop.sqlite3"
    begin = Beginning(path)

    def full(*_: object, **__: object) -> None:
        raise Refused("the disk is full.")

    monkeypatch.setattr(Office, "load_read", full)
    with pytest.raises(Refused, match="the disk is full"):
        begin.make(filled(begin))
    assert not path.exists()


def test_a_shop_that_came_meanwhile_is_not_written_over(tmp_path: Path):
    """Two windows of the first run: the second is told, and the shop of the first stays."""
    path = tmp_path / "shop.sqlite3"
    first, second = Beginning(path), Beginning(path)
    draft = filled(second)
    first.make(filled(first))
    with pytest.raises(Refused, match="holds a shop by now"):
        second.make(draft)


def test_the_machines_zone_says_how_one_measures(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    """Berlin: metric and A4; Chicago, and a machine that was not told: feet and Letter. All of it can be chosen."""
    for zone, units, paper in (
        ("Europe/Berlin", "metric", "a4"),
        ("America/Chicago", "us", "letter"),
        ("UTC", "us", "letter"),
    ):
        monkeypatch.setattr(beginning, "here", lambda zone=zone: zone)
        texts = Beginning(tmp_path / "none").draft().of("shop")[0].texts
        assert (texts["shop.zone"], texts["shop.units"], texts["shop.paper"]) == (zone, units, paper)
