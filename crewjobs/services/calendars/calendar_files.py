"""Where calendar files go: their names, and all of them put in place together or none."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping, Sequence, Set
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from crewjobs.domain.errors import Refused

SUFFIX: Final = ".ics"
LONGEST_NAME: Final = 80
"""Bytes of a crew's name in the name of a file; systems take 255 in all."""


def file_names(names: Sequence[str], people: Set[str] = frozenset()) -> list[str]:
    """Return a file's name for each crew, or person of `people`; those whose names differ only in signs get one each all the same."""
    files: list[str] = []
    for name in names:
        plain = re.sub(r"[^\w]+", "-", name.lower()).strip("-").encode()[:LONGEST_NAME].decode(errors="ignore")
        first = f"{'visits' if name in people else 'crew'}-{plain or 'calendar'}"
        file, number = first, 2
        while file in files:
            file, number = f"{first}-{number}", number + 1
        files.append(file)
    return files


def places(names: Sequence[str | None], out: Path, *, single: bool) -> list[Path | None]:
    """Return where each calendar goes, None for one without a name: it has nothing to say, and the format has no empty one.

    `out` is a folder, or with `single` a file that ends in ``.ics``.

    Raises:
        Refused: a file is named for several calendars, it cannot be a file's name, or a folder stands there.
    """
    from crewjobs.storage.paths import check_name, shown, without_dots

    check_name(out)
    out = without_dots(out)
    as_file = out.suffix.lower() == SUFFIX and not out.is_dir()
    if as_file and not single:
        raise Refused(
            f"{shown(out)} is one file and there are several calendars: name a folder, or one calendar with --crew or --job."
        )
    if single and not as_file and out.suffix and not out.is_dir():
        raise Refused(
            f"{shown(out)}: one calendar goes into a file that ends in {SUFFIX}, or into a folder that is there."
        )
    if out.is_file() and not as_file:
        raise Refused(f"{shown(out)} is a file: name a folder, or one calendar with a file that ends in {SUFFIX}.")
    found = [None if name is None else out if as_file else out / f"{name}{SUFFIX}" for name in names]
    for place in found:
        if place is not None and place.is_dir():
            raise Refused(f"{shown(place)} is a folder: a calendar of that name cannot be written there.")
    return found


class PutInPlace:
    """Puts files in place that were written beside."""

    def __init__(self, beside: Mapping[Path, Path]) -> None:
        self._beside = beside

    def __call__(self) -> None:
        from crewjobs.storage.paths import shown

        for path, new in self._beside.items():
            try:
                os.replace(new, path)
            except OSError as error:
                raise Refused(
                    f"the calendar {shown(path)} cannot be put in place: {error.strerror}; what it says is kept as written."
                ) from None


@contextmanager
def staged(data: Mapping[Path, bytes]) -> Iterator[PutInPlace]:
    """Write files beside their places; they go where they belong when that is called, and away where it is not."""
    from crewjobs.storage.paths import shown

    beside = {path: path.with_name(f"{path.name}.{os.getpid()}.new") for path in data}
    try:
        try:
            for path, content in data.items():
                path.parent.mkdir(parents=True, exist_ok=True)
                beside[path].write_bytes(content)
        except OSError as error:
            raise Refused(f"the calendar cannot be written to {shown(path)}: {error.strerror}.") from None
        yield PutInPlace(beside)
    finally:
        for new in beside.values():
            with suppress(OSError):  # not there: put in place, or never written
                new.unlink()
