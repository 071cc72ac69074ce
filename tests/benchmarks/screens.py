"""From key to paint, with years of history behind the shop: ``python -m tests.benchmarks.screens --jobs 2000``.

Makes the demo with so many closed jobs behind it, runs the screens without a terminal and presses keys. Key to paint is
from the key's arrival to the moment the screen's frame that shows its consequence has been made and handed to the
terminal; what a terminal and a link add is not in it. Of what asks the office first (another screen, a tick), `first`
is the first frame that answers the key (it may say "reading …") and `whole` the last one that shows what was asked for.
`work` is what the processor worked for the screens until the first: other work on the machine lengthens the others, not
this. Prints the median and the 95th percentile of each in milliseconds beside what is expected on an idle core, and how
long a loop takes that only computes, median and slowest, to tell how busy the machine was.
"""

from __future__ import annotations

import asyncio
import json
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import numpy as np
from textual.events import Key
from textual.keys import _character_to_key
from textual.pilot import Pilot

from crewjobs.screens import warming
from crewjobs.screens.app import _TURN_SECONDS, CrewApp
from crewjobs.services.office import Office
from tests.benchmarks.arguments import Arguments, whole
from tests.benchmarks.history import fill

EXPECTED_MS: Final = 50
SETTLE_SECONDS: Final = 20.0
"""How long the consequences of a key are waited for before the next is pressed."""
QUIET_SECONDS: Final = 0.12
"""Nothing painted and no worker at work for so long: the key's consequences are all there."""
NOW: Final = "2026-03-02 06:30"


@dataclass
class Times:
    """Milliseconds of one kind of key."""

    first: list[float] = field(default_factory=list)
    whole: list[float] = field(default_factory=list)
    work: list[float] = field(default_factory=list)

    def told(self) -> dict[str, float]:
        """Return medians and 95th percentiles."""
        found: dict[str, float] = {"keys": len(self.first)}
        for name, times in (("first", self.first), ("whole", self.whole), ("work", self.work)):
            found[f"{name}_median_ms"] = round(statistics.median(times), 1)
            found[f"{name}_p95_ms"] = round(float(np.percentile(times, 95)), 1)
        return found


class Watched(CrewApp):
    """The app, noting when a frame was handed to the terminal."""

    LOOK_SECONDS = 0.0
    LOOK_AFTER_SECONDS = 0.0

    def __init__(self, *args: Any, **named: Any) -> None:
        """Note nothing yet."""
        super().__init__(*args, **named)
        self.painted: list[float] = []
        self.worked: list[float] = []

    def _display(self, screen: Any, renderable: Any) -> None:
        """Make the frame as for a terminal, and note when it is there."""
        super()._display(screen, renderable)
        if renderable is not None and screen is self.screen:
            render = getattr(renderable, "render_segments", None)
            if render is not None:
                render(self.console)  # what a terminal's driver is given
            self.painted.append(time.perf_counter())
            self.worked.append(time.thread_time())


