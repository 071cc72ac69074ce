"""What the load list is grouped by."""

from __future__ import annotations

from crewjobs.files.catalogue import read_catalogue


def test_every_grouped_item_is_loaded_by_some_template():
    """Supplies and what the hand bag holds are names that templates use, and nothing is both."""
    catalogue = read_catalogue()
    loaded = {name for template in catalogue.templates for name in template.load}
    assert catalogue.supplies <= loaded, catalogue.supplies - loaded
    assert catalogue.bag <= loaded, catalogue.bag - loaded
    assert catalogue.supplies.isdisjoint(catalogue.bag)
