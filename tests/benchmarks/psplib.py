"""Published project networks read from `.sm` files, and what is known of them from `best_known.csv`."""

from __future__ import annotations

import csv
import random
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from crewjobs.domain.errors import Refused
from crewjobs.engines.scheduling.model import Activity, Lag, Mode, Problem, always


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """A published instance with its best known makespan, in periods."""

    name: str
    problem: Problem
    best_known: int


def read_sm(text: str, name: str) -> Problem:
    """Return the problem in a single-mode `.sm` file; refuse in one sentence what is none, naming `name`."""
    successors = _rows(text, "PRECEDENCE RELATIONS:", 1, name)
    requests = _rows(text, "REQUESTS/DURATIONS:", 2, name)
    available = _rows(text, "RESOURCEAVAILABILITIES:", 1, name)
    if len(available) != 1:
        raise Refused(f"{name}: one line of available units is needed under RESOURCEAVAILABILITIES.")
    pools, jobs = tuple(available[0]), len(requests)
    if [row[0] for row in successors] != [*range(1, jobs + 1)] or [row[0] for row in requests] != [*range(1, jobs + 1)]:
        raise Refused(f"{name}: jobs must be numbered 1 to {jobs} in both sections.")
    activities, lags = [], []
    horizon = sum(row[2] for row in requests if len(row) == 3 + len(pools))
    for row in requests:
        if len(row) != 3 + len(pools) or row[1] != 1:
            raise Refused(f"{name}: job {row[0]} needs one mode, a duration and units of {len(pools)} resources.")
        table = always(row[2], horizon)
        activities.append(Activity(modes=(Mode(table=table),), uses=tuple(enumerate(row[3:]))))
    for job, modes, number, *after in (row if len(row) > 2 else (*row, 0, 0, 0)[:3] for row in successors):
        if modes != 1 or number != len(after) or not all(job < other <= jobs for other in after):
            raise Refused(f"{name}: job {job} needs one mode and {number} later jobs as its successors.")
        lags += [Lag(before=job - 1, after=other - 1) for other in after]
    return Problem(activities=tuple(activities), lags=tuple(lags), pools=pools)


def _rows(text: str, title: str, heads: int, name: str) -> list[list[int]]:
    """Return the rows of whole numbers of a section, which begin `heads` lines after its title."""
    parts = text.split(title)
    if len(parts) != 2:
        raise Refused(f"{name}: the section {title.rstrip(':')} is missing; a single-mode .sm file has one.")
    rows = []
    for line in parts[1].splitlines()[1 + heads :]:
        if line.startswith("*") or not line.strip():
            break
        if line.startswith("-"):
            continue
        if not re.fullmatch(r"[\d\s]+", line):
            raise Refused(f"{name}: whole numbers are needed in {title.rstrip(':')}, not {line.strip()!r}.")
        rows.append([int(word) for word in line.split()])
    if not rows:
        raise Refused(f"{name}: the section {title.rstrip(':')} has no rows.")
    return rows


def instances(source: Path, chosen: str, limit: int, seed: int) -> list[Instance]:
    """Return `limit` instances of a set, drawn with a seed over all parameter settings; refuse in one sentence.

    `source` is a folder with `SET.zip`, a folder `SET`, or `.sm` files, or a zip file; `best_known.csv` lies beside.
    """
    try:
        files = _files(source, chosen)
    except (OSError, zipfile.BadZipFile, RuntimeError) as fault:  # RuntimeError: a zip file with a password
        raise Refused(f"{source}: the .sm files of {chosen} cannot be read ({fault}).") from None
    known = _known(source if source.is_dir() else source.parent)
    names = _drawn([name for name in files if name in known], limit, random.Random(seed))
    if not names:
        raise Refused(f"{source}: no instance of {chosen} with a row in best_known.csv.")
    return [Instance(name=n, problem=read_sm(files[n], f"{n}.sm"), best_known=known[n]) for n in names]


def _files(source: Path, chosen: str) -> Mapping[str, str]:
    found = {}
    zipped = source if source.is_file() else source / f"{chosen}.zip"
    if zipped.is_file():
        if not zipfile.is_zipfile(zipped):
            raise Refused(f"{zipped}: a zip file of .sm files is needed.")
        with zipfile.ZipFile(zipped) as opened:
            for name in opened.namelist():
                if name.endswith(".sm"):
                    found[Path(name).stem] = opened.read(name).decode("utf-8", "replace")
    elif source.is_dir():
        for path in [*source.glob("*.sm"), *(source / chosen).glob("*.sm")]:
            if path.is_file():
                found[path.stem] = path.read_text(encoding="utf-8", errors="replace")
    found = {name: text for name, text in found.items() if re.fullmatch(rf"{re.escape(chosen)}\d+_\d+", name)}
    if not found:
        raise Refused(f"{source}: no .sm files of {chosen} here; a folder or zip file with them is needed.")
    return found


def _known(folder: Path) -> dict[str, int]:
    path = folder / "best_known.csv"
    try:
        with path.open(encoding="utf-8", newline="") as opened:
            return {row["instance"]: int(row["best_known_makespan"]) for row in csv.DictReader(opened)}
    except FileNotFoundError:
        raise Refused(f"{path}: not there; it names each instance and its best_known_makespan.") from None
    except OSError as fault:
        raise Refused(f"{path}: cannot be read ({fault.strerror}).") from None
    except (KeyError, ValueError, TypeError, UnicodeDecodeError, csv.Error):
        raise Refused(f"{path}: columns instance and best_known_makespan with whole numbers are needed.") from None


def _drawn(names: list[str], limit: int, chance: random.Random) -> list[str]:
    """Return `limit` names: one of each parameter setting, in an order by chance, before a second of any."""
    settings: dict[str, list[str]] = {}
    for name in sorted(names):
        settings.setdefault(name.split("_")[0], []).append(name)
    for of_setting in settings.values():
        chance.shuffle(of_setting)
    drawn: list[str] = []
    while len(drawn) < min(limit, len(names)):
        turn = [of_setting.pop() for of_setting in settings.values() if of_setting]
        chance.shuffle(turn)
        drawn += turn
    return drawn[:limit]
