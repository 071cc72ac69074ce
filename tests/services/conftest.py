"""A small shop with two jobs, loaded from files as people load them, under a clock the test sets."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from crewjobs.domain.house_ready import ReadyItem
from crewjobs.services.house_ready import Answers
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database
from tests.builders import central

SHOP = """
[shop]
name = "Linden Floor Crew"
zone = "America/Chicago"
hours = { mon-fri = "7:00-17:00" }

[[crew]]
name = "Birch"
workers = ["Ines Varga", "Tobiah Lund", "Rém Achterberg"]
hours = { mon-fri = "7:00-12:00, 12:30-15:30" }
lays = ["floating", "glue-down", "leveling", "tile removal"]

[[crew]]
name = "Cedar"
workers = ["Maeve Ostrow", "Dario Nkemelu"]
hours = { mon-fri = "7:30-12:00, 12:30-16:00" }
lays = ["floating", "nailed", "stairs"]
"""

JOB = """
number = 4
title = "Den, Quarry Road"
promised = 2026-03-13

[customer]
name = "Teo Halloran"
phone = "555-0142"

[site]
address = "9 Quarry Road, Marrow Bend"
year_built = 1994
entry_notes = "side door, code 4471"

[[room]]
name = "den"
length = "14' 6"
width = "12' 3 1/2"
layers = ["carpet"]
floor = "gray plank"
patch = "20 ft2"
furniture = [{ name = "sofa", people = 2 }, "desk"]

[[opening]]
between = ["den", "outside"]
width = "36 in"

[[material]]
name = "gray plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 9
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""


class SetClock:
    """A clock the test moves."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def now(self) -> datetime:
        return self.at

    def set(self, day: str, clock: str) -> None:
        self.at = central(day, clock)


class Shop:
    """The services, their clock, and the folder their files are in."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / "shop.sqlite3"
        self.clock = SetClock(central("2026-03-02", "06:30"))
        self.office = Office(open_database(self.path, create=True), self.clock, who="tester")

    def ready(self, job: int = 4, asked: str = "Teo Halloran", at: str = "") -> None:
        """Ask whether the house is ready, and hear that it is."""
        self.office.ready(job, asked=asked, answers=Answers(ready=tuple(ReadyItem)), at=at)

    def file(self, name: str, text: str) -> Path:
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return path

    def record(self, number: int = 4):
        with self.office._database.reading() as uow:
            return uow.job(number)

    def number_of(self, template: str, where: str | None = None, job: int = 4) -> int:
        found = [
            t.number
            for t in self.record(job).tasks
            if t.key.template == template and (where is None or t.where == where) and not t.not_needed
        ]
        assert len(found) == 1, (template, where, found)
        return found[0]


@pytest.fixture
def empty_shop(tmp_path: Path) -> Shop:
    """A database without a shop."""
    return Shop(tmp_path)


@pytest.fixture
def shop(empty_shop: Shop) -> Shop:
    """The shop with job 4 loaded, its house answered ready."""
    files = [empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", JOB)]
    empty_shop.office.load(files)
    empty_shop.ready()
    return empty_shop
