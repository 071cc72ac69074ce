"""The evening entry: the sheet's order, what is recorded, what is refused, hours spread, findings."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from shlex import split

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, Finding, HouseEntry
from crewjobs.domain.house_ready import ReadyItem
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.layout import TaskTime
from crewjobs.engines.readiness.holds import holds
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.asked.house_ready import Answers
from crewjobs.services.evenings.evening_sheet import as_on_the_page, crew_day, one_after_the_other
from crewjobs.services.jobs.known_hours import finding_cautions
from crewjobs.services.pages.crew_houses import CrewHouse, as_planned
from crewjobs.services.weeks.visits import Stretch
from tests.builders import central
from tests.services.conftest import JOB, SHOP, Shop, kept

TUESDAY = date(2026, 3, 3)
HERE = JOB.replace("2026-03-03 10:00", "2026-03-02 06:00").replace(
    "promised = 2026-03-13", "promised = 2026-03-13\nblocked = [2026-03-02]"
)
SECOND = (
    JOB.replace("number = 4", "number = 5")
    .replace("Den, Quarry Road", "Study, Cooper Lane")
    .replace("9 Quarry Road", "3 Cooper Lane")
    .replace('name = "den"', 'name = "study"')
    .replace('between = ["den"', 'between = ["study"')
)
SUB = """
[[crew]]
name = "Hazel"
workers = ["Pia Lindqvist", "Oren Castellano"]
hours = { mon-fri = "7:00-12:00, 12:30-15:30" }
lays = ["floating"]
sub = { area = "400 ft2" }
"""


def make_tuesday(shop: Shop) -> None:
    """The planks have come, the den's first day is planned for Birch on Tuesday; it is 17:30 of that day."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", HERE)])
    shop.office.arrived(4, "gray plank", 9, in_rooms=True, at="2026-03-02 06:10")
    shop.office.ready(4, asked="Teo Halloran", answers=Answers(ready=tuple(ReadyItem)))
    shop.office.plan()
    crews = {crew: shop.office.site_day(crew, TUESDAY).houses for crew in ("Birch", "Cedar")}
    assert [crew for crew, houses in crews.items() if houses] == ["Birch"]
    shop.clock.set("2026-03-03", "17:30")


tuesday = kept(make_tuesday)


def lines(shop: Shop):
    return shop.office.evening_sheet("Birch").houses[0].lines


def as_done(asked) -> tuple[tuple[int, str], ...]:
    """All of it done; of what starts a wait that others waited out that day, when."""
    return tuple((line.task, "done 11:50" if "patch" in line.wait else "x") for line in asked)


def enter(shop: Shop, *houses: HouseEntry, crew: str = "Birch", day: date = TUESDAY):
    return shop.office.evening(crew, day, EveningEntry(houses=houses))


def sentences(shop: Shop, *houses: HouseEntry, **others) -> tuple[str, ...]:
    with shop.office._database.reading() as uow:
        numbers = uow.job_numbers()
    before = {number: shop.record(number) for number in numbers}
    with pytest.raises(Refused) as refused:
        enter(shop, *houses, **others)
    assert {number: shop.record(number) for number in before} == before
    return refused.value.sentences


def test_the_sheet_asks_in_the_order_of_the_printed_page(tuesday):
    """Line for line, the titles stand on the sheet as they stand on the page."""
    page = " ".join(tuesday.office.day_plan_text(TUESDAY, "Birch").split()).partition("HOUSE 1")[2]
    places = [page.find(line.title.split(",")[0]) for line in lines(tuesday)]
    assert -1 not in places
    assert places == sorted(places)


