"""The demo shop: the files people copy, and a past in which nothing happens before it may."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from math import ceil
from pathlib import Path

import pytest

from crewjobs.domain.agreed import Money, VisitKind, Walk
from crewjobs.domain.crew import Away
from crewjobs.domain.goods import Goods
from crewjobs.domain.house import Subfloor
from crewjobs.domain.house_ready import Other, ReadyItem
from crewjobs.domain.job import Job, JobRecord, JobState
from crewjobs.domain.material import FloorKind, Method
from crewjobs.domain.tasks import Phase
from crewjobs.domain.wall import to_wall
from crewjobs.engines.estimating.estimate import total
from crewjobs.engines.readiness.clocks import material_clock, running_waits
from crewjobs.engines.readiness.house import HouseState, house
from crewjobs.engines.readiness.others import still_out
from crewjobs.files.detect import Loaded, read_files
from crewjobs.files.history_file import SHOP, Happened, read_history
from crewjobs.files.job_file import read_job, write_job
from crewjobs.files.shop_file import read_shop, write_shop
from crewjobs.services.jobs.known_hours import spent_hours
from crewjobs.services.jobs.walks import punch_open
from crewjobs.storage.database import open_database
from tests.builders import CENTRAL
from tests.files.strategies import without_entry_notes

FOLDER = Path(__file__).parents[2] / "seed_data"
NOW = datetime(2026, 3, 2, 12, 30, tzinfo=UTC)  # Monday 06:30 in Chicago


@lru_cache(maxsize=1)
def loaded() -> Loaded:
    """The shop and jobs of the demo."""
    return read_files(sorted(path for path in FOLDER.glob("*.toml") if path.name != "history.toml"))


@lru_cache(maxsize=1)
def past() -> tuple[Happened, ...]:
    """What happened before the demo's clock stops."""
    zones = {SHOP: CENTRAL} | {job.number: job.site.zone for job in loaded().jobs}
    return read_history((FOLDER / "history.toml").read_text(encoding="utf-8"), "history.toml", zones)


Told = tuple[dict[int, JobRecord], tuple[Away, ...]]


@pytest.fixture(scope="module")
def told(demo_made: Path) -> Told:
    """The jobs with their past as the use cases recorded it, and who is away; a refusal fails every test here."""
    with open_database(demo_made, create=False).reading() as uow:
        return {job.number: uow.job(job.number) for job in loaded().jobs}, uow.away()


def kinds(job: Job) -> set[FloorKind]:
    """The kinds of floor a job lays."""
    return {material.kind for material in job.materials}


def test_the_whole_demo_reads() -> None:
    """Shop, three crews, a sub and fourteen numbered jobs are read without a fault."""
    shop = loaded().shop
    assert shop is not None
    assert [crew.name for crew in shop.crews] == ["Birch", "Cedar", "Rowan", "Hazel"]
    assert [crew.name for crew in shop.crews if crew.sub] == ["Hazel"]
    assert [job.number for job in loaded().jobs] == list(range(1, 15))


def test_the_demo_shows_every_kind_of_floor_and_site() -> None:
    """All floors and methods, wood and slab, stairs, halves, a quoted job, one without its order: as the issue asks."""
    jobs = loaded().jobs
    assert set.union(*(kinds(job) for job in jobs)) == set(FloorKind)
    assert {material.method for job in jobs for material in job.materials} == set(Method)
    assert {Subfloor.SLAB, Subfloor.PLYWOOD} <= {room.subfloor for job in jobs for room in job.rooms}
    assert any(job.stairs for job in jobs)
    assert any(job.stages and job.site.occupied and any(room.pieces for room in job.rooms) for job in jobs)
    assert {JobState.QUOTED, JobState.BOOKED} == {job.state for job in jobs}
    assert any(job.state is JobState.BOOKED and all(not order.ordered for order in job.orders) for job in jobs)
    assert any(len(room.layers) == 3 and room.layers[-1].suspect for job in jobs for room in job.rooms)


@pytest.mark.parametrize("number", range(1, 15))
def test_enough_cartons_are_ordered(number: int) -> None:
    """What is ordered covers the rooms with 8 % waste, without ordering half again as much. Waste: common practice, no source."""
    job = loaded().jobs[number - 1]
    for material in job.materials:
        area = sum(room.outline.area_ft2 for room in job.rooms if room.floor == material.name)
        needed = ceil(area * 1.08 / material.carton_ft2)
        ordered = sum(order.cartons for order in job.orders if order.material == material.name)
        assert needed <= ordered <= needed * 1.5 or job.state is JobState.QUOTED


def test_files_are_read_back_from_what_is_dumped() -> None:
    """Dumping and loading the demo gives the very same shop and jobs, but for the private notes."""
    for job in loaded().jobs:
        assert read_job(write_job(job), "job.toml") == without_entry_notes(job)
    shop = loaded().shop
    assert shop is not None
    assert read_shop(write_shop(shop), "shop.toml").shop == shop


