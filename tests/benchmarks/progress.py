"""How far a long run is, on standard error: a line a minute at most, so that the figures alone are on standard output."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, wait
from itertools import count
from multiprocessing import get_context
from typing import Any, TypeVar

T = TypeVar("T")

EVERY = 60.0
LOOK = 5.0
"""Seconds between two looks at what other processes have done."""


class Progress:
    """Tells how many of so many things are done, at most once in `EVERY` seconds."""

    def __init__(self, what: str, whole: int, clock: Callable[[], float] = time.monotonic) -> None:
        self.what, self.whole, self._clock = what, whole, clock
        self._began = self._told = clock()

    def at(self, done: int) -> None:
        """Say how many are done, if the last line is old enough."""
        now = self._clock()
        if now - self._told >= EVERY:
            self._told = now
            minutes = (now - self._began) / 60
            print(f"{self.what}: {done} of {self.whole} done in {minutes:.0f} min", file=sys.stderr, flush=True)


def one_thread_a_process() -> None:
    """Let each process started from here on use one core: linear algebra on all of them in every process made a run three times longer."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ.setdefault(name, "1")


_ended: Any = None
"""How many things all processes have ended, shared by them; set in a process that works for `counted`."""


def counted(work: Callable[..., T], asked: Sequence[Sequence[Any]], workers: int, progress: Progress) -> list[T]:
    """Return what `work` makes of each of the things asked, in their order.

    It is called with those and with what it calls whenever it has ended one more of what `progress` counts.
    """
    if workers == 1:
        ended = count(1)
        return [work(*one, lambda: progress.at(next(ended))) for one in asked]
    one_thread_a_process()
    context = get_context("spawn")
    number = context.Value("i", 0)
    with ProcessPoolExecutor(workers, mp_context=context, initializer=_begin, initargs=(number,)) as pool:
        futures = [pool.submit(_one, work, one) for one in asked]
        waiting = set(futures)
        while waiting:
            waiting = wait(waiting, timeout=LOOK).not_done
            progress.at(number.value)
        return [future.result() for future in futures]


def _begin(number: Any) -> None:
    global _ended
    _ended = number


def _one(work: Callable[..., T], one: Sequence[Any]) -> T:
    return work(*one, _count)


def _count() -> None:
    with _ended.get_lock():
        _ended.value += 1
