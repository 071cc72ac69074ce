"""The format and the generated houses: read as written, every malformed field refused in one sentence."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import networkx as nx
import pytest

from tests.engines.moving.instances import Instance, generated, read_instance, to_dict

DATA = Path(__file__).parents[2] / "data/moving"
HOUSES = sorted(DATA.glob("*.json"))
SIZES = [(1, 0), (2, 3), (3, 8), (4, 12), (5, 16), (6, 20), (8, 40), (12, 60)]


@pytest.mark.parametrize("path", HOUSES, ids=lambda path: path.stem)
def test_a_file_is_written_as_it_was_read(path: Path) -> None:
    """A reference file read and written gives its own record, and that record reads as the same house."""
    house = read_instance(path)
    assert to_dict(house) == json.loads(path.read_text(encoding="utf-8"))
    assert read_instance(to_dict(house)) == house


def test_expected_and_witness_may_be_missing() -> None:
    """Without the best plan the file is the same house, and says nothing of a best plan when written."""
    record = to_dict(read_instance(HOUSES[0]))
    del record["expected"], record["witness"]
    house = read_instance(record)
    assert (house.expected, house.witness) == (None, None)
    assert to_dict(house) == record


@pytest.mark.parametrize(("zones", "pieces"), SIZES)
def test_a_generated_house_is_as_described(zones: int, pieces: int) -> None:
    """Each has the zones, pieces, stores and fill asked for, round-trips through the file's text, and repeats by seed."""
    for seed in range(6):
        for cures in (False, True):
            house = generated(zones, pieces, seed, cures=cures)
            assert read_instance(json.loads(json.dumps(to_dict(house)))) == house
            assert generated(zones, pieces, seed, cures=cures) == house
            assert len(house.worked) == zones
            assert len(house.items) == pieces
            stores = [zone for zone in house.zones.values() if not zone.worked]
            assert 2 <= len(stores) <= 5
            assert all(30 <= zone.area <= 160.5 for zone in stores)
            for zone in house.worked:
                assert (
                    sum(item.footprint_ft2 for item in house.items if item.home == zone)
                    <= 0.55 * house.zones[zone].area
                )
            assert all(item.home in item.allowed for item in house.items)
            assert house.beds_needed <= sum(item.is_bed for item in house.items)
            assert cures or not house.cure_zones


def test_seeds_and_cures_make_other_houses() -> None:
    """Other seeds give other houses, some with glued floors, split rooms, seams, upstairs bedrooms and second ways."""
    houses = [generated(5, 12, seed, cures=True) for seed in range(40)]
    assert len({json.dumps(to_dict(house)) for house in houses}) == len(houses)
    assert any(house.cure_zones for house in houses)
    assert any(len(work) == 2 for house in houses for work in house.work_sets)
    assert any(house.zones[a].room != house.zones[b].room for house in houses for a, b in house.precedence)
    assert any(passage.steps == 13 and "bedroom" in passage.b for house in houses for passage in house.passages)
    assert any(
        passage.a.split("/")[0] != passage.b.split("/")[0] != "" and "/" in passage.a
        for house in houses
        for passage in house.passages
    )


def _walk_minutes(house: Instance) -> list[tuple[float, float]]:
    """Return each amount of the tables beside the description's formula over networkx' shortest walks."""
    pairs = []
    for item in house.items:
        speed = 100 if item.weight_lb < 100 else 60
        graph = nx.Graph()
        for p in house.passages:
            minutes = 2 * p.distance_ft / speed + 0.25 * p.doors + 0.06 * p.steps * (1 + item.weight_lb / 200)
            graph.add_edge(p.a, p.b, weight=item.persons * minutes)
        walks = dict(nx.all_pairs_dijkstra_path_length(graph))
        for a, row in item.move_minutes.items():
            for b, minutes in row.items():
                own = 0 if a == b else item.persons * (item.setdown_min / 2 + 1)
                pairs.append((minutes, own + walks[a][b]))
    return pairs


