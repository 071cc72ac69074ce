"""Plank layouts against the clock: ``python -m tests.benchmarks.laying FILE... --seconds 20 --json``.

Files are rooms in the format of ``tests/data/laying``; runs, what they expect, and a witness may be missing (runs are then
computed from the outline). One row a file: its name, planks, what no layout takes fewer than, how sure that is, the seconds, and
with ``--json`` the pieces in the file's own terms, so that anyone can lay them out. Every layout is judged first; one that breaks a
rule ends the run.

``--generate 100 --seed 1`` makes rooms instead (100 to 1,000 ft², with jogs, Ls, doorways, closets, islands), ``--house 5`` makes
each of them a house of so many rooms in one product; the rule of thumb stands beside: the last usable offcut starts the
next row. The last lines say in how many rooms the bound was reached. ``--plank`` and ``--stagger`` set the product (inches).

Seconds end the search of a room; what is proved and as forgiving as it gets ends before.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

from crewjobs.domain.errors import Refused
from crewjobs.engines.laying.first import rule_of_thumb
from crewjobs.engines.laying.floors import Floor, Laid, floor_of
from crewjobs.engines.laying.frames import Wall
from crewjobs.engines.laying.model import Layout, Product
from crewjobs.engines.laying.search import Search
from tests.benchmarks.arguments import MOST_SEED, Arguments, seconds, whole
from tests.engines.laying.instances import judged, pieces_in_inches, read_instance, units
from tests.engines.laying.rooms import room

LEAST_FT2, MOST_FT2 = 100.0, 1000.0
ROOM_OF_A_HOUSE_FT2 = (60.0, 350.0)
MOST_ROOMS, MOST_MADE = 12, 1000
WITHIN = 0.02
"""How far over the bound a count may be to be called close."""


@dataclass(frozen=True, slots=True)
class Row:
    """What came of one floor. `first` are the seconds to a layout that can be laid, `first_planks` its planks."""

    name: str
    floor: Floor
    layout: Layout
    seconds: float
    first: float
    first_planks: int
    reached: float
    thumb: int
    thumb_kept: bool
    expected: int | None

    @property
    def over(self) -> int:
        """Return how many planks the layout is over the bound."""
        return self.layout.planks - self.layout.bound

    def as_data(self) -> dict[str, Any]:
        """Return the row for ``--json``."""
        inch = units(1)
        layout = self.layout
        return {
            "name": self.name,
            "planks": layout.planks,
            "bound": layout.bound,
            "status": layout.status.value,
            "seconds": round(self.seconds, 2),
            "first_layout_seconds": round(self.first, 2),
            "first_layout_planks": self.first_planks,
            "planks_reached_seconds": round(self.reached, 2),
            "rule_of_thumb_planks": self.thumb,
            "rule_of_thumb_keeps_stagger": self.thumb_kept,
            "expected": self.expected,
            "smallest_spare": None if layout.spare is None else layout.spare / inch,
            "least_stagger": None if layout.stagger is None else layout.stagger / inch,
            "stair_steps": layout.stairs,
            "row_widths": [[width / inch for width in rows.rips.widths] for rows in self.floor.fields],
            "pieces": pieces_in_inches(self.floor, layout),
        }


def solved(name: str, floor: Floor, limit: float, expected: int | None) -> Row:
    """Search a floor's layout within a limit of seconds and have it judged."""
    begin = time.perf_counter()
    seen: list[tuple[float, int]] = []
    layout = Search(floor.problem).run(
        stop=lambda: time.perf_counter() - begin > limit,
        found=lambda better: seen.append((time.perf_counter() - begin, better.planks)),
    )
    took = time.perf_counter() - begin
    faults = judged(floor, layout)
    if faults:
        sys.exit(f"laying: {name}: the layout breaks a rule: {faults[0]}")
    thumb = rule_of_thumb(floor.problem)
    return Row(
        name=name,
        floor=floor,
        layout=layout,
        seconds=took,
        first=seen[0][0],
        first_planks=seen[0][1],
        reached=next(at for at, planks in seen if planks == layout.planks),
        thumb=thumb.planks,
        thumb_kept=thumb.kept,
        expected=expected,
    )


