"""Shops, jobs and task networks for planning tests: realistic houses and wholly random ones, from a seed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from random import Random

from crewjobs.domain.agreed import Told
from crewjobs.domain.crew import Away, Crew, SharedTool, Shop, Skill, Sub, Worker
from crewjobs.domain.evening import HowFar
from crewjobs.domain.house import Room, Site
from crewjobs.domain.house_ready import DryRun
from crewjobs.domain.job import Customer, Job, JobRecord, JobState
from crewjobs.domain.outline import Outline
from crewjobs.domain.plan import Pin, WeekPlan
from crewjobs.domain.tasks import Driver, Link, Pause, Phase, Scope, ScopeKind, Task, TaskKey, ThreePoint
from crewjobs.domain.units import FOOT
from crewjobs.domain.wall import DAY, QUARTER, Span, WeekHours, to_utc
from crewjobs.engines.planning.problem import Earliest, Errand, PlanProblem, SameDay

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


def job(
    number: int, *, zone: str = CENTRAL, drive: int = 20, site_hours: WeekHours | None = None, **terms: object
) -> Job:
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
    net: Network,
    stage: int,
    size: float,
    floor: Skill,
    tile: bool,
    level: bool,
    protect: int,
    carry: int,
    last: list[int],
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
    away: Sequence[Away] = (),
    same_day: Sequence[SameDay] = (),
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
        away=tuple(away),
        same_day=tuple(same_day),
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


ZONES = (
    (CENTRAL, ("America/Denver", "America/New_York"), (date(2026, 3, 5), date(2026, 10, 29), MONDAY)),
    ("America/St_Johns", ("America/Halifax",), (date(2026, 3, 6), date(2026, 10, 30))),
    ("Australia/Lord_Howe", ("Australia/Sydney",), (date(2026, 4, 2), date(2026, 10, 1))),
    ("Asia/Kolkata", ("Asia/Kathmandu",), (MONDAY,)),
    ("America/Havana", (CENTRAL,), (date(2026, 3, 6), date(2026, 10, 30))),
)
"""Shop zones with their neighbours and days near their changes of clock, half-hour ones among them."""


def random_hours(random: Random, *, full: bool = False) -> WeekHours:
    """Return hours on the quarter, odd ones included: nights, Saturdays, several breaks."""
    days = []
    for weekday in range(7):
        edges = sorted(random.sample(range(0, DAY + 1, QUARTER), 2 * random.choice((1, 2, 2, 3))))
        spans = tuple(Span(start=a, end=b) for a, b in zip(edges[::2], edges[1::2], strict=True))
        if random.random() < 0.6:
            spans = USUAL.days[0]
        days.append(spans if full or weekday < 5 or random.random() < 0.2 else ())
    return WeekHours(days=tuple(days))


def random_record(random: Random, number: int, zone: str, first: date, crews: Sequence[Crew]) -> JobRecord:
    """Return a job with any tasks, links, waits and states: nothing in it needs to make sense to the trade."""
    days = [first + timedelta(days=n) for n in range(14)]
    wished = random.choice(days) if random.random() < 0.2 else None
    promised = random.choice(days) if random.random() < 0.5 else None
    net = Network(
        job=job(
            number,
            zone=zone,
            drive=random.choice((0, 5, 20, 45)),
            site_hours=random_hours(random, full=True) if random.random() < 0.3 else None,
            blocked=frozenset(random.sample(days, random.choice((0, 0, 1, 3)))),
            wished=wished if not promised or not wished or wished <= promised else None,
            promised=promised,
            weight=random.choice((1, 2, 3)),
            state=random.choice((JobState.BOOKED,) * 9 + (JobState.QUOTED,)),
        )
    )
    chance = random.choice((0.1, 0.3))
    for i in range(random.randrange(1, 15)):
        before = [n for n in range(1, i + 1) if random.random() < chance]
        carry_in = random.random() < 0.1
        net.add(
            f"work {i + 1}",
            Phase.HOUSE if carry_in else random.choice(tuple(Phase)),
            random.choice((1, 20, 45, 90, 200, 600)),
            *[n for n in before if n % 3],
            waits={
                n: (random.choice((30, 100, 960, 2880)), random.choice(("", "it cures"))) for n in before if n % 3 == 0
            },
            stage=random.choice((1, 1, 2)),
            people=random.choice((1, 2, 3)),
            least=random.choice((1, 1, 1, 1, 2)),
            pause=random.choice((Pause.NIGHT,) * 4 + (Pause.LUNCH, Pause.NONE)),
            skill=random.choice((None,) * 6 + tuple(Skill)),
            scope=ScopeKind.MATERIAL if carry_in else ScopeKind.ROOM,
        )
    record = net.record()
    marked = tuple(
        replace(task, card="lead" if random.random() < 0.08 else "", elevator=random.random() < 0.1)
        for task in record.tasks
    )
    record = replace(record, tasks=marked)
    state = random.getstate()  # what is drawn here changes nothing that is drawn after it
    record = replace(record, links=tuple(_at_most(random, link) for link in record.links))
    random.setstate(state)
    if random.random() < 0.2:
        record = with_elevator(random, record)
    return _with_states(random, record, first, crews)


def _at_most(random: Random, link: Link) -> Link:
    """Return the link with a wait at most, now and then: hours, a night, or more than a weekend."""
    if random.random() < 0.85:
        return link
    return replace(link, most_min=link.wait_min + random.choice((5, 45, 240, 960, 1440, 5000)))


def _with_states(random: Random, record: JobRecord, first: date, crews: Sequence[Crew]) -> JobRecord:
    """Return the record with some tasks done, under way or not needed."""
    if random.random() < 0.5:
        return record
    tasks, how_far = [], []
    for task in record.tasks:
        state = random.random()
        if state < 0.15:
            task = replace(task, done_at=to_utc(CENTRAL, first, 0) - timedelta(hours=random.randrange(1, 90)))
        elif state < 0.25:
            started = to_utc(CENTRAL, first, 0) - timedelta(minutes=random.randrange(0, 5000))
            task = replace(task, started_at=started, crew=random.choice(("", *(crew.name for crew in crews))))
            if random.random() < 0.5:
                said = started + timedelta(minutes=random.randrange(0, 300))
                how_far.append(HowFar(task=task.number, at=said, done=random.randrange(20), whole=19, unit="rows"))
        elif state < 0.3:
            task = replace(task, not_needed=True)
        tasks.append(task)
    return replace(record, tasks=tuple(tasks), how_far=tuple(how_far))


def random_away(random: Random, crews: Sequence[Crew], first: date) -> tuple[Away, ...]:
    """Return people out, lent to another crew or working by themselves in the first two weeks."""
    found = {}
    for crew in crews:
        for worker in crew.workers:
            if random.random() < 0.3:
                day = first + timedelta(days=random.randrange(-1, 12))
                to = random.choice(["", "", f"{crew.name} 2", *(other.name for other in crews if other is not crew)])
                found[crew.name, worker.name, day] = Away(crew=crew.name, worker=worker.name, day=day, to=to)
    return tuple(found.values())


def random_pair(random: Random, record: JobRecord) -> SameDay | None:
    """Return two tasks of a job of which the second must end on the day the first begins; not for every job."""
    still = [task.number for task in record.tasks if task.open and task.started_at is None]
    if len(still) < 2 or random.random() < 0.7:
        return None
    first, last = sorted(random.sample(still, 2))
    return SameDay(job=record.job.number, first=first, last=last, why="the only toilet would be out over night")


def with_elevator(random: Random, record: JobRecord) -> JobRecord:
    """Return the record with its elevator booked for the first hour or more of some of the site's hours."""
    site = record.job.site
    spans = []
    for day in (site.hours or random_hours(random, full=True)).days:
        kept = [span for span in day if random.random() < 0.8 and span.minutes > 60]
        spans.append(tuple(Span(start=span.start, end=random.choice((span.start + 60, span.end))) for span in kept))
    if not any(spans):
        return record
    return replace(record, job=replace(record.job, site=replace(site, elevator=WeekHours(days=tuple(spans)))))