def test_a_day_as_planned_is_entered_with_its_ticks_alone(tuesday):
    """Times left away are the plan's; every task is done by the stop and belongs to the crew; one change holds it."""
    sheet = tuesday.office.evening_sheet("Birch").houses[0]
    done = enter(tuesday, HouseEntry(house=1, tasks=as_done(sheet.lines)))
    record = tuesday.record()
    [hours] = record.crew_hours
    assert (hours.start, hours.stop) == (central("2026-03-03", sheet.start), central("2026-03-03", sheet.stop))
    assert (hours.people, hours.break_min) == (3, 30)
    for line in sheet.lines:
        task = record.task(line.task)
        assert task.crew == "Birch"
        assert hours.start <= task.started_at <= task.done_at <= hours.stop
    tuesday.office.undo()
    assert tuesday.record().crew_hours == ()
    assert tuesday.office.changes()[0].number == done.change + 1


def test_what_comes_before_a_typed_time_was_done_by_then(tuesday):
    """The patch at 11:50: what it waits for is done by then, what waits for it at the stop, an hour and more later."""
    asked = lines(tuesday)
    enter(tuesday, HouseEntry(house=1, stop="15:00", tasks=as_done(asked)))
    record = tuesday.record()
    patch, jambs = (record.task(tuesday.number_of(name)) for name in ("patch", "undercut-jambs"))
    assert patch.done_at == central("2026-03-03", "11:50")
    assert jambs.done_at == central("2026-03-03", "15:00")
    before = {link.before for link in record.links if link.after == patch.number}
    assert before
    assert all(record.task(number).done_at <= patch.done_at for number in before)


def test_times_left_away_are_as_planned_also_where_something_dries_between_them(tuesday):
    """A patch and what waits for it, both ticked without a time: the patch is done when the page has it done.

    Begun an hour late it is done an hour later. Where the crew stopped too soon for that to have dried, the sheet asks.
    """
    asked = tuple((line.task, "x") for line in lines(tuesday))
    patch = tuesday.number_of("patch")
    with tuesday.office._database.reading() as uow:
        (page,) = crew_day(uow, central("2026-03-03", "18:00"), "Birch", TUESDAY).houses
    [sentence] = sentences(tuesday, HouseEntry(house=1, start="8:30", stop="13:15", tasks=asked))
    assert "is on hold: patch dries 1 h" in sentence
    assert "when that was (done 13:05)" in sentence
    enter(tuesday, HouseEntry(house=1, tasks=asked))
    record = tuesday.record()
    assert record.task(patch).done_at == page.ends[patch] < page.end - timedelta(hours=1)
    assert all(record.task(link.before).done_at <= page.ends[patch] for link in record.links if link.after == patch)
    tuesday.office.undo()
    begun, late = page.start + timedelta(hours=1), page.end + timedelta(hours=1)
    times = {
        "start": f"{to_wall(page.record.job.site.zone, begun):%H:%M}",
        "stop": f"{to_wall(page.record.job.site.zone, late):%H:%M}",
    }
    enter(tuesday, HouseEntry(house=1, **times, tasks=asked))
    assert tuesday.record().task(patch).done_at == page.ends[patch] + timedelta(hours=1)


def test_a_part_said_to_be_left_is_not_done_before_that(tuesday):
    """Half of the patch was left at 13:30: left away, its time is not the plan's earlier one; typed before that, it is refused."""
    asked = lines(tuesday)
    [patch] = [line.task for line in asked if "patch" in line.wait]
    tuesday.office.how_far(4, patch, "10 %", at="11:00", because="x")
    tuesday.office.how_far(4, patch, "50 %", at="13:30", because="x")
    [proposed] = [
        t.until for h in tuesday.office.site_day("Birch", TUESDAY).houses for t in h.tasks if t.number == patch
    ]
    assert proposed == "13:30"
    [sentence] = sentences(tuesday, HouseEntry(house=1, tasks=((patch, "done 11:50, because x"),)))
    assert "50 % was said Tue 3 Mar 13:30: it cannot be done before that" in sentence
    enter(tuesday, HouseEntry(house=1, stop="15:30", tasks=tuple((line.task, "x, because y") for line in asked)))
    assert tuesday.record().task(patch).done_at >= central("2026-03-03", "13:30")


