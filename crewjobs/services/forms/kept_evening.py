"""A kept evening sheet read by its jobs: what was typed of a house is that job's, wherever the house stands on another sheet."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from crewjobs.services.forms.kept import KeptForm

UNKNOWN: Final = "0"
"""Stands for the job of a line whose house is not known."""
_KEY: Final = re.compile(r"h(\d+)-(.+)")

Lines = dict[str, dict[str, str]]
"""What was typed: by job, then by line of its house, such as ``start`` or ``task-25``."""


def lines_of(kept: KeptForm) -> Lines:
    """Return what is typed in a kept sheet; empty lines are not in it."""
    jobs = dict(enumerate(filter(None, kept.about.get("houses", "").split(",")), start=1))
    found: Lines = {}
    for key, text in kept.texts.items():
        at = _KEY.match(key)
        if text and at is not None:
            found.setdefault(jobs.get(int(at[1]), UNKNOWN), {})[at[2]] = text
    return found


def with_rest(jobs: Sequence[int], texts: Mapping[str, str], rest: Lines) -> tuple[str, dict[str, str]]:
    """Return the jobs and lines to keep of a sheet, with the `rest` that it has no line for behind them.

    Args:
        jobs: those of its houses, by their place on it.
        texts: its lines, by field.
        rest: what was typed before and found no line on it.
    """
    houses = list(map(str, jobs))
    houses += [job for job in rest if job not in houses]
    places = {job: place for place, job in enumerate(houses, start=1)}
    more = {f"h{places[job]}-{line}": text for job, lines in rest.items() for line, text in lines.items()}
    return ",".join(houses), {**more, **texts}


def as_words(lines: Mapping[str, str]) -> list[str]:
    """Return what was typed of a house as it is told: a task with its number, all else as it is."""
    return [
        f"task {line.removeprefix('task-')} {text}" if line.startswith("task-") else text
        for line, text in lines.items()
    ]
