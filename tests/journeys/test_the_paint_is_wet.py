"""Tuesday 7:10, the paint is wet: one entry, ready work for the day, and no promise that moves silently."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial

from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.hold import HoldKind
from crewjobs.engines.readiness.holds import holds
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.weeks.visits import planned
from tests.builders import CENTRAL, central
from tests.services.conftest import JOB, SHOP, Shop, kept

HOUSES = {
    4: ("Den, Quarry Road", "9 Quarry Road", 15, "2026-03-03 10:00"),
    5: ("Study, Mill Street", "2 Mill Street", 20, "2026-03-03 10:00"),
    6: ("Loft, Salt Road", "6 Salt Road", 20, "2026-03-09 10:00"),
    7: ("Cabin, Far Ridge", "1 Far Ridge", 240, "2026-03-03 10:00"),
    8: ("Hall, Weir Lane", "8 Weir Lane", 20, "2026-03-03 10:00"),
}
"""Title, address, minutes of drive, delivery. The cartons of 6 have not come, 7 is four hours away, 8 is not asked."""
READY = (4, 5, 7)
MORNING = central("2026-03-03", "07:10")


def house(number: int) -> str:
    title, address, drive, due = HOUSES[number]
    text = JOB.replace("number = 4", f"number = {number}").replace("Den, Quarry Road", title)
    text = text.replace("9 Quarry Road", address).replace(
        "year_built = 1994", f"year_built = 1994\ndrive_min = {drive}"
    )
    return text.replace("2026-03-03 10:00", due)


def make_shop(shop: Shop) -> None:
    """Birch is planned to start job 4 on Tuesday; jobs 5 and 7 are ready too, the others are not."""
    shop.clock.set("2026-02-26", "08:00")
    files = [shop.file(f"{number}.toml", house(number)) for number in HOUSES]
    shop.office.load([shop.file("shop.toml", SHOP), *files])
    for number in (*READY, 8):
        shop.office.arrived(number, "gray plank", 9, in_rooms=True)
    for number in READY:
        shop.ready(number)
    shop.clock.set("2026-03-02", "16:00")
    shop.office.pin(4, [shop.number_of("protect-house")], "Birch", date(2026, 3, 3))
    shop.office.pin(5, [shop.number_of("protect-house", job=5)], "Birch", date(2026, 3, 4))
    shop.office.plan()
    shop.office.unpin(4, [shop.number_of("protect-house")])
    shop.clock.at = MORNING


shop = kept(make_shop)


def dry_run(shop):
    return shop.office.dry_run(4, "birch", "paint is wet", until="thu 7:00")


def test_one_entry_records_it_all(shop):
    """The dry run, the answer no with its day, and what follows are one command and one change."""
    before = len(shop.office.changes())
    done = dry_run(shop)
    assert len(shop.office.changes()) == before + 1
    record = shop.record(4)
    assert [(run.crew, run.because, run.item) for run in record.dry_runs] == [
        ("Birch", "paint is wet", ReadyItem.PAINT)
    ]
    last = record.answers[-1]
    assert (last.item, last.ready, last.until) == (ReadyItem.PAINT, False, central("2026-03-05", "07:00"))
    assert done.sentence == (
        "Job 4: dry run of Birch Tue 3 Mar 07:10, because paint is wet: "
        "not ready: wet work or paint is not done, until Thu 5 Mar 07:00."
    )
    shop.office.undo()
    assert (shop.record(4).dry_runs, shop.record(4).answers[-1].ready) == ((), True)


def test_only_ready_work_that_fits_is_offered(shop):
    """What is offered is held by nothing, is reached by 7:45 at the earliest and left in time for the drive to the shop."""
    rows = shop.office.offers("Birch", not_at=4)
    assert rows[0].job == 5
    assert {4, 7} & {row.job for row in rows} == set()
    for row in rows:
        record, drive = shop.record(row.job), HOUSES[row.job][2]
        assert (row.arrive.hour, row.arrive.minute) >= (7, 45)
        assert row.leave.hour * 60 + row.leave.minute + drive <= 15 * 60 + 30
        for number in row.tasks:
            stopped = holds(record, record.task(number), MORNING)
            assert all(hold.kind is HoldKind.BEFORE and hold.task in row.tasks for hold in stopped), (row, number)


def test_what_is_on_the_truck_saves_the_way_by_the_shop(shop):
    """The morning's load for a house alike does for this one: 15 and 20 minutes of drive, no loading, there at 7:45."""
    best = shop.office.offers("Birch", not_at=4)[0]
    assert (f"{best.arrive:%H:%M}", best.fetch) == ("07:45", ())
    assert "35 min drive, all it needs is on the truck" in best.why


