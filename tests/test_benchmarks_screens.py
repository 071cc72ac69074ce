"""The benchmark from key to paint: it times what it says, and refuses what cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewjobs.screens.keys import MEANINGS
from tests.benchmarks import screens
from tests.benchmarks.screens import KEYS, Times, Watched, measured
from tests.screens.fake_office import FakeOffice


def test_times_are_told_with_their_percentile() -> None:
    """Of a hundred times 1 to 100 ms: median 50.5, 95th percentile 95.05 as numpy interpolates it."""
    times = [float(one) for one in range(1, 101)]
    told = Times(first=times, whole=times, work=times).told()
    assert (told["keys"], told["first_median_ms"], told["first_p95_ms"]) == (100, 50.5, pytest.approx(95.05, abs=0.06))


async def test_a_key_is_timed_to_the_frame_that_shows_it(tmp_path: Path) -> None:
    """Every key that moves something has a first frame, none before the key, and none later than the last."""
    app = Watched(FakeOffice, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        found = await measured(pilot, app, ["a furniture stage or room"])
    (times,) = found.values()
    assert len(times.first) == len(times.whole) == len(times.work) > 0
    assert all(0 < first <= last for first, last in zip(times.first, times.whole, strict=True))
    assert all(work > 0 for work in times.work)


def test_the_keys_timed_are_keys() -> None:
    """No kind of key is made of keys that mean nothing; letters of words are typed."""
    for name, (lead, keys) in KEYS.items():
        known = set(MEANINGS) | (set("maple street") if "letter" in name else set())
        assert {*lead, *keys} <= known, name


@pytest.mark.parametrize("words", [["--jobs", "-1"], ["--jobs", "many"], ["--columns", "3"], ["--only", "nothing so"]])
def test_what_cannot_be_is_refused(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """One sentence and status 2, before anything is made."""
    with pytest.raises(SystemExit) as left:
        screens.main(words)
    assert left.value.code == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1
