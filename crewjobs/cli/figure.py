"""`crewjobs figure NAME key=value…`: one question at the truck, answered with its unit, rule and source."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from crewjobs.cli.opening import units_of
from crewjobs.cli.printing import add_json, emit, wrap
from crewjobs.domain.wording import upper

if TYPE_CHECKING:
    from crewjobs.services.figuring.figures import FigureAnswer, FigureRow


def arguments(command: ArgumentParser) -> None:
    """Declare the question and what it is given."""
    command.add_argument(
        "name", nargs="?", default="", metavar="NAME", help="which figure (without it: what can be asked)"
    )
    command.add_argument(
        "values", nargs="*", default=[], metavar="KEY=VALUE", help="what it is given, such as temp=70 rh=40"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the answer, or what can be asked."""
    from crewjobs.services.figuring.figures import answer, figure_rows

    units = units_of(args)
    if not args.name:
        rows = figure_rows(units)
        return emit(args, {"figures": rows}, lambda: "\n\n".join(map(_row_text, rows)))
    found = answer(args.name, args.values, units)
    return emit(args, found, lambda: answer_text(found))


def answer_text(found: FigureAnswer) -> str:
    """Return an answer as text: the value, then rule, source and what to mind."""
    value = f"{found.value:g}" if isinstance(found.value, float) else str(found.value)
    lines = [f"{found.name}: {value} {found.unit}".rstrip(), wrap(f"{upper(found.rule)}.", indent="  ", first="  ")]
    lines.append(wrap(f"Source: {found.source}.", indent="  ", first="  "))
    return "\n".join([*lines, wrap(f"Mind: {found.note}.", indent="  ", first="  ")] if found.note else lines)


def _row_text(row: FigureRow) -> str:
    keys = [wrap(f"{name}: {words}", indent="      ", first="    ") for name, words in row.keys]
    return "\n".join([wrap(f"{row.name}: {row.says}", indent="  ", first=""), *keys, f"    such as: {row.example}"])
