"""Cards that a job's work needs and nobody holds who could do it, and where a card is entered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from crewjobs.domain.house import LEAD_YEAR, us_rules

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.domain.job import JobRecord

LEAD_CARD: Final = "lead-safe renovator"
"""The card of a certified renovator (40 CFR 745), as the catalogue calls it."""
PEOPLE: Final = "the palette (^p), Shop and crews, page Crew, field People"
WHERE: Final = f"{PEOPLE}, in brackets behind the name"
"""Where it is said who holds a card."""


def held(shop: Shop) -> frozenset[str]:
    """Return the cards that somebody of a crew holds."""
    return frozenset(card for crew in shop.crews for worker in crew.workers for card in worker.cards)


def missing(record: JobRecord, shop: Shop) -> tuple[str, ...]:
    """Return the cards that open work of a job needs and that no crew has which lays what that work asks for."""
    wanted = {(task.card, task.skill) for task in record.tasks if task.card and task.open}
    return tuple(
        sorted(
            {
                card
                for card, skill in wanted
                if not any(
                    (skill is None or skill in crew.skills) and any(card in worker.cards for worker in crew.workers)
                    for crew in shop.crews
                )
            }
        )
    )


def old_house(year_built: str, zone: str) -> str:
    """Return what a year says of old paint, and where the card is entered, where nobody of the shop holds it; empty for none.

    The year is as typed; without one the house counts as old (40 CFR 745). Outside the United States no card is named.
    """
    year = year_built.strip()
    if year and not (year.isdecimal() and int(year) < LEAD_YEAR):
        return ""
    if not us_rules(zone):
        return (
            "Old paint at trim may hold lead: local rules decide who may work at it and how; ask who is in charge of them "
            "before any is disturbed. The plan is not held by that."
        )
    built = f"Built before {LEAD_YEAR}" if year else f"Not known counts as built before {LEAD_YEAR}"
    return (
        f"{built}: work at painted trim needs somebody who holds the card '{LEAD_CARD}', and no crew has one, so it gets no day. "
        f"Who holds it is entered in {WHERE}: Maeve Ostrow ({LEAD_CARD})."
    )
