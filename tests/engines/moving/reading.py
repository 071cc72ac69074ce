"""The file format `furniture-shuffle-instance/1` in and out, read strictly and without the engine (see `model`)."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from tests.engines.moving.model import (
    Expected,
    Instance,
    Item,
    Passage,
    Stage,
    Zone,
    capacities,
    float_capacities,
)

FORMAT = "furniture-shuffle-instance/1"
UNITS = {"length": "feet", "area": "ft2", "weight": "lb", "cost": "labor minutes"}


def read_instance(source: str | Path | Mapping[str, Any]) -> Instance:
    """Return a file's house, or a parsed one's. Raises ValueError with one sentence: where, what, what would be right."""
    if isinstance(source, Mapping):
        return _instance(_Fields(source, "the instance"))
    try:
        parsed = json.loads(Path(source).read_text(encoding="utf-8"), object_pairs_hook=_no_twins)
    except OSError as error:
        raise ValueError(f"{source} cannot be read: {error.strerror}.") from error
    except json.JSONDecodeError as error:
        raise ValueError(f"{source} is not JSON: {error}.") from error
    return _instance(_Fields(parsed, "the instance"))


def to_dict(instance: Instance) -> dict[str, Any]:
    """Return the house in the file's format: what `read_instance` reads as an equal house."""
    written: dict[str, Any] = {
        "format": FORMAT,
        "name": instance.name,
        "units": dict(UNITS),
        "description": list(instance.description),
        "zones": {zone.name: _record(zone, "name") for zone in instance.zones.values()},
        "passages": [_record(passage) for passage in instance.passages],
        "outside": instance.outside,
        "walkway_ft2": instance.walkway_ft2,
        "work_sets": [list(work) for work in instance.work_sets],
        "precedence": [list(pair) for pair in instance.precedence],
        "cure_zones": list(instance.cure_zones),
        "setup_min": instance.setup_min,
        "wait_min": instance.wait_min,
        "beds_needed": instance.beds_needed,
        "items": [
            _record(item)
            | {"allowed": list(item.allowed), "move_minutes": {a: dict(row) for a, row in item.move_minutes.items()}}
            for item in instance.items
        ],
    }
    if instance.expected is not None:
        written["expected"] = _record(instance.expected)
    if instance.witness is not None:
        written["witness"] = [
            {"stage": number, "work": list(work), "positions": dict(positions)}
            for number, (work, positions) in enumerate(instance.witness, 1)
        ]
    return written


