"""What the office tells as commands, the screens tell as keys."""

from __future__ import annotations

import pytest

from crewjobs.cli.commands import COMMANDS
from crewjobs.domain.furniture import ANOTHER_PLACE
from crewjobs.domain.goods import ORDERED_IN_THE_FILE
from crewjobs.screens.import_list import DATES, HOW_DAYS
from crewjobs.screens.in_keys import KEYS, OF_THE_FORM, in_keys
from crewjobs.screens.keys import MEANINGS
from crewjobs.screens.widgets.job_page import hold_lines
from crewjobs.services.forms.fields import JOB_PAGES
from crewjobs.services.weeks.toilets import NO_TOILET


@pytest.mark.parametrize(
    ("sentence", "told"),
    [
        ("settle it, then plan again: `crewjobs plan`", "settle it, then plan again: p in Week"),
        ("tell when: `crewjobs ready 7 --item power`; overdue", "tell when: r (house ready); overdue"),
        ("do it: `crewjobs tick 4 25`", "do it: Enter on task 25"),
        ("do it: `crewjobs tick 4 25 26`", "do it: Enter on tasks 25 and 26"),
        ("anew: `crewjobs moves 4 --from-here`", "anew: m in Rooms"),
        ("`crewjobs moves 4` finds which first", "p in Rooms finds which first"),
        ("`crewjobs moves 4` shows what is carried where", "Enter in Rooms shows what is carried where"),
        (
            'For what was done: `crewjobs amend 4 --state booked`, then this sheet, then `crewjobs amend 4 --state "called off"`.',
            "For what was done: e on the job (State: booked), then this sheet, then e on the job (State: called off).",
        ),
        ("`crewjobs amend 4 --state booked --promised 2026-03-06` promises", "e on the job promises"),
        ("see `crewjobs heights 4`", "see `crewjobs heights 4`"),
        (
            "so there are no stages: say what stands there, such as `crewjobs furniture 3 'big room' 'usual bedroom, 2 bookcase'`.",
            "so there are no stages: e in Rooms says what stands there, such as usual bedroom, 2 bookcase.",
        ),
        ("crewjobs plan", "crewjobs plan"),
        ("a number: say --dates serial if it is, or write", f"a number: {OF_THE_FORM[1][1]}, or write"),
        (
            "none: `crewjobs dump 22 --out job-22.toml` writes the file to add rooms and material to, "
            "`crewjobs load job-22.toml --replace` brings it back.",
            "none: e on job 22 adds rooms and material.",
        ),
        (
            "A way on: cut out. `crewjobs found 4 kitchen rot --way replaced` with --by and --because (--because says what stopped it).",
            "A way on: cut out. r (the way on from a finding) with By whom and On what (On what says what stopped it).",
        ),
        (
            "Way on: proven clear; it needs --laboratory, --sampled and --sample.",
            "Way on: proven clear; it needs Laboratory, Sampled and Sample.",
        ),
        (
            "'replaced' opens nothing without --because (why, or on what): --because says",
            "'replaced' opens nothing without On what (why, or on what): On what says",
        ),
        (
            "How much of it is seen was not said (`--area`): from 10 ft²",
            "How much of it is seen was not said (Seen): from 10 ft²",
        ),
        ("Where it is of sewage, say so (`--what`): it is", "Where it is of sewage, say so (More): it is"),
        (
            "`crewjobs agreed 4 'x' --asked` when the customer is asked, with `--by NAME` in the place of --asked when they agree.",
            "r (change order) when the customer is asked, with Answered by and Agreed when they agree.",
        ),
        ("give the reason with --because", "give the reason with --because"),
        (f"add a garage {ANOTHER_PLACE}.", f"add a garage {OF_THE_FORM[0][1]}."),
        (
            f"write that day {ORDERED_IN_THE_FILE}, then",
            "write that day into its order (e on the job, Whole job: page Order, Ordered), then",
        ),
        (NO_TOILET.format(other=""), f"{NO_TOILET.format(other='').partition(' (')[0]} {OF_THE_FORM[2][1]}"),
    ],
)
def test_a_command_is_told_as_its_key(sentence: str, told: str) -> None:
    """A command with a key becomes it; one without, and what is none, stays."""
    assert in_keys(sentence) == told


def test_a_hold_that_is_cut_tells_its_key_as_well() -> None:
    """In one line of a narrow screen no command begins that has a key."""
    hold = "rot found in den: no way on is taken (`crewjobs found 4 den rot --way …`); waits for the floor to be dry"
    (line,) = hold_lines(hold, 70, ("task", 4, 1), whole=False)
    text = "".join(piece.text for piece in line)
    assert "crewjobs" not in text
    assert "(r (the way on from" in text


def test_every_command_told_so_is_one() -> None:
    """No entry names a command that there is not, or a key that does not exist."""
    assert set(KEYS) <= {name for name, _ in COMMANDS}
    displays = {"^p": "ctrl+p", "Enter": "enter"}
    for words in KEYS.values():
        key = words.split()[0]
        assert displays.get(key, key) in {*MEANINGS, "ctrl+p"}, words


def test_the_form_has_what_sentences_say_it_has() -> None:
    """The page and the fields that a sentence sends a hand to are there, under these names."""
    room = next(page for page in JOB_PAGES if page.kind == "room")
    words = OF_THE_FORM[0][1]
    assert room.title in words
    for key in ("floor", "keeps"):
        assert room.entry(key).label in words
    order = next(page for page in JOB_PAGES if page.kind == "order")
    (words,) = (form for file, form in OF_THE_FORM if file == ORDERED_IN_THE_FILE)
    assert f"page {order.title}, {order.entry('ordered').label})" in words
    assert "serial" in {value: name for name, value in DATES}
    assert "how days" in HOW_DAYS.casefold()
    assert {value: name for name, value in DATES}["serial"] in OF_THE_FORM[1][1]
