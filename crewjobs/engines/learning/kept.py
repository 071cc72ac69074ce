"""A learned pace as bytes and back, so that it can be kept beside the records and learned on from instead of anew.

It is a cache: what is learned from the records at any time is the same. Pins are not in it, since they are facts of the shop.
"""

from __future__ import annotations

import io
import json
from collections import Counter
from datetime import date
from typing import Any, Final
from zipfile import BadZipFile

import numpy as np

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import DoneTask, HoursKind, WorkedDay
from crewjobs.engines.learning.odd import OddRecord
from crewjobs.engines.learning.pace import Pace, Told
from crewjobs.engines.learning.scales import Scales

VERSION: Final = 1
"""Raised with every change of what is kept or of how it is learned: what was kept before is then learned anew."""


def as_bytes(pace: Pace) -> bytes:
    """Return a pace without its pins as bytes."""
    jobs = sorted(pace.told)
    rows = [len(pace.told[job].target) for job in jobs]
    where = [np.nonzero(pace.told[job].slope) for job in jobs]
    head = {
        "version": VERSION,
        "scales": {
            "groups": dict(pace.scales.groups),
            "job": pace.scales.job,
            "within": pace.scales.within,
            "entry": pace.scales.entry,
        },
        "doubted": pace.doubted,
        "effects": [list(effect) for effect, _ in sorted(pace.places.items(), key=lambda pair: pair[1])],
        "jobs": [
            {
                "job": job,
                "wide": pace.told[job].slope.shape[1],
                "worked": sorted(map(list, pace.told[job].worked)),
                "odd": [_odd(one) for one in pace.told[job].odd],
            }
            for job in jobs
        ],
    }
    none = np.zeros(0)
    arrays: dict[str, Any] = {
        "head": np.frombuffer(json.dumps(head).encode(), dtype=np.uint8),
        "mean": pace.mean,
        "cov": pace.cov,
        "rows": np.array(rows, dtype=np.int64),
        "filled": np.array([len(at[0]) for at in where], dtype=np.int64),
        "row": np.concatenate([none, *(at[0] for at in where)]).astype(np.int32),
        "column": np.concatenate([none, *(at[1] for at in where)]).astype(np.int32),
        "slope": np.concatenate([none, *(pace.told[job].slope[at] for job, at in zip(jobs, where, strict=True))]),
        "target": np.concatenate([none, *(pace.told[job].target for job in jobs)]),
        "noise": np.concatenate([none, *(pace.told[job].noise.ravel() for job in jobs)]),
    }
    out = io.BytesIO()
    np.savez(out, allow_pickle=False, **arrays)
    return out.getvalue()


def from_bytes(kept: bytes) -> Pace:
    """Return the pace that was kept, without pins.

    Raises:
        Refused: it is of another version or no pace: learn anew.
    """
    try:
        with np.load(io.BytesIO(kept), allow_pickle=False) as arrays:
            parts = {name: arrays[name] for name in arrays.files}
        head = json.loads(parts["head"].tobytes())
        if head["version"] != VERSION:
            raise Refused("the rates kept are of another version; they are learned anew.")
        return _pace(head, parts)
    except (ValueError, KeyError, TypeError, EOFError, OSError, IndexError, BadZipFile) as fault:
        raise Refused("the rates kept cannot be read; they are learned anew.") from fault


def _pace(head: dict[str, Any], parts: dict[str, Any]) -> Pace:
    told, row, filled = {}, 0, 0
    square = 0
    for one, rows, count in zip(head["jobs"], parts["rows"].tolist(), parts["filled"].tolist(), strict=True):
        slope = np.zeros((rows, one["wide"]))
        at = slice(filled, filled + count)
        slope[parts["row"][at], parts["column"][at]] = parts["slope"][at]
        told[one["job"]] = Told(
            slope=slope,
            target=parts["target"][row : row + rows],
            noise=parts["noise"][square : square + rows * rows].reshape(rows, rows),
            worked=frozenset((crew, template) for crew, template in one["worked"]),
            odd=tuple(_odd_of(odd) for odd in one["odd"]),
        )
        row, filled, square = row + rows, filled + count, square + rows * rows
    return Pace(
        scales=Scales(**head["scales"]),
        places={tuple(effect): place for place, effect in enumerate(head["effects"])},
        mean=parts["mean"],
        cov=parts["cov"],
        told=told,
        jobs=Counter(worked for one in told.values() for worked in one.worked),
        doubted=head["doubted"],
    )


def _odd(odd: OddRecord) -> dict[str, Any]:
    day = odd.day
    return {
        "job": day.job,
        "crew": day.crew,
        "day": day.day.isoformat(),
        "labor": day.labor_min,
        "kind": day.kind.value,
        "done": [[task.number, task.template, task.book_min, sorted(task.conditions)] for task in day.done],
        "expected": odd.expected_min,
        "chance": odd.chance,
    }


def _odd_of(kept: dict[str, Any]) -> OddRecord:
    done = tuple(
        DoneTask(number=number, template=template, book_min=book, conditions=frozenset(conditions))
        for number, template, book, conditions in kept["done"]
    )
    return OddRecord(
        day=WorkedDay(
            job=kept["job"],
            crew=kept["crew"],
            day=date.fromisoformat(kept["day"]),
            labor_min=kept["labor"],
            done=done,
            kind=HoursKind(kept["kind"]),
        ),
        expected_min=kept["expected"],
        chance=kept["chance"],
    )
