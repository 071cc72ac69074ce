"""`crewjobs hours` and `crewjobs dump shop` as they are typed, as text and as JSON."""

from __future__ import annotations

import json


def test_hours_are_recorded_said_and_taken_back(run, demo_file):
    """A Saturday morning in one word or several, what it is then, usual again, off; each as a sentence."""
    words = ("--db", demo_file, "hours", "Birch")
    assert run(*words, "sat").out == "Birch does not work on Saturdays, and Sat 7 Mar is one.\n"
    done = run(*words, "sat", "8:00-12:00", "--because", "stock-taking")
    assert done.out.splitlines()[0] == "Birch works 08:00-12:00 on Sat 7 Mar (stock-taking)."
    said = "Birch works 08:00-12:00 on Sat 7 Mar instead of not at all, as recorded (stock-taking).\n"
    assert run(*words, "2026-03-07").out == said
    assert "  ! Birch works 08:00-12:00 (stock-taking)" in run("--db", demo_file, "week").out
    assert "Birch works 08:00-12:00 on Sat 7 Mar (stock-taking)" in run("--db", demo_file, "log").out
    assert run(*words, "sat", "7-12,", "13:00-15:00").out.startswith(
        "Birch works 07:00-12:00, 13:00-15:00 on Sat 7 Mar."
    )
    assert run(*words, "sat", "--usual").out.startswith("Birch has its usual hours on Sat 7 Mar again: none.")
    assert run(*words, "fri", "--off").out.startswith("Birch is off on Fri 6 Mar.")


def test_hours_as_json(run, demo_file):
    """A program reads what was done, and what the hours are."""
    words = ("--db", demo_file, "hours", "Rowan", "2026-03-12")
    row = json.loads(run(*words, "--json").out)
    assert (row["hours"], row["usual"], row["recorded"]) == ([], [], False)
    done = json.loads(run(*words, "7:00-11:00", "--json").out)
    assert done["sentence"] == "Rowan works 07:00-11:00 on Thu 12 Mar."
    row = json.loads(run(*words, "--json").out)
    assert (row["hours"], row["usual"], row["recorded"], row["day"]) == (["07:00-11:00"], [], True, "2026-03-12")


def test_what_if_names_the_command_and_the_command_does_it(run, demo_file):
    """The last line of a day off supposed is typed as it stands, and is taken."""
    text = run("--db", demo_file, "what-if", "--off", "Birch", "fri").out
    command = text.rstrip().splitlines()[-1].split("`")[1]
    assert command == "crewjobs hours Birch 2026-03-06 --off"
    done = run("--db", demo_file, *command.split()[1:])
    assert done.code == 0
    assert done.out.startswith("Birch is off on Fri 6 Mar.")


def test_the_shop_is_dumped_and_loaded(run, demo_file, tmp_path):
    """`dump shop` prints the file that load reads, with the days recorded; written to a file it overwrites nothing."""
    run("--db", demo_file, "hours", "Birch", "sat", "8:00-12:00")
    text = run("--db", demo_file, "dump", "shop").out
    assert 'hours_on = { 2026-03-07 = "8:00-12:00" }' in text
    assert json.loads(run("--db", demo_file, "dump", "shop", "--json").out) == {
        "shop": "Linden Floor Crew",
        "text": text,
    }
    file = tmp_path / "shop.toml"
    assert run("--db", demo_file, "dump", "shop", "--out", file).code == 0
    assert file.read_text(encoding="utf-8") == text
    assert run("--db", demo_file, "load", file).code == 0
    refused = run("--db", demo_file, "dump", "shop", "--out", file)
    assert (refused.code, "overwrites nothing" in refused.err) == (1, True)
    assert run("--db", demo_file, "dump", "shops").code == 2