@pytest.mark.parametrize("path", HOUSES, ids=lambda path: path.stem)
def test_the_files_minutes_follow_their_formula(path: Path) -> None:
    """Every move of the reference houses is its formula over shortest walks (networkx), rounded to 0.1 minute."""
    assert all(
        math.isclose(table, formula, abs_tol=0.05 + 1e-9) for table, formula in _walk_minutes(read_instance(path))
    )


@pytest.mark.parametrize("seed", range(8))
def test_generated_minutes_follow_the_formula(seed: int) -> None:
    """Every move of a generated house is the same formula over shortest walks (networkx), rounded to 0.1 minute."""
    pairs = _walk_minutes(generated(6, 14, seed))
    assert pairs
    assert all(math.isclose(table, formula, abs_tol=0.05 + 1e-9) for table, formula in pairs)


def test_what_cannot_be_generated_is_refused() -> None:
    """More pieces than the floors hold, or a house without a zone, is one sentence."""
    with pytest.raises(ValueError, match=r"^90 pieces do not fit into 3 zones filled up to 55%\.$"):
        generated(3, 90, 0)
    with pytest.raises(ValueError, match="A house has 1 zone or more"):
        generated(0, 3, 0)


def _set(*path: Any) -> Callable[[dict[str, Any]], None]:
    """Return a change that puts the last of the given steps where the others lead."""
    *way, key, value = path

    def change(record: dict[str, Any]) -> None:
        target: Any = record
        for step in way:
            target = target[step]
        target[key] = value

    return change


def _without(*path: Any) -> Callable[[dict[str, Any]], None]:
    *way, key = path

    def change(record: dict[str, Any]) -> None:
        target: Any = record
        for step in way:
            target = target[step]
        del target[key]

    return change


