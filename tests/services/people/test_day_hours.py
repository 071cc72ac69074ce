"""A crew's hours on one day: recorded, planned with, shown, kept over a loaded shop file, and taken back."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest

from crewjobs.cli.dump import _job_or_shop
from crewjobs.domain.errors import Refused
from crewjobs.services.answers.what_if_rows import WhatIfAsked
from crewjobs.services.office import Office
from crewjobs.storage.database import open_database
from tests import thorough
from tests.services.conftest import JOB, SHOP, Shop, kept

BIRCH_ONLY = SHOP[: SHOP.index('[[crew]]\nname = "Cedar"')]
BIRCH_HOURS = 'hours = { mon-fri = "7:00-12:00, 12:30-15:30" }'
THURSDAY, FRIDAY, SATURDAY, SUNDAY = (date(2026, 3, day) for day in (5, 6, 7, 8))
PLANKS = "2026-03-03 10:00"


def load_three_dens(shop: Shop) -> None:
    """Load three equal houses for one crew, their planks in the rooms by Thursday, and have them answered ready."""
    files = [shop.file("shop.toml", BIRCH_ONLY)]
    for number in (4, 5, 6):
        text = JOB.replace("number = 4", f"number = {number}").replace("9 Quarry", f"{number}9 Quarry")
        files.append(shop.file(f"{number}.toml", text))
    shop.office.load(files)
    for number in (4, 5, 6):
        shop.ready(number)


dens = kept(load_three_dens)


def following(shop: Shop) -> Office:
    """The same shop as people open it: its plan follows."""
    return Office(open_database(shop.path, create=False), shop.clock, who="tester", follows=True)


def visits(office: Office, day: date) -> set[tuple[int, str]]:
    """Return the jobs planned on a day, with their crews."""
    (found,) = (one for one in office.week(day).days if one.day == day)
    return {(visit.job, visit.crew) for visit in found.visits}


def in_shop(shop: Shop, name: str = "Birch"):
    with shop.office._database.reading() as uow:
        return next(crew for crew in uow.shop().crews if crew.name == name)


# -- the planner


def test_a_saturday_recorded_is_worked(dens: Shop) -> None:
    """Hours on one Saturday have work in them, no other Saturday has; the week says the hours and their reason."""
    done = dens.office.hours("birch", SATURDAY, "8:00-16:00", because="the customer is away")
    assert done.sentence == "Birch works 08:00-16:00 on Sat 7 Mar (the customer is away)."
    assert done.then == ("Plan again to use it.",)
    dens.office.plan()
    assert visits(dens.office, SATURDAY)
    assert visits(dens.office, date(2026, 3, 14)) == set()
    (day,) = (one for one in dens.office.week(SATURDAY).days if one.day == SATURDAY)
    assert day.away == ("Birch works 08:00-16:00 (the customer is away)",)
    assert day.off == ()


def test_undo_has_the_hours_and_the_plan_as_they_were(dens: Shop) -> None:
    """The plan that followed is taken back with the hours; what was recorded for the day before them stands again."""
    office = following(dens)
    office.plan()
    before = office.week()
    assert office.hours("Birch", FRIDAY, "off", because="snow").plan is not None
    office.undo()
    assert office.week() == before
    assert in_shop(dens).hours.but == ()
    office.hours("Birch", FRIDAY, "off", because="snow")
    office.hours("Birch", FRIDAY, "7:00-9:00")
    office.undo()
    assert office.hours_of("Birch", FRIDAY).why == "snow"


def test_a_saturday_with_work_on_it_taken_back_moves_the_work(dens: Shop) -> None:
    """Usual again, nobody works that Saturday: the plan follows at once, and the work has another day."""
    office = following(dens)
    dens.office.hours("Birch", SATURDAY, "8:00-16:00")
    office.plan()
    planned = visits(office, SATURDAY)
    assert planned
    done = office.usual_hours("Birch", SATURDAY)
    assert done.sentence == "Birch has its usual hours on Sat 7 Mar again: none."
    assert any(words.startswith("The plan follows") for words in done.then)
    assert visits(office, SATURDAY) == set()
    assert {row.job for row in office.week().promises if row.finish} == {4, 5, 6}


def test_a_day_off_has_no_work_and_shorter_hours_have_less(dens: Shop) -> None:
    """Off on Friday nothing is planned then; from 7 to 9 nobody is at a house after nine."""
    office = following(dens)
    office.plan()
    assert visits(office, FRIDAY)
    done = office.hours("Birch", FRIDAY, "off")
    assert done.sentence == "Birch is off on Fri 6 Mar."
    assert not any(words.startswith("Plan again") for words in done.then), "the plan followed"
    assert visits(office, FRIDAY) == set()
    assert "Birch" in next(one.off for one in office.week().days if one.day == FRIDAY)
    office.hours("Birch", FRIDAY, "7:00-9:00")
    office.plan()
    ends = [visit.end.hour for one in office.week().days if one.day == FRIDAY for visit in one.visits]
    assert all(hour < 9 for hour in ends)


def test_what_if_says_what_recording_it_does(dens: Shop) -> None:
    """A supposed day off ends with its command; that recorded, the plan has the finishes that were supposed."""
    office = following(dens)
    office.plan()
    view = office.what_if(WhatIfAsked(off=(("Birch", "thu"),)))
    assert view.commands == ("crewjobs hours Birch 2026-03-05 --off",)
    assert view.recording == "`crewjobs hours Birch 2026-03-05 --off` records it."
    office.hours("Birch", THURSDAY, "off")
    office.plan()
    finish = {row.job: row.finish for row in office.week().promises}
    assert view.jobs
    assert {row.job: row.then and row.then.date() for row in view.jobs} == {
        row.job: finish[row.job] and finish[row.job].date() for row in view.jobs
    }
    back = office.what_if(WhatIfAsked(works=(("Birch", "thu", ""),)))
    assert back.commands == ("crewjobs hours Birch 2026-03-05 --usual",)


def test_each_supposition_a_command_records_ends_with_it(dens: Shop) -> None:
    """Hours as they are need no command; a person, a promise, a job called off and a date name theirs."""
    dens.office.plan()
    for asked, commands in (
        (WhatIfAsked(works=(("Birch", "sat", "8:00-12:00,13:00-15:00"),)), ("crewjobs hours Birch 2026-03-07 8:00-12:00,13:00-15:00",)),
        (WhatIfAsked(works=(("Birch", "fri", "7:00-12:00, 12:30-15:30"),)), ()),
        (WhatIfAsked(off=(("Tobiah", "fri"),)), ('crewjobs away "Tobiah Lund" 2026-03-06',)),
        (WhatIfAsked(promises=((4, "2026-03-20"),)), ("crewjobs amend 4 --promised 2026-03-20",)),
        (WhatIfAsked(without=(4,)), ('crewjobs amend 4 --state "called off"',)),
        (WhatIfAsked(late=((4, "", "2026-03-09 10:00"),)), ('crewjobs back-ordered 4 "gray plank" "2026-03-09 10:00"',)),
        (WhatIfAsked(late=((4, "", "none"),)), ('crewjobs back-ordered 4 "gray plank" none',)),
        (WhatIfAsked(crews=(("Elm", "Birch", ""),)), ()),
    ):  # fmt: skip
        assert dens.office.what_if(asked).commands == commands


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_why_ends_a_saturday_with_its_command_and_that_does_it(empty_shop: Shop) -> None:
    """Houses that clash: the way out that is a day off given back, taken as it says, keeps what it says it keeps."""
    files = [empty_shop.file("shop.toml", BIRCH_ONLY)]
    for number in (4, 5, 6):
        text = JOB.replace("number = 4", f"number = {number}").replace("2026-03-13", "2026-03-07")
        text = text.replace(PLANKS, "2026-03-02 08:00").replace('click vinyl"', 'click vinyl"\nacclimation = "24 h"')
        files.append(empty_shop.file(f"{number}.toml", text.replace("9 Quarry", f"{number}9 Quarry")))
    empty_shop.office.load(files)
    for number in (4, 5, 6):
        empty_shop.ready(number)
    for day in ("2026-03-05", "2026-03-06"):
        empty_shop.office.hours("Birch", date.fromisoformat(day), "off")
    empty_shop.office.plan()
    ways = [
        way for clash in empty_shop.office.why().clashes for way in clash.ways if way.kind in ("saturday", "day off")
    ]
    assert ways
    for way in ways:
        assert way.records.startswith("crewjobs hours Birch 2026-03-0")
    usual = next(way for way in ways if way.records.endswith("--usual"))
    assert usual.day is not None
    empty_shop.office.take_way(usual.name)
    assert not empty_shop.office.hours_of("Birch", usual.day).recorded
    empty_shop.office.accept()
    holds = {row.job for row in empty_shop.office.week(SATURDAY).promises if row.holds}
    assert holds >= set(usual.keeps)


# -- who else it touches


def test_a_day_off_of_the_shop_file_gives_way_to_hours_of_that_day(empty_shop: Shop) -> None:
    """Off on Friday by the shop file: hours recorded for it win, a pin to it is taken; usual is off again."""
    text = BIRCH_ONLY.replace(BIRCH_HOURS, f"{BIRCH_HOURS}\ndays_off = [2026-03-06]")
    empty_shop.office.load([empty_shop.file("shop.toml", text), empty_shop.file("den.toml", JOB)])
    with pytest.raises(Refused, match="Birch is off on Fri 6 Mar already: nothing changes"):
        empty_shop.office.hours("Birch", FRIDAY, "off")
    with pytest.raises(Refused, match="Fri 6 Mar is a day off for Birch"):
        empty_shop.office.pin(4, [5], "Birch", FRIDAY)
    empty_shop.office.hours("Birch", FRIDAY, "7:00-12:00, 12:30-15:30")
    assert in_shop(empty_shop).comes(FRIDAY)
    empty_shop.office.pin(4, [5], "Birch", FRIDAY)
    assert empty_shop.office.hours_of("Birch", FRIDAY).recorded
    done = empty_shop.office.usual_hours("Birch", FRIDAY)
    assert done.sentence == "Birch has its usual hours on Fri 6 Mar again: none."
    assert "Job 4: task 5 is pinned to Birch that day: `crewjobs unpin 4 5` lets the planner move it." in done.then
    assert not in_shop(empty_shop).comes(FRIDAY)


def test_a_pin_on_a_day_taken_off_is_said_and_faulted(shop: Shop) -> None:
    """Off on a day something is pinned to: said at once, the plan names it, and another such pin is refused."""
    shop.office.pin(4, [5], "Birch", FRIDAY)
    done = shop.office.hours("Birch", FRIDAY, "off")
    assert "Job 4: task 5 is pinned to Birch that day: `crewjobs unpin 4 5` lets the planner move it." in done.then
    assert any("pinned day Fri 6 Mar is a day off for Birch" in words for words in shop.office.plan().then)
    with pytest.raises(Refused, match="Fri 6 Mar is a day off for Birch: pin to another day, the next is Mon 9 Mar"):
        shop.office.pin(4, [6], "Birch", FRIDAY)
    shop.office.hours("Birch", SATURDAY, "8:00-12:00")
    with pytest.raises(Refused, match="the next is Sat 7 Mar"):
        shop.office.pin(4, [6], "Birch", FRIDAY)


def test_people_recorded_elsewhere_are_named(shop: Shop) -> None:
    """Out, lent, working by themselves, lent to the crew: each is told what the day off, and the hours, mean for them."""
    office = shop.office
    office.away("Ines", FRIDAY)
    office.away("Tobiah", FRIDAY, to="Cedar")
    office.away("Rém", FRIDAY, to="Birch stairs")
    office.away("Dario", FRIDAY, to="Birch")
    assert office.hours("Birch", FRIDAY, "off").then[:-1] == (
        "Ines Varga is recorded out that day all the same.",
        "Rém Achterberg works by themselves as 'Birch stairs' that day, and is off with Birch: they have its hours.",
        "Tobiah Lund works with Cedar that day, in its hours, all the same.",
        "Dario Nkemelu of Cedar is lent to Birch that day, which does not work: "
        '`crewjobs away "Dario Nkemelu" 2026-03-06 --back` has them with Cedar.',
    )
    assert office.hours("Birch", FRIDAY, "8:00-12:00").then[:-1] == (
        "Ines Varga is recorded out that day all the same.",
        "Rém Achterberg works by themselves as 'Birch stairs' that day, in the hours of Birch.",
        "Tobiah Lund works with Cedar that day, in its hours, all the same.",
        "Dario Nkemelu of Cedar is lent to Birch that day, in its hours.",
    )
    with pytest.raises(Refused, match="'Birch stairs' is a part of Birch and has its hours: record them for Birch"):
        office.hours("birch stairs", FRIDAY, "8:00-10:00")


def test_nobody_is_away_from_a_crew_that_is_off_and_may_be_from_one_that_works(shop: Shop) -> None:
    """`away` sees the hours of the day: refused on a day off, taken on a Saturday that is worked."""
    with pytest.raises(Refused, match="does not work on Sat 7 Mar"):
        shop.office.away("Ines", SATURDAY)
    shop.office.hours("Birch", SATURDAY, "8:00-12:00")
    shop.office.away("Ines", SATURDAY)
    shop.office.hours("Birch", FRIDAY, "off")
    with pytest.raises(Refused, match="does not work on Fri 6 Mar"):
        shop.office.away("Ines", FRIDAY)


def test_small_visits_of_a_crew_that_is_off_need_a_new_time(shop: Shop) -> None:
    """A visit of somebody of the crew that day is named with the way to another time, and none is proposed for it."""
    shop.office.plan_visit(4, "site-check", at="fri 9:00", who="Ines", leaves_crew=True)
    done = shop.office.hours("Birch", FRIDAY, "off")
    assert any("the site check of Ines Varga at 09:00 needs a new time" in words for words in done.then)
    for day in (2, 3, 4, 5):
        if day > 2:
            shop.office.hours("Birch", date(2026, 3, day), "off")
    shop.office.hours("Birch", date(2026, 3, 2), "off")
    shop.office.hours("Birch", SATURDAY, "9:00-11:00")
    proposed = shop.office.propose_visit(4, "reading", who="Tobiah", minutes=30)
    assert proposed.start is not None
    assert proposed.start.date() == SATURDAY


def test_a_sub_does_what_the_hours_are_of_its_day(empty_shop: Shop) -> None:
    """A sub may be off or come for some hours; what they are of its longest day is said."""
    sub = SHOP.replace(BIRCH_HOURS, 'sub = { area = "350 ft2", steps = 13 }')
    empty_shop.office.load([empty_shop.file("shop.toml", sub), empty_shop.file("den.toml", JOB)])
    done = empty_shop.office.hours("Birch", SATURDAY, "8:00-12:00")
    assert "Birch is a sub: it does as much that day as these hours are of the longest day of its week." in done.then
    assert not any("sub" in words for words in empty_shop.office.hours("Birch", FRIDAY, "off").then)


def test_offers_and_the_page_have_the_hours_of_the_day(dens: Shop) -> None:
    """On a day off a crew is offered nothing and its page says so; shorter hours end its day and stand on its page."""
    office = following(dens)
    office.plan()
    office.hours("Birch", date(2026, 3, 2), "7:00-8:00")
    assert "its day ends at 08:00" in office.no_offers("Birch", at="2026-03-02 09:00")
    assert "Birch works 07:00-08:00 today instead of 07:00-12:00, 12:30-15:30." in " ".join(
        office.day_plan_text(date(2026, 3, 2), "Birch").split()
    )
    office.hours("Birch", date(2026, 3, 2), "off")
    assert office.offers("Birch", at="2026-03-02 09:00") == ()
    assert "Birch does not work that day" in office.no_offers("Birch", at="2026-03-02 09:00")
    assert "Birch is off today." in " ".join(office.day_plan_text(date(2026, 3, 2), "Birch").split())


def test_a_crew_with_hours_on_single_days_alone_is_no_crew_without_hours(empty_shop: Shop) -> None:
    """No hours in the week and a Saturday recorded: nothing says that it has no working hours, and Saturday is worked."""
    text = BIRCH_ONLY.replace(BIRCH_HOURS, "hours = {}")
    empty_shop.office.load([empty_shop.file("shop.toml", text), empty_shop.file("den.toml", JOB)])
    empty_shop.ready()
    assert any("Birch has no working hours" in words for words in empty_shop.office.plan().then)
    for day in (THURSDAY, FRIDAY, SATURDAY, SUNDAY):
        empty_shop.office.hours("Birch", day, "7:00-17:00")
    assert not any("no working hours" in words for words in empty_shop.office.plan().then)
    worked = {day for day in (THURSDAY, FRIDAY, SATURDAY, SUNDAY) if visits(empty_shop.office, day)}
    assert len(worked) > 1
    assert {visit for day in worked for visit in visits(empty_shop.office, day)} == {(4, "Birch")}


# -- what cannot be


@pytest.mark.parametrize(
    ("crew", "day", "hours", "said"),
    [
        ("Willow", FRIDAY, "off", "there is no crew 'Willow': the crews are Birch, Cedar"),
        ("Birch", date(2026, 3, 1), "off", "Sun 1 Mar has gone by: hours are recorded for today or a day to come"),
        ("Birch", THURSDAY, "8:00-12:00", "Thu 5 Mar is a holiday of the shop: no crew works then"),
        ("Birch", THURSDAY, "off", "Thu 5 Mar is a holiday of the shop: no crew works then"),
        ("Birch", SATURDAY, "8:05-12:00", "the hours of Sat 7 Mar do not start and end on a quarter hour"),
        ("Birch", SATURDAY, "10-12, 8-11", "the hours of Sat 7 Mar overlap or are out of order"),
        ("Birch", SATURDAY, "noon", "'noon' are no hours of a day: write such as 8:00-12:00, by the 24-hour clock"),
        ("Birch", SATURDAY, "12:00-8:00", "'12:00-8:00' are no hours of a day"),
        ("Birch", SATURDAY, "", "'' are no hours of a day"),
        ("Birch", SATURDAY, "off", "Birch does not work on Saturdays, and Sat 7 Mar is one: nothing changes"),
        ("Birch", FRIDAY, "7-12, 12:30-15:30", "Birch works 07:00-12:00, 12:30-15:30 on Fri 6 Mar already: nothing"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(empty_shop: Shop, crew: str, day: date, hours: str, said: str) -> None:
    """Names, days and hours that cannot be, and what changes nothing: one sentence each, and nothing is recorded."""
    text = SHOP.replace("[[crew]]", "holidays = [2026-03-05]\n\n[[crew]]", 1)
    empty_shop.office.load([empty_shop.file("shop.toml", text)])
    before = empty_shop.path.read_bytes()
    with pytest.raises(Refused) as refused:
        empty_shop.office.hours(crew, day, hours)
    assert len(refused.value.sentences) == 1
    assert said in refused.value.sentences[0]
    assert empty_shop.path.read_bytes() == before


def test_usual_hours_with_nothing_recorded_change_nothing(shop: Shop) -> None:
    """As every week already, and a day gone by: one sentence each."""
    with pytest.raises(Refused, match="no other hours are recorded for Birch on Fri 6 Mar: nothing changes"):
        shop.office.usual_hours("Birch", FRIDAY)
    shop.office.hours("Birch", date(2026, 3, 2), "off")
    shop.clock.set("2026-03-03", "6:30")
    with pytest.raises(Refused, match="Mon 2 Mar has gone by"):
        shop.office.usual_hours("Birch", date(2026, 3, 2))


def test_hours_as_every_week_take_back_what_was_recorded(shop: Shop) -> None:
    """A Friday off, then worked as every Friday: nothing is recorded for it any more."""
    shop.office.hours("Birch", FRIDAY, "off")
    done = shop.office.hours("Birch", FRIDAY, "7:00-12:00,12:30-15:30", because="it was Cedar")
    assert done.sentence == ("Birch has its usual hours on Fri 6 Mar again: 07:00-12:00, 12:30-15:30 (it was Cedar).")
    assert in_shop(shop).hours.but == ()


# -- what they are


def test_what_the_hours_are_is_said(empty_shop: Shop) -> None:
    """As every week, off by weekday, by the shop file, by a holiday, recorded with and without a reason."""
    text = SHOP.replace("[[crew]]", "holidays = [2026-03-05]\n\n[[crew]]", 1)
    text = text.replace(BIRCH_HOURS, f"{BIRCH_HOURS}\ndays_off = [2026-03-09]")
    empty_shop.office.load([empty_shop.file("shop.toml", text)])
    office = empty_shop.office
    assert office.hours_of("birch", FRIDAY).sentence == "Birch works 07:00-12:00, 12:30-15:30 on Fri 6 Mar."
    assert office.hours_of("Birch", SUNDAY).sentence == "Birch does not work on Sundays, and Sun 8 Mar is one."
    assert office.hours_of("Birch", THURSDAY).sentence == "Thu 5 Mar is a holiday of the shop: Birch does not work."
    assert office.hours_of("Birch", date(2026, 3, 9)).sentence == "Birch is off on Mon 9 Mar."
    office.hours("Birch", FRIDAY, "off", because="stock-taking")
    office.hours("Birch", SATURDAY, "8:00-12:00")
    assert office.hours_of("Birch", FRIDAY).sentence == (
        "Birch is off on Fri 6 Mar instead of 07:00-12:00, 12:30-15:30, as recorded (stock-taking)."
    )
    row = office.hours_of("Birch", SATURDAY)
    assert row.sentence == "Birch works 08:00-12:00 on Sat 7 Mar instead of not at all, as recorded."
    assert (row.hours, row.usual, row.recorded, row.why) == (("08:00-12:00",), (), True, "")


# -- the shop file


def test_the_shop_file_loaded_again_keeps_what_it_does_not_name(shop: Shop) -> None:
    """The same file changes nothing and needs no --replace; a changed one keeps recorded days, and says so."""
    shop.office.hours("Birch", SATURDAY, "8:00-12:00", because="stock-taking")
    shop.office.load([shop.folder / "shop.toml"])
    assert shop.office.hours_of("Birch", SATURDAY).why == "stock-taking"
    changed = shop.file("changed.toml", SHOP.replace('"floating", "nailed"', '"floating", "glue-down"'))
    done = shop.office.load([changed], replace=True)
    assert (
        "Hours recorded for single days stay: Birch on Sat 7 Mar; `crewjobs hours CREW DAY --usual` takes one back."
        in done.then
    )
    assert shop.office.hours_of("Birch", SATURDAY).why == "stock-taking"


def test_the_days_a_shop_file_names_are_as_it_says(shop: Shop) -> None:
    """Of the same day the file's word counts, other days stay; without --replace such a file is refused."""
    shop.office.hours("Birch", SATURDAY, "8:00-12:00", because="stock-taking")
    shop.office.hours("Cedar", FRIDAY, "off")
    other = f'{BIRCH_HOURS}\nhours_on = {{ "2026-03-07" = "9:00-11:00", "2026-03-06" = "off" }}'
    file = shop.file("other.toml", SHOP.replace(BIRCH_HOURS, other))
    with pytest.raises(Refused, match="say --replace"):
        shop.office.load([file])
    done = shop.office.load([file], replace=True)
    assert "Hours recorded for single days stay: Cedar on Fri 6 Mar;" in " ".join(done.then)
    rows = [shop.office.hours_of(*one) for one in (("Birch", SATURDAY), ("Birch", FRIDAY), ("Cedar", FRIDAY))]
    assert [row.hours for row in rows] == [("09:00-11:00",), (), ()]
    assert [row.why for row in rows] == ["", "", ""]
    shop.office.undo()
    assert shop.office.hours_of("Birch", SATURDAY).why == "stock-taking"
    assert shop.office.hours_of("Birch", FRIDAY).recorded is False