def test_what_only_follows_from_a_refused_answer_is_not_told(tuesday):
    """Without the task before them all others are on hold: those that nothing else holds are not named, each once more."""
    asked = lines(tuesday)
    first = next(line.task for line in asked if tuesday.record().task(line.task).open)
    told = sentences(
        tuesday, HouseEntry(house=1, tasks=tuple((line.task, "x") for line in asked if line.task != first))
    )
    held = [sentence for sentence in told if "on hold" in sentence]
    assert held
    assert all(f"task {first} " in sentence.partition("on hold: ")[2] for sentence in held)
    assert len({sentence.partition("on hold: ")[2] for sentence in held}) == len(held)


def test_nothing_typed_for_a_house_records_nothing(tuesday):
    """A sheet handed back empty is refused, and so is one that says only what is known."""
    assert "nothing was typed" in sentences(tuesday)[0]
    enter(tuesday, HouseEntry(house=1, tasks=((lines(tuesday)[0].task, "x"),)))
    assert "recorded already" in sentences(tuesday, HouseEntry(house=1, tasks=((lines(tuesday)[0].task, "x"),)))[0]


def test_a_task_ticked_by_day_is_no_fault_in_the_evening(tuesday):
    """What was ticked on site is said and left as it was; the rest is recorded."""
    first, second = lines(tuesday)[0].task, lines(tuesday)[1].task
    tuesday.office.tick(4, [first], at="9:00")
    done = enter(tuesday, HouseEntry(house=1, tasks=((first, "x"), (second, "x"))))
    assert tuesday.record().task(first).done_at == central("2026-03-03", "9:00")
    assert any("ticked already" in sentence for sentence in done.then)


def test_done_although_on_hold_takes_its_reason(tuesday):
    """Out of order it is refused with the way to write the reason; with one, the hold is kept as passed."""
    last = lines(tuesday)[-1].task
    [held] = sentences(tuesday, HouseEntry(house=1, tasks=((last, "x"),)))
    assert held.startswith("House 1: ")
    assert "because REASON" in held
    enter(tuesday, HouseEntry(house=1, tasks=((last, "hold: the family had cleared it"),)))
    [passed] = tuesday.record().passed
    assert (passed.task, passed.because) == (last, "the family had cleared it")


CANNOT = {
    "a stop before the start": ({"start": "15:00", "stop": "7:00"}, "before it started"),
    "a stop to come": ({"stop": "18:00"}, "has not come yet"),
    "hours over a day": ({"stop": "25 h"}, "24 hours"),
    "hours past midnight": ({"stop": "20 h"}, "end of the day"),
    "no time": ({"start": "early"}, "not a time of day"),
    "more people than it has": ({"people": "4"}, "4 people; Birch was 3"),
    "no people": ({"people": "0"}, "0 people"),
    "a break longer than the time": (
        {"start": "7:00", "stop": "8:00", "pause": "90"},
        "a break of 90 min; it is shorter than the time there, 60 min",
    ),
    "a task of no such number": ({"tasks": ((999, "x"),)}, "no task 999"),
    "an answer twice": ({"tasks": ((3, "x"), (3, "x"))}, "answered twice"),
    "a time the crew was not there": ({"stop": "15:00", "tasks": ((3, "done 16:00"),)}, "when the crew was there"),
    "no answer": ({"tasks": ((3, "maybe"),)}, "no answer"),
    "20 of 19 rows": ({"tasks": ((5, "20/19 rows"),)}, "there are 19"),
    "a finding of nothing": ({"found": ("den:",)}, "say what"),
    "another job's number": ({"job": 9, "start": "8:00"}, "not job 9"),
}


@pytest.mark.parametrize("case", CANNOT)
def test_what_cannot_be_is_refused_in_one_sentence(tuesday, case):
    """One sentence with the house it is about; nothing is recorded."""
    given, said = CANNOT[case]
    [sentence] = sentences(tuesday, HouseEntry(**{"house": 1, **given}))
    assert sentence.startswith("House 1: ")
    assert said in sentence