def test_nothing_happened_before_it_might(told: Told) -> None:
    """Only what was ticked with a written reason was on hold when it was ticked: job 10 once."""
    passed = {number: {hold.because for hold in record.passed} for number, record in told[0].items() if record.passed}
    assert set(passed) == {10}
    assert len(told[0][10].passed) == 1
    assert all(because for reasons in passed.values() for because in reasons)


def test_a_finished_job_was_called_back(demo_made: Path) -> None:
    """Job 13's callback is a job of its own with one task of an hour and a half, nothing in the old job's pace."""
    with open_database(demo_made, create=False).reading() as uow:
        (called,) = uow.callbacks()
        record = uow.job(called.number)
    assert (called.number, called.of) == (15, 13)
    assert [(task.where, task.estimate.likely) for task in record.tasks] == [("hall", 90)]
    assert "lot D" in record.tasks[0].title
    assert record.job.site.address == loaded().jobs[12].site.address


def test_the_past_is_past() -> None:
    """Nothing in the demo's past happens after its clock stops, and no ordered material came before its order."""
    assert all(event.at <= NOW for event in past())
    for event in past():
        if event.arrived:
            job = loaded().jobs[event.job - 1]
            ordered = min(order.ordered for order in job.orders if order.ordered)
            assert to_wall(job.site.zone, event.at).date() >= ordered


def test_a_leveler_cures_now(told: Told) -> None:
    """When the demo begins, leveler cures in job 4 until Monday afternoon, and the laboratory has job 3's samples.

    Its own date counts, not the days that stand for a laboratory nobody has heard of.
    """
    running = {number: [wait.name for wait in running_waits(record, NOW)] for number, record in told[0].items()}
    assert "leveler cures" in running[4]
    assert [waits.who for waits in still_out(told[0][3], NOW) if waits.promised] == [Other.PLUMBER, Other.LABORATORY]
    assert not any("laboratory" in name for name in running[3])


def test_a_truck_is_late_and_a_lot_is_not_ordered(told: Told) -> None:
    """Job 7's material was due before now and has not come; job 9's is not ordered."""
    records = told[0]
    states = {number: material_clock(record, record.job.materials[0], NOW).state for number, record in records.items()}
    assert states[7].value == "late"
    assert states[9].value == "not ordered"


def test_clocks_run_over_the_change_of_daylight_saving(told: Told) -> None:
    """Job 5's lot and job 6's delivery become ready after 8 March 02:00, an hour later on the wall than they began."""
    records = told[0]
    change = datetime(2026, 3, 8, 8, tzinfo=UTC)
    lot = records[5].lots[0]
    assert lot.moved_in_at is not None
    ready = material_clock(records[5], records[5].job.materials[0], NOW).ready_at
    assert ready is not None
    assert lot.moved_in_at < change < ready == lot.moved_in_at + timedelta(days=10)
    assert to_wall("America/Chicago", ready).hour == to_wall("America/Chicago", lot.moved_in_at).hour + 1
    due = records[6].job.orders[0].due
    assert due is not None
    assert due < change < due + timedelta(minutes=records[6].job.materials[0].acclimation_min)


def test_one_job_is_nearly_finished(told: Told) -> None:
    """Job 10 has only trim, fixtures and the house tasks left."""
    left = {task.phase.value for task in told[0][10].tasks if task.open}
    assert left == {"trim", "fixtures reset", "house"}


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.toml")), ids=lambda path: path.name)
def test_invented_contacts_only(path: Path) -> None:
    """Phone numbers are of the range kept for fiction (555-0100 to 555-0199), mail of example.com."""
    text = path.read_text(encoding="utf-8")
    assert all(
        re.fullmatch(r"555-01\d\d", number)
        for number in re.findall(r"\d{3}-\d{4}\b", re.sub(r"\d{4}-\d\d-\d\d", "", text))
    )
    assert all(mail.endswith("@example.com") for mail in re.findall(r"\S+@[\w.]+", text))


def test_houses_are_ready_or_not(told: Told) -> None:
    """One house answered ready, one not before the painter is done, one at which a crew stood last week."""
    records = told[0]
    assert house(records[1], NOW).state is HouseState.READY
    painter = house(records[6], NOW)
    assert painter.state is HouseState.NOT_READY
    assert [answer.item for answer in records[6].answers if not answer.ready] == [ReadyItem.PAINT]
    assert [(run.crew, run.item) for run in records[7].dry_runs] == [("Rowan", ReadyItem.POWER)]


