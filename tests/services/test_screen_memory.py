"""What the screens remember: written at once, whole, and no trouble where it cannot be."""

from __future__ import annotations

import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from crewjobs.services.screen_memory import FRESH, Place, ScreenMemory, name_of
from crewjobs.storage.paths import default_path

NOW = datetime(2026, 3, 2, 12, 30, tzinfo=UTC)
ON_SITE = Place(screen="on_site", crew="Birch", day="2026-03-03", job=4, ticks_from="yesterday 16:00")


def test_a_place_is_come_back_to(tmp_path: Path) -> None:
    """What one process noted, the next one reads, with every part of it."""
    ScreenMemory(tmp_path / "screens.json", "a").keep_place(ON_SITE, NOW)
    found = ScreenMemory(tmp_path / "screens.json", "a").place(NOW + timedelta(minutes=5))
    assert found is not None
    assert (found.screen, found.crew, found.day, found.job, found.ticks_from) == (
        "on_site",
        "Birch",
        "2026-03-03",
        4,
        "yesterday 16:00",
    )


def test_each_database_has_its_own_place(tmp_path: Path) -> None:
    """A place in one database is none in another, and leaving one keeps the other's."""
    path = tmp_path / "screens.json"
    one, other = ScreenMemory(path, "a"), ScreenMemory(path, "b")
    one.keep_place(ON_SITE, NOW)
    assert other.place(NOW) is None
    other.keep_place(Place(screen="rooms"), NOW)
    other.leave()
    assert (one.place(NOW), ScreenMemory(path, "b").place(NOW)) != (None, None)
    assert ScreenMemory(path, "a").place(NOW) is not None
    assert ScreenMemory(path, "b").place(NOW) is None


@pytest.mark.parametrize(("later", "kept"), [(FRESH, True), (FRESH + timedelta(minutes=1), False)])
def test_an_old_place_is_forgotten(later: timedelta, kept: bool, tmp_path: Path) -> None:
    """The next morning begins with what waits."""
    ScreenMemory(tmp_path / "screens.json").keep_place(ON_SITE, NOW)
    assert (ScreenMemory(tmp_path / "screens.json").place(NOW + later) is not None) is kept


@pytest.mark.parametrize(
    "text",
    [
        "",
        "not json",
        "[]",
        '{"palette": 3, "places": 4}',
        '{"places": {"": {"screen": 1, "moment": "2026-03-02T12:30:00+00:00"}}}',
        '{"places": {"": {"screen": "jobs", "moment": "soon"}}}',
        '{"places": {"": {"screen": "jobs", "unknown": "", "moment": "2026-03-02T12:30:00+00:00"}}}',
    ],
)
def test_a_file_of_another_make_is_no_trouble(text: str, tmp_path: Path) -> None:
    """What cannot be read is as if nothing were kept, and is written over when something is."""
    path = tmp_path / "screens.json"
    path.write_text(text, encoding="utf-8")
    memory = ScreenMemory(path)
    assert (memory.palette, memory.place(NOW)) == ("", None)
    memory.keep_palette("daylight")
    assert ScreenMemory(path).palette == "daylight"


def test_a_folder_that_cannot_be_written_is_no_trouble(tmp_path: Path) -> None:
    """Nothing is kept, and nothing fails."""
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    memory = ScreenMemory(tmp_path / "file" / "screens.json")
    memory.keep_palette("daylight")
    memory.keep_place(ON_SITE, NOW)
    assert ScreenMemory(tmp_path / "file" / "screens.json").palette == ""


@pytest.mark.skipif(os.name != "posix", reason="a link is not anybody's to make there")
def test_a_database_is_the_same_however_its_path_is_written(tmp_path: Path) -> None:
    """A form that was typed over it comes back by a link to it, too; the person's own needs no name."""
    (tmp_path / "shop.db").touch()
    (tmp_path / "link.db").symlink_to(tmp_path / "shop.db")
    (tmp_path / "in").mkdir()
    paths = (tmp_path / "shop.db", tmp_path / "link.db", tmp_path / "in" / ".." / "shop.db")
    assert len({name_of(path) for path in paths}) == 1
    assert name_of(tmp_path / "other.db") != name_of(paths[0])
    assert name_of(None) == name_of(default_path()) == ""
