"""Wrong usage is told in one sentence, whatever is amiss with the command line."""

from __future__ import annotations

import pytest

from crewjobs.cli.commands import COMMANDS
from crewjobs.cli.main import main
from crewjobs.cli.misuse import misuse_words

SAID = {
    "wek": "'wek' is no command, `week` is: `crewjobs --help` lists the commands.",
    '10:40" x': "'10:40\" x' is no command: `crewjobs --help` lists the commands.",
    "--nop": "`crewjobs` does not take --nop: `crewjobs --help` lists the commands.",
    "week a b c": "`crewjobs week` takes DATE, and b c is too much: `crewjobs week --help` shows what is asked.",
    "pin 1 16 17 Birch 2026-03-05": "`crewjobs pin` takes N TASKS CREW DAY, and 2026-03-05 is too much: "
    "`crewjobs pin --help` shows what is asked.",
    "week --weeks -1": "`crewjobs week` does not take --weeks -1: `crewjobs week --help` shows what is asked.",
    "hours Birch": "DAY is missing: `crewjobs hours --help` shows what is asked.",
    "export": "TABLE is missing: `crewjobs export --help` shows what is asked.",
    "export x": "TABLE is one of jobs, hours and material, 'x' is none of them: "
    "`crewjobs export --help` shows what is asked.",
    "week --papr x": "`crewjobs week` does not take --papr: `crewjobs week --help` shows what is asked.",
    "found 1 room": "KIND is missing: `crewjobs found --help` shows what is asked.",
    "notice 2 --paper a5": "--paper is one of letter and a4, 'a5' is none of them: `crewjobs notice --help` shows what is asked.",
    "notice 2 --paper": "--paper needs a value after it: `crewjobs notice --help` shows what is asked.",
    "job x": "N is a whole number, 'x' is none: `crewjobs job --help` shows what is asked.",
}


@pytest.mark.parametrize("line", SAID)
def test_one_sentence_says_what_is_amiss(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing but it is printed, and the exit code says wrong usage."""
    words = [line] if '"' in line else line.split(" ")
    with pytest.raises(SystemExit) as left:
        main(words)
    out, err = capsys.readouterr()
    assert (left.value.code, out, err) == (2, "", f"crewjobs: {SAID[line]}\n")


@pytest.mark.parametrize(
    ("line", "what"),
    [
        ("day-plan 2026-03-02 --crew", "--crew"),
        ("shopping-list --crew", "--crew"),
        ("calendar --crew", "--crew"),
        ("visit 4 reading --at tue --who", "--who"),
        ("reading 4 air 70F --room", "--room"),
        ("away Ines tue --to", "--to"),
        ("rates", "CREW"),
    ],
)
@pytest.mark.parametrize("name", ["", " "])
def test_an_empty_name_is_not_everybody(
    line: str, what: str, name: str, tmp_path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is written or recorded for more than was named; left out, the name stands for all."""
    words = line.split(" ")
    with pytest.raises(SystemExit) as left:
        main([*words, name, "--db", str(tmp_path / "none.db")])
    out, err = capsys.readouterr()
    said = f"{what} is empty, where a name is asked for: `crewjobs {words[0]} --help` shows what is asked."
    assert (left.value.code, out, err) == (2, "", f"crewjobs: {said}\n")


@pytest.mark.parametrize("name", [name for name, _ in COMMANDS])
def test_every_command_tells_its_own(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """An option that no command has: one line, which names the command that was typed or what it misses."""
    with pytest.raises(SystemExit) as left:
        main([name, "--no-such-thing"])
    err = capsys.readouterr().err
    assert left.value.code == 2
    assert err.count("\n") == 1
    assert f"`crewjobs {name} --help`" in err


def test_what_is_not_known_is_told_as_it_stands() -> None:
    """A message that comes with another Python: still a sentence with the way on, never an empty name."""
    assert misuse_words("argument --x: odd", "crewjobs week", ()) == (
        "argument --x: odd: `crewjobs week --help` shows what is asked."
    )