def test_others_are_waited_for(told: Told) -> None:
    """Plumber and laboratory hold tasks of the house of 1966, the association the third floor; the plumber was chased."""
    records = told[0]
    waiting = {(number, other.who): other for number in (3, 6, 9) for other in records[number].waiting_on}
    assert set(waiting) == {
        (3, Other.PLUMBER), (3, Other.LABORATORY), (6, Other.PAINTER), (9, Other.ASSOCIATION),
    }  # fmt: skip
    assert waiting[3, Other.PLUMBER].chased
    assert waiting[3, Other.LABORATORY].holds


def test_goods_and_lots_of_the_demo(told: Told) -> None:
    """Two lots came to job 11 and one goes into both rooms; the stairs of job 5 wait for their nose alone."""
    records = told[0]
    assert [(lot.name, lot.cartons, lot.checked_at is not None) for lot in records[11].lots] == [
        ("A", 10, True),
        ("B", 1, True),
    ]
    assert [use.lot for use in records[11].lot_uses] == ["A"]
    (word,) = records[5].new_dates
    assert word.line == "stair nose (main stairs)"
    assert {task.key.template for task in records[5].tasks if task.needs_goods is Goods.STAIR_NOSE} == {"fit-stairs"}


def test_the_third_floor_has_its_elevator_and_a_special_order(told: Told) -> None:
    """Job 9 moves cartons from 9 to 11, within the site's hours, and its floor waits for the deposit."""
    job = told[0][9].job
    assert job.site.elevator is not None
    assert job.orders[0].special
    assert job.orders[0].ordered is None
    assert not told[0][9].money


def test_the_card_is_held_where_it_is_asked(told: Told) -> None:
    """Houses from before 1978 ask for the card, and somebody of the shop holds it; others ask for none."""
    shop = loaded().shop
    assert shop is not None
    held = {card for crew in shop.crews for worker in crew.workers for card in worker.cards}
    for record in told[0].values():
        asked = {task.card for task in record.tasks if task.card}
        assert asked <= held
        assert bool(asked) is record.job.site.lead_rule


def test_the_evening_and_the_lead_of_the_demo(told: Told) -> None:
    """Nine of nineteen rows lie, last week's crew hours are there, the lead measures, looks and goes back to a closed job."""
    records, away = told
    (rows,) = records[14].how_far
    assert (rows.done, rows.whole, rows.unit) == (9, 19, "rows")
    assert {hours.crew for record in records.values() for hours in record.crew_hours} == {"Birch", "Cedar"}
    visits = {(number, visit.kind) for number, record in records.items() for visit in record.small_visits}
    assert visits == {(8, VisitKind.MEASURING), (7, VisitKind.SITE_CHECK), (13, VisitKind.CALLBACK)}
    assert records[13].job.state is JobState.CLOSED
    assert [(one.worker, one.to) for one in away] == [("Noor Haddadin", ""), ("Silas Pendry", "Cedar")]


def test_the_money_and_the_walks_of_the_demo(told: Told) -> None:
    """Deposits are in, one balance is asked and one received; walked through before and after."""
    records = told[0]
    facts = {number: {one.fact for one in record.money} for number, record in records.items() if record.money}
    assert facts == {
        1: {Money.DEPOSIT},
        10: {Money.DEPOSIT, Money.ASKED},
        13: {Money.RECEIVED},
    }
    assert {(number, walk.walk) for number, record in records.items() for walk in record.walks} == {
        (1, Walk.BEFORE),
        (13, Walk.AFTER),
    }


def test_a_one_toilet_house_says_what_is_meanwhile(told: Told) -> None:
    """Where the only toilet is out over night something was arranged."""
    assert told[0][2].job.site.toilet_meanwhile


def test_what_was_agreed_told_returned_and_left_open_in_the_demo(told: Told) -> None:
    """A change order is agreed and one only asked, a finish is told, a carton went back, an item is left to do."""
    records = told[0]
    orders = {number: [one.agreed is not None for one in record.change_orders] for number, record in records.items()}
    assert {number: found for number, found in orders.items() if found} == {1: [True], 4: [False]}
    assert {number: record.told[-1].finish for number, record in records.items() if record.told} == {
        2: date(2026, 3, 4)
    }
    assert {
        number: [back.count for back in record.went_back] for number, record in records.items() if record.went_back
    } == {13: [1]}
    assert punch_open(records[13])
    assert not any(seen.photo for walk in records[1].walks for seen in walk.damage)


def test_the_hours_of_laying_in_the_demo_are_near_its_estimates(told: Told) -> None:
    """Hours spread over the laying that was begun are at most half as much again as its estimate."""
    worked = 0
    for number, record in told[0].items():
        hours = spent_hours(record)[0].get(Phase.INSTALL, 0.0)
        begun = [task for task in record.tasks if task.phase is Phase.INSTALL and task.started_at is not None]
        assert hours <= 1.5 * total(begun).hours, number
        worked += hours > 0
    assert worked
