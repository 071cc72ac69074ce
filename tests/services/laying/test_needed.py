"""What to order: by area until the floor is laid out, then as laid out, and by area again once the room was changed."""

from __future__ import annotations

from math import ceil

from crewjobs.services.laying.needed import needed
from tests.services.conftest import JOB, SHOP, Shop

BARE = JOB[: JOB.index("[[order]]")]
ISLAND = BARE.replace(
    'patch = "20 ft2"', 'obstacles = [{ name = "island", at = ["4\'", "4\'"], size = "60 in x 36 in" }]'
)


def test_what_to_order_follows_the_layout(empty_shop: Shop) -> None:
    """A den of 178.2 ft2: by area 178.2 x 1.1 / 23.8 and one more; as laid out its planks, 2 % and one carton kept."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", BARE)])
    record = empty_shop.record(4)
    (plank,) = record.job.materials
    area = needed(record, plank)
    assert not area.laid_out
    assert area.count == ceil(14.5 * 12.2917 * 1.1 / 23.8) + 1
    assert "by area, a tenth and one carton to keep; `crewjobs take-off 4`" in call(empty_shop)
    planks = empty_shop.office.layout(4, "den", seconds=0.3).planks_of_all
    laid = needed(empty_shop.record(4), plank)
    assert laid.laid_out
    assert laid.count == ceil((planks + ceil(planks * 0.02)) / 10) + 1
    assert call(empty_shop).endswith(f"{laid.count} cartons as laid out")
    empty_shop.office.load([empty_shop.file("den.toml", BARE.replace("14' 6", "14' 9"))], replace=True)
    assert not needed(empty_shop.record(4), plank).laid_out


def test_nobody_lays_planks_under_an_island(empty_shop: Shop) -> None:
    """An island of 15 ft2: so much less is bought, and so much less is laid."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", ISLAND)])
    record = empty_shop.record(4)
    laying = next(task for task in record.tasks if task.key.template == "lay-click-vinyl")
    assert laying.quantity == round(14.5 * 12 + 14.5 * 3.5 / 12 - 15, 2)


def call(shop: Shop) -> str:
    """What the waiting list says to do about the material."""
    return next(row.call for row in shop.office.waiting() if "gray plank" in row.what)
