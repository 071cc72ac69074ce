"""`crewjobs evening` and `crewjobs how-far`: the form as printed, filled in, handed back; line by line at a terminal."""

from __future__ import annotations

import io
import json

import pytest

from crewjobs.cli.evening import form_text
from crewjobs.files.evening_text import read_form
from tests.services.conftest import empty_shop as empty_shop
from tests.services.evenings.test_evening import as_done
from tests.services.evenings.test_evening import tuesday as tuesday


class Terminal(io.StringIO):
    """Somebody at a keyboard."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def typing(tuesday, monkeypatch, run):
    """Run the command on the shop of that evening, with what somebody types."""

    def run_typed(typed: str, *words: object, terminal: bool = True):
        monkeypatch.setattr("crewjobs.cli.evening.open_office", lambda args: tuesday.office)
        monkeypatch.setattr("sys.stdin", Terminal(typed) if terminal else io.StringIO(typed))
        monkeypatch.setattr("sys.stderr.isatty", lambda: terminal, raising=False)
        return run("evening", *words)

    return run_typed


def answers(shop) -> list[str]:
    return [text for _, text in as_done(shop.office.evening_sheet("Birch").houses[0].lines)]


def test_the_form_as_printed_says_nothing(tuesday):
    """Read back without a word typed, every field of every house is empty."""
    sheet = tuesday.office.evening_sheet("Birch")
    entry = read_form(form_text(sheet), "sheet")
    assert [(house.house, house.job, house.empty) for house in entry.houses] == [(1, 4, True)]
    assert [task for task, _ in entry.houses[0].tasks] == [line.task for line in sheet.houses[0].lines]


def test_the_form_is_printed_filled_in_and_taken(typing, tuesday, tmp_path):
    """--form prints it, --from takes it: hours, ticks and the finding are recorded in one change."""
    form = typing("", "Birch", "tue", "--form", terminal=False).out
    for text in answers(tuesday):
        form = form.replace("[    ]", f"[{text}]", 1)
    form = form.replace("Stopped ____", "Stopped 15:10").replace("found ____", "found den: wet spot")
    (tmp_path / "sheet.txt").write_text(form, encoding="utf-8")
    ran = typing("", "Birch", "--from", tmp_path / "sheet.txt", "--json", terminal=False)
    assert ran.code == 0, ran.err
    assert json.loads(ran.out)["change"] == tuesday.office.changes()[0].number
    assert tuesday.record().crew_hours[0].people == 3
    assert tuesday.record().findings[0].place == "den"


def test_the_form_is_taken_from_standard_input(typing, tuesday):
    """- reads what is piped in."""
    ran = typing(
        "House 1\nStarted 7:15 Stopped 15:00 People 2\n[x] 3\n", "birch", "today", "--from", "-", terminal=False
    )
    assert ran.code == 0, ran.err
    assert tuesday.record().crew_hours[0].people == 2


def test_line_by_line_in_the_order_of_the_sheet(typing, tuesday):
    """Enter takes the plan's times, an answer each line, an empty finding ends the house."""
    typed = ["", "15:10", "", "", "20 min truck", *answers(tuesday), "den: wet spot", ""]
    ran = typing("\n".join(typed) + "\n", "Birch")
    assert ran.code == 0, ran.err
    [hours] = tuesday.record().crew_hours
    assert (hours.people, hours.break_min, len(tuesday.record().findings)) == (3, 30, 1)
    assert (hours.wait_min, hours.wait_why) == (20, "truck")
    asked = [f"  {line.task} {line.title}" for line in tuesday.office.evening_sheet("Birch").houses[0].lines]
    places = [ran.err.find(title) for title in asked]
    assert -1 not in places
    assert places == sorted(places)


def test_refused_it_asks_again_with_what_was_typed(typing, tuesday):
    """A stop before the start is refused; the second time round Enter keeps every other answer."""
    first = ["", "6:00", "2", "0", "", *answers(tuesday), ""]
    again = ["", "15:10", "", "", "", *["" for _ in answers(tuesday)], ""]
    ran = typing("\n".join([*first, *again]) + "\n", "Birch")
    assert ran.code == 0, ran.err
    assert "before it started" in ran.err
    [hours] = tuesday.record().crew_hours
    assert (hours.people, hours.break_min) == (2, 0)
    assert all(
        tuesday.record().task(n).done_at for n, _ in as_done(tuesday.office.evening_sheet("Birch").houses[0].lines)
    )


def test_a_sheet_not_typed_to_its_end_records_nothing(typing, tuesday):
    """Ctrl-D on the way: one sentence, nothing changed."""
    before = tuesday.record()
    ran = typing("\n15:10\n", "Birch")
    assert ran.code == 1
    assert "nothing was recorded" in ran.err
    assert tuesday.record() == before


