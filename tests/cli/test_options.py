"""Every option of every command reaches its command through the program's own front door."""

from __future__ import annotations

import argparse
import shlex

import pytest

from crewjobs.cli.commands import COMMANDS
from crewjobs.cli.main import _Command, build_parser
from crewjobs.domain.wording import typed


def options_of(name: str) -> list[tuple[str, bool]]:
    """Return every option string a command declares, and whether a value belongs to it."""
    alone = _Command(prog=name)
    alone.declared_by = name
    alone.declare()
    return [(text, action.nargs != 0) for action in alone._actions for text in action.option_strings]


@pytest.mark.parametrize("name", [name for name, _words in COMMANDS])
def test_every_option_of_a_command_is_its_own(name, capsys):
    """The front door sees a command's options too: none is taken for the beginning of one of its own."""
    for text, valued in options_of(name):
        if text in ("-h", "--help"):
            continue
        try:
            build_parser().parse_args([name, text, *(["1"] if valued else [])])
        except SystemExit:
            said = capsys.readouterr().err  # what is still missing, or another value, may be asked for
            assert "ambiguous" not in said, said
            assert "does not take" not in said, said


def test_the_beginning_of_an_option_is_still_enough_for_a_command():
    """As ever: ``--jso`` is ``--json`` where nothing else begins so."""
    assert build_parser().parse_args(["jobs", "--jso"]).json


def test_a_customers_no_is_recorded(run, database):
    """Asked for, then declined."""
    assert run("agreed", "4", "heated floor", "400", "--asked", "--db", database).code == 0
    ran = run("agreed", "4", "heated floor", "--no", "--by", "Lena Aldous", "--db", database)
    assert ran.code == 0, ran
    assert "Lena Aldous" in run("job", "4", "--db", database).out


@pytest.mark.parametrize("name", ["-front", "-hall", "-front room", "-x"])
def test_a_name_that_begins_with_a_dash_is_a_value(name):
    """What is offered for copying is read as it was meant, where the name is a place and where it belongs to an option."""
    line = f'found 1 {typed(name)} "suspect asbestos" --way "float over" --by {typed(name)}'
    args = build_parser().parse_args(shlex.split(line))
    assert (args.number, args.place, args.kind, args.way, args.by) == (1, name, "suspect asbestos", "float over", name)
    args = build_parser().parse_args(shlex.split(f"hours {typed(name)} 2026-03-04 --off"))
    assert (args.crew, args.off) == (name, True)


def test_an_option_with_a_dash_too_few_is_no_value(run, database):
    """It is told as what it is, not taken for a task."""
    ran = run("tick", "4", "3", "-because", "seen", "--db", database)
    assert (ran.code, "does not take -because seen" in ran.err) == (2, True)


def test_an_unknown_option_is_said_to_be_one(capsys):
    """The front door's own options want to be written out."""
    with pytest.raises(SystemExit):
        build_parser().parse_args(["--slo"])
    assert "--slo" in capsys.readouterr().err


@pytest.mark.parametrize("name", [name for name, _words in COMMANDS])
def test_what_may_be_given_again_is_shown_once_and_says_so(name, capsys):
    """No option that is given again shows its words twice, as if one option took them all."""
    alone = _Command(prog=name)
    alone.declared_by = name
    alone.declare()
    again = [action for action in alone._actions if isinstance(action, argparse._AppendAction)]
    with pytest.raises(SystemExit):
        build_parser().parse_args([name, "--help"])
    said = " ".join(capsys.readouterr().out.split())
    assert said.count("may be repeated") == len(again)
    for action in again:
        if isinstance(action.metavar, str):
            assert f"[{action.option_strings[-1]} {action.metavar}]" in said