def test_every_fault_is_named_at_once(tuesday):
    """Times, people and three tasks wrong: all are said together."""
    found = sentences(
        tuesday,
        HouseEntry(
            house=1, start="15:00", stop="7:00", people="9", tasks=((3, "maybe"), (5, "20/19 rows"), (999, "x"))
        ),
        HouseEntry(house=7, start="7:00"),
    )
    assert len(found) == 6


def test_a_crew_sent_on_by_a_newer_plan_is_not_at_two_houses_at_once(tuesday):
    """Left blank, the house it left ends where the next begins; one begun at the same time is in its place, and stays as it is."""
    with tuesday.office._database.reading() as uow:
        [den] = crew_day(uow, tuesday.clock.at, "Birch", TUESDAY).houses
    sent_on = central("2026-03-03", "12:45")
    assert den.start < sent_on < den.end
    study = replace(den, number=2, start=sent_on)
    assert [(house.start, house.end) for house in one_after_the_other([den, study])] == [
        (den.start, sent_on),
        (sent_on, den.end),
    ]
    instead = replace(den, number=2)
    assert [house.end for house in one_after_the_other([den, instead])] == [den.end, den.end]


def test_a_house_follows_its_page_and_is_two_where_the_crew_comes_twice(tuesday):
    """The page has the den earlier by now, and its last task once more in the afternoon; what is recorded blank is that."""
    with tuesday.office._database.reading() as uow:
        [den] = crew_day(uow, tuesday.clock.at, "Birch", TUESDAY).houses
    *morning, last = den.tasks
    assert morning
    at = {"first": ("07:15", "09:00"), "again": ("13:00", "14:30")}
    spans = {name: tuple(central("2026-03-03", clock) for clock in clocks) for name, clocks in at.items()}

    def page(name: str, tasks: list[int]) -> CrewHouse:
        start, end = spans[name]
        pieces = tuple(TaskTime(job=4, task=one, start=start, end=end, people=(0,), part=1) for one in tasks)
        return as_planned(Stretch(record=den.record, crew="Birch", pieces=pieces), gone=False, since=pieces[0].start)

    once = as_on_the_page([den], [page("first", list(den.tasks))])
    assert [(one.start, one.end, one.tasks) for one in once] == [(*spans["first"], den.tasks)]
    twice = as_on_the_page([den], [page("first", morning), page("again", [last])])
    assert [(one.number, one.start, one.end, one.tasks) for one in twice] == [
        (1, *spans["first"], tuple(morning)),
        (2, *spans["again"], (last,)),
    ]
    assert as_on_the_page([den], []) == [den]


def test_a_house_that_was_not_planned_is_entered_by_its_job(tuesday):
    """The crew was sent elsewhere: with the job and its times, that house's hours and tasks are kept."""
    tuesday.office.load([tuesday.file("study.toml", SECOND)])
    [missing] = sentences(tuesday, HouseEntry(house=2, start="7:00", stop="8:00"))
    assert "add its job" in missing
    [when] = sentences(tuesday, HouseEntry(house=2, job=5, start="7:00"))
    assert "stopped" in when
    first = next(task.number for task in tuesday.record(5).tasks if task.key.template == "walk-through-before")
    enter(tuesday, HouseEntry(house=2, job=5, start="7:00", stop="8:00", tasks=((first, "x"),)))
    assert tuesday.record(5).task(first).done_at == central("2026-03-03", "8:00")
    assert tuesday.record(5).crew_hours[0].people == 3


def test_nobody_is_in_two_places(tuesday):
    """Three people at two houses at one time are refused; two here and one there are how a crew parts."""
    tuesday.office.load([tuesday.file("study.toml", SECOND)])
    here = HouseEntry(house=1, start="8:00", stop="12:00", pause="0", people="3")
    there = HouseEntry(house=2, job=5, start="11:00", stop="13:00", pause="0", people="1")
    [sentence] = sentences(tuesday, here, there)
    assert "House 1 and House 2: 4 people of Birch at once at 11:00" in sentence
    enter(tuesday, replace(here, people="2"), there)
    assert [len(tuesday.record(job).crew_hours) for job in (4, 5)] == [1, 1]


