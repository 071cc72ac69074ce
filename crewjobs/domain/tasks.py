"""Tasks, the templates they are made from, and what truly waits for what."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Final

from crewjobs.domain.crew import Skill
from crewjobs.domain.errors import Refused
from crewjobs.domain.found import FoundKind
from crewjobs.domain.goods import Goods
from crewjobs.domain.units import exact_wait

PREVIOUS_STAGE: Final = "@previous-stage"
"""In a template's `after`: every floor laid in the stage before."""
ONTO: Final = "@onto "
"""In a template's `after`, before a template's name: what that one would come after in the places furniture is carried onto,
of earlier stages."""


class Phase(StrEnum):
    """The six phases in the order of paper; what waits for what is in the links."""

    ACCLIMATE = "acclimate"
    DEMOLITION = "demolition"
    SUBFLOOR_PREP = "subfloor prep"
    INSTALL = "install"
    TRIM = "trim"
    FIXTURES_RESET = "fixtures reset"
    HOUSE = "house"  # not a phase: protection, carry-in, furniture, haul-out, clean-up, walk-through


PHASES = tuple(phase for phase in Phase if phase is not Phase.HOUSE)


class ScopeKind(StrEnum):
    """What one task is about."""

    JOB = "job"
    ROOM = "room"
    SECTION = "section"
    OPENING = "opening"
    STAIRS = "stairs"
    MATERIAL = "material"
    STAGE = "stage"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Scope:
    """What a task is about: the job, or a named part of it. `part` is the section's name within its room.

    A stage is named by the sections worked in it, so that it stays the same task when others come before it.
    """

    kind: ScopeKind
    name: str = ""
    part: str = ""

    def __str__(self) -> str:
        if self.name and self.part:
            return f"{self.name}, {self.part}"
        return self.name or self.part or "house"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class TaskKey:
    """The identity of a task over the life of its job."""

    template: str
    scope: Scope
    cause: str = ""


class Pause(StrEnum):
    """Where work on a task may stop and go on."""

    NIGHT = "night"  # anywhere: lunch, night, weekend
    LUNCH = "lunch"  # over lunch, not over night
    NONE = "none"  # in one go