def test_a_house_not_ready_or_not_reached_offers_no_work(shop):
    """Job 6 has no cartons and job 8 nobody's answer: readings and the walk-through there are last; job 7 is too far."""
    rows = shop.office.offers("Birch", not_at=4)
    looking = {"room-reading", "walk-through-before", "count-lot-check"}
    for row in rows[1:]:
        record = shop.record(row.job)
        assert {record.task(number).key.template for number in row.tasks} <= looking
    assert shop.office.offers("Birch", at="15:00", not_at=4) == ()


def test_offers_for_a_weekday_are_for_the_next_one(shop):
    """Asked on Sunday for Monday 7:10: the Monday that comes, as everywhere where people look ahead."""
    shop.clock.set("2026-03-08", "16:00")
    rows = shop.office.offers("Birch", at="mon 7:10", not_at=4)
    assert rows
    assert {row.arrive.date() for row in rows} == {date(2026, 3, 9)}
    assert "Mon 9 Mar" in shop.office.no_offers("Birch", at="mon 15:20", not_at=4)


def test_another_crew_planned_there_at_that_hour_is_said(shop):
    """Cedar is planned at job 5 on Tuesday: an offer there to Birch names Cedar and its hours; at no other house."""
    shop.office.pin(5, [shop.number_of("room-reading", job=5)], "Cedar", date(2026, 3, 3))
    shop.office.plan()
    with shop.office._database.reading() as uow:
        there = [s for s in planned(uow).day("Cedar", date(2026, 3, 3)) if s.record.job.number == 5]
    assert there
    rows = shop.office.offers("Birch", at="12:30", not_at=4)
    start, end = (to_wall(CENTRAL, moment) for moment in (there[0].start, there[-1].end))
    for row in rows:
        both = row.job == 5 and row.arrive < end and start < row.leave
        assert ("Cedar is planned there" in row.why) == both, row.why
    assert any("Cedar is planned there" in row.why for row in rows)


def test_no_offer_says_the_main_reason(shop):
    """Each of the reasons is said where it is the one: day off, day over, nobody there, too far, too short."""
    said = partial(shop.office.no_offers, "Birch", not_at=4)
    for number in (5, 6, 8):  # what takes a quarter hour is done
        for template in ("room-reading", "count-lot-check", "walk-through-before"):
            shop.office.tick(number, [shop.number_of(template, job=number)], because="set up by the test")
    assert said(at="2026-02-28 08:00").endswith("Sat 28 Feb: Birch does not work that day.")
    assert said(at="15:30").endswith("its day ends at 15:30.")
    assert "job 5: too short a rest of the day, 15 min there after 35 min of drive" in said(at="14:05")
    assert "job 7: too far for the rest of the day, 4 h 15 min of drive" in said(at="15:00")
    for worker in ("Ines", "Tobiah", "Rém"):
        shop.office.away(worker, date(2026, 3, 3))
    assert said().endswith("nobody of Birch is there.")


def test_no_offer_names_the_card_nobody_holds(shop):
    """Where all that is ready needs a card that nobody of the crew holds, the card is named."""
    with shop.office._database.unit_of_work(who="tester") as uow:
        for number in HOUSES:
            before = uow.job(number)
            tasks = tuple(replace(task, card="lead-safe renovator") for task in before.tasks)
            uow.save_job(before, replace(before, tasks=tasks))
        uow.commit("set up by the test", at=shop.clock.now())
    assert shop.office.offers("Birch", not_at=4) == ()
    assert "nobody of Birch there holds the card 'lead-safe renovator'" in shop.office.no_offers("Birch", not_at=4)


def test_no_offer_says_that_nothing_is_ready(empty_shop):
    """A shop without booked jobs offers nothing and says so."""
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP)])
    assert empty_shop.office.no_offers("Birch").endswith("at no booked house anything is ready.")