def test_a_second_entry_for_the_same_hours_is_refused(tuesday):
    """What is recorded already counts as being there."""
    enter(tuesday, HouseEntry(house=1, start="7:15", stop="12:00", pause="0"))
    [sentence] = sentences(tuesday, HouseEntry(house=1, start="7:15", stop="12:00", pause="0"))
    assert "recorded already" in sentence
    enter(tuesday, HouseEntry(house=1, start="12:30", stop="15:00", pause="0"))
    assert len(tuesday.record().crew_hours) == 2


def test_two_houses_are_one_change_in_both_logs(tuesday):
    """One evening at two houses: each job's page has the same entry, and one undo takes both back."""
    tuesday.office.load([tuesday.file("study.toml", SECOND)])
    enter(
        tuesday,
        HouseEntry(house=1, start="7:15", stop="10:00", pause="0"),
        HouseEntry(house=2, job=5, start="10:30", stop="12:00", pause="0"),
    )
    first, second = tuesday.office.job(4).changes[0], tuesday.office.job(5).changes[0]
    assert first == second
    assert "job 4" in first.what
    assert "job 5" in first.what
    tuesday.office.undo()
    assert [tuesday.record(job).crew_hours for job in (4, 5)] == [(), ()]


def test_an_evening_past_midnight_is_one_stretch(tuesday):
    """Started 22:00 and stopped 2:00 are four hours of Tuesday; done at 1:30 lies in them. By day it stays a slip."""
    first = lines(tuesday)[0].task
    entry = HouseEntry(house=1, start="22:00", stop="2:00", pause="0", tasks=((first, "done 1:30"),))
    [sentence] = sentences(tuesday, replace(entry, tasks=()))
    assert "before it started at 22:00" in sentence
    tuesday.clock.set("2026-03-04", "11:30")
    for start, stop in (("11:45", "2:00"), ("17:00", "9:15")):
        [sentence] = sentences(tuesday, replace(entry, start=start, stop=stop, tasks=()))
        assert "before it started" in sentence
    enter(tuesday, entry)
    record = tuesday.record()
    [hours] = record.crew_hours
    assert (hours.start, hours.stop) == (central("2026-03-03", "22:00"), central("2026-03-04", "02:00"))
    assert hours.minutes == 240
    assert record.task(first).done_at == central("2026-03-04", "01:30")


def test_a_night_typed_into_the_wrong_day_is_told_the_right_one(tuesday):
    """At 2:10 today is the day the night ended on: the refusal names the day it began on; at 1:30, that it is not over."""
    entry = HouseEntry(house=1, job=4, start="22:00", stop="2:00", pause="0")
    tuesday.clock.set("2026-03-04", "01:30")
    [sentence] = sentences(tuesday, entry)
    assert sentence.endswith("before it started at 22:00; a night past midnight is entered when it is over.")
    tuesday.clock.set("2026-03-04", "02:10")
    with pytest.raises(Refused) as refused:
        tuesday.office.evening("Birch", date(2026, 3, 4), EveningEntry(houses=(replace(entry, house=9),)))
    [sentence] = refused.value.sentences
    assert sentence.endswith("for the day on which it began: `crewjobs evening Birch 2026-03-03`.")


def test_who_is_out_or_lent_counts_that_day(tuesday):
    """With one person out the sheet expects two, and three are refused; with one lent to it there are three again."""
    tuesday.office.away("Tobiah", TUESDAY, because="sick", again=True)
    assert tuesday.office.evening_sheet("Birch").houses[0].people == 2
    [sentence] = sentences(tuesday, HouseEntry(house=1, stop="15:00", people="3"))
    assert "Birch was 2" in sentence
    tuesday.office.away("Dario", TUESDAY, to="Birch", again=True)
    enter(tuesday, HouseEntry(house=1, stop="15:00", people="3"))
    assert tuesday.record().crew_hours[0].people == 3


