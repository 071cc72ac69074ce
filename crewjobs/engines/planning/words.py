"""Words for moments, days, phases and skills in the sentences of the plan."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from crewjobs.domain.crew import Skill
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import hour_words, to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.engines.planning.problem import Block, Earliest

NEAR = timedelta(days=6)

PHASE_WORDS = {
    Phase.DEMOLITION: "the demolition",
    Phase.SUBFLOOR_PREP: "the subfloor prep",
    Phase.INSTALL: "the laying",
    Phase.TRIM: "the trim",
    Phase.FIXTURES_RESET: "the fixtures",
}
SKILL_WORDS = {
    Skill.FLOATING: "lays floating floors",
    Skill.GLUED: "lays glue-down floors",
    Skill.SHEET: "lays sheet goods",
    Skill.NAILED: "lays nailed floors",
    Skill.STAIRS: "does stairs",
    Skill.TILE_REMOVAL: "takes up tile",
    Skill.LEVELING: "levels subfloors",
}


def moment(zone: str, instant: datetime, near: datetime) -> str:
    """Return an instant in a zone: ``Thu 11:00`` within six days of `near`, else ``Thu 12 Mar 11:00``, of another year with it."""
    wall = to_wall(zone, instant)
    return f"{wall:%a} {hour_words(wall)}" if abs(instant - near) < NEAR else moment_words(wall, near)


def fact_words(fact: Earliest, zone: str, near: datetime) -> str:
    """Return a fact with its instant, which goes ahead of what stands in brackets: ``planks ready Thu 11:00 (48 h …)``."""
    wall = to_wall(zone, fact.at)
    if f"{wall:%a %H:%M}" in fact.reason or f"{wall.day} {wall:%b %H:%M}" in fact.reason:
        return fact.reason
    head, bracket, rest = fact.reason.partition(" (")
    return f"{head} {moment(zone, fact.at, near)}{bracket}{rest}"


def block_words(block: Block) -> str:
    """Return what a block is: its phase, or the titles of house tasks."""
    if block.phase in PHASE_WORDS:
        return PHASE_WORDS[block.phase]
    return f"'{block.tasks[-1].title}'"


def cards_words(cards: Iterable[str]) -> str:
    """Return cards as people name them."""
    return " and ".join(f"'{card}'" for card in sorted(cards))


def skills_words(skills: frozenset[Skill]) -> str:
    """Return what a crew must be able to do, in the order of the trade."""
    return " and ".join(words for skill, words in SKILL_WORDS.items() if skill in skills)
