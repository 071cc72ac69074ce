"""The files that forms are kept in, in the person's own state folder: of each window the one that is open, and those that wait.

Readable by nobody else, since an address or an entry note may stand in it. A window holds the locks of its files as long as it
lives, so that another one takes up only what nobody has open any more. A form waits, from when it is found until it is open,
in a file of its own: whatever is typed meanwhile takes nothing of it.
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
from dataclasses import asdict, replace
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from crewjobs.domain.wording import moment_words
from crewjobs.services.forms.kept import NOT_SENT, KeptForm, KeptPage
from crewjobs.services.screen_memory import name_of

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
        self._waiting: dict[str, FileLock] = {}
        """The locks of forms that are this window's and not open yet, by the name of their files."""
        self._put_back: set[str] = set()
        self._writing = threading.Lock()

    @classmethod
    def own(cls, database: Path | None) -> KeptForms:
        """Return those in the person's own state folder; None is their own database."""
        import platformdirs

        folder = platformdirs.user_state_path("crewjobs", appauthor=False)
        return cls(folder / "open-forms", name_of(database))

    def keep(self, form: Callable[[], KeptForm | None], still: Callable[[], bool] = lambda: True) -> str:
        """Keep what is typed in the form that is open, whole, in the place of what was kept before; of nothing typed, nothing.

        Returns why that cannot be done, a sentence; empty where it was.

        Args:
            form: tells what is typed when it is written; None where that is nothing, or nothing any more.
            still: says when it is written whether that form is open; of one that was closed meanwhile nothing is written.
        """
        from filelock import Timeout

        with self._writing:
            try:
                if still():
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
            self._drop()
            return
        self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        self._hold()
        with open(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as out:
            json.dump(asdict(found), out, ensure_ascii=False)
        beside.replace(self._own)

    def lay_aside(self, form: KeptForm) -> KeptForm:
        """Keep what is typed beside the form that is open next, and return it as one that waits; itself where that fails."""
        with self._writing, contextlib.suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            path = self._free()
            self._wait(path)
            with open(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as out:
                json.dump(asdict(form), out, ensure_ascii=False)
            return replace(form, file=path.name)
        return form

    def is_open(self, form: KeptForm) -> None:
        """A form that waited is open now: its file is the open form's, until that keeps itself."""
        with self._writing, contextlib.suppress(OSError):
            if form.file in self._waiting:
                self._hold()
                (self._folder / form.file).replace(self._own)
                self._let_be(form.file)

    def put_back(self, form: KeptForm) -> None:
        """Keep a form that cannot be opened now, as it is and from when it is, for the next start; this window asks for it no more."""
        waits = form if form.file in self._waiting else self.lay_aside(form)
        with self._writing:
            self._let_be(waits.file)
            self._put_back.add(waits.file)

    def ask_again(self) -> None:
        """What this window has put back is asked for again: there is another shop."""
        with self._writing:
            self._put_back.clear()

    def let_go(self, form: KeptForm) -> None:
        """A form that waited is not wanted any more: nothing of it is kept."""
        with self._writing:
            if form.file in self._waiting:
                self._remove(self._folder / form.file)
                self._let_be(form.file)

    def drop(self) -> None:
        """The form that is open was closed, by whatever way: nothing of it is kept. What waits stays."""
        with self._writing:
            self._drop()

    def _drop(self) -> None:
        self._remove(self._own)
        if self._lock is not None:
            lock, self._lock = self._lock, None
            lock.release()
            self._remove(Path(lock.lock_file))

    def left(self, zone: tzinfo | None = None, *, only: str = "") -> KeptForm | None:
        """Return the newest form that no living window has open, None where there is none; no other window takes it from now on.

        It stays kept by itself, whatever else is opened, until it is open, put back or let go: a link may drop again before.

        Args:
            zone: the shop's, by whose clock it is told from when it is; None is this machine's, while there is no shop.
            only: which form is looked for, such as ``set-up``; any, where it is empty.
        """
        from filelock import FileLock, Timeout

        for path in self._others():
            with contextlib.suppress(OSError, Timeout):
                with FileLock(path.with_suffix(".lock"), timeout=0, mode=0o600):
                    form = self._claimed(path, zone, only)
                    self._remove(path.with_suffix(".lock"))
                if form is not None:
                    return form
        return None

    def named(self) -> list[KeptForm]:
        """Return, the newest first, what no living window has open, by this machine's clock; all of it stays where it is."""
        from filelock import FileLock, Timeout

        found = []
        for path in self._files():
            if path == self._own or path.name in self._waiting:
                continue
            with contextlib.suppress(OSError, Timeout):
                with FileLock(path.with_suffix(".lock"), timeout=0, mode=0o600):
                    form = _read(path, None)
                    self._remove(path.with_suffix(".lock"))
                found += [form] if form is not None else []
        return found

    def _claimed(self, path: Path, zone: tzinfo | None, only: str) -> KeptForm | None:
        """Return what a file of a window that is no more keeps, and have it wait here; one of another make is removed."""
        with self._writing:
            form = _read(path, zone)
            if form is None:
                self._remove(path)
                return None
            if only and form.form != only:
                return None
            waits = self._free()
            self._wait(waits)
            try:
                path.replace(waits)
            except OSError:
                self._let_be(waits.name)
                raise
            return replace(form, file=waits.name)

    def _free(self) -> Path:
        """Return the file that one more form may wait in."""
        names = (self._own.with_stem(f"{self._own.stem}-{number}") for number in itertools.count(1))
        return next(path for path in names if path.name not in self._waiting and not path.exists())

    def _wait(self, path: Path) -> None:
        """Hold the lock of a file that waits."""
        from filelock import FileLock

        lock = FileLock(path.with_suffix(".lock"), timeout=0, mode=0o600, thread_local=False)
        lock.acquire()
        self._waiting[path.name] = lock

    def _let_be(self, name: str) -> None:
        """Hold it no more."""
        lock = self._waiting.pop(name, None)
        if lock is not None:
            lock.release()
            self._remove(Path(lock.lock_file))

    def _hold(self) -> None:
        """Hold the lock of this window's own file, as long as it lives or until nothing is kept in it."""
        from filelock import FileLock

        if self._lock is None:
            lock = FileLock(self._own.with_suffix(".lock"), timeout=0, mode=0o600, thread_local=False)
            lock.acquire()
            self._lock = lock

    def _others(self) -> list[Path]:
        return [path for path in self._files() if self._may_be_left(path)]

    def _files(self) -> list[Path]:
        found: list[tuple[float, Path]] = []
        with contextlib.suppress(OSError):
            paths = self._folder.glob(f"{self._name}-*.json")
            found += [(path.stat().st_mtime, path) for path in paths]
        return [path for _, path in sorted(found, reverse=True)]

    def _may_be_left(self, path: Path) -> bool:
        """Say whether a file is not one that this window has, or has put back."""
        if path == self._own:
            return self._lock is None  # of a process that had this one's number
        return path.name not in self._waiting and path.name not in self._put_back

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
            whose=_texts(raw.get("whose", {})),
            moment=_text(raw.get("moment", "")),
            since=_since(path, _text(raw.get("moment", "")), zone),
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _since(path: Path, moment: str, zone: tzinfo | None) -> str:
    """Return from when it is: by the program's clock where it is known, which a demo has its own; else by its file."""
    with contextlib.suppress(ValueError):
        return moment_words(datetime.fromisoformat(moment))
    return moment_words(datetime.fromtimestamp(path.stat().st_mtime, UTC).astimezone(zone))


def _pages(raw: Sequence[Mapping[str, Any]]) -> Iterator[KeptPage]:
    for page in raw:
        typed = page.get("typed")
        yield KeptPage(
            kind=_text(page["kind"]),
            origin=int(page["origin"]),
            texts=_texts(page["texts"]),
            typed=tuple(map(_text, typed)) if typed is not None else None,
        )


def _texts(raw: Mapping[str, Any]) -> dict[str, str]:
    return {key: _text(value) for key, value in raw.items()}


def _text(raw: object) -> str:
    if not isinstance(raw, str):
        raise ValueError(raw)
    return raw
