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


def test_what_was_written_from_memory_is_starred_and_said_once() -> None:
    """Which rule it is stays with its number; that it is to be looked up is said once, behind them all."""
    said = {one.key: one.said for one in read_catalogue().cautions}
    assert said["nailer"].endswith("(29 CFR 1926.302*, 1926.102*, 1926.300(b); * from memory: look it up)")
    for words in said.values():
        assert words.count("from memory") == (1 if "*" in words else 0)
