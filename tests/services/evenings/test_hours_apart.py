"""Hours that tell no pace, kept apart from work; odd ones asked about at once, and put right."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.pace import HoursKind
from crewjobs.domain.wording import typed
from crewjobs.engines.estimating.spread import spread_hours
from crewjobs.engines.estimating.worked import worked_days
from crewjobs.files.evening_text import read_form, read_wait
from crewjobs.files.history_events import HoursWorked
from crewjobs.files.history_file import Happened
from crewjobs.services.demonstration.demo_past import tell
from crewjobs.services.evenings import evening_odd
from crewjobs.services.jobs.catalogues import catalogue_of
from tests.services.conftest import Shop, kept
from tests.services.evenings.test_evening import TUESDAY, as_done, enter, lines, make_tuesday

tuesday = kept(make_tuesday)


def kinds(shop: Shop) -> list[tuple[HoursKind, float]]:
    """Return what the job's days are, with their labor minutes."""
    return [(day.kind, day.labor_min) for day in worked_days(shop.record())]


def all_day(shop: Shop, **others: str) -> HouseEntry:
    """Return a house at which Birch's three did all there was, from 7:00 to 15:30 with half an hour's break."""
    return HouseEntry(house=1, tasks=as_done(lines(shop)), **{"start": "7:00", "stop": "15:30", "pause": "30"} | others)


def test_what_was_waited_is_no_work(tuesday):
    """45 minutes of three people: kept apart in the days, the spread, the rates, and said with what for."""
    done = enter(tuesday, all_day(tuesday, wait="45 min truck"))
    assert "45 min of it waiting (truck), 3 people: 21.8 h of one person at work" in done.sentence
    [hours] = tuesday.record().crew_hours
    assert (hours.wait_min, hours.wait_why, hours.labor, hours.waited) == (45, "truck", 3 * 435, 3 * 45)
    assert kinds(tuesday) == [(HoursKind.WORK, 3 * 435), (HoursKind.WAITING, 3 * 45)]
    [spread] = spread_hours(tuesday.record())
    assert sum(spread.tasks.values()) + spread.rest == spread.labor == 3 * 435
    assert "Waiting: 2.2 h of one person, kept apart." in tuesday.office.rates().apart
    assert tuesday.office.against(4).taken_min == 3 * 435


def test_a_whole_day_of_waiting_tells_nothing(tuesday):
    """Everybody waited all the time there: no labor, no pace, no fault."""
    first = lines(tuesday)[0].task
    enter(tuesday, HouseEntry(house=1, start="7:00", stop="9:00", pause="0", wait="2 h no key", tasks=((first, "x"),)))
    assert kinds(tuesday) == [(HoursKind.WAITING, 360)]
    assert spread_hours(tuesday.record())[0].labor == 0
    assert tuesday.office.rates().jobs == 0


def test_a_crew_turned_away_has_dry_run_hours(tuesday):
    """The house was not ready and nothing was done; with something ticked it is a day of work."""
    tuesday.office.dry_run(4, "Birch", "no heat", item="air", at="2026-03-03 07:40")
    enter(tuesday, HouseEntry(house=1, start="7:15", stop="8:15", pause="0"))
    assert kinds(tuesday) == [(HoursKind.DRY_RUN, 180)]
    assert tuesday.office.rates().apart == ("Dry run: 3.0 h of one person, kept apart.",)
    walk = tuesday.number_of("walk-through-before")
    tuesday.office.tick(4, [walk], at="2026-03-03 08:00", because="seen with the customer")
    assert [kind for kind, _ in kinds(tuesday)] == [HoursKind.WORK]


@pytest.mark.parametrize(
    ("typed", "minutes", "why"),
    [("45", 45, ""), ("45 min", 45, ""), ("45 min truck", 45, "truck"), ("45 for the key", 45, "the key"),
     ("1.5 h, no key", 90, "no key"), ("2h", 120, ""), ("20min (plumber)", 20, "plumber")],
)  # fmt: skip
def test_a_wait_is_read_as_people_write_it(typed, minutes, why):
    """Minutes or hours, and what for."""
    assert read_wait(typed) == (minutes, why)


@pytest.mark.parametrize("typed", ["-5", "nan", "1e9", "truck", "1.5", "12345", "1 day"])
def test_what_is_no_wait_is_refused(typed):
    """One sentence says how it is written."""
    with pytest.raises(Refused, match="is not a wait: write its minutes and what for, such as 45 min truck"):
        read_wait(typed)