def test_the_entry_names_the_best_work(shop):
    """The answer to the dry run says how the house is, and up to three pieces of work, the best first."""
    then = dry_run(shop).then
    assert then[0].endswith("until Thu 5 Mar 07:00; then it is asked again.")
    offered = [words for words in then if words.startswith("Ready for Birch: ")]
    assert 1 <= len(offered) <= 3
    assert offered[0].startswith("Ready for Birch: job 5 Study, Mill Street, ")


def test_no_promise_moves_silently(shop):
    """After planning, every job whose finish is on another day is named, with both days, and no other."""
    finish = {row.number: row.planned_finish for row in shop.office.jobs()}
    dry_run(shop)
    then = shop.office.plan().then
    moved = {}
    for row in shop.office.jobs():
        was, now = finish[row.number], row.planned_finish
        if was is not None and now is not None and was.date() != now.date():
            moved[row.number] = (was, now)
    assert 4 in moved
    said = [words for words in then if "finish moves" in words]
    assert said == [f"Job {n}: finish moves from {day(was)} to {day(now)}." for n, (was, now) in moved.items()]
    assert shop.office.plan().sentence.endswith("stays as it is: nothing of it has to move.")


def day(moment) -> str:
    return f"{moment:%a} {moment.day} {moment:%b}"


def test_the_house_waits_until_its_day_and_is_then_asked_again(shop):
    """Not ready is on the list with its day; nothing of it is planned before; when the day has come it is to be asked."""
    dry_run(shop)
    shop.office.plan()
    visits = [v for d in shop.office.week().days for v in d.visits if v.job == 4]
    assert visits
    assert min(v.start for v in visits) >= central("2026-03-05", "07:00")
    row = next(row for row in shop.office.waiting() if row.job == 4 and row.state is WaitState.NOT_READY)
    assert row.what == "house not ready: wet work or paint is not done, until Thu 5 Mar 07:00"
    shop.clock.set("2026-03-05", "07:05")
    row = next(row for row in shop.office.waiting() if row.job == 4 and row.state is WaitState.TO_ASK)
    assert "again" in row.call
    shop.office.ready(4, answers=Answers(ready=(ReadyItem.PAINT,)))
    assert not [row for row in shop.office.waiting() if row.job == 4 and row.state is WaitState.TO_ASK]
    assert (
        "done" in shop.office.tick(4, [shop.number_of("walk-through-before"), shop.number_of("protect-house")]).sentence
    )


def test_the_plan_and_the_offers_start_from_the_wet_house(shop):
    """Planned again at ten past seven, the crew drives on from where it stands: 15 and 20 minutes to job 5, packing up
    counted; offers without a word of where it stands do the same.
    """
    dry_run(shop)
    carpet = shop.number_of("carpet-out", job=5)
    shop.office.unpin(5, [shop.number_of("protect-house", job=5)])
    shop.office.pin(5, [shop.number_of("protect-house", job=5), carpet], "Birch", date(2026, 3, 3))
    shop.office.plan()
    first = min(
        v.start for d in shop.office.week().days for v in d.visits if v.crew == "Birch" and d.day == date(2026, 3, 3)
    )
    assert (first.hour, first.minute) >= (7, 45)
    assert [row.job for row in shop.office.offers("Birch")] == [
        row.job for row in shop.office.offers("Birch", not_at=4)
    ]


def test_nobody_is_sent_back_there_today(shop):
    """After the dry run nothing of that house is planned for the rest of the day, a reading or a look neither."""
    dry_run(shop)
    shop.office.plan()
    there = [v for d in shop.office.week().days for v in d.visits if v.job == 4 and d.day == date(2026, 3, 3)]
    assert there == []


def test_a_pin_whose_day_has_gone_by_binds_no_more(shop):
    """The day passed and nothing was done: the work is planned like any other, and the plan says so once."""
    shop.clock.set("2026-03-05", "06:00")
    done = shop.office.plan()
    said = [words for words in done.then if "was pinned to Birch on Wed 4 Mar; its day has gone by" in words]
    assert len(said) == 1
    with shop.office._database.reading() as uow:
        plan = uow.latest_plan()
    assert not any(left.job == 5 for left in plan.left_out)
    assert any(p.key.job == 5 for p in plan.placements)
