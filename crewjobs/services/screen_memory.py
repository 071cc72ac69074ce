"""What the screens of one person remember between two runs: how they look, and where they were when a link dropped.

Kept in a small file in the person's own configuration folder, not in the database: a shop's records say nothing of how
one person reads them, and undo has nothing to do with it. A file that cannot be read or written costs nothing but that.
"""

from __future__ import annotations

import contextlib
import json
import os
import threading
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

FRESH: Final = timedelta(hours=12)
"""How long after a link dropped one comes back to the same place; later a day begins with what waits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where somebody is: the screen, the crew and day on site, the job looked at, since when ticks count.

    `day` is an ISO date; empty is today. `moment` is when it was noted, as the office has it, in ISO 8601.
    """

    screen: str = ""
    crew: str = ""
    day: str = ""
    job: int | None = None
    ticks_from: str = ""
    moment: str = ""


def name_of(database: Path | None) -> str:
    """Return what a database is remembered by, however its path is written; None and the person's own are empty."""
    from crewjobs.storage.paths import default_path

    own = os.path.realpath(default_path())
    name = os.path.realpath(database) if database is not None else own
    return "" if name == own else name


class ScreenMemory:
    """The file, read once; each change is written at once, whole, so that a dropped link leaves the last one."""

    def __init__(self, path: Path, database: str = "") -> None:
        """Read it.

        Args:
            path: the file.
            database: whose place is meant: each database has its own.
        """
        self._path = path
        self._database = database
        self._kept = _read(path)
        self._lock = threading.RLock()

    @classmethod
    def own(cls, database: Path | None) -> ScreenMemory:
        """Return the memory in the person's own configuration folder; None is their own database."""
        import platformdirs

        folder = platformdirs.user_config_path("crewjobs", appauthor=False)
        return cls(folder / "screens.json", name_of(database))

    @property
    def palette(self) -> str:
        """The name of the palette chosen last; empty where none was."""
        name = self._kept.get("palette")
        return name if isinstance(name, str) else ""

    def keep_palette(self, name: str) -> None:
        """Keep which palette was chosen."""
        self._keep({"palette": name})

    def place(self, now: datetime) -> Place | None:
        """Return where one was when the screens ended without being left, if that was not long before `now`."""
        places = self._kept.get("places")
        raw = places.get(self._database) if isinstance(places, dict) else None
        found = _place(raw)
        if found is None:
            return None
        try:
            noted = datetime.fromisoformat(found.moment)
            fresh = timedelta(0) <= now - noted <= FRESH
        except (ValueError, TypeError):
            return None
        return found if fresh else None

    def keep_place(self, place: Place, now: datetime) -> None:
        """Keep where one is."""
        with self._lock:
            self._keep_places({**self._places(), self._database: asdict(replace(place, moment=now.isoformat()))})

    def leave(self) -> None:
        """The screens were left on purpose: the next start begins with what waits."""
        with self._lock:
            places = self._places()
            if places.pop(self._database, None) is not None:
                self._keep_places(places)

    def _places(self) -> dict[str, object]:
        places = _read(self._path).get("places")
        return dict(places) if isinstance(places, dict) else {}

    def _keep_places(self, places: Mapping[str, object]) -> None:
        self._keep({"places": dict(places)})

    def _keep(self, change: Mapping[str, object]) -> None:
        beside = self._path.with_suffix(f".{os.getpid()}.new")
        with self._lock, _tried(beside):
            kept = {**_read(self._path), **change}  # another window may have written since
            self._kept = kept
            self._path.parent.mkdir(parents=True, exist_ok=True)
            beside.write_text(json.dumps(kept, indent=1, ensure_ascii=False), encoding="utf-8")
            beside.replace(self._path)


@contextlib.contextmanager
def _tried(beside: Path) -> Iterator[None]:
    """Where it cannot be written (a full disk) nothing is remembered, and no half file is left."""
    try:
        yield
    except OSError:
        with contextlib.suppress(OSError):
            beside.unlink()


def _read(path: Path) -> dict[str, object]:
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return kept if isinstance(kept, dict) else {}


def _place(raw: object) -> Place | None:
    """Return the place a file tells of; of another make than ours, none."""
    if not isinstance(raw, dict) or set(raw) - {one.name for one in fields(Place)}:
        return None
    job = raw.get("job")
    words = {name: value for name, value in raw.items() if name != "job"}
    if not all(isinstance(value, str) for value in words.values()) or not (job is None or isinstance(job, int)):
        return None
    return Place(**words, job=job)
