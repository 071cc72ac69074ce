"""How far a benchmark is: told now and then on standard error, and counted over processes."""

from __future__ import annotations

import pytest

from tests.benchmarks.progress import Progress, counted


def test_progress_is_told_a_line_a_minute_at_most_and_on_standard_error(capsys):
    """Every 25 s something ends: after 75 and 150 s it is told."""
    clock = iter(range(0, 1000, 25))
    progress = Progress("shops", 9, lambda: float(next(clock)))
    for done in range(1, 7):
        progress.at(done)
    said_ = capsys.readouterr()
    assert said_.out == ""
    assert said_.err.splitlines() == ["shops: 3 of 9 done in 1 min", "shops: 6 of 9 done in 2 min"]


def _add(one, other, ended):
    ended()
    return one + other


@pytest.mark.parametrize("workers", [1, 2])
def test_work_in_one_process_or_two_comes_back_in_order(workers):
    """And what ended is counted over all processes."""
    clock = iter(range(0, 100_000, 61))
    progress, seen = Progress("sums", 3, lambda: float(next(clock))), []
    progress.at = seen.append
    assert counted(_add, [(1, 2), (3, 4), (5, 6)], workers, progress) == [3, 7, 11]
    assert seen[-1] == 3
