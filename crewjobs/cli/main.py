"""The program's front door: reads the command line, runs one command, turns a refusal into a sentence.

Exit codes: 0 done, 1 refused (one sentence on standard error), 2 wrong usage.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import os
import re
import sys
from collections.abc import Sequence
from typing import Final, NoReturn

from crewjobs import __version__
from crewjobs.cli.commands import COMMANDS, module_of
from crewjobs.cli.helping import Help
from crewjobs.domain.errors import Refused

GARBAGE: Final = (20_000, 10, 20)
"""How many new values are looked through for garbage at once, and how seldom older ones: most here are frozen and never garbage
that only a search finds. With Python's own 700 a twentieth to a twelfth of planning and of screens was that search."""


def run() -> None:
    """Run the command line of this process, or answer a shell that completes it."""
    gc.set_threshold(*GARBAGE)
    # The largest matrices here have some forty rows: threads for them cost more than they bring, and sums could differ by them.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if "_ARGCOMPLETE" in os.environ:
        from crewjobs.cli.completing import complete

        complete(build_parser())
    raise SystemExit(main(sys.argv[1:]))


def main(words: Sequence[str]) -> int:
    """Run one command line and return its exit code."""
    _speak_utf8()
    parser = build_parser()
    args, rest = parser.parse_known_args(_with_negatives(words))
    if rest:
        parser.prog = getattr(args, "typed", parser.prog)  # what it does not take is told of the command that was typed
        over = [re.sub(r"^(--[a-z-]+)=(?=-)", r"\1 ", word) for word in rest]  # as it was typed
        takes = getattr(args, "takes", "")
        parser.error(f"unrecognized arguments: {' '.join(over)}{f' (takes {takes})' if takes else ''}")
    try:
        code: int = args.run(args)
    except Refused as refused:
        from crewjobs.cli.printing import clean

        for sentence in refused.sentences:  # it may hold what was typed, or what the system calls a file
            print(f"crewjobs: {clean(sentence, lines=False)}", file=sys.stderr)
        _forget_output()
        return 1
    except KeyboardInterrupt:
        print("crewjobs: stopped; what was acknowledged is kept.", file=sys.stderr)
        return 1
    except BrokenPipeError:  # the reader of a pipe (head, less) left: nobody to say anything to
        _forget_output()
        return 1
    return code


def _forget_output() -> None:
    """What could not be printed is not tried again when the process ends."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stdout.flush()
        return
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of all commands; --db and --now stand before or after the command."""
    shared = _Command(add_help=False, argument_default=argparse.SUPPRESS)
    shared.add_argument("--db", metavar="FILE", help="the database (default: in your own data folder)")
    shared.add_argument(
        "--now", metavar="MOMENT", help="show what another moment would show, such as '2026-03-03 07:00'"
    )
    parser = _Parser(
        prog="crewjobs",
        description="Job tracking and week planning for small flooring crews. Without a command: the screens.",
        parents=[shared],
        allow_abbrev=False,  # it sees the options of commands too, and would take --no of one for its own --now
    )
    parser.add_argument("--version", action="version", version=f"crewjobs {__version__}")
    parser.add_argument(
        "--slow-link",
        action=argparse.BooleanOptionalAction,
        help="spare the link: nothing is animated, little is painted (by itself over SSH; CREWJOBS_SLOW_LINK=1 or 0)",
    )
    parser.set_defaults(run=_screens)
    commands = parser.add_subparsers(title="commands", metavar="", parser_class=_Command)
    for name, words in COMMANDS:
        command = commands.add_parser(
            name,
            help=words,
            description=words[:1].upper() + words[1:] + ".",
            parents=[shared],
            formatter_class=Help,
        )
        command.declared_by = name
    return parser


def _with_negatives(words: Sequence[str]) -> list[str]:
    """Return the words with a measure below zero joined to its option (``--measured=-14'``): it is a measure, to be refused as one."""
    found: list[str] = []
    for word in words:
        if re.match(r"-\.?\d", word) and found and re.fullmatch(r"--[a-z-]+", found[-1]):
            found[-1] += f"={word}"
        elif re.match(r"-\d+/\d", word):
            found.append(f"\N{MINUS SIGN}{word[1:]}")  # a measure below zero, to be refused as one
        else:
            found.append(word)
    return found


class _Parser(argparse.ArgumentParser):
    """A parser that tells wrong usage as everything else is told: in one sentence."""

    def error(self, message: str) -> NoReturn:
        """Say what is amiss and who tells what is asked."""
        from crewjobs.cli.misuse import misuse_words
        from crewjobs.cli.printing import clean

        said = misuse_words(message, self.prog, [name for name, _ in COMMANDS])
        self.exit(2, f"crewjobs: {clean(said, lines=False)}\n")


class _Command(_Parser):
    """A command's parser, which declares its arguments when it is the one that is typed."""

    declared_by = ""

    def declare(self) -> bool:
        """Declare its arguments, once; return whether their values may stand anywhere among options."""
        name, self.declared_by = self.declared_by, ""
        if not name:
            return False
        module = module_of(name)
        module.arguments(self)
        takes = " ".join(str(one.metavar or one.dest) for one in self._actions if not one.option_strings)
        self.set_defaults(run=module.run, typed=self.prog, takes=takes)
        return bool(getattr(module, "VALUES_ANYWHERE", False))

    def parse_known_args(self, args=None, namespace=None):  # type: ignore[no-untyped-def]
        if self.declare():
            return self.parse_known_intermixed_args(args, namespace)
        return super().parse_known_args(args, namespace)

    def _parse_optional(self, arg_string):  # type: ignore[no-untyped-def]
        """Take one dash and a word as a value: rooms and crews may be called so, and no option of a command is but -h.

        Unless an option was meant, with a dash too few.
        """
        known = self._option_string_actions
        if (
            re.match(r"-[^-]", arg_string)
            and arg_string not in known
            and f"-{arg_string}".partition("=")[0] not in known
        ):
            return None
        return super()._parse_optional(arg_string)


def _screens(args: argparse.Namespace) -> int:
    from crewjobs.cli.opening import open_screens

    return open_screens(args)


def _speak_utf8() -> None:
    """A terminal that cannot show a sign gets a replacement, never a traceback."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


if __name__ == "__main__":
    run()
