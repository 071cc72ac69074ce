"""Thursday 17:50, "9 of 19 rows, three people, 8.5 h": typed from the sheet, ten rows remain, the plan moves by that."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from crewjobs.cli.evening import form_text
from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.paces import paces_in
from crewjobs.files.evening_text import read_form
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.weeks.visits import planned
from tests.builders import CENTRAL
from tests.services.conftest import JOB, SHOP, Shop, kept

WEDNESDAY, THURSDAY, FRIDAY = date(2026, 3, 4), date(2026, 3, 5), date(2026, 3, 6)
GREAT_ROOM = (
    JOB.replace('length = "14\' 6"', 'length = "26 ft"')
    .replace('width = "12\' 3 1/2"', 'width = "22 ft"')
    .replace("cartons = 9", "cartons = 26")
    .replace('"2026-03-03 10:00"', '"2026-03-02 06:00"')
    .replace("promised = 2026-03-13", "promised = 2026-03-13\nwished = 2026-03-04\nblocked = [2026-03-02, 2026-03-03]")
    .replace("year_built = 1994", "year_built = 1994\ndrive_min = 15")
    .replace('patch = "20 ft2"\n', "")
)


def make_week(shop: Shop) -> None:
    """The great room, its planks in the rooms since Monday, the house ready, planned; Wednesday's sheet is typed back."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("great-room.toml", GREAT_ROOM)])
    shop.office.arrived(4, "gray plank", 26, in_rooms=True, at="2026-03-02 06:10")
    shop.office.ready(4, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    shop.office.plan()
    shop.clock.set("2026-03-04", "17:30")
    sheet = shop.office.evening_sheet("Birch")
    done = tuple((line.task, "x") for line in sheet.houses[0].lines)
    shop.office.evening("Birch", WEDNESDAY, EveningEntry(houses=(HouseEntry(house=1, tasks=done),)))
    shop.clock.set("2026-03-05", "06:30")
    shop.office.plan()
    shop.clock.set("2026-03-05", "17:50")


week = kept(make_week)


def rows_of(shop: Shop) -> int:
    return shop.number_of("lay-click-vinyl")


def fill(shop: Shop, answers: dict[int, str], **times: str) -> str:
    """Type into the printed form as a person would: into its brackets and over its blanks."""
    text = form_text(shop.office.evening_sheet("Birch"))
    for number, answer in answers.items():
        assert f"[    ] {number} " in text
        text = text.replace(f"[    ] {number} ", f"[{answer}] {number} ")
    for name, typed in times.items():
        text = text.replace(f"{name} ____", f"{name} {typed}", 1)
    return text


def typed_back(shop: Shop):
    sheet = shop.office.evening_sheet("Birch")
    lines = [line.task for line in sheet.houses[0].lines]
    before = [
        task for task in lines[: lines.index(rows_of(shop))] if shop.record().task(task).open
    ]  # some were done ahead
    answers = dict.fromkeys(before, "x") | {rows_of(shop): "9/19 rows"}
    text = fill(shop, answers, Started="7:15", Stopped="8.5 h", People="3")
    return shop.office.evening("Birch", THURSDAY, read_form(text, "sheet"))


def test_nine_of_nineteen_rows_are_recorded_from_the_form(week):
    """One change holds the hours, the rows and what was done before them; ten rows are said to be left."""
    before = week.record()
    done = typed_back(week)
    record = week.record()
    assert any("10 of 19 rows left" in sentence for sentence in done.then)
    [hours] = [one for one in record.crew_hours if one not in before.crew_hours]
    assert (hours.people, hours.minutes, hours.labor) == (3, 510, 1530)
    assert to_wall(CENTRAL, hours.stop).strftime("%H:%M") == "16:15"  # 7:15, 8.5 h and half an hour of lunch
    row = next(task for task in week.office.job(4).tasks if task.number == rows_of(week))
    assert (row.state, row.how_far) == ("under way", "rows 1–9 of 19")
    week.office.undo()
    assert week.record().how_far == ()
    assert week.record().crew_hours == before.crew_hours


def test_the_plan_moves_by_the_ten_rows_that_are_left(week):
    """Planned again, Friday has ten nineteenths of the rows' hours, and the job ends later by what was not reached."""
    was = week.office.job(4).row.planned_finish
    typed_back(week)
    week.office.plan()
    friday = next(
        task
        for house in week.office.site_day("Birch", FRIDAY).houses
        for task in house.tasks
        if task.number == rows_of(week)
    )
    assert (friday.time, friday.how_far) == ("07:15", "rows 1–9 of 19")
    assert "rows ____ of 19 (before today: 9 rows)" in week.office.day_plan_text(FRIDAY, "Birch")
    left = week.record().task(rows_of(week)).estimate.expected * 10 / 19
    pace = pace_of_rows(week)
    assert pace > 1, "three people all day for nine rows: the book would have had more done by then"
    assert planned_labor(week, FRIDAY) == pytest.approx(left * pace, abs=3)  # minutes of three people, rounded up
    assert week.office.job(4).row.planned_finish > was


def test_more_rows_laid_move_the_plan_less(week):
    """The same evening with fourteen rows leaves five: the work left shrinks by just those, in the list and in the plan."""
    typed_back(week)
    week.office.plan()
    nine, planned_nine = week.office.job(4).row.hours_left, planned_labor(week, FRIDAY)
    week.office.how_far(4, rows_of(week), "14 of 19")
    week.office.plan()
    five_rows = week.record().task(rows_of(week)).estimate.expected * 5 / 19
    assert nine - week.office.job(4).row.hours_left == pytest.approx(five_rows / 60)
    nine_pace, now_pace = planned_nine / (2 * five_rows), pace_of_rows(week)
    assert now_pace < nine_pace, "five rows more in the same hours: a quicker crew"
    assert planned_labor(week, FRIDAY) == pytest.approx(five_rows * now_pace, abs=3)


def pace_of_rows(shop: Shop) -> float:
    """Return how many times the book's minutes the plan gives Birch for the rows."""
    with shop.office._database.reading() as uow:
        return paces_in(planned(uow).plan.placements).of("Birch", 4, rows_of(shop))


def planned_labor(shop: Shop, day: date) -> float:
    """Return the minutes of one person that the plan gives the rows on a day."""
    with shop.office._database.reading() as uow:
        found = planned(uow)
    pieces = [piece for stretch in found.day("Birch", day) for piece in stretch.pieces if piece.task == rows_of(shop)]
    return sum((piece.end - piece.start) / timedelta(minutes=1) * len(piece.people) for piece in pieces)


def test_a_refused_sheet_keeps_every_word_and_records_nothing(week):
    """20 of 19 rows, five people and a stop before the start: three sentences at once, the job as it was, and the
    corrected text goes through."""
    rows = rows_of(week)
    before = week.record()
    wrong = fill(week, {rows: "20/19 rows"}, Started="15:00", Stopped="7:00", People="5")
    with pytest.raises(Refused) as refused:
        week.office.evening("Birch", THURSDAY, read_form(wrong, "sheet"))
    assert len(refused.value.sentences) == 3
    for words in ("20 of 19", "5 people", "before it started"):
        assert any(words in sentence for sentence in refused.value.sentences)
    assert week.record() == before
    right = wrong.replace("15:00", "7:15").replace("7:00", "16:15").replace("People 5", "People 3")
    week.office.evening("Birch", THURSDAY, read_form(right.replace("20/19 rows", "9/19 rows because x"), "sheet"))
    assert week.record().how_far[-1].done == 9