MALFORMED: list[tuple[Callable[[dict[str, Any]], None], str]] = [
    (_without("walkway_ft2"), "the instance: walkway_ft2 is missing."),
    (_without("zones", "hall", "area"), "zone hall: area is missing."),
    (_without("items", 0, "is_bed"), "item 0-bed: is_bed is missing."),
    (_without("items", 2, "id"), "item 3: id is missing."),
    (_set("format", "furniture-shuffle-instance/2"), "format must be 'furniture-shuffle-instance/1'"),
    (_set("units", "area", "m2"), "units must be"),
    (_set("description", "as usual"), "description must be a list, not 'as usual'."),
    (_set("zones", []), "zones must be a record by name"),
    (_set("zones", "hall", 3), "zone hall must be a record of named fields, not 3."),
    (_set("zones", "hall", "area", "20"), "zone hall: area must be a number above 0"),
    (_set("zones", "hall", "area", 0), "zone hall: area must be a number above 0"),
    (_set("zones", "hall", "area", float("nan")), "zone hall: area must be a number above 0"),
    (_set("zones", "hall", "packing_factor", 1.5), "zone hall: packing_factor must be a number above 0 to 1, not 1.5."),
    (_set("zones", "hall", "capacity_ft2", 14), "zone hall: capacity_ft2 must be 12"),
    (_set("zones", "hall", "capacity_as_passage_ft2", 2), "zone hall: capacity_as_passage_ft2 must be 1"),
    (_set("zones", "hall", "worked", 1), "zone hall: worked must be true or false, not 1."),
    (_set("zones", "hall", "room", " "), "zone hall: room must be a text that is not empty"),
    (_set("zones", "living/near", "worked", False), "work_sets: set 1 names 'living/near', which is no worked zone."),
    (_set("zones", "basement", "worked", True), "zone basement is worked but in none of work_sets."),
    (_set("passages", 1, "b", "cellar"), "passage 2: b must be a zone or outside, not 'cellar'."),
    (_set("passages", 1, "b", "hall"), "passage 2: b must be another place than a"),
    (_set("passages", 1, "doors", 0.5), "passage 2: doors must be a whole number from 0, not 0.5."),
    (_set("passages", 1, "distance_ft", -3), "passage 2: distance_ft must be a number from 0"),
    (_set("outside", "hall"), "outside must be a name that no zone has"),
    (_set("work_sets", 0, []), "work_sets: a set is empty"),
    (_set("work_sets", 0, "living/near"), "work_sets: set 1 must be a list of names"),
    (_set("work_sets", 0, ["living/near", "living/near"]), "work_sets: set 1 names a worked zone twice"),
    (_set("precedence", 0, ["living/near"]), "precedence: pair 1 must name two zones"),
    (_set("precedence", 0, ["living/near", "hall"]), "precedence: pair 1 names 'hall', which is no worked zone."),
    (_set("cure_zones", ["hall"]), "cure_zones names 'hall', which is no worked zone."),
    (_set("setup_min", 60.05), "setup_min must be a number with at most 1 decimal, not 60.05."),
    (_set("wait_min", -1), "wait_min must be a number from 0"),
    (_set("beds_needed", True), "beds_needed must be a whole number from 0, not True."),
    (_set("items", 1, "id", "0-bed"), "items: the id '0-bed' is there twice."),
    (_set("items", 0, "home", "attic"), "item 0-bed: home must be a zone, not 'attic'."),
    (_set("items", 0, "footprint_ft2", 0), "item 0-bed: footprint_ft2 must be a number above 0"),
    (_set("items", 0, "footprint_ft2", 34.125), "item 0-bed: footprint_ft2 must be a number with at most 2 decimals"),
    (_set("items", 0, "persons", 0), "item 0-bed: persons must be a whole number from 1, not 0."),
    (_set("items", 0, "allowed", ["hall", "attic"]), "item 0-bed: allowed names 'attic', which is no zone."),
    (_set("items", 0, "allowed", "hall"), "item 0-bed: allowed must be a list, not 'hall'."),
    (_without("items", 0, "move_minutes", "hall"), "item 0-bed: move_minutes from hall to bedroom/all is missing."),
    (
        _without("items", 0, "move_minutes", "hall", "basement"),
        "item 0-bed: move_minutes from hall to basement is missing.",
    ),
    (
        _set("items", 0, "move_minutes", "hall", "attic", 3),
        "item 0-bed: move_minutes from hall names 'attic', which is no zone.",
    ),
    (_set("items", 0, "move_minutes", "attic", {}), "item 0-bed: move_minutes names 'attic', which is no zone."),
    (_set("items", 0, "move_minutes", "hall", "hall", 1), "move_minutes from hall: hall must be 0"),
    (_set("items", 0, "move_minutes", "hall", "basement", -1), "from hall: basement must be a number from 0"),
    (_set("expected", "optimal_cost_min", "213"), "expected: optimal_cost_min must be a number"),
    (_set("witness", 0, "stage", 2), "witness: stage 1: stage must be 1, not 2."),
    (_set("witness", 0, "work", ["attic"]), "witness: stage 1: work names 'attic', which is no zone."),
    (_without("witness", 0, "positions", "0-bed"), "witness: stage 1: positions has no place for 0-bed."),
    (_set("witness", 0, "positions", "0-bed", "attic"), "positions names 'attic', which is no zone."),
    (_set("witness", 0, "positions", "9-harp", "hall"), "positions names '9-harp', which is no item."),
]


@pytest.mark.parametrize(("change", "words"), MALFORMED, ids=[words for _, words in MALFORMED])
def test_a_malformed_field_is_refused_in_one_sentence(change: Callable[[dict[str, Any]], None], words: str) -> None:
    """Each malformed field is refused with its place and what would be right, in one line that ends as a sentence."""
    record = to_dict(read_instance(HOUSES[0]))
    change(record)
    with pytest.raises(ValueError) as refused:
        read_instance(record)
    assert words in str(refused.value)
    assert str(refused.value).endswith(".")
    assert "\n" not in str(refused.value)


def test_files_that_are_none_are_refused(tmp_path: Path) -> None:
    """A missing file, a text that is not JSON, a list, and a key given twice are each refused in a sentence."""
    with pytest.raises(ValueError, match="cannot be read: No such file"):
        read_instance(tmp_path / "none.json")
    for text, words in (
        ("{", "is not JSON"),
        ("[]", "the instance must be a record of named fields"),
        ('{"zones": {"hall": {}, "hall": {}}}', "The key 'hall' is there twice in one record"),
    ):
        path = tmp_path / "spoiled.json"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(ValueError, match=words):
            read_instance(path)
