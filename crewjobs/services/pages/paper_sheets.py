"""What every printed sheet shares: its foot, its paper size."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from crewjobs.domain.crew import Shop
from crewjobs.domain.wall import to_wall
from crewjobs.paper.model import PaperSize, Sheet

if TYPE_CHECKING:
    from crewjobs.services.weeks.visits import Planned


def sheet_of(shop: Shop, name: str, found: Planned | None, now: datetime) -> Sheet:
    """Return the foot of a sheet that speaks of the plan in force: with its number, 0 before any."""
    return Sheet(name=name, plan=found.plan.number if found else 0, printed_at=wall_now(shop, now))


def wall_now(shop: Shop, now: datetime) -> datetime:
    """Return the shop's wall clock, with its zone: pages print the clock, `--json` both."""
    return to_wall(shop.zone, now)


def paper_of(shop: Shop, paper: str) -> PaperSize:
    """Return the paper asked for, else the shop's."""
    return "a4" if (paper or shop.paper) == "a4" else "letter"