def test_a_day_to_come_is_refused(tuesday):
    """Nothing of tomorrow is known this evening."""
    [sentence] = sentences(tuesday, HouseEntry(house=1, start="7:00"), day=date(2026, 3, 4))
    assert "has not come yet" in sentence


def test_yesterdays_sheet_is_the_one_that_was_printed(tuesday):
    """Planned anew this morning, yesterday's page is still what the crew hands back."""
    yesterday = tuesday.office.evening_sheet("Birch")
    tuesday.clock.set("2026-03-04", "06:00")
    tuesday.office.plan()
    assert tuesday.office.evening_sheet("Birch", TUESDAY) == yesterday
    enter(tuesday, HouseEntry(house=1, stop="15:00"))
    assert tuesday.record().crew_hours[0].stop == central("2026-03-03", "15:00")


def test_outside_the_sites_hours_is_said_and_recorded(empty_shop):
    """It happened, so it is kept; the sentence names the house and the times."""
    shop = empty_shop
    job = JOB.replace("year_built = 1994", 'year_built = 1994\nhours = { mon-fri = "9:00-16:00" }')
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", job)])
    shop.clock.set("2026-03-03", "17:30")
    done = enter(shop, HouseEntry(house=1, job=4, start="7:00", stop="12:00"))
    assert any("outside the site's hours" in sentence for sentence in done.then)
    assert len(shop.record().crew_hours) == 1


def test_a_sub_is_asked_no_hours(empty_shop):
    """Its work is ticked; hours typed are refused, and none are stored."""
    shop = empty_shop
    shop.office.load([shop.file("shop.toml", SHOP + SUB), shop.file("den.toml", JOB)])
    shop.clock.set("2026-03-03", "17:30")
    first = shop.number_of("walk-through-before")
    [sentence] = sentences(shop, HouseEntry(house=1, job=4, start="7:00", tasks=((first, "x"),)), crew="Hazel")
    assert "paid by the foot" in sentence
    enter(shop, HouseEntry(house=1, job=4, tasks=((first, "x"),)), crew="Hazel")
    assert shop.record().task(first).crew == "Hazel"
    assert shop.record().crew_hours == ()


def test_hours_are_shown_by_phase_as_spread(tuesday):
    """All of the day's labor stands beside the estimates, and with the hours nobody's task could take it adds up."""
    sheet = tuesday.office.evening_sheet("Birch").houses[0]
    enter(tuesday, HouseEntry(house=1, tasks=as_done(sheet.lines)))
    page = tuesday.office.job(4)
    labor = tuesday.record().crew_hours[0].labor / 60
    assert sum(phase.spent for phase in page.phases) == pytest.approx(labor)
    assert page.spent_rest == 0
    tuesday.clock.set("2026-03-04", "17:30")
    enter(tuesday, HouseEntry(house=9, job=4, start="7:00", stop="8:00", people="1"), day=date(2026, 3, 4))
    assert tuesday.office.job(4).spent_rest == pytest.approx(1)


def test_a_finding_stands_on_the_page_and_in_the_log(tuesday):
    """With its place, who found it, and the catalogue's own words on what to check."""
    done = enter(tuesday, HouseEntry(house=1, found=("den: old asbestos paper under the pad", "door sticks")))
    page = tuesday.office.job(4)
    text = next(caution.said for caution in read_catalogue(()).cautions if caution.key == "asbestos")
    assert any("den: old asbestos paper under the pad (Birch)" in line for line in page.findings)
    assert any("house: door sticks" in line for line in page.findings)
    assert f"Check: {text}" in page.findings
    assert f"Check: {text}" in done.then
    assert "found in den: old asbestos paper under the pad" in page.changes[0].what
    assert any(
        '`crewjobs found 4 den "suspect asbestos"` records it as suspect asbestos' in words for words in done.then
    )
    assert any(
        "`crewjobs found 4 house KIND` does, where it is one of suspect asbestos, mold" in words for words in done.then
    )


