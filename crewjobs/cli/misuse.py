"""Wrong usage in one sentence: what of the command line is amiss, and where what it takes is told."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import Final

from crewjobs.cli.named import EMPTY
from crewjobs.domain.wording import listed

_CHOSEN: Final = r"invalid choice: (?P<typed>.*) \(choose from (?P<choices>.*)\)"


def misuse_words(message: str, prog: str, commands: Sequence[str]) -> str:
    """Return what argparse found amiss in one sentence; `prog` is the command as typed, ``crewjobs week``.

    A message of a kind that is not known stands as it is.
    """
    for pattern, say in _KINDS:
        found = re.fullmatch(pattern, message, re.DOTALL)
        if found is not None:
            return f"{say(found, prog, commands)}: `{prog} --help` {_shows(prog)}."
    return f"{message}: `{prog} --help` {_shows(prog)}."


def _shows(prog: str) -> str:
    return "shows what is asked" if " " in prog else "lists the commands"


def _no_command(found: re.Match[str], _prog: str, commands: Sequence[str]) -> str:
    near = get_close_matches(found["typed"].strip("'\"").casefold(), commands, n=2)
    meant = f", {listed([f'`{name}`' for name in near])} {'is' if len(near) == 1 else 'are'}" if near else ""
    return f"{found['typed']} is no command{meant}"


def _no_choice(found: re.Match[str], _prog: str, _commands: Sequence[str]) -> str:
    choices = [one.strip(" '\"") for one in found["choices"].split(", ")]
    return f"{found['what']} is one of {listed(choices, most=12)}, {found['typed']} is none of them"


def _no_number(found: re.Match[str], _prog: str, _commands: Sequence[str]) -> str:
    kind = "a whole number" if found["kind"] == "int" else "a number"
    return f"{found['what']} is {kind}, {found['typed']} is none"


def _missing(found: re.Match[str], _prog: str, _commands: Sequence[str]) -> str:
    names = found["names"].split(", ")
    return f"{listed(names, most=9)} {'is' if len(names) == 1 else 'are'} missing"


def _too_much(found: re.Match[str], prog: str, _commands: Sequence[str]) -> str:
    if found["takes"] and not found["rest"].startswith("-"):
        return f"`{prog}` takes {found['takes']}, and {found['rest']} is too much"
    return f"`{prog}` does not take {found['rest']}"


def _no_value(found: re.Match[str], _prog: str, _commands: Sequence[str]) -> str:
    values = "a value" if found["many"].endswith("one") else f"{found['many']} values"
    return f"{found['what']} needs {values} after it"


def _not_together(found: re.Match[str], _prog: str, _commands: Sequence[str]) -> str:
    return f"{found['what']} and {found['other']} exclude each other"


def _empty(found: re.Match[str], _prog: str, _commands: Sequence[str]) -> str:
    return f"{found['what']} is empty, where a name is asked for"


_KINDS: Final[tuple[tuple[str, Callable[[re.Match[str], str, Sequence[str]], str]], ...]] = (
    (rf"argument ?:? ?{_CHOSEN}", _no_command),
    (rf"argument (?P<what>[^:]+): {_CHOSEN}", _no_choice),
    (r"argument (?P<what>.+): invalid (?P<kind>int|float) value: (?P<typed>.*)", _no_number),
    (r"the following arguments are required: (?P<names>.*)", _missing),
    (r"unrecognized arguments: (?P<rest>.*?)(?: \(takes (?P<takes>[^()]*)\))?", _too_much),
    (rf"argument (?P<what>[^:]+): {EMPTY}", _empty),
    (r"argument (?P<what>[^:]+): expected (?P<many>.+) arguments?", _no_value),
    (r"argument (?P<what>[^:]+): not allowed with argument (?P<other>.*)", _not_together),
)
