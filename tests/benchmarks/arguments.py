"""What the benchmarks take on their command lines: bad values end in one sentence and status 2, never in a traceback."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable
from typing import NoReturn

MOST_SEED = 2**31 - 1
"""The solvers take seeds of 31 bits; those drawn for further instances stay below it too."""
MOST_SECONDS = 24 * 60 * 60
MOST_WORKERS = 64


class Arguments(argparse.ArgumentParser):
    """A parser that says in one sentence what is wrong, without the usage."""

    def error(self, message: str) -> NoReturn:
        """Print the sentence and end with status 2."""
        self.exit(2, f"{self.prog}: {message}\n")


def whole(least: int, most: int) -> Callable[[str], int]:
    """Return what reads a whole number between two bounds, both of which are allowed."""

    def read(text: str) -> int:
        try:
            number = int(text)
        except ValueError:
            number = least - 1
        if not least <= number <= most:
            raise argparse.ArgumentTypeError(f"a whole number from {least} to {most} is needed, not {text!r}")
        return number

    return read


def seconds(text: str) -> float:
    """Read seconds: 0 or more, a day at most."""
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not 0 <= number <= MOST_SECONDS:
        raise argparse.ArgumentTypeError(f"seconds from 0 to {MOST_SECONDS} are needed, not {text!r}")
    return number