def test_a_finding_alone_books_no_hours(tuesday):
    """Nothing else on the sheet: what was found is kept, and who worked there how long is still to be said."""
    enter(tuesday, HouseEntry(house=1, found=("den: door sticks",)))
    assert tuesday.record().findings
    assert not tuesday.record().crew_hours
    enter(tuesday, HouseEntry(house=1, start="7:15", stop="9:15"))
    assert [one.minutes for one in tuesday.record().crew_hours] == [120]


def test_a_finding_that_brings_a_caution_names_the_command_that_holds_the_rest_of_its_place(tuesday):
    """As it is written, with somebody for WHO, it holds every task still to begin there; what only squeaks names none."""
    squeaks = enter(tuesday, HouseEntry(house=1, found=("den: a board squeaks",)))
    assert not any("--holds" in sentence for sentence in squeaks.then)
    done = enter(tuesday, HouseEntry(house=2, job=4, start="16:00", stop="16:30", found=("den: suspect asbestos",)))
    (sentence,) = [sentence for sentence in done.then if "--holds" in sentence]
    words = split(sentence.split("`")[1])
    assert words[:4] == ["crewjobs", "ask", "4", "WHO"]
    held = [int(number) for number in words[words.index("--holds") + 1].split(",")]
    tuesday.office.ask(4, "laboratory", words[4], holds=held)
    record = tuesday.record()
    there = [t for t in record.tasks if t.open and t.started_at is None and "den" in (t.where, *t.where.split(" / "))]
    assert held == [task.number for task in there]
    assert all(any("laboratory" in hold.what for hold in holds(record, task, tuesday.clock.now())) for task in there)


WORDS = {
    "black mold behind the base": ["mold"],
    "subfloor wet at the patio door": ["mold"],
    "lead paint on the sill": ["lead-paint"],
    "smells of gas": ["gas"],
    "asbestos paper, wet": ["asbestos", "mold"],
    "asked the lead, nothing new": [],
    "gasket worn, wettable glue": [],
}


@pytest.mark.parametrize("what", WORDS)
def test_words_of_a_finding_bring_the_catalogues_cautions(what):
    """Each by its own text, first things first; other words bring none."""
    catalogue = read_catalogue(())
    found = finding_cautions([Finding(at=central("2026-03-03", "15:00"), place="den", what=what)], catalogue)
    keys = {caution.said: caution.key for caution in catalogue.cautions}
    assert [keys[text] for text in found] == WORDS[what]


def test_a_start_and_a_stop_that_are_no_times_are_both_said(tuesday):
    """All that is wrong at once: also the stop, though nobody knows when they started."""
    said = sentences(tuesday, HouseEntry(house=1, start="0715", stop="0900", people="many"))
    assert [sentence.split(": ")[1] for sentence in said] == ["started", "people", "stopped"]


def test_work_is_begun_after_what_the_page_has_before_it(tuesday):
    """What nothing holds is begun once what the page has ahead of it is done, not when the crew came."""
    enter(tuesday, HouseEntry(house=1, tasks=((3, "done 09:00"), (1, "done 10:00"))))
    first, then = tuesday.record().task(3), tuesday.record().task(1)
    assert not any(link.after == 1 for link in tuesday.record().links)
    assert then.started_at == first.done_at == central("2026-03-03", "09:00")


def test_what_an_evening_recorded_is_told_where_its_day_is_looked_at(tuesday):
    """On site and the week tell the hours of the sheet, and how far it left what is under way; nothing before that."""

    def told() -> tuple[str, str]:
        (house,) = tuesday.office.site_day("Birch", TUESDAY).houses
        visits = next(one.visits for one in tuesday.office.week(TUESDAY).days if one.day == TUESDAY)
        return house.recorded, next(one.recorded for one in visits if one.crew == "Birch")

    assert told() == ("", "")
    enter(tuesday, HouseEntry(house=1, start="7:20", stop="10:00", tasks=((3, "done 09:00"), (5, "50 %"))))
    on_site, week = told()
    assert on_site == week
    assert on_site.startswith("07:20–10:00, 3 people: 8.0 h of one person; task 5 50")