def random_problem(seed: int) -> PlanProblem:
    """Return any problem at all: several zones, both changes of clock, odd hours, facts and pins.

    With small chances also days told, dry runs, subs, errands and whole crews out: what is drawn for these comes last.
    """
    random = Random(seed)
    zone, near, days = random.choice(ZONES)
    first = random.choice(days)
    offs = [first + timedelta(days=n) for n in range(20)]
    crews = tuple(
        Crew(
            name=name,
            workers=tuple(
                Worker(name=f"{name} {i}", lead=i == 0, cards=frozenset({"lead"} if random.random() < 0.5 else ()))
                for i in range(random.choice((1, 2, 3, 4)))
            ),
            hours=random_hours(random),
            skills=frozenset(random.sample(tuple(Skill), random.choice((6, 6, 4, 2)))),
            days_off=frozenset(random.sample(offs, random.choice((0, 0, 2)))),
        )
        for name in random.sample(("Birch", "Cedar", "Hazel"), random.choice((1, 2, 3, 3)))
    )
    the_shop = shop(*crews, zone=zone, holidays=random.sample(offs, random.choice((0, 1))))
    records = [
        random_record(random, number, random.choice((zone, zone, *near)), first, crews)
        for number in range(1, random.randrange(2, 7))
    ]
    numbers = [(record.job.number, task.number) for record in records for task in record.tasks]
    now = to_utc(zone, first, random.randrange(0, DAY))
    chosen = [pair for pair in numbers if random.random() < 0.06]
    facts = {
        pair: (
            Earliest(at=now + timedelta(minutes=random.randrange(-500, 9000)), reason="planks ready (by the clock)"),
        )
        for pair in chosen
    }
    pins = [
        Pin(job=number, task=task, crew=random.choice(crews).name, day=first + timedelta(days=random.randrange(-1, 14)))
        for number, task in numbers
        if random.random() < 0.04
    ]
    whole = problem(
        records,
        the_shop,
        now=now,
        days=random.choice((7, 14, 28)),
        earliest=facts,
        impossible={pair: "oak is not ordered" for pair in numbers if random.random() < 0.02},
        pins=pins,
        drive={(1, 2): random.choice((0, 10, 70))},
        away=random_away(random, crews, first),
        same_day=[pair for record in records if (pair := random_pair(random, record)) is not None],
    )
    tools = (SharedTool(name="tile stripper"), SharedTool(name="dust collector", count=2))
    needs = {pair: frozenset(tool.name for tool in tools if random.random() < 0.12) for pair in numbers}
    whole = replace(
        whole, shop=replace(the_shop, tools=tools), tools={pair: found for pair, found in needs.items() if found}
    )
    return _with_people_elsewhere(random, _with_subs(random, _with_told(random, whole, first)), first)


