"""When a floor somebody asks for on the telephone could be laid, beside all that is planned; nothing is ever kept."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final

from crewjobs.domain.bounds import LONGEST_DRIVE_MIN
from crewjobs.domain.crew import Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.house import YEARS, Covering
from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import FloorKind
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.units import exact_wait, format_area, quoted
from crewjobs.domain.wall import days_from, to_utc, to_wall
from crewjobs.domain.wording import day_words, listed, moment_words, upper
from crewjobs.engines.answering.chain import chain_of
from crewjobs.engines.answering.chain_words import told
from crewjobs.engines.answering.planned_job import floor_of
from crewjobs.engines.answering.standing import last_day
from crewjobs.engines.answering.what_if import finish
from crewjobs.engines.answering.when import Fit, fits, in_rooms_by
from crewjobs.engines.planning.improve import repaired_cost
from crewjobs.engines.planning.problem import PlanProblem
from crewjobs.engines.planning.roster import with_parts
from crewjobs.files.job_tables import WORDS
from crewjobs.files.values import read_area, read_choice
from crewjobs.services.answers.plain_house import PlainHouse
from crewjobs.services.answers.what_if_rows import WhenAnswer, WhenView, WhenVisit
from crewjobs.services.clock import read_day
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.jobs.loading import fresh_record
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.visits import Planned, work_words
from crewjobs.services.wording import at_site, no_crew, read_line

if TYPE_CHECKING:
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork

LEAST_FT2: Final = 10.0
MOST_FT2: Final = 10_000.0
"""A room smaller or larger than that is a slip of the finger."""
OPENS_MIN: Final = 8 * 60
"""A truck comes in the morning: when the shop opens, at eight where it has no hours that day."""
DRIVE_MIN: Final = 20
_UNITS: Final = r"ft2|ft²|ft\^2|sq\.? ?ft\.?|square feet|sf|m2|m²|m\^2|sq\.? ?m|square met(?:er|re)s?"
_ASKED: Final = re.compile(rf"\s*(-?[\d.,]+)\s*({_UNITS})?(?:\s+of)?\s+(\S.*)", re.IGNORECASE)

_THOUSANDS: Final = re.compile(r"\d{1,3}(,\d{3})+(\.\d+)?")


def when(
    database: Database,
    now: datetime,
    words: str,
    *,
    drive_min: int = DRIVE_MIN,
    furnished: bool = True,
    removes: Sequence[str] = (),
    ready: str = "",
    crew: str = "",
    built: int | None = None,
) -> WhenView:
    """Return when an area of a kind of floor (``400 ft2 click vinyl``) could be laid, as soon as it can and moving nobody.

    `ready` is the day the material can be there from (default: tomorrow), `built` the year of house and old floors.

    Raises:
        Refused: not an area, a floor, a day, a crew or a covering known; nothing planned yet, or it fits nowhere.
    """
    with database.reading() as uow:
        shop, in_force = uow.shop(), uow.latest_plan()
        house = _house(shop, now, words, drive_min, furnished, removes, ready, built)
        with_crew = _crew(shop, crew)
        if in_force is None:
            raise Refused("nothing is planned yet: `crewjobs plan` does it.")
        before = problem_of(uow, now)
        record = _record(uow, house, shop, to_wall(shop.zone, now).date())
        after = problem_of(uow, now, (*uow.live_jobs(), record))
    plan, _ = repaired_cost(before, in_force)
    found = fits(after, plan, record.job.number, with_crew)
    if found.soonest is None:
        until = day_words(to_wall(shop.zone, plan.until).date(), before.today)
        raise Refused(
            f"{record.job.title} in one room fits nowhere in the plan, which goes to {until}: {found.why_not}."
        )
    if with_crew and with_crew != found.soonest.laid_by:
        other = found.soonest.laid_by
        raise Refused(
            f"{with_crew} cannot lay {house.kind} in that house, {other} can: ask with that crew, or with none."
        )
    return WhenView(
        asked=record.job.title,
        assumed=tuple(told_in(sentence, shop.units) for sentence in house.assumed()),
        soonest=_answer(found.soonest, record, house, after, found.without),
        undisturbed=_answer(found.undisturbed, record, house, after, found.without) if found.undisturbed else None,
        why_not=found.why_not,
    )


def _record(uow: UnitOfWork, house: PlainHouse, shop: Shop, today: date) -> JobRecord:
    return fresh_record(house.job(uow.next_number(), shop, today), catalogue_of(uow))


# -- what was asked


def _house(
    shop: Shop,
    now: datetime,
    words: str,
    drive_min: int,
    furnished: bool,
    removes: Sequence[str],
    ready: str,
    built: int | None,
) -> PlainHouse:
    area, kind = read_asked(words, shop)
    today = to_wall(shop.zone, now).date()
    if not 0 <= drive_min <= LONGEST_DRIVE_MIN:
        raise Refused(f"{drive_min} minutes of drive; it is 0 to {LONGEST_DRIVE_MIN}.")
    if built is not None and built not in range(YEARS[0], today.year + 1):
        raise Refused(f"built in {built}: a year lies between {YEARS[0]} and {today.year}.")
    return PlainHouse(
        kind=kind,
        area_ft2=area,
        drive_min=drive_min,
        furnished=furnished,
        removes=tuple(read_choice(word, Covering, WORDS[Covering]) for word in removes),
        built=built,
        ready=_ready(shop, now, ready),
    )


def read_asked(words: str, shop: Shop) -> tuple[float, FloorKind]:
    """Return area in ft² and kind of floor from ``400 ft2 of click vinyl``; without a unit it is the shop's.

    Raises:
        Refused: no area, one no house has, or no floor that is known.
    """
    line = read_line(words, "what is asked")
    match = _ASKED.fullmatch(line)
    if match is None or re.fullmatch(_UNITS, match[3], re.IGNORECASE):
        unit = "37 m2" if shop.units == "metric" else "400 ft2"
        raise Refused(f"{quoted(line)} is not an area and a floor: write such as {unit} click vinyl.")
    unit = match[2] or ("m2" if shop.units == "metric" else "ft2")
    number = match[1].replace(",", "") if _THOUSANDS.fullmatch(match[1]) else match[1]
    area = read_area(f"{number} {unit}")
    if not LEAST_FT2 <= area <= MOST_FT2:
        least, most = (format_area(bound, shop.units) for bound in (LEAST_FT2, MOST_FT2))
        raise Refused(f"{match[1]} {unit} is no room's floor: it is {least} to {most}.")
    return area, read_choice(match[3], FloorKind, WORDS[FloorKind])


def _ready(shop: Shop, now: datetime, text: str) -> datetime:
    """Return from when the material can be there: the hour the shop opens on a day, by default tomorrow."""
    today = to_wall(shop.zone, now).date()
    day = read_day(text, today) if text.strip() else today + timedelta(days=1)
    if day < today:
        raise Refused(f"{day_words(day, today)} has gone by: say from when the material can be there.")
    spans = shop.hours.on(day)
    return max(now, to_utc(shop.zone, day, spans[0].start if spans else OPENS_MIN))


def _crew(shop: Shop, name: str) -> str:
    wanted = read_line(name, "the crew")
    if not wanted:
        return ""
    found = next((crew.name for crew in shop.crews if crew.name.casefold() == wanted.casefold()), None)
    if found is None:
        raise Refused(no_crew(name, shop))
    return found


# -- the answer


def _answer(fit: Fit, record: JobRecord, house: PlainHouse, problem: PlanProblem, before: WeekPlan) -> WhenAnswer:
    zone, acclimation, today = record.job.site.zone, house.material().acclimation_min, problem.today
    end = finish(problem, fit.plan, record) or fit.end
    by = in_rooms_by(fit, acclimation)
    sentence = f"{upper(record.job.title)}: {listed(fit.crews)} could start {at_site(zone, fit.start, today)} and be done {at_site(zone, end, today)}"
    if by is not None:
        wait = f", {exact_wait(acclimation)} before it is laid" if acclimation else ""
        sentence += f"; the material must lie in the rooms by {at_site(zone, by, today)}{wait}"
    return WhenAnswer(
        start=to_wall(zone, fit.start),
        finish=to_wall(zone, end),
        crews=fit.crews,
        carry_in=to_wall(zone, fit.carry_in) if fit.carry_in else None,
        in_rooms_by=to_wall(zone, by) if by else None,
        visits=tuple(_visits(fit, record, problem)),
        sentence=f"{sentence}.",
        because=_because(fit, record, problem),
        others=_others(fit, problem, before),
        moves=fit.moved,
    )


def _visits(fit: Fit, record: JobRecord, problem: PlanProblem) -> Iterator[WhenVisit]:
    """Yield the days crews are at the house, in order of time: what is one job to the plan is many visits to a lead."""
    zone, number = record.job.site.zone, record.job.number
    found = Planned(
        shop=with_parts(problem.shop, problem.away), plan=fit.plan, records={number: record}, pins=(), away=problem.away
    )
    on = {
        (placed.crew, day)
        for placed in fit.plan.placements
        if placed.key.job == number
        for first, last in [(to_wall(zone, placed.start).date(), to_wall(zone, placed.end).date())]
        for day in days_from(first, (last - first).days + 1)
    }
    stretches = [stretch for crew, day in on for stretch in found.day(crew, day)]
    for stretch in sorted(stretches, key=lambda one: (one.start, one.crew)):
        start, end, what = to_wall(zone, stretch.start), to_wall(zone, stretch.end), work_words(stretch.tasks)
        words = f"{moment_words(start, problem.today)}-{end:%H:%M} {stretch.crew}: {what}"
        yield WhenVisit(crew=stretch.crew, start=start, end=end, what=what, words=words)


def _because(fit: Fit, record: JobRecord, problem: PlanProblem) -> str:
    chain = chain_of(problem, fit.plan, record.job.number)
    if chain is None:
        return ""
    words = told(chain, floor_of(problem, fit.plan), record.job.site.zone)
    return f"It {words.head.partition(f'{record.job.number} ')[2]}: {words.because}."


def _others(fit: Fit, problem: PlanProblem, before: WeekPlan) -> str:
    """Say what it does to the other jobs: which move, and that no promise and no told day gets worse."""
    if not fit.moved:
        return "No promise is touched: nothing that is planned moves."
    records = {record.job.number: record for record in problem.jobs}
    moved = [_moved_words(records[number], problem, before, fit.plan) for number in fit.moved]
    free = all(records[number].job.promised is None for number in fit.moved)
    promise = (
        "they have no promise" if free and len(moved) > 1 else "it has no promise" if free else "no promise is lost"
    )
    return f"It only fits so soon if {listed(moved, most=6)} {'moves' if len(moved) == 1 else 'move'}; {promise}."


def _moved_words(record: JobRecord, problem: PlanProblem, before: WeekPlan, after: WeekPlan) -> str:
    was, now = (finish(problem, plan, record) for plan in (before, after))
    if was is None or now is None:
        return f"job {record.job.number}"
    old, new = last_day(record, was), last_day(record, now)
    promised = f", promised {day_words(record.job.promised, problem.today)}" if record.job.promised else ""
    done = (
        f"still done {day_words(new, problem.today)}"
        if old == new
        else f"done {day_words(new, problem.today)} instead of {day_words(old, problem.today)}"
    )
    return f"job {record.job.number} ({done}{promised})"
