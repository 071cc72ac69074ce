"""A small shop with two jobs, loaded from files as people load them, under a clock the test sets."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from crewjobs.domain.house_ready import ReadyItem
from crewjobs.services.asked.house_ready import Answers
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


Step = Callable[[Shop], object]


class Kept:
    """Shops made once in a session by the steps that make them; each test works on a copy of its own."""

    def __init__(self, new_folder: Callable[[str], Path]) -> None:
        self._new_folder = new_folder
        self._made: dict[tuple[Step, ...], Shop] = {}

    def copy(self, steps: tuple[Step, ...], folder: Path) -> Shop:
        """Return a shop in a folder as the steps leave it, its clock too."""
        if steps not in self._made:
            shop = Shop(self._new_folder("-".join(["kept", *(step.__name__ for step in steps)])))
            for step in steps:
                step(shop)
            self._made[steps] = shop
        made = self._made[steps]
        shutil.copytree(made.folder, folder, dirs_exist_ok=True)
        shop = Shop(folder)
        shop.clock.at = made.clock.at
        return shop


def kept(*steps: Step):
    """Return a fixture: a copy of the shop that these steps make of an empty one."""

    @pytest.fixture
    def copied(tmp_path: Path, shops_kept: Kept) -> Shop:
        return shops_kept.copy(steps, tmp_path)

    return copied


def load_den(shop: Shop) -> None:
    """Load the shop with job 4, and have its house answered ready."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", JOB)])
    shop.ready()


empty_shop = kept()  # a database without a shop
shop = kept(load_den)