def _with_told(random: Random, whole: PlanProblem, first: date) -> PlanProblem:
    """Return the problem with days some customers were told, and crews that stood before houses that were not ready."""
    jobs = []
    for record in whole.jobs:
        if random.random() < 0.2:
            said = Told(at=whole.now - timedelta(days=1), finish=first + timedelta(days=random.randrange(14)))
            record = replace(record, told=(said,))
        if random.random() < 0.1:
            stood = whole.now - timedelta(minutes=random.randrange(0, 300))
            run = DryRun(at=stood, crew=random.choice(whole.shop.crews).name, because="the paint is wet")
            record = replace(record, dry_runs=(run,))
        jobs.append(record)
    return replace(whole, jobs=tuple(jobs))


def _with_subs(random: Random, whole: PlanProblem) -> PlanProblem:
    """Return the problem with a crew that is paid by the foot or step, now and then, and some floors for it to lay."""
    if random.random() < 0.8:
        return whole
    paid = random.choice(whole.shop.crews)
    sub = Sub(area_ft2=random.choice((150, 400, 900)), steps=random.choice((0, 7, 20)))
    crews = tuple(replace(one, sub=sub) if one is paid else one for one in whole.shop.crews)
    jobs = tuple(
        replace(record, tasks=tuple(_laid(random, task) if random.random() < 0.3 else task for task in record.tasks))
        for record in whole.jobs
    )
    return replace(whole, jobs=jobs, shop=replace(whole.shop, crews=crews))


def _laid(random: Random, task: Task) -> Task:
    unit = random.choice((Driver.AREA, Driver.AREA, Driver.STEPS))
    return replace(task, needs_material="planks", quantity=random.randrange(5, 600), unit=unit)


def _with_people_elsewhere(random: Random, whole: PlanProblem, first: date) -> PlanProblem:
    """Return the problem with people who leave for an hour or two, and whole crews that are out for a day."""
    errands = [
        Errand(
            crew=one.name, worker=worker.name, start=start, end=start + timedelta(minutes=random.choice((20, 90, 200)))
        )
        for one in whole.shop.crews
        for worker in one.workers
        if random.random() < 0.1
        for start in [whole.now + timedelta(minutes=5 * random.randrange(-20, 2000))]
    ]
    out = {
        (one.name, worker.name, day): Away(crew=one.name, worker=worker.name, day=day)
        for one in whole.shop.crews
        if random.random() < 0.12
        for day in [first + timedelta(days=random.randrange(-1, 8))]
        for worker in one.workers
    }
    away = {(one.crew, one.worker, one.day): one for one in whole.away}
    return replace(whole, errands=tuple(errands), away=tuple({**away, **out}.values()))