def test_a_crew_that_a_file_leaves_out_has_its_hours_again_when_it_is_back(shop: Shop) -> None:
    """Cedar dropped and loaded again: what was recorded for it holds, as for people away."""
    shop.office.hours("Cedar", FRIDAY, "off", because="training")
    shop.office.load([shop.file("one.toml", BIRCH_ONLY)], replace=True)
    with pytest.raises(Refused, match="no crew 'Cedar'"):
        shop.office.hours_of("Cedar", FRIDAY)
    assert "Cedar" not in str(shop.office.week())
    shop.office.load([shop.folder / "shop.toml"], replace=True)
    assert shop.office.hours_of("Cedar", FRIDAY).why == "training"


def test_a_dumped_shop_loads_back_in_another_database(shop: Shop, tmp_path) -> None:
    """The dump names the days from today on, and makes the same shop elsewhere; loaded back here it changes nothing."""
    shop.office.hours("Birch", date(2026, 3, 2), "off")
    shop.clock.set("2026-03-03", "6:30")
    shop.office.hours("Birch", SATURDAY, "8:00-12:00", because="stock-taking")
    shop.office.hours("Cedar", FRIDAY, "off")
    text = shop.office.dump_shop()
    named = {crew["name"]: crew.get("hours_on") for crew in tomllib.loads(text)["crew"]}
    assert named == {"Birch": {"2026-03-07": "8:00-12:00"}, "Cedar": {"2026-03-06": "off"}}
    changes = len(shop.office.changes())
    file = shop.file("dumped.toml", text)
    shop.office.load([file])
    assert shop.office.hours_of("Birch", SATURDAY).why == "stock-taking"
    assert shop.office.hours_of("Birch", date(2026, 3, 2)).recorded
    assert len(shop.office.changes()) == changes + 1
    (tmp_path / "other").mkdir()
    other = Shop(tmp_path / "other")
    other.office.load([file])
    assert other.office.dump_shop() == text


def test_dump_takes_a_number_or_the_shop() -> None:
    """The word shop in any capitals is the shop; all else is a job's number."""
    assert [_job_or_shop(word) for word in ("shop", "Shop", "4")] == [None, None, 4]
