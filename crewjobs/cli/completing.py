"""What a shell is told when a line is completed: commands, options and their choices, and names from the database.

The library argcomplete asks the parser itself, so that a new option is completed without another word. It is loaded only when a shell asks.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

import argcomplete
from argcomplete.completers import FilesCompleter, SuppressCompleter

from crewjobs.cli.commands import COMMANDS
from crewjobs.cli.completing_words import DAYS, VALUES, kinds_after, told_words, values_before
from crewjobs.services.names import columns_at, fields_of_lists, names_at

Completer = Callable[..., dict[str, str]]

_JOBS: Final = frozenset({"number", "job", "not_at", "book", "without", "callback_of", "jobs"})
_ENDED: Final = frozenset({"job", "dump", "callback", "rates", "walk", "money", "amend", "job-record", "calendar"})
"""Commands that have to do with jobs that are closed, too."""
_TOLD: Final = {"notice": "jobs to tell", "house-ready": "booked jobs", "shopping-list": "jobs"}
"""Commands that refuse jobs of other kinds."""
_OF_JOB: Final = {
    **dict.fromkeys(("tasks", "task"), "tasks"),
    **dict.fromkeys(("room", "place", "where"), "rooms"),
    "material": "materials",
}
_BY_COMMAND: Final = {
    ("arrived", "came"): "materials and goods",
    ("arrived", "material"): "materials and goods",
    ("back-ordered", "what"): "materials and goods",
    ("returned", "what"): "materials",
    **{(command, "who"): "waited for" for command in ("promised", "chased", "came")},
    **{(command, "what"): "asked for" for command in ("promised", "chased", "came")},
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
        return _names(_TOLD.get(command, "all jobs" if command in _ENDED else "jobs"))
    if (command, action.dest) in VALUES:
        return _values(action, VALUES[command, action.dest])
    if (command, action.dest) in _BY_COMMAND:
        return _names(_BY_COMMAND[command, action.dest])
    if action.dest in _OF_JOB:
        return _names("places" if command == "found" else _OF_JOB[action.dest])
    if told_words(command, action.dest, argparse.Namespace()) is not None:
        return lambda *, parsed_args, **_: told_words(command, action.dest, parsed_args) or {}
    if command == "visit" and action.dest == "who":
        return _names("people and lead")
    if command == "import" and action.dest == "map":
        return _columns
    if command in ("day-plan", "calendar") and action.dest == "crew":
        return _names("crews and visitors")
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


def _values(action: argparse.Action, kinds: Sequence[str]) -> Completer:
    """Return what completes each value of an option in turn; of a job's material, of the job typed before it."""

    def values(*, parsed_args: argparse.Namespace, **_: object) -> dict[str, str]:
        before = values_before(action)
        words = kinds_after(kinds, before)
        kind = words[0] if len(words) == 1 else ""
        if len(words) > 1:
            return dict.fromkeys(words, "")
        if kind == "days":
            return dict.fromkeys(DAYS, "")
        if kind in ("", "like", "from", "of", "to"):
            return {kind: ""} if kind else {}
        job = int(before[0]) if before and before[0].isdecimal() else None
        return _known(parsed_args, kind, job)

    return values


def _columns(*, prefix: str, parsed_args: argparse.Namespace, **_: object) -> dict[str, str]:
    """Return ``Client=customer`` for every field once the column is typed, before that the columns of the list."""
    column, sign, _rest = prefix.partition("=")
    if sign:
        return {f"{column}={name}": says for name, says in fields_of_lists().items()}
    file = getattr(parsed_args, "file", None)
    return {f"{column}=": "" for column in (columns_at(file) if isinstance(file, Path) else ())}


def _names(what: str) -> Completer:
    def names(*, parsed_args: argparse.Namespace, **_: object) -> dict[str, str]:
        job = next(
            (value for dest in ("number", "job") if isinstance(value := getattr(parsed_args, dest, None), int)), None
        )
        return _known(parsed_args, what, job)

    return names


def _known(parsed_args: argparse.Namespace, what: str, job: int | None) -> dict[str, str]:
    named = getattr(parsed_args, "db", None)
    return names_at(Path(named) if named else None, what, job)