def test_the_form_has_a_field_for_it():
    """Whatever words the reason holds; what stands in brackets is not typed."""
    form = "House 1\nStarted 7:15 (07:00)  Stopped ____  People 3 (3)  Break ____ (30 min)  Waited 45 min people of the lift\n"
    [house] = read_form(form, "form").houses
    assert (house.start, house.stop, house.people, house.pause) == ("7:15", "", "3", "")
    assert house.wait == "45 min people of the lift"


def test_odd_hours_are_asked_about_at_once(tuesday):
    """A day's work of three typed as an hour of one: kept, hardly counted, and how it is put right is said."""
    done = enter(tuesday, all_day(tuesday, stop="13:00", people="1", pause="270"))
    [question] = [one for one in done.then if "Ask the crew" in one]
    assert question.startswith("Job 4, Tue 3 Mar, Birch: 1.5 h of one person where about")
    assert "it is kept and hardly counts" in question
    assert question.endswith("`crewjobs evening Birch 2026-03-03 --again` takes other times in the place of these.")
    assert len(tuesday.record().crew_hours) == 1
    assert len(tuesday.office.rates().ask) == 1


def test_odd_hours_are_told_once_with_one_figure(tuesday, monkeypatch):
    """Hours long for what was ticked are asked about as odd, or as of another task: not as both."""
    monkeypatch.setattr(evening_odd, "ODD_ANYWAY", 1e9)
    monkeypatch.setattr(evening_odd, "LONGER", 0.0)
    done = enter(tuesday, all_day(tuesday, stop="13:00", people="1", pause="270"))
    assert len([one for one in done.then if "of one person where about" in one]) == 1, done.then


def test_usual_hours_are_not_asked_about(tuesday):
    """As planned, nobody is asked anything."""
    done = enter(tuesday, all_day(tuesday))
    assert not [one for one in done.then if "Ask the crew" in one]


def test_times_again_stand_in_the_place_of_wrong_ones(tuesday):
    """Only what is typed changes; the log says what it was, and undo brings it back."""
    enter(tuesday, all_day(tuesday, people="1", wait="10"))
    before = tuesday.record()
    done = tuesday.office.evening("Birch", TUESDAY, EveningEntry(houses=(HouseEntry(house=1, people="3"),), again=True))
    [old], [new] = before.crew_hours, tuesday.record().crew_hours
    assert new == replace(old, people=3)
    assert "in the place of 07:00–15:30" in done.sentence
    assert tuesday.record().tasks == before.tasks
    tuesday.office.undo()
    assert tuesday.record().crew_hours == before.crew_hours


def test_times_of_a_job_that_is_over_are_put_right(tuesday):
    """A closed job takes other times, and nothing else."""
    enter(tuesday, all_day(tuesday))
    tuesday.office.edit(4, tuesday.office.job(4).version, {"state": "closed"})
    again = EveningEntry(houses=(HouseEntry(house=1, stop="15:00"),), again=True)
    tuesday.office.evening("Birch", TUESDAY, again)
    [hours] = tuesday.record().crew_hours
    assert hours.stop - hours.start == timedelta(hours=8)
    with pytest.raises(Refused, match="is closed, not booked"):
        enter(tuesday, HouseEntry(house=1, start="16:00", stop="17:00", pause="0"))


def test_without_again_the_same_house_twice_stays_refused(tuesday):
    """What is recorded counts as being there."""
    enter(tuesday, all_day(tuesday))
    with pytest.raises(Refused, match="recorded already"):
        enter(tuesday, HouseEntry(house=1, start="7:00", stop="15:00"))


WRONG = {
    "a wait longer than the stay": ({"wait": "500"}, "500 min of waiting; it is 0 to 480"),
    "a wait that is none": ({"wait": "soon"}, "'soon' is not a wait"),
    "a break longer than the stay": (
        {"pause": "600"},
        "a break of 600 min; it is shorter than the time there, 510 min",
    ),
    "a break below zero": ({"pause": "-10"}, "'-10' is not a break: write its minutes, such as 30"),
    "hours below zero": ({"stop": "-2 h"}, "'-2 h' is not a time of day: write 7:15 or 15:30"),
    "more hours than a day": ({"stop": "25 h"}, "'25 h': a day has 24 hours"),
    "no number": ({"stop": "nan"}, "'nan' is not a time of day"),
    "a number beyond all": ({"stop": "1e9"}, "'1e9' is not a time of day"),
    "nobody": ({"people": "0"}, "0 people; Birch was 3"),
    "more people than the crew has": ({"people": "99"}, "99 people; Birch was 3 on Tue 3 Mar"),
    "a stop before the start": ({"start": "9:00", "stop": "8:00"}, "stopped: at 08:00, before it started at 09:00"),
    "a stop at the start": (
        {"start": "9:00", "stop": "9:00"},
        "stopped: at 09:00, as it started: nobody was there then",
    ),
}


