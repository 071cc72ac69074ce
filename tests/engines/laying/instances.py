"""Rooms in the format plank-layout-instance/1: read, solved, and written back in the file's own terms."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH
from crewjobs.engines.laying.floors import FieldRows, Floor, Laid, floor_of
from crewjobs.engines.laying.model import Field, Layout, Problem, Product, Profile, Run
from tests.engines.laying.checker import Piece, Room, Rules, faults

FARTHEST = 20_000 * INCH
FORMAT = "plank-layout-instance/1"


@dataclass(frozen=True)
class Instance:
    """A file: its floor as the engine takes it, and what it says about the answer (both may be missing)."""

    name: str
    floor: Floor
    expected: Mapping[str, Any]
    witness: list[dict[str, Any]]
    given_runs: list[Run] | None


def units(inches: float) -> int:
    """Return inches in 1/4064 inch."""
    return round(float(inches) * INCH)


def read_instance(path: Path) -> Instance:
    """Read a file.

    Raises:
        Refused: it is no such file, or what it describes cannot be laid.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as fault:
        raise Refused(f"{path}: no readable JSON: {fault}.") from fault
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise Refused(f'{path}: "format" is not {FORMAT}.')
    try:
        return from_dict(data, str(path))
    except KeyError as fault:
        raise Refused(f"{path}: {fault} is missing.") from fault
    except (AttributeError, TypeError, ValueError, IndexError, OverflowError) as fault:
        raise Refused(
            f"{path}: the room, the product, a rule or what is expected is not as the format {FORMAT} has it."
        ) from fault


def from_dict(data: Mapping[str, Any], where: str) -> Instance:
    """Return an instance from its JSON."""
    name = str(data.get("name", where))
    rules, given = data["rules"], data["product"]
    for key, known, found in (
        ("units", ("in", "inch", "inches"), data.get("units", "in")),
        ("row_direction", ("x", "y"), rules.get("row_direction", "x")),
        ("profile", ("click", "none", "none (square edge)"), given.get("profile", "click")),
    ):
        if not (isinstance(found, str) and (found in known or found.startswith(known[:2]))):
            raise Refused(f'{where}: "{key}" is {found!r}; known is {", ".join(known[:2])}.')
    expected = data.get("expected") or {}
    if not isinstance(expected, dict) or not isinstance(expected.get("min_planks", 0), int):
        raise Refused(f'{where}: "expected" is a table, its min_planks a whole number.')
    product = Product(
        length=units(given["plank_length"]),
        width=units(given["plank_width"]),
        kerf=units(given.get("kerf", 0.125)),
        per_carton=int(given.get("planks_per_carton", 1)),
        min_piece=units(rules["min_piece_length"]),
        stagger=units(rules["min_stagger_adjacent_rows"]),
        second_row=units(rules.get("min_offset_rows_n_and_n_plus_2", 0)),
        profile=Profile.NONE if str(given.get("profile", "click")).startswith("none") else Profile.CLICK,
        gap=units(rules["expansion_gap"]),
        step=units(rules.get("cut_resolution", 0.125)),
    )
    turned = rules.get("row_direction", "x") == "y"
    room = data["room"]

    def ring(corners: Any) -> tuple[tuple[int, int], ...]:
        points = [(units(x), units(y)) for x, y in corners]
        if any(abs(value) > FARTHEST for point in points for value in point):
            raise Refused(f"{where}: a corner lies farther than {FARTHEST // INCH} in away: no room is so large.")
        if len(points) > 1 and points[0] == points[-1]:
            points.pop()
        return tuple((y, x) if turned else (x, y) for x, y in points)

    field = Field(name=name, outline=ring(room["outline"]), holes=tuple(ring(hole) for hole in room.get("holes") or ()))
    first = rules.get("first_row_rip")
    floor = floor_of(product, [Laid(field=field, first=None if first is None else units(first))])
    runs = data.get("runs")
    listed = None
    if runs:
        listed = [
            Run(field=0, row=int(run["row"]), left=units(run["x_from"]), right=units(run["x_to"])) for run in runs
        ]
        floor = Floor(problem=Problem(product=product, runs=tuple(listed)), fields=floor.fields)
    return Instance(
        name=name,
        floor=floor,
        expected=data.get("expected") or {},
        witness=list(data.get("witness") or ()),
        given_runs=listed,
    )


def pieces_in_inches(floor: Floor, layout: Layout) -> list[dict[str, Any]]:
    """Return the pieces in the file's terms; where there are several fields each piece names its own."""
    runs = floor.problem.runs
    return [
        ({"field": runs[piece.run].field} if len(floor.fields) > 1 else {})
        | {
            "run": piece.run,
            "row": runs[piece.run].row,
            "kind": piece.kind.value,
            "x_from": piece.left / INCH,
            "x_to": piece.right / INCH,
            "plank": piece.plank,
        }
        for piece in layout.pieces
    ]


def rules_of(product: Product, offcuts: Any = ()) -> Rules:
    """Return the product's rules for the judge."""
    return Rules(
        length=product.length / INCH,
        width=product.width / INCH,
        kerf=product.kerf / INCH,
        gap=product.gap / INCH,
        min_piece=product.min_piece / INCH,
        stagger=product.stagger / INCH,
        second_row=product.second_row / INCH,
        click=product.profile is Profile.CLICK,
        offcuts=[(one.length / INCH, one.starts) for one in offcuts],
    )


def room_of(rows: FieldRows) -> Room:
    """Return a field for the judge, in its frame."""

    def ring(corners: Any) -> list[tuple[float, float]]:
        return [(x / INCH, y / INCH) for x, y in map(rows.frame.to, corners)]

    return Room(
        outline=ring(rows.field.outline),
        holes=[ring(hole) for hole in rows.field.holes],
        widths=[width / INCH for width in rows.rips.widths],
    )


def judged(floor: Floor, layout: Layout, extra: Any = ()) -> list[str]:
    """Return what the judge finds wrong with a layout; `extra` are pieces on the floor already."""
    runs = floor.problem.runs
    pieces = [
        Piece(
            field=runs[piece.run].field,
            run=piece.run,
            row=runs[piece.run].row,
            kind=piece.kind.value,
            x_from=piece.left / INCH,
            x_to=piece.right / INCH,
            plank=piece.plank,
        )
        for piece in layout.pieces
    ]
    product = floor.problem.product
    return faults(
        [room_of(rows) for rows in floor.fields],
        rules_of(product, floor.problem.offcuts),
        [*pieces, *extra],
        layout.planks,
    )


__all__ = ["Instance", "from_dict", "judged", "pieces_in_inches", "read_instance", "room_of", "rules_of"]
