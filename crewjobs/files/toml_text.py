"""TOML as a person's text: read with the line that is wrong, written short."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted

_BARE: Final = re.compile(r"[A-Za-z0-9_-]+", re.ASCII)
_AT: Final = re.compile(r"\(at (?:line (\d+), column \d+|end of document)\)$")
_NO_SECONDS: Final = re.compile(r"\d{4}-\d\d-\d\d[ T]\d{1,2}:\d\d\s*(#.*)?$")
_WIDTH: Final = 100
_LONGEST_LINE: Final = 4000
"""Nobody writes a longer one, and the standard library takes minutes over a key of fifty thousand parts."""


def parse_toml(text: str, source: str) -> dict[str, Any]:
    """Return the tables of a file.

    Raises:
        Refused: the text is not TOML; names file and line.
    """
    if not text.strip():
        raise Refused(f"{source}: the file is empty.")
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > _LONGEST_LINE:
            raise Refused(f"{source}: line {number} has {len(line)} characters: {_LONGEST_LINE} are the most.")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Refused(_sentence(str(error), text, source)) from None
    except ValueError:  # a number too long for Python to read
        raise Refused(f"{source}: a number in it is far too long.") from None
    except RecursionError:
        raise Refused(f"{source}: lists or tables are nested too deep.") from None


def _sentence(message: str, text: str, source: str) -> str:
    at = _AT.search(message)
    number = int(at[1]) if at and at[1] else text.count("\n") + 1
    lines = text.split("\n")
    line = lines[min(number, len(lines)) - 1].strip()
    what = (message[: at.start()] if at else message).strip().rstrip(".")
    return f"{source}: line {number}, {quoted(line)}: {_plainly(what, line)}"


def _plainly(what: str, line: str) -> str:
    lowered = what.lower()
    if "invalid date" in lowered:
        return "there is no such date or time; write one that exists, such as 2026-03-06."
    if "overwrite" in lowered or "twice" in lowered or "already" in lowered:
        return "this key or table is there twice; keep one."
    if _NO_SECONDS.search(line):
        return 'put date and time in quotes, such as "2026-03-06 14:00".'
    if line.count('"') % 2 or line.count('""') > line.count('= ""'):
        return 'an inch sign ends the quoted text; leave it out ("12\' 6 1/2"), or write in ("30 in").'
    return f"this is not TOML ({what[:1].lower()}{what[1:]}); write key = value, and text in quotes."


def inline(value: object) -> str:
    """Return a value on one line: text, number, date, list or table."""
    if isinstance(value, Mapping):
        if not value:
            return "{}"
        return "{ " + ", ".join(f"{_key(key)} = {inline(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(inline(item) for item in value) + "]"
    import tomli_w

    return tomli_w.dumps({"x": value})[4:-1]


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else inline(key)


def assignments(values: Mapping[str, object]) -> list[str]:
    """Return one ``key = value`` line for each value that is not None; a long list gets a line for each item."""
    lines: list[str] = []
    for key, value in values.items():
        if value is None:
            continue
        line = f"{_key(key)} = {inline(value)}"
        if len(line) > _WIDTH and isinstance(value, list | tuple):
            lines += [f"{_key(key)} = [", *(f"  {inline(item)}," for item in value), "]"]
        else:
            lines.append(line)
    return lines


def document(top: Mapping[str, object], tables: Iterable[tuple[str, Mapping[str, object]]]) -> str:
    """Return a whole file: the top's values, then each table under its heading, such as ``[site]`` or ``[[room]]``."""
    parts = [assignments(top)] if any(value is not None for value in top.values()) else []
    parts += [[heading, *assignments(values)] for heading, values in tables]
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def listed(days: frozenset[date]) -> list[date] | None:
    """Return days in order for a file, None where there are none."""
    return sorted(days) or None