KEYS: Final[dict[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "down a list of jobs, closed ones too": (("3", "v"), ("down",) * 30),
    "a page down that list": ((), ("pagedown",) * 10),
    "to its end and back": ((), ("end", "home") * 5),
    "its next order": ((), ("o",) * 8),
    "a letter of what is to be found": (("slash",), tuple("maple street")),
    "down what waits": (("escape", "escape", "1"), ("down",) * 20),
    "about the week": (("2",), ("down", "down", "right", "down", "left", "up") * 4),
    "a week on and back": ((), ("right_square_bracket", "left_square_bracket") * 5),
    "from screen to screen": (("1",), ("2", "3", "4", "5", "6", "1") * 4),
    "down a day on site": (("4",), ("down",) * 15),
    "a day on and back": ((), ("right_square_bracket", "left_square_bracket") * 5),
    "a tick and its undo": (("home",), ("enter", "u") * 5),
    "down a job's page": (("3", "home", "enter"), ("down",) * 20),
    "a furniture stage or room": (("5",), ("right", "left") * 5),
    "down the rates": (("6",), ("down",) * 15),
    "help and back": (("1",), ("question_mark", "escape") * 5),
}
"""What is timed: the keys that lead there, and those whose time is taken."""


async def _quiet(app: Watched, since: float, seconds: float = SETTLE_SECONDS) -> None:
    """Wait until nothing is at work and nothing was painted for a while."""
    while time.perf_counter() - since < seconds:
        last = app.painted[-1] if app.painted else since
        odds = {"odds", "place"}  # looked at beside the screens; no key waits for them
        busy = any(worker.group not in odds for worker in app.workers)
        if not busy and time.perf_counter() - max(last, since) > QUIET_SECONDS:
            return
        await asyncio.sleep(0.01)


async def measured(pilot: Pilot[None], app: Watched, names: Sequence[str]) -> dict[str, Times]:
    """Press the keys and return what each kind took."""
    times: dict[str, Times] = {}
    await warming.load()  # as at a terminal, beside the first screen
    await _quiet(app, time.perf_counter())
    for name in names:
        lead, keys = KEYS[name]
        for key in lead:
            began = time.perf_counter()
            _press(app, key)
            await _quiet(app, began)
        times[name] = Times()
        for key in keys:
            app.painted.clear()
            app.worked.clear()
            began, work = time.perf_counter(), time.thread_time()
            _press(app, key)
            await _quiet(app, began)
            if app.painted:  # a key at the end of a list moves nothing
                times[name].first.append((app.painted[0] - began) * 1000)
                times[name].whole.append((app.painted[-1] - began) * 1000)
                times[name].work.append((app.worked[0] - work) * 1000)
    return times


def _press(app: Watched, key: str) -> None:
    """Hand a key to the app as a terminal's driver does."""
    name = _character_to_key(key) if len(key) == 1 and not key.isalnum() else key
    event = Key(name, key if len(key) == 1 else None)
    event.set_sender(app)
    assert app._driver is not None
    app._driver.send_message(event)


def computing(runs: int = 40) -> dict[str, float]:
    """Return how long a loop that only computes takes, median and slowest: how busy the machine is with other work."""
    took = []
    for _ in range(runs):
        began = time.perf_counter()
        sum(range(200_000))
        took.append((time.perf_counter() - began) * 1000)
    return {"median_ms": round(statistics.median(took), 2), "slowest_ms": round(max(took), 2)}


def measure(folder: Path, jobs: int, size: tuple[int, int], names: Sequence[str]) -> dict[str, Any]:
    """Return the figures by kind of key."""
    database = folder / "bench.sqlite3"
    fill(database, jobs, folder)

    def office() -> Office:
        return Office.at(database=database, pretend=NOW)

    app = Watched(office, folder / "pages")
    found: dict[str, Times] = {}

    async def drive(pilot: Pilot[None]) -> None:
        found.update(await measured(pilot, app, names))
        app.exit()

    before = computing()
    sys.setswitchinterval(_TURN_SECONDS)  # as the screens have it
    app.run(headless=True, size=size, auto_pilot=drive)
    told = {name: times.told() for name, times in found.items() if times.first}
    every = [one for times in found.values() for one in times.first]
    work = [one for times in found.values() for one in times.work]
    return {
        "jobs_of_history": jobs,
        "columns": size[0],
        "lines": size[1],
        "keys": told,
        "all_first_median_ms": round(statistics.median(every), 1),
        "all_first_p95_ms": round(float(np.percentile(every, 95)), 1),
        "all_work_median_ms": round(statistics.median(work), 1),
        "all_work_p95_ms": round(float(np.percentile(work, 95)), 1),
        "expected_p95_ms": EXPECTED_MS,
        "computing_before": before,
        "computing_after": computing(),
        "other_work": round(os.getloadavg()[0], 1) if hasattr(os, "getloadavg") else None,
    }


def main(words: Sequence[str] | None = None) -> None:
    """Measure and print."""
    parser = Arguments(prog="python -m tests.benchmarks.screens", description=__doc__)
    parser.add_argument("--jobs", type=whole(0, 20_000), default=2000, help="closed jobs of history (2000)")
    parser.add_argument("--columns", type=whole(40, 300), default=120)
    parser.add_argument("--lines", type=whole(20, 100), default=36)
    parser.add_argument("--only", default="", help="kinds of keys with these words in their name")
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args(words)
    names = [name for name in KEYS if args.only in name]
    if not names:
        parser.error(f"no kind of key has {args.only!r} in its name")
    with tempfile.TemporaryDirectory() as folder:
        found = measure(Path(folder), args.jobs, (args.columns, args.lines), names)
    print(json.dumps(found, indent=2) if args.json else table(found))


def table(found: dict[str, Any]) -> str:
    """Return the figures as people read them."""
    lines = [
        f"Key to paint in ms, {found['jobs_of_history']} jobs of history, {found['columns']}x{found['lines']}",
        f"{'':<38}{'keys':>5}{'first':>9}{'95 %':>8}{'whole':>9}{'95 %':>8}{'work':>9}{'95 %':>8}",
    ]
    for name, row in found["keys"].items():
        first, whole_ = f"{row['first_median_ms']:.0f}", f"{row['whole_median_ms']:.0f}"
        lines.append(
            f"{name:<38}{row['keys']:>5.0f}{first:>9}{row['first_p95_ms']:>8.0f}{whole_:>9}{row['whole_p95_ms']:>8.0f}"
            f"{row['work_median_ms']:>9.0f}{row['work_p95_ms']:>8.0f}"
        )
    busy = found["computing_after"]
    lines += [
        f"all first frames: median {found['all_first_median_ms']}, 95 % {found['all_first_p95_ms']}; "
        f"expected on an idle core: under {found['expected_p95_ms']} at 95 %",
        f"of these the processor worked for the screens: median {found['all_work_median_ms']}, 95 % {found['all_work_p95_ms']}",
        f"a loop that only computes: median {busy['median_ms']}, slowest {busy['slowest_ms']}; "
        f"load of the machine {found['other_work']}",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    main()