def _record(value: Any, *but: str) -> dict[str, Any]:
    return {name: getattr(value, name) for name in value.__dataclass_fields__ if name not in but}


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Return the pairs as a record; a second zone of the same name would silently replace the first."""
    record = dict(pairs)
    if len(record) < len(pairs):
        names = [name for name, _ in pairs]
        twin = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"The key {twin!r} is there twice in one record; each key is given once.")
    return record


class _Fields:
    """One record of the file, asked field by field; every fault says which record and which field."""

    def __init__(self, record: Any, where: str) -> None:
        if not isinstance(record, Mapping):
            raise ValueError(f"{where} must be a record of named fields, not {record!r}.")
        self.record = record
        self.where = where

    def fault(self, key: str, wanted: str) -> ValueError:
        return ValueError(f"{self.where}: {key} must be {wanted}, not {self.record.get(key)!r}.")

    def get(self, key: str) -> Any:
        if key not in self.record:
            raise ValueError(f"{self.where}: {key} is missing.")
        return self.record[key]

    def text(self, key: str) -> str:
        value = self.get(key)
        if not isinstance(value, str) or not value.strip():
            raise self.fault(key, "a text that is not empty")
        return value

    def truth(self, key: str) -> bool:
        value = self.get(key)
        if not isinstance(value, bool):
            raise self.fault(key, "true or false")
        return value

    def number(self, key: str, *, least: float = 0, above: bool = False, most: float = 1e6, decimals: int = 9) -> float:
        value = self.get(key)
        plain = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
        if not plain or value < least or (above and value == least) or value > most:
            raise self.fault(key, f"a number {'above' if above else 'from'} {least:g} to {most:g}")
        if round(value, decimals) != value:
            raise self.fault(key, f"a number with at most {decimals} decimal{'' if decimals == 1 else 's'}")
        return value  # type: ignore[no-any-return]

    def count(self, key: str, least: int = 0) -> int:
        value = self.get(key)
        if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= 10**6:
            raise self.fault(key, f"a whole number from {least}")
        return value

    def list(self, key: str) -> list[Any]:
        value = self.get(key)
        if not isinstance(value, list | tuple):
            raise self.fault(key, "a list")
        return [*value]

    def names(self, key: str, known: Iterable[str], what: str) -> tuple[str, ...]:
        return _names(self.list(key), known, f"{self.where}: {key}", what)


def _names(given: Any, known: Iterable[str], where: str, what: str) -> tuple[str, ...]:
    known = set(known)
    if not isinstance(given, list | tuple):
        raise ValueError(f"{where} must be a list of names, not {given!r}.")
    for name in given:
        if not isinstance(name, str) or name not in known:
            raise ValueError(f"{where} names {name!r}, which is no {what}.")
    if len(set(given)) < len(given):
        raise ValueError(f"{where} names a {what} twice: {', '.join(given)}.")
    return tuple(given)


def _instance(fields: _Fields) -> Instance:
    if fields.get("format") != FORMAT:
        raise fields.fault("format", f"{FORMAT!r}")
    if fields.get("units") != UNITS:
        raise fields.fault("units", f"{UNITS}")
    description = fields.list("description")
    if not all(isinstance(line, str) for line in description):
        raise fields.fault("description", "a list of texts")
    outside = fields.text("outside")
    walkway = fields.number("walkway_ft2")
    zones = {name: _zone(_Fields(record, f"zone {name}"), name, walkway) for name, record in _map(fields, "zones")}
    if outside in zones:
        raise fields.fault("outside", "a name that no zone has")
    worked = {zone.name for zone in zones.values() if zone.worked}
    work_sets = tuple(
        _names(given, worked, f"work_sets: set {number}", "worked zone")
        for number, given in enumerate(fields.list("work_sets"), 1)
    )
    if not all(work_sets):
        raise ValueError("work_sets: a set is empty; each names a worked zone or the zones worked together.")
    for zone in zones:
        if zone in worked and not any(zone in work for work in work_sets):
            raise ValueError(f"zone {zone} is worked but in none of work_sets.")
    items = tuple(
        _item(_Fields(record, f"item {number}"), zones) for number, record in enumerate(fields.list("items"), 1)
    )
    ids = [item.id for item in items]
    for twin in ids:
        if ids.count(twin) > 1:
            raise ValueError(f"items: the id {twin!r} is there twice.")
    precedence = []
    for number, pair in enumerate(fields.list("precedence"), 1):
        named = _names(pair, worked, f"precedence: pair {number}", "worked zone")
        if len(named) != 2:
            raise ValueError(f"precedence: pair {number} must name two zones, the earlier first, not {pair!r}.")
        precedence.append((named[0], named[1]))
    return Instance(
        name=fields.text("name"),
        description=tuple(description),
        zones=zones,
        passages=tuple(
            _passage(_Fields(record, f"passage {number}"), {*zones, outside})
            for number, record in enumerate(fields.list("passages"), 1)
        ),
        outside=outside,
        walkway_ft2=walkway,
        work_sets=work_sets,
        precedence=tuple(precedence),
        cure_zones=fields.names("cure_zones", worked, "worked zone"),
        setup_min=fields.number("setup_min", decimals=1),
        wait_min=fields.number("wait_min", decimals=1),
        beds_needed=fields.count("beds_needed"),
        items=items,
        expected=_expected(_Fields(fields.record["expected"], "expected")) if fields.record.get("expected") else None,
        witness=_witness(fields, zones, ids) if fields.record.get("witness") is not None else None,
    )


def _map(fields: _Fields, key: str) -> list[tuple[str, Any]]:
    value = fields.get(key)
    if not isinstance(value, Mapping) or not all(isinstance(name, str) and name.strip() for name in value):
        raise fields.fault(key, "a record by name")
    return [*value.items()]


def _zone(fields: _Fields, name: str, walkway: float) -> Zone:
    area = fields.number("area", above=True)
    factor = fields.number("packing_factor", above=True, most=1)
    exact, rounded = capacities(area, factor, walkway), float_capacities(area, factor, walkway)
    for key, allowed in (
        ("capacity_ft2", {exact[0], rounded[0]}),
        ("capacity_as_passage_ft2", {exact[1], rounded[1], max(0, exact[1])}),
    ):
        value = fields.get(key)
        if not isinstance(value, int) or isinstance(value, bool) or value not in allowed:
            raise fields.fault(key, f"{max(allowed)}, which is what its area and packing_factor give")
    return Zone(
        name=name,
        area=area,
        packing_factor=factor,
        capacity_ft2=fields.get("capacity_ft2"),
        capacity_as_passage_ft2=fields.get("capacity_as_passage_ft2"),
        worked=fields.truth("worked"),
        room=fields.text("room"),
        power=fields.truth("power"),
        sleep=fields.truth("sleep"),
        outdoor=fields.truth("outdoor"),
    )


def _passage(fields: _Fields, ends: set[str]) -> Passage:
    for key in ("a", "b"):
        if fields.text(key) not in ends:
            raise fields.fault(key, "a zone or outside")
    if fields.get("a") == fields.get("b"):
        raise fields.fault("b", "another place than a")
    return Passage(
        a=fields.text("a"),
        b=fields.text("b"),
        distance_ft=fields.number("distance_ft"),
        doors=fields.count("doors"),
        steps=fields.count("steps"),
    )


def _item(fields: _Fields, zones: Mapping[str, Zone]) -> Item:
    fields.where = f"item {fields.text('id')}"
    home = fields.text("home")
    if home not in zones:
        raise fields.fault("home", "a zone")
    allowed = fields.names("allowed", zones, "zone")
    table: dict[str, dict[str, float]] = {}
    for start, record in _map(fields, "move_minutes"):
        row = _Fields(record, f"{fields.where}: move_minutes from {start}")
        _names([start], zones, f"{fields.where}: move_minutes", "zone")
        _names([*row.record], zones, row.where, "zone")
        table[start] = {end: row.number(end, decimals=1) for end in row.record}
        if table[start].get(start, 0) != 0:
            raise row.fault(start, "0: a piece that stays costs nothing")
    for start in (home, *allowed):
        for end in (home, *allowed):
            if end not in table.get(start, {}):
                raise ValueError(f"{fields.where}: move_minutes from {start} to {end} is missing.")
    return Item(
        id=fields.text("id"),
        name=fields.text("name"),
        home=home,
        footprint_ft2=fields.number("footprint_ft2", above=True, decimals=2),
        weight_lb=fields.number("weight_lb"),
        persons=fields.count("persons", 1),
        setdown_min=fields.number("setdown_min"),
        is_bed=fields.truth("is_bed"),
        allowed=allowed,
        night_cost_min=fields.number("night_cost_min", decimals=1),
        move_minutes=table,
    )


def _expected(fields: _Fields) -> Expected:
    def maybe(key: str, ask: Any, **more: Any) -> Any:
        return ask(key, **more) if fields.record.get(key) is not None else None

    return Expected(
        optimal_cost_min=maybe("optimal_cost_min", fields.number, decimals=1),
        proof=maybe("proof", fields.text),
        listed_order_rule_cost_min=maybe("listed_order_rule_cost_min", fields.number, decimals=1),
        listed_order_rule_failure=maybe("listed_order_rule_failure", fields.text),
    )


def _witness(fields: _Fields, zones: Mapping[str, Zone], ids: list[str]) -> tuple[Stage, ...]:
    """Return the plan as it stands; whether it keeps the rules is for the replay to say."""
    stages: list[Stage] = []
    for number, record in enumerate(fields.list("witness"), 1):
        stage = _Fields(record, f"witness: stage {number}")
        if stage.get("stage") != number:
            raise stage.fault("stage", str(number))
        positions = dict(_map(stage, "positions"))
        _names([*positions], ids, f"{stage.where}: positions", "item")
        for item in ids:
            if item not in positions:
                raise ValueError(f"{stage.where}: positions has no place for {item}.")
            _names([positions[item]], zones, f"{stage.where}: positions", "zone")
        stages.append((stage.names("work", zones, "zone"), positions))
    return tuple(stages)
