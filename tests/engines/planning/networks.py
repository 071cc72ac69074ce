"""Shops, jobs and task networks for planning tests: realistic houses and wholly random ones, from a seed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from random import Random

from crewjobs.domain.crew import Crew, Shop, Skill, Worker
from crewjobs.domain.house import Outline, Room, Site
from crewjobs.domain.job import Customer, Job, JobRecord, JobState
from crewjobs.domain.plan import Pin, WeekPlan
from crewjobs.domain.tasks import Driver, Link, Pause, Phase, Scope, ScopeKind, Task, TaskKey, ThreePoint
from crewjobs.domain.units import FOOT
from crewjobs.domain.wall import Span, WeekHours, to_utc, to_wall
from crewjobs.engines.planning.problem import Earliest, PlanProblem

CENTRAL = "America/Chicago"
MONDAY = date(2026, 3, 2)


def hours(*spans: tuple[str, str], days: str = "mon tue wed thu fri") -> WeekHours:
    """Return the same hours on some days of the week."""
    day = tuple(Span(start=_minute(start), end=_minute(end)) for start, end in spans)
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    return WeekHours(days=tuple(day if name in days.split() else () for name in names))


def _minute(clock: str) -> int:
    hour, minute = clock.split(":")
    return int(hour) * 60 + int(minute)


USUAL = hours(("07:30", "12:00"), ("12:30", "16:00"))


def crew(name: str, people: int = 3, week: WeekHours = USUAL, skills: str = "", off: Sequence[date] = ()) -> Crew:
    """Return a crew that can do everything, or the skills named."""
    workers = tuple(Worker(name=f"{name} {i + 1}", lead=i == 0) for i in range(people))
    known = frozenset(Skill) if not skills else frozenset(Skill(skill) for skill in skills.split(", "))
    return Crew(name=name, workers=workers, hours=week, skills=known, days_off=frozenset(off))


def shop(*crews: Crew, zone: str = CENTRAL, holidays: Sequence[date] = ()) -> Shop:
    """Return a shop with its crews."""
    return Shop(name="Shop", zone=zone, hours=USUAL, crews=crews, holidays=frozenset(holidays))


def job(number: int, *, zone: str = CENTRAL, drive: int = 20, site_hours: WeekHours | None = None, **terms: object) -> Job:
    """Return a job of one room."""
    return Job(
        number=number,
        title=f"house {number}",
        customer=Customer(name=f"customer {number}"),
        site=Site(address=f"{number} First Street", zone=zone, drive_min=drive, hours=site_hours),
        rooms=(Room(name="living", outline=Outline.rectangle(14 * FOOT, 12 * FOOT)),),
        **terms,  # type: ignore[arg-type]
    )


@dataclass
class Network:
    """Collects the tasks and links of a job, one call a task."""

    job: Job
    tasks: list[Task] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)

    def add(
        self,
        title: str,
        phase: Phase,
        minutes: float,
        *after: int,
        waits: Mapping[int, tuple[int, str]] | None = None,
        stage: int = 1,
        people: int = 2,
        least: int = 1,
        pause: Pause = Pause.NIGHT,
        skill: Skill | None = None,
        scope: ScopeKind = ScopeKind.ROOM,
        **state: object,
    ) -> int:
        """Add a task of so many labor minutes after others; `waits` are minutes by the clock and a name."""
        number = len(self.tasks) + 1
        name = "living" if scope is ScopeKind.ROOM else "planks" if scope is ScopeKind.MATERIAL else ""
        self.tasks.append(
            Task(
                number=number,
                key=TaskKey(template=f"template-{number}", scope=Scope(kind=scope, name=name)),
                title=title,
                phase=phase,
                stage=stage,
                quantity=1,
                unit=Driver.ONCE,
                estimate=ThreePoint(low=minutes, likely=minutes, high=minutes),
                people=people,
                least_people=least,
                pause=pause,
                skill=skill,
                **state,  # type: ignore[arg-type]
            )
        )
        for before in after:
            self.links.append(Link(before=before, after=number))
        for before, (wait, name) in (waits or {}).items():
            self.links.append(Link(before=before, after=number, wait_min=wait, name=name))
        return number

    def record(self) -> JobRecord:
        """Return the job with its tasks."""
        return JobRecord(job=self.job, tasks=tuple(self.tasks), links=tuple(self.links))


ACCLIMATING, CURING, DRYING = (48 * 60, "acclimating"), (16 * 60, "leveler cures"), (24 * 60, "caulk cures")


def house(number: int, *, stages: int = 1, size: float = 1.0, floor: Skill = Skill.FLOATING, tile: bool = False,
          level: bool = False, **terms: object) -> JobRecord:  # fmt: skip
    """Return a house as the trade does one: in with the planks, out with the old, prep, lay, trim, put back."""
    net = Network(job=job(number, **terms))  # type: ignore[arg-type]
    protect = net.add("Protect the way in", Phase.HOUSE, 30, stage=0, scope=ScopeKind.JOB)
    carry = net.add("Carry in planks", Phase.HOUSE, 60 * size, protect, stage=0, people=3, scope=ScopeKind.MATERIAL)
    last: list[int] = []
    for stage in range(1, stages + 1):
        last = [_stage(net, stage, size, floor, tile, level, protect, carry, last)]
    clean = net.add("Clean up and haul out", Phase.HOUSE, 60 * size, *last, stage=stages, people=3, scope=ScopeKind.JOB)
    net.add("Walk-through with the customer", Phase.HOUSE, 30, clean, stage=stages, people=1, scope=ScopeKind.JOB)
    return net.record()


def _stage(
    net: Network, stage: int, size: float, floor: Skill, tile: bool, level: bool, protect: int, carry: int, last: list[int]
) -> int:
    def add(title: str, phase: Phase, minutes: float, *after: int, **more: object) -> int:
        return net.add(title, phase, minutes * size, *after, stage=stage, **more)  # type: ignore[arg-type]

    move = add("Move furniture", Phase.HOUSE, 60, protect, *last, least=2)
    doors = add("Doors off", Phase.DEMOLITION, 20, move, people=1)
    base = add("Base off", Phase.DEMOLITION, 60, move)
    if tile:
        old = add("Tile up", Phase.DEMOLITION, 400, move, skill=Skill.TILE_REMOVAL, people=3)
    else:
        old = add("Carpet, pad and tack strip up", Phase.DEMOLITION, 120, move, people=3)
    scrape = add("Scrape and vacuum", Phase.SUBFLOOR_PREP, 60, old, base, doors)
    waits = {carry: ACCLIMATING}
    if level:
        pour = add("Pour leveler", Phase.SUBFLOOR_PREP, 120, scrape, pause=Pause.NONE, skill=Skill.LEVELING)
        waits[pour] = CURING
    jambs = add("Undercut jambs", Phase.INSTALL, 60, scrape, people=1)
    rows = add("Lay rows", Phase.INSTALL, 720, scrape, jambs, waits=waits, skill=floor, people=3)
    strips = add("Transitions", Phase.TRIM, 45, rows, people=1)
    base_on = add("Base back", Phase.TRIM, 120, rows)
    caulk = add("Caulk", Phase.TRIM, 45, base_on, strips, people=1)
    hang = add("Rehang doors", Phase.FIXTURES_RESET, 40, rows, people=1)
    return add("Move furniture back", Phase.HOUSE, 60, hang, waits={caulk: (120, "caulk cures")}, least=2)


def at(day: date, clock: str, zone: str = CENTRAL) -> datetime:
    """Return the instant of a wall time."""
    return to_utc(zone, day, _minute(clock))


def problem(
    records: Sequence[JobRecord],
    the_shop: Shop,
    *,
    now: datetime | None = None,
    days: int = 28,
    earliest: Mapping[tuple[int, int], tuple[Earliest, ...]] | None = None,
    impossible: Mapping[tuple[int, int], str] | None = None,
    pins: Sequence[Pin] = (),
    drive: Mapping[tuple[int, int], int] | None = None,
    previous: WeekPlan | None = None,
) -> PlanProblem:
    """Return a problem that starts on Monday 2 March 2026 at 06:30 US Central unless told otherwise."""
    return PlanProblem(
        now=now or at(MONDAY, "06:30"),
        days=days,
        shop=the_shop,
        jobs=tuple(records),
        earliest=earliest or {},
        impossible=impossible or {},
        pins=tuple(pins),
        drive=drive or {},
        previous=previous,
    )


def booked_weeks(jobs: int, crews: int, weeks: int, seed: int) -> PlanProblem:
    """Return a shop with its houses for so many weeks, promises and late lots included."""
    random = Random(seed)
    names = ("Birch", "Cedar", "Hazel", "Larch", "Maple", "Rowan", "Alder", "Aspen")
    skills = ("", "floating, glue-down, leveling, stairs", "floating, nailed, tile removal, leveling")
    the_shop = shop(*(crew(names[i], 2 + (i + 1) % 3, USUAL, skills[i % 3]) for i in range(crews)))
    records, earliest = [], {}
    for number in range(1, jobs + 1):
        day = MONDAY + timedelta(days=random.randrange(3, weeks * 7))
        records.append(
            house(
                number,
                stages=random.choice((1, 1, 2)),
                size=random.uniform(0.5, 1.6),
                floor=random.choice((Skill.FLOATING, Skill.FLOATING, Skill.GLUED, Skill.NAILED)),
                tile=random.random() < 0.25,
                level=random.random() < 0.4,
                drive=random.choice((10, 20, 25, 40)),
                promised=day if random.random() < 0.7 else None,
                weight=random.choice((1, 1, 2, 3)),
            )
        )
        if random.random() < 0.4:
            come = at(MONDAY + timedelta(days=random.randrange(0, 7)), "13:00")
            earliest[number, 2] = (Earliest(at=come, reason="planks come"),)
    return problem(records, the_shop, days=weeks * 7, earliest=earliest)
