"""What a shell is told when a line is completed: commands, options and their choices, and names from the database.

The library argcomplete asks the parser itself, so that a new option is completed without another word. It is loaded only when a shell asks.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from pathlib import Path
from typing import Final

import argcomplete
from argcomplete.completers import FilesCompleter, SuppressCompleter

from crewjobs.cli.commands import COMMANDS
from crewjobs.services.names import names_at

Completer = Callable[..., dict[str, str]]

_JOBS: Final = frozenset({"number", "job", "not_at", "book", "without", "callback_of", "jobs"})
_ENDED: Final = frozenset({"job", "dump", "callback", "rates", "walk", "money", "amend", "job-record"})
"""Commands that have to do with jobs that are closed, too."""
_OF_JOB: Final = {
    **dict.fromkeys(("tasks", "task"), "tasks"),
    **dict.fromkeys(("room", "place", "where"), "rooms"),
    "material": "materials",
}
_PEOPLE: Final = frozenset({"worker", "person"})


def complete(parser: argparse.ArgumentParser) -> None:
    """Answer the shell that asked, and end the process; nothing where no shell asked."""
    line = os.environ.get("COMP_LINE", "").split()
    for action in parser._actions:
        for name, command in (action.choices or {}).items() if isinstance(action.choices, dict) else ():
            if name in line:  # its arguments are looked at by the library before they would be declared
                command.declare()
                _teach(command, name)
    _teach(parser, "")
    argcomplete.autocomplete(parser, always_complete_options=False, default_completer=SuppressCompleter())


def _teach(command: argparse.ArgumentParser, name: str) -> None:
    """Say of every argument of a command what completes it."""
    for action in command._actions:
        completer = _completer(action, name)
        if completer is not None:
            action.completer = completer  # type: ignore[attr-defined]


def _completer(action: argparse.Action, command: str) -> Completer | FilesCompleter | None:
    if action.choices is not None or action.nargs == 0:
        return None
    if action.type is Path or action.metavar in ("FILE", "FOLDER"):
        return FilesCompleter()
    if action.dest in _JOBS and action.type is int:
        return _names("all jobs" if command in _ENDED else "jobs")
    if action.dest in _OF_JOB:
        return _names(_OF_JOB[action.dest])
    if action.dest == "crew" or action.metavar == "CREW":
        return _names("crews")
    if action.dest in _PEOPLE:
        return _names("people")
    if command == "dump" and action.dest == "what":
        return lambda **given: {**_names("all jobs")(**given), "shop": "the shop"}
    if command == "schema" and action.dest == "command":
        return _commands
    return None


def _commands(**_: object) -> dict[str, str]:
    return dict(COMMANDS)


def _names(what: str) -> Completer:
    def names(*, parsed_args: argparse.Namespace, **_: object) -> dict[str, str]:
        named = getattr(parsed_args, "db", None)
        job = next(
            (value for dest in ("number", "job") if isinstance(value := getattr(parsed_args, dest, None), int)), None
        )
        return names_at(Path(named) if named else None, what, job)

    return names
