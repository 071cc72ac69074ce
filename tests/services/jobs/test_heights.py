"""What is still to be settled by its height stands on the task that meets it."""

from __future__ import annotations

from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.jobs.heights import TASKS_AT_HEIGHTS, height_notes
from tests.services.conftest import JOB, Shop

HALL = """
[[room]]
name = "hall"
length = "8 ft"
width = "4 ft"
layers = [{ covering = "ceramic tile", thickness = "1/2 in" }]

[[opening]]
between = ["den", "hall"]
width = "30 in"
transition = "T-mold"

[[material]]"""


def notes(shop: Shop, template: str, where: str) -> list[str]:
    record = shop.record()
    [task] = [one for one in record.tasks if one.key.template == template and one.key.scope.name == where]
    return list(height_notes(record, task, "us"))


def test_a_strip_that_does_not_fit_is_told_where_it_is_set(shop: Shop) -> None:
    """A T-mold between a thin plank and 1/2 in of tile: the task says that a reducer or threshold does; with one it says nothing."""
    joined = JOB.replace("\n[[material]]", HALL, 1)
    shop.office.load([shop.file("den.toml", joined)], replace=True)
    [said] = notes(shop, "set-strip", "den / hall")
    assert "a T-mold does not fit; a reducer or a threshold does" in said
    shop.office.load([shop.file("den.toml", joined.replace('"T-mold"', '"reducer"', 1))], replace=True)
    assert notes(shop, "set-strip", "den / hall") == []


def test_templates_are_the_catalogues() -> None:
    """Each of them exists."""
    assert {template.key for template in read_catalogue().templates} >= set(TASKS_AT_HEIGHTS)
