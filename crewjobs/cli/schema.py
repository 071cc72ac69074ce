"""`crewjobs schema [COMMAND]`: what a command prints with `--json`, as a JSON Schema."""

from __future__ import annotations

import json
from argparse import ArgumentParser, Namespace

from crewjobs.cli.printing import add_json, emit
from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted


def arguments(command: ArgumentParser) -> None:
    """Declare which command's."""
    command.add_argument(
        "command", nargs="?", default="", metavar="COMMAND", help="of this command (default: of all, by their names)"
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the schema; it is JSON with and without --json."""
    from crewjobs.cli.commands import COMMANDS
    from crewjobs.cli.json_answers import answer_schema

    names = [name for name, _ in COMMANDS]
    if args.command and args.command not in names:
        raise Refused(f"there is no command {quoted(args.command)}: `crewjobs --help` lists them.")
    found: object = answer_schema(args.command) if args.command else {name: answer_schema(name) for name in names}
    return emit(args, found, lambda: json.dumps(found, indent=2, ensure_ascii=False))
