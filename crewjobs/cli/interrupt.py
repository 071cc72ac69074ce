"""Ctrl-C that ends a search instead of the program: what was found so far is kept."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def until_interrupted() -> Iterator[Callable[[], bool]]:
    """Yield what says whether Ctrl-C was pressed meanwhile; a second press ends the program as ever."""
    pressed = False

    def note(_signal: int, _frame: object) -> None:
        nonlocal pressed
        if pressed:
            raise KeyboardInterrupt
        pressed = True

    try:
        before = signal.signal(signal.SIGINT, note)
    except ValueError:  # not in the main thread, where no signal arrives
        yield lambda: False
        return
    try:
        yield lambda: pressed
    finally:
        signal.signal(signal.SIGINT, before)
