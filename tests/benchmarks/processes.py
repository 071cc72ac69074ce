"""Times of whole commands, each against starting Python alone, in one run: ``python -m tests.benchmarks.processes``.

Prints the median of several runs in milliseconds and as a multiple of an empty Python process, the expected
bound beside it. ``--jobs`` sets how many closed jobs of history the lists carry, ``--json`` prints data.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
import textwrap
import time
from collections.abc import Sequence
from pathlib import Path

from tests.benchmarks.history import fill

EXPECTED_MS = {
    "--help": 80,
    "first paint": 250,
    "waiting": 400,
    "jobs": 400,
    "load 100 job files": 5000,
    "one day plan PDF": 500,
}
PAINT = """
from pathlib import Path
from crewjobs.domain.errors import Refused
from crewjobs.screens.app import CrewApp

def no_records():
    raise Refused("this measures the first frame only.")

async def leave(pilot):
    pilot.app.exit()

CrewApp(no_records, Path(".")).run(headless=True, size=(120, 36), auto_pilot=leave)
"""


HELP_MODULES = """
import contextlib, io, sys
from crewjobs.cli.main import main
with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
    main(["--help"])
print(*sorted(name for name in sys.modules if name.split(".")[0] not in sys.stdlib_module_names))
"""


def help_modules() -> list[str]:
    """Return the modules outside the standard library that `crewjobs --help` loads."""
    done = subprocess.run([sys.executable, "-c", HELP_MODULES], check=True, capture_output=True, text=True)
    return done.stdout.split()


def median_ms(command: Sequence[str], runs: int) -> float:
    """Return the median wall time of a command over `runs` runs after a warm-up, in milliseconds."""
    times = []
    for _ in range(runs + 1):
        began = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append((time.perf_counter() - began) * 1000)
    return statistics.median(times[1:])


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--jobs", type=int, default=2000)
    parser.add_argument("--json", action="store_true")
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        figures = measure(Path(folder), args.runs, args.jobs)
    if args.json:
        print(json.dumps({"figures": figures, "help_modules": help_modules()}, indent=2))
        return
    print(f"{'what':<22}{'median ms':>11}{'× empty Python':>16}{'expected ms':>13}")
    for name, row in figures.items():
        print(f"{name:<22}{row['ms']:>11.0f}{row['times_empty']:>16.1f}{row.get('expected_ms', ''):>13}")
    modules = help_modules()
    print(f"\n--help loads {len(modules)} modules outside the standard library:")
    print(textwrap.fill(" ".join(modules), 100, initial_indent="  ", subsequent_indent="  "))


def measure(folder: Path, runs: int, jobs: int) -> dict[str, dict[str, float]]:
    """Return the figures by name."""
    run = [sys.executable, "-m", "crewjobs.cli.main"]
    database = str(folder / "bench.sqlite3")
    files = fill(Path(database), jobs, folder)
    empty = median_ms([sys.executable, "-c", "pass"], runs)
    commands: dict[str, Sequence[str]] = {
        "--help": [*run, "--help"],
        "first paint": [sys.executable, "-c", PAINT],
        "waiting": [*run, "--db", database, "waiting"],
        "jobs": [*run, "--db", database, "jobs"],
        "one day plan PDF": [*run, "--db", database, "day-plan", "2026-03-02", "--crew", "Birch", "--out", str(folder)],
    }
    figures = {"empty Python": {"ms": empty, "times_empty": 1.0}}
    for name, command in commands.items():
        ms = median_ms(command, runs)
        figures[name] = {"ms": ms, "times_empty": ms / empty, "expected_ms": EXPECTED_MS[name]}
    loads = []
    for count in range(max(1, runs // 2)):
        target = str(folder / f"load-{count}.sqlite3")
        began = time.perf_counter()
        subprocess.run([*run, "--db", target, "load", *map(str, files)], check=True, capture_output=True)
        loads.append((time.perf_counter() - began) * 1000)
    ms = statistics.median(loads)
    figures["load 100 job files"] = {
        "ms": ms,
        "times_empty": ms / empty,
        "expected_ms": EXPECTED_MS["load 100 job files"],
    }
    return figures


if __name__ == "__main__":
    main()