def test_a_crew_not_there_is_skipped(typing, tuesday):
    """- at the start of a house: it is left out whole, and the empty sheet is refused."""
    ran = typing("-\n", "Birch")
    assert ran.code == 1
    assert "nothing was typed" in ran.err


def test_without_a_terminal_it_says_how(typing):
    """Piped without --from: one sentence names the two ways."""
    ran = typing("", "Birch", terminal=False)
    assert ran.code == 1
    assert "--form" in ran.err
    assert "--from FILE" in ran.err


REFUSED = {
    "a file that is not there": ["Birch", "--from", "nowhere.txt"],
    "no such crew": ["Willow", "--form"],
    "a day to come": ["Birch", "2026-03-09", "--form"],
    "a day that is none": ["Birch", "someday", "--form"],
}


@pytest.mark.parametrize("case", REFUSED)
def test_bad_words_are_refused_in_one_sentence(typing, case):
    """One sentence on standard error, nothing on standard output."""
    ran = typing("", *REFUSED[case], terminal=False)
    assert (ran.code, ran.out) == (1, "")
    assert len(ran.err.splitlines()) == 1
    assert "Traceback" not in ran.err


def test_how_far_by_command(run, tuesday, monkeypatch):
    """The command records as typed; on hold it names --because."""
    monkeypatch.setattr("crewjobs.cli.how_far.open_office", lambda args: tuesday.office)
    number = tuesday.number_of("carpet-out")
    held = run("how-far", "4", number, "90 of 178 ft2")
    assert held.code == 1
    assert "--because" in held.err
    ran = run("how-far", "4", number, "90 of 178 ft2", "--at", "14:00", "--because", "done out of turn")
    assert ran.code == 0, ran.err
    assert "90 of 178 ft²" in ran.out
    assert "20 of 19" in run("how-far", "4", number, "20 of 19 rows").err


@pytest.mark.parametrize(
    ("times", "sentence"),
    [
        ("Started 7:15 Stopped 25 h People 3", "a day has 24 hours"),
        ("Started 7:15 Stopped -2 h People 3", "is not a time of day"),
        ("Started 15:00 Stopped 7:00 People 3", "before it started at 15:00"),
        ("Started 7:15 Stopped 15:00 People 99", "99 people; Birch was 3"),
        ("Started 7:15 Stopped 15:00 People 3 Break 999", "a break of 999 min"),
        ("Started 7:15 Stopped 15:00 People 3 Waited nan", "'nan' is not a wait"),
    ],
)
def test_bad_hours_are_one_sentence_and_change_nothing(typing, tuesday, times, sentence):
    """What, where and what would be right; the file is as it was."""
    before = tuesday.path.read_bytes()
    ran = typing(f"House 1\n{times}\n", "birch", "today", "--from", "-", terminal=False)
    assert ran.code == 1
    assert "House 1: " in ran.err
    assert sentence in " ".join(ran.err.split())
    assert tuesday.path.read_bytes() == before


def test_times_again_replace_wrong_ones(typing, tuesday):
    """--again: the times typed stand in the place of those recorded."""
    form = "House 1\nStarted 7:15 Stopped 15:00 People {}\n"
    assert typing(form.format(1), "birch", "today", "--from", "-", terminal=False).code == 0
    assert typing(form.format(3), "birch", "today", "--from", "-", terminal=False).code == 1
    ran = typing(form.format(3), "birch", "today", "--from", "-", "--again", terminal=False)
    assert ran.code == 0, ran.err
    assert [one.people for one in tuesday.record().crew_hours] == [3]


def test_the_form_of_a_job_that_ended_that_day_asks_for_its_hours_alone(typing, tuesday):
    """No task and no finding that would be refused is asked for; filled in, or line by line, the hours are recorded."""
    tuesday.office.edit(4, tuesday.office.job(4).version, {"state": "done"})
    form = typing("", "Birch", "tue", "--form", terminal=False).out
    assert "# Job 4 is done, not booked: only hours are recorded on it." in form
    assert "[    ]" not in form
    assert "\nfound" not in form
    ran = typing(form.replace("Stopped ____", "Stopped 11:00"), "Birch", "tue", "--from", "-", terminal=False)
    assert ran.code == 0, ran.err
    assert len(tuesday.record().crew_hours) == 1
    tuesday.office.undo()
    ran = typing("7:00\n11:00\n\n\n\n", "Birch")
    assert ran.code == 0, ran.err
    assert "only hours are recorded" in " ".join(ran.err.split())
    assert len(tuesday.record().crew_hours) == 1
