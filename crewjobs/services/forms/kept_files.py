"""The files that open forms are kept in: one for each window, in the person's own state folder.

Readable by nobody else, since an address or an entry note may stand in it. A window holds the lock of its file as long as it
lives, so that another one takes up only what nobody has open any more.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import itertools
import json
import os
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from crewjobs.domain.wording import moment_words
from crewjobs.services.forms.kept import NOT_SENT, KeptForm, KeptPage

if TYPE_CHECKING:
    from filelock import FileLock


_NO_ROOM: Final = (errno.ENOSPC, errno.EDQUOT)


class KeptForms:
    """The files of one database's open forms; a file that cannot be written or read costs nothing but that."""

    def __init__(self, folder: Path, database: str = "") -> None:
        """Take where the files lie.

        Args:
            folder: made when the first form is kept.
            database: whose forms are meant.
        """
        self._folder = folder
        self._name = hashlib.sha256(database.encode()).hexdigest()[:16]
        self._own = folder / f"{self._name}-{os.getpid()}.json"
        self._lock: FileLock | None = None
        self._writing = threading.Lock()

    @classmethod
    def own(cls, database: Path | None) -> KeptForms:
        """Return those in the person's own state folder; None is their own database."""
        import platformdirs

        folder = platformdirs.user_state_path("crewjobs", appauthor=False)
        return cls(folder / "open-forms", str(database.absolute()) if database is not None else "")

    def keep(self, form: Callable[[], KeptForm | None]) -> str:
        """Keep what is typed in the form that is open, whole, in the place of what was kept before.

        Returns why that cannot be done, a sentence; empty where it was.

        Args:
            form: tells what is typed when it is written; None where it was closed meanwhile.
        """
        from filelock import Timeout

        with self._writing:
            try:
                self._keep(form)
            except Timeout:
                return ""  # another window has it: that one keeps what is its own
            except OSError as error:
                self._remove(self._beside)
                full = error.errno in _NO_ROOM
                why = "the disk is full" if full else error.strerror or "its folder cannot be written"
                until = "there is room" if full else "that folder can be written to"
                return (
                    f"What is typed here cannot be kept: {why} ({self._folder}). Until {until} it is lost "
                    "where the screens end before it is written down."
                )
        return ""

    @property
    def _beside(self) -> Path:
        return self._own.with_suffix(".new")

    def _keep(self, form: Callable[[], KeptForm | None]) -> None:
        beside = self._beside
        found = form()
        if found is None:
            return
        self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        self._hold()
        with open(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as out:
            json.dump(asdict(found), out, ensure_ascii=False)
        beside.replace(self._own)

    def put_back(self, form: KeptForm) -> None:
        """Keep a form that was left and cannot be opened now, for the next start; it is this window's no more."""
        with self._writing, contextlib.suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            number = next(n for n in itertools.count(1) if not self._own.with_stem(f"{self._own.stem}-{n}").exists())
            path = self._own.with_stem(f"{self._own.stem}-{number}")
            with open(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as out:
                json.dump(asdict(form), out, ensure_ascii=False)
        self.drop()

    def drop(self) -> None:
        """The form was closed, by whatever way: nothing of it is kept."""
        with self._writing:
            self._remove(self._own)
            if self._lock is not None:
                lock, self._lock = self._lock, None
                lock.release()
                self._remove(Path(lock.lock_file))

    def left(self, zone: tzinfo | None = None) -> KeptForm | None:
        """Return the newest form that no living window has open, None where there is none; its file is this window's from now on.

        It is what is kept until the form is open and keeps itself, or is dropped: a link may drop again before that.

        Args:
            zone: the shop's, by whose clock it is told from when it is; None is this machine's, while there is no shop.
        """
        from filelock import FileLock, Timeout

        for path in self._others():
            with contextlib.suppress(OSError, Timeout):
                if path == self._own:  # of a process that had this one's number
                    form = self._claimed(path, zone)
                else:
                    with FileLock(path.with_suffix(".lock"), timeout=0, mode=0o600):
                        form = self._claimed(path, zone)
                        self._remove(path.with_suffix(".lock"))
                if form is not None:
                    return form
        return None

    def _claimed(self, path: Path, zone: tzinfo | None) -> KeptForm | None:
        """Return what a file of a window that is no more keeps, and have it as this one's; one of another make is removed."""
        with self._writing:
            form = _read(path, zone)
            if form is None:
                self._remove(path)
                return None
            self._hold()
            if path != self._own:
                path.replace(self._own)
        return form

    def _hold(self) -> None:
        """Hold the lock of this window's own file, as long as it lives or until nothing is kept in it."""
        from filelock import FileLock

        if self._lock is None:
            lock = FileLock(self._own.with_suffix(".lock"), timeout=0, mode=0o600, thread_local=False)
            lock.acquire()
            self._lock = lock

    def _others(self) -> list[Path]:
        found: list[tuple[float, Path]] = []
        with contextlib.suppress(OSError):
            paths = self._folder.glob(f"{self._name}-*.json")
            found += [(path.stat().st_mtime, path) for path in paths if path != self._own or self._lock is None]
        return [path for _, path in sorted(found, reverse=True)]

    @staticmethod
    def _remove(path: Path) -> None:
        with contextlib.suppress(OSError):
            path.unlink()


def _read(path: Path, zone: tzinfo | None) -> KeptForm | None:
    """Return what a file keeps; of another make than ours, none."""
    try:
        raw = json.loads(path.read_text(encoding="utf-8"))
        return KeptForm(
            form=_text(raw["form"]),
            title=_text(raw["title"]),
            about=_texts(raw["about"]),
            stood=_text(raw["stood"]),
            at=int(raw["at"]),
            pages=tuple(_pages(raw["pages"])),
            texts=_texts(raw["texts"]),
            sent_after=int(raw.get("sent_after", NOT_SENT)),
            since=moment_words(datetime.fromtimestamp(path.stat().st_mtime, UTC).astimezone(zone)),
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _pages(raw: Sequence[Mapping[str, Any]]) -> Iterator[KeptPage]:
    for page in raw:
        yield KeptPage(kind=_text(page["kind"]), origin=int(page["origin"]), texts=_texts(page["texts"]))


def _texts(raw: Mapping[str, Any]) -> dict[str, str]:
    return {key: _text(value) for key, value in raw.items()}


def _text(raw: object) -> str:
    if not isinstance(raw, str):
        raise ValueError(raw)
    return raw