class Driver(StrEnum):
    """What drives a task's size, with the unit shown."""

    AREA = "ft²"
    PERIMETER = "ft"
    DOORS = "doors"
    OPENINGS = "openings"
    JAMBS = "jambs"
    STEPS = "steps"
    CARTONS = "cartons"
    RUNNING_FEET = "running ft"
    SEAMS = "seam ft"
    POUNDS = "lb"
    PIECES = "pieces"
    CARRYING = "carrying min"  # labor minutes by the plan of moves
    FIXTURES = "each"
    ROOMS = "rooms"
    HOURS = "h"  # of one person, as agreed in words
    ONCE = "once"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreePoint:
    """Low, likely and high labor minutes of one person."""

    low: float
    likely: float
    high: float

    @property
    def expected(self) -> float:
        """Return the PERT mean, (a + 4m + b) / 6. Source: Malcolm, Roseboom, Clark, Fazar 1959 (MEMORY)."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def spread(self) -> float:
        """Return the PERT standard deviation, (b - a) / 6, in minutes. Source: as `expected`."""
        return (self.high - self.low) / 6

    def times(self, factor: float) -> ThreePoint:
        """Return all three scaled."""
        return ThreePoint(low=self.low * factor, likely=self.likely * factor, high=self.high * factor)


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateWait:
    """A wait by the clock that starts when the task is ticked. Empty `before` means every task that follows.

    With `of_material` the minutes are added to the acclimation of the task's material (never below 0). What comes
    `before` must start no later than `at_most_min` by the clock after the tick, where that is given: such a wait
    names what it is meant for.
    """

    name: str
    minutes: int
    before: frozenset[str] = frozenset()
    of_material: bool = False
    at_most_min: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Applies:
    """When a template applies: every field given must fit; a field left empty says nothing.

    `coverings` fits a room or stairs with such a layer; `suspect` when a layer is presumed asbestos;
    `methods` and `floors` look at the scope's new floor; the rest as named.
    """

    coverings: frozenset[str] = frozenset()
    lowest: frozenset[str] = frozenset()
    suspect: bool | None = None
    floors: frozenset[str] = frozenset()
    methods: frozenset[str] = frozenset()
    subfloors: frozenset[str] = frozenset()
    trims: frozenset[str] = frozenset()
    fixtures: frozenset[str] = frozenset()
    transitions: frozenset[str] = frozenset()
    furnished: bool | None = None
    occupied: bool | None = None
    lead_rule: bool | None = None
    painted_trim: bool | None = None
    leveling: bool | None = None
    patching: bool | None = None
    plywood: bool | None = None
    pad: bool | None = None
    door: bool | None = None
    rated: bool | None = None
    new_floor: bool | None = None
    by_reading: bool | None = None
    several_sections: bool | None = None
    heavy_cartons: bool | None = None
    heavy_pieces: bool | None = None
    flights: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskTemplate:
    """What one kind of task is: when it applies, what drives its size, how long, who, after what.

    `rate` is labor minutes of one person per unit of `driver`, plus `fixed` minutes once.
    `after` names templates; a predecessor that does not apply passes its own predecessors on. A name that
    ends in ``?`` counts only where it applies; ``@previous-stage`` is every floor laid in the stage before.
    `people` is how many can work on it side by side; `least_people` how many it needs.
    `factors` multiply the estimate under named conditions (furnished, upstairs, occupied, cut-up, small).
    `needs_goods` are goods it waits for where they were ordered, `card` what somebody on it must hold where
    `card_applies` fits, `elevator` whether it moves things through the house, so that a booked elevator bounds it.
    `half` is 0 for all steps of stairs, 1 for every second one from the first, 2 for those between. With `staged` it is used only
    where the job has furniture stages (true), or only where it has none (false).
    `air_notes` and `air_off_title` are about the air handler: notes said only where it may run again, and the title told while
    it stays off for what was found in the house (empty: the same).
    """

    key: str
    phase: Phase
    title: str
    scope: ScopeKind
    driver: Driver
    rate: ThreePoint
    fixed: float = 0.0
    applies: Applies = field(default_factory=Applies)
    after: tuple[str, ...] = ()
    waits: tuple[TemplateWait, ...] = ()
    people: int = 2
    least_people: int = 1
    pause: Pause = Pause.NIGHT
    skill: Skill | None = None
    needs_material: bool = False
    needs_reading: bool = False
    needs_goods: Goods | None = None
    card: str = ""
    card_applies: Applies = field(default_factory=Applies)
    elevator: bool = False
    half: int = 0
    staged: bool | None = None
    load: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    air_notes: tuple[str, ...] = ()
    air_off_title: str = ""
    factors: tuple[tuple[str, float], ...] = ()
    source: str = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """The smallest thing ticked off. `number` is unique in its job and never reused.

    `estimate` is labor minutes as they were when the task was made; a started or ticked task keeps it.
    """

    number: int
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
    started_at: datetime | None = None
    done_at: datetime | None = None
    not_needed: bool = False
    crew: str = ""
    """The crew that started it, where known; empty otherwise."""

    @property
    def open(self) -> bool:
        """Return whether it is still to be done."""
        return self.done_at is None and not self.not_needed

    @property
    def state(self) -> str:
        """Return to do, under way, done or not needed."""
        if self.not_needed:
            return "not needed"
        if self.done_at is not None:
            return "done"
        return "under way" if self.started_at is not None else "to do"

    @property
    def where(self) -> str:
        """Return the room, section, opening, stairs or material it is about, or ``house``."""
        return str(self.key.scope)


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """`after` may start once `before` is done and `wait_min` minutes by the clock have passed.

    It must start before more than `most_min` have passed, where that is given (primer that is left bare too long).
    `name` says what is waited for (``leveler cures``); empty where there is no wait.

    Raises:
        Refused: at most is shorter than at least.
    """

    before: int
    after: int
    wait_min: int = 0
    name: str = ""
    most_min: int | None = None

    def __post_init__(self) -> None:
        if self.most_min is not None and self.most_min < self.wait_min:
            raise Refused(
                f"task {self.after} after task {self.before}: at most {exact_wait(self.most_min)} is less than "
                f"at least {exact_wait(self.wait_min)}; give a longer at most or a shorter at least."
            )


RULES: Final = ("CFR", "IPC", "NFPA", "NIOSH", "EPA")
"""What a published rule is named by in a source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """What to check and who decides, where work can hurt someone; lower `order` is said first.

    The text never says that something is safe. `source` names the rule or says ``common practice, no source``.
    It is said for a task that names it, where `applies` fits the task's place. With `air` it tells to run the air handler again:
    it is not said of a house in which that stays off.
    """

    key: str
    order: int
    text: str
    source: str
    applies: Applies = field(default_factory=Applies)
    air: bool = False

    @property
    def said(self) -> str:
        """Return it with the section of the rule behind it, where there is one; a star marks what was written from memory."""
        rules = [part.strip() for part in self.source.split(";") if any(mark in part for mark in RULES)]
        section = "; ".join(rules).replace(" in secondary texts", "")
        if "(MEMORY)" in section:
            section = f"{section.replace(' (MEMORY)', '*')}; * from memory: look it up"
        return f"{self.text} ({section})" if section else self.text


@dataclass(frozen=True, slots=True, kw_only=True)
class TemplateOverride:
    """What a shop changes in one task template; None leaves the program's own.

    `minutes` is labor of one person per unit of the driver, `fixed` labor minutes once. `waits` gives
    minutes by the clock for waits by their name, `at_most` those after which what the wait is meant for must have
    started. With `off` the shop does not use the template: what came after it follows what came before it.
    """

    key: str
    title: str | None = None
    minutes: ThreePoint | None = None
    fixed: float | None = None
    people: int | None = None
    load: tuple[str, ...] | None = None
    waits: tuple[tuple[str, int], ...] = ()
    at_most: tuple[tuple[str, int], ...] = ()
    off: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """The task templates in force (the program's own, with the shop's overrides) and the cautions they name."""

    templates: tuple[TaskTemplate, ...]
    cautions: tuple[Caution, ...]
    supplies: frozenset[str] = frozenset()
    bag: frozenset[str] = frozenset()
    findings: tuple[FoundKind, ...] = ()
    """Names in the templates' `load`: `supplies` are used up in the house, `bag` fits a hand tool bag; the rest are tools."""

    def template(self, key: str) -> TaskTemplate | None:
        """Return a template by key, None if it is no longer in the catalogue."""
        return next((template for template in self.templates if template.key == key), None)