@pytest.mark.parametrize("case", WRONG)
def test_bad_hours_change_nothing(tuesday, case):
    """One clear sentence: what, where, what would be right; not a byte of the file differs."""
    typed, sentence = WRONG[case]
    before = tuesday.path.read_bytes()
    with pytest.raises(Refused) as refused:
        enter(tuesday, all_day(tuesday, **typed))
    [said] = refused.value.sentences
    assert said.startswith("House 1: ")
    assert sentence in said
    assert tuesday.path.read_bytes() == before


@pytest.mark.parametrize("at", ["2026-03-03 06:59", "2026-03-02 12:00"])
def test_a_tick_before_its_start_changes_nothing(tuesday, at):
    """What was begun at 7:00 is not done before that: one sentence, and not a byte differs."""
    task = lines(tuesday)[0].task
    tuesday.office.start(4, task, crew="Birch", at="2026-03-03 07:00")
    before = tuesday.path.read_bytes()
    with pytest.raises(Refused) as refused:
        tuesday.office.tick(4, [task], at=at)
    [said] = refused.value.sentences
    assert "was begun Tue 3 Mar 07:00: it cannot be done before that; give a moment after it." in said
    assert tuesday.path.read_bytes() == before


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"people": 9}, "9 people; Birch was 3"),
        ({"people": -1}, "'-1' is not how many people"),
        ({"start": "16:00"}, "before it started"),
        ({"break_min": 900}, "a break of 900 min"),
        ({"waited": "900 min truck"}, "900 min of waiting; it is 0 to 510"),
    ],
)
def test_bad_hours_of_a_past_are_refused_too(tuesday, said, sentence):
    """The demo's past is told to the same use case: nothing of it is recorded."""
    worked = HoursWorked(**{"crew": "Birch", "start": "7:00", "stop": "15:30", "people": 3} | said)
    happened = Happened(job=4, at=tuesday.clock.now(), crew_hours=worked)
    before = tuesday.path.read_bytes()
    with pytest.raises(Refused, match=sentence), tuesday.office._database.unit_of_work(who="past") as uow:
        tell(uow, happened, catalogue_of(uow))
    assert tuesday.path.read_bytes() == before


@pytest.mark.parametrize("state", ["done", "called off"])
def test_hours_of_a_day_whose_job_ended_during_it_are_entered(tuesday, state):
    """The sheet asks for the hours alone and says what to do for the rest; tasks stay refused, with the way there."""
    tuesday.office.edit(4, tuesday.office.job(4).version, {"state": state})
    house = tuesday.office.evening_sheet("Birch").houses[0]
    assert house.lines == ()
    assert f"job 4 is {state}, not booked: only hours are recorded on it" in house.over
    task = next(task.number for task in tuesday.record().tasks if task.open)
    with pytest.raises(Refused, match="`crewjobs amend 4 --state booked`"):
        enter(tuesday, HouseEntry(house=1, start="7:00", stop="11:00", tasks=((task, "x"),)))
    done = enter(tuesday, HouseEntry(house=1, start="7:00", stop="11:00"))
    [hours] = tuesday.record().crew_hours
    assert hours.stop - hours.start == timedelta(hours=4)
    assert not any("how-far" in words for words in done.then), "it would be refused"
    [words] = [words for words in done.then if "nothing was ticked" in words]
    assert f"the job is {state}, so they tell no pace" in words
    *_, booked, over = [part for part in words.split("`") if part.startswith("crewjobs amend")]
    assert (booked, over) == ("crewjobs amend 4 --state booked", f"crewjobs amend 4 --state {typed(state)}")
    assert f"`{booked}`, then this sheet, then `{over}`" in house.over


def test_more_hours_than_what_was_ticked_before_a_job_was_called_off_are_not_asked_how_far(tuesday):
    """They were long for the one task: what else was begun the job takes no more, and how it does is said."""
    first = lines(tuesday)[0].task
    tuesday.office.tick(4, [first], at="10:00")
    tuesday.office.edit(4, tuesday.office.job(4).version, {"state": "called off"})
    done = enter(tuesday, HouseEntry(house=1, start="7:00", stop="7:30"))
    [words] = [words for words in done.then if "are usual for what was ticked" in words]
    assert "how-far" not in words
    assert "the job is called off. If more got done: `crewjobs amend 4 --state booked`, then record it, then " in words
