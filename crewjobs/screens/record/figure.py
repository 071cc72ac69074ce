"""One figure worked out at the truck; nothing is recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from crewjobs.domain.wording import upper
from crewjobs.screens.record.form import Blank, Filled, Form, Note, Press

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem
    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.figuring.figures import FigureRow


MAY_CARRY: Final = {"us": "3/8 in, 10 mm, 21C", "metric": "10 mm, 1.2 m, 21C"}


def ask_figure(screen: CrewScreen) -> None:
    """Ask which figure, then what it is given."""
    from crewjobs.screens.choose import Choose
    from crewjobs.services.figuring.figures import figure_rows

    units = screen.crew_app.units
    rows = {row.name: row for row in figure_rows(units)}
    options = [(row.name, f"{row.name}: {row.says}") for row in rows.values()]

    def chosen(name: object) -> None:
        if isinstance(name, str):
            screen.app.push_screen(figure(rows[name], units))

    screen.app.push_screen(Choose("Work out a figure", options), chosen)


def figure(row: FigureRow, units: UnitSystem) -> Form:
    """What a figure is given, and its answer beneath."""

    def answered(_: object, filled: Filled) -> tuple[str, dict[str, str]]:
        from crewjobs.services.figuring.figures import answer

        found = answer(row.name, [f"{key}={filled[key]}" for key, _ in row.keys if filled[key]], units)
        value = f"{found.value:g}" if isinstance(found.value, float) else str(found.value)
        unit = f" {found.unit}" if found.unit else ""
        mind = f" {upper(found.note)}." if found.note else ""
        return f"{value}{unit}. {upper(found.rule)}.{mind} Source: {found.source}.", {}

    return Form(
        upper(row.says),
        (
            *(Blank(key, upper(key.replace("-", " ")), words) for key, words in row.keys),
            Note(f"Nothing is recorded. Lengths and temperatures may carry their unit: {MAY_CARRY[units]}."),
        ),
        (Press("work-out", "Work it out", fill=answered),),
    )