def made(seed: int, product: Product, rooms: int) -> tuple[str, Floor]:
    """Return a room of 100 to 1,000 ft² made by a seed, or a house of several rooms."""
    random = Random(seed)
    if rooms == 1:
        field = room(random, random.uniform(LEAST_FT2, MOST_FT2), f"room-{seed}")
        return field.name, floor_of(product, [Laid(field=field)])
    fields = [room(random, random.uniform(*ROOM_OF_A_HOUSE_FT2), f"room {number + 1}") for number in range(rooms)]
    walls = [random.choice(list(Wall)) for _ in fields]
    laid = [Laid(field=field, wall=wall) for field, wall in zip(fields, walls, strict=True)]
    return f"house-{seed}", floor_of(product, laid)


def plank(text: str) -> tuple[int, int]:
    """Read a plank's length and width in inches, like 48x7."""
    try:
        length, width = (units(float(part)) for part in text.lower().split("x"))
    except (ValueError, OverflowError):
        raise argparse.ArgumentTypeError(f"length x width in inches are needed, like 48x7, not {text!r}") from None
    return length, width


def main() -> None:
    """Search and print."""
    parser = Arguments(prog="laying", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="*", type=Path)
    parser.add_argument("--seconds", type=seconds, default=20.0)
    parser.add_argument("--generate", type=whole(1, MOST_MADE), default=0)
    parser.add_argument("--house", type=whole(1, MOST_ROOMS), default=1)
    parser.add_argument("--seed", type=whole(0, MOST_SEED - MOST_MADE), default=1)
    parser.add_argument("--plank", type=plank, default=(units(48), units(7)))
    parser.add_argument("--stagger", type=float, default=None)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    if not args.files and not args.generate:
        parser.error("name files, or make rooms with --generate 100")
    rows = []
    for name, floor, expected in _floors(args):
        try:
            rows.append(solved(name, floor, args.seconds, expected))
        except Refused as fault:
            sys.exit(f"laying: {name}: {fault.sentences[0]}")
        if not args.json:
            print(_line(rows[-1]), flush=True)
    if args.json:
        print(json.dumps([row.as_data() for row in rows], indent=1))
    elif args.generate:
        print("\n".join(_summary(rows, args.seconds)))


def _floors(args: argparse.Namespace) -> Iterator[tuple[str, Floor, int | None]]:
    for path in args.files:
        try:
            read = read_instance(path)
        except Refused as fault:
            sys.exit(f"laying: {fault.sentences[0]}")
        expected = read.expected.get("min_planks")
        yield read.name, read.floor, expected if isinstance(expected, int) else None
    if args.generate:
        length, width = args.plank
        stagger = width if args.stagger is None else units(args.stagger)
        try:
            product = Product(length=length, width=width, stagger=max(stagger, units(6)))
        except Refused as fault:
            sys.exit(f"laying: {fault.sentences[0]}")
        for seed in range(args.seed, args.seed + args.generate):
            yield *made(seed, product, args.house), None


def _line(row: Row) -> str:
    layout = row.layout
    spare = "   -  " if layout.spare is None else f"{layout.spare / units(1):6.3f}"
    expected = f"  expected {row.expected}" if row.expected is not None else ""
    return (
        f"{row.name:20} {layout.planks:5} planks  bound {layout.bound:5}  {layout.status.value:7} {row.seconds:6.2f} s"
        f"  reached {row.reached:6.2f} s  first {row.first_planks:5} in {row.first:4.2f} s"
        f"  rule of thumb {row.thumb:5} ({row.thumb / layout.planks:.3f}){'' if row.thumb_kept else ' breaks stagger'}"
        f"  spare {spare}  stairs {layout.stairs}{expected}"
    )


def _summary(rows: Sequence[Row], limit: float) -> Iterator[str]:
    count = len(rows)
    close = [row for row in rows if row.layout.planks <= row.layout.bound * (1 + WITHIN)]
    yield f"\n{count} floors, {limit:g} s each, every layout judged without a fault"
    yield f"at the bound (proved)              {sum(row.over <= 0 for row in rows)} of {count}"
    yield f"at most one over                   {sum(row.over <= 1 for row in rows)} of {count}"
    yield f"within 2 %                         {len(close)} of {count}"
    yield f"most over the bound                {max(row.over for row in rows)}"
    yield f"seconds to the first layout, most  {max(row.first for row in rows):.2f}"
    worse = sum(row.first_planks > row.thumb for row in rows)
    yield f"first worse than rule of thumb     {worse} of {count}"
    yield f"seconds to the planks, most        {max(row.reached for row in rows):.2f}"
    ratio = sum(row.thumb for row in rows) / sum(row.layout.planks for row in rows)
    yield f"rule of thumb over the layout      {ratio:.3f}, breaks stagger in {sum(not row.thumb_kept for row in rows)}"


if __name__ == "__main__":
    main()
