"""What a job wants done: tasks by key, without numbers, and what waits for what."""

from __future__ import annotations

from dataclasses import dataclass

from crewjobs.domain.crew import Skill
from crewjobs.domain.goods import Goods
from crewjobs.domain.tasks import Driver, Pause, Phase, TaskKey, ThreePoint


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedTask:
    """A task as the catalogue makes it today; `estimate` is whole labor minutes of one person, `places` are where it is done."""

    key: TaskKey
    title: str
    phase: Phase
    stage: int
    quantity: float
    unit: Driver
    estimate: ThreePoint
    people: int
    least_people: int
    pause: Pause
    skill: Skill | None = None
    needs_material: str | None = None
    needs_goods: Goods | None = None
    card: str = ""
    elevator: bool = False
    places: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedLink:
    """`after` waits for `before` and `wait_min` minutes by the clock, and starts at most `most_min` after it if given."""

    before: TaskKey
    after: TaskKey
    wait_min: int = 0
    name: str = ""
    most_min: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Tasks in working order (every task after all it waits for) and their links."""

    tasks: tuple[WantedTask, ...]
    links: tuple[WantedLink, ...]
