"""Said chances beside how often they held, over many made shops, with the standard errors of both.

Chances of one shop are wrong together: its crews are slower than their hours said, or quicker. So a shop is one observation, and a
standard error is that of a ratio of sums over shops (ratio estimator of cluster sampling; Cochran, Sampling Techniques, 1977,
equation 6.13, MEMORY), not that of so many days. Shops are made and learned from in several processes, each from its own seed, so
that figures do not depend on how many processes there are.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from typing import Any

import numpy as np
import numpy.typing as npt

from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.planning.calendars import SLOTS_A_DAY
from crewjobs.engines.planning.odds import sample
from tests.benchmarks.odds_shops import AHEAD, ahead, happened, said, usual_hours
from tests.benchmarks.rates import CREWS, World

Floats = npt.NDArray[np.float64]

SAMPLES = 2000
HAPPEN = 4
HISTORIES = (4, 8, 16, 24)
"""Jobs a crew that a shop has behind it, one shop after the other."""
SAID_DAYS = (-1, 0, 1, 2, 3, 5, 8)
"""Days asked for, from the planned one."""
FINISHES = {"likely": 0.5, "80 %": 0.8, "95 %": 0.95}
SURE = 2.0
"""Standard errors: a tenth that is off by more than these and the allowed points together is so by more than chance."""
AT_MOST = 3.0
"""Points that a tenth of said chances may be off."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What one shop showed: a row a day asked for and time it happened; chances by who says them, and whether it held."""

    chances: Mapping[str, Floats]
    held: Floats
    finishes: Mapping[str, Floats]


def one_shop(seed: int, number: int) -> Seen:
    """Return what one made shop shows; the same two numbers make the same shop."""
    random = np.random.default_rng([seed, 0, number])
    world, hours = World(random, 1.0), usual_hours()
    each = HISTORIES[number % len(HISTORIES)]
    pace = learn(day for n in range(each * CREWS) for day in world.job(n + 1, n % CREWS).days)
    jobs = ahead(world, random)
    plan, ends = said(pace, jobs, hours)
    by_book, _ = said(Pace(), jobs, hours, plan)
    runs = {"learned": sample(plan, random, SAMPLES), "book": sample(by_book, random, SAMPLES)}
    truths = [happened(world, plan, jobs, random) for _ in range(HAPPEN)]
    chances: dict[str, list[Floats]] = {name: [] for name in (*runs, "plan at its word")}
    held: list[Floats] = []
    finishes: dict[str, list[Floats]] = {name: [] for name in FINISHES}
    for job in jobs:
        came = np.array([truth.job_ends(job.number)[0] for truth in truths])
        for name, chance in FINISHES.items():
            finishes[name].append(np.asarray(came <= runs["learned"].finish(job.number, chance), dtype=float))
        days = (ends[job.number] // SLOTS_A_DAY + 1 + np.array(SAID_DAYS)) * SLOTS_A_DAY
        held.append((came[None, :] <= days[:, None]).astype(float).ravel())
        for name, run in runs.items():
            sure = (run.job_ends(job.number)[None, :] <= days[:, None]).mean(axis=1)
            chances[name].append(np.repeat(sure, HAPPEN))
        chances["plan at its word"].append(np.repeat(np.asarray(ends[job.number] <= days, dtype=float), HAPPEN))
    return Seen(
        chances={name: np.concatenate(ones) for name, ones in chances.items()},
        held=np.concatenate(held),
        finishes={name: np.concatenate(ones) for name, ones in finishes.items()},
    )


def ratio(sums: Sequence[float] | Floats, counts: Sequence[float] | Floats) -> tuple[float, float]:
    """Return a mean from each shop's sum and count, and its standard error with the shops as the observations."""
    total, number = np.asarray(sums, dtype=float), np.asarray(counts, dtype=float)
    mean, shops = float(total.sum() / number.sum()), len(total)
    if shops < 2:
        return mean, float("nan")
    rest = total - mean * number
    return mean, float(np.sqrt(shops / (shops - 1) * (rest**2).sum()) / number.sum())


def reliability(shops: int, seed: int, processes: int | None = None) -> dict[str, Any]:
    """Return how said chances and finishes compare with what happened."""
    workers = min(processes or os.cpu_count() or 1, shops)
    if workers == 1:
        return summed([one_shop(seed, number) for number in range(shops)])
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        return summed(list(pool.map(partial(one_shop, seed), range(shops), chunksize=4)))


def summed(seen: Sequence[Seen]) -> dict[str, Any]:
    """Return the figures of shops."""
    rows = [row for tenth in range(10) if (row := _tenth(seen, tenth)) is not None]
    days = sum(len(one.held) for one in seen)
    worst = max(rows, key=lambda row: abs(row["off_points"]))
    return {
        "shops": len(seen),
        "jobs": len(seen) * CREWS * AHEAD,
        "times_each": HAPPEN,
        "reliability": rows,
        "reliability_mean_points": round(sum(abs(row["off_points"]) * row["days"] for row in rows) / days, 2),
        "reliability_most_points": round(abs(worst["off_points"]), 2),
        "reliability_most_error_points": worst["error_points"],
        "tenths_off_by_more_than_allowed_and_chance": sum(
            abs(row["off_points"]) > AT_MOST + SURE * row["error_points"] for row in rows
        ),
        "brier": {name: _told(_brier(seen, name), 4) for name in sorted(seen[0].chances)},
        "brier_over_book": round(_brier(seen, "learned")[0] / _brier(seen, "book")[0], 3),
        "finish_held": {name: _told(_mean(one.finishes[name] for one in seen), 3) for name in FINISHES},
    }


def _tenth(seen: Sequence[Seen], tenth: int) -> dict[str, Any] | None:
    """Return a row of the reliability curve, None where nothing was said in that tenth."""
    picked = [np.minimum(9, (one.chances["learned"] * 10 + 1e-9).astype(int)) == tenth for one in seen]
    counts = [float(which.sum()) for which in picked]
    if not sum(counts):
        return None
    chance = [float(one.chances["learned"][which].sum()) for one, which in zip(seen, picked, strict=True)]
    held = [float(one.held[which].sum()) for one, which in zip(seen, picked, strict=True)]
    off, error = ratio(np.array(chance) - np.array(held), counts)
    return {
        "said": round(sum(chance) / sum(counts), 3),
        "held": round(sum(held) / sum(counts), 3),
        "days": int(sum(counts)),
        "shops": sum(count > 0 for count in counts),
        "off_points": round(off * 100, 2),
        "error_points": round(error * 100, 2),
    }


def _brier(seen: Sequence[Seen], name: str) -> tuple[float, float]:
    return _mean((one.chances[name] - one.held) ** 2 for one in seen)


def _mean(values: Iterable[Floats]) -> tuple[float, float]:
    ones = list(values)
    return ratio([float(one.sum()) for one in ones], [len(one) for one in ones])


def _told(found: tuple[float, float], digits: int) -> dict[str, float]:
    mean, error = found
    return {"mean": round(mean, digits), "error": round(error, digits)}
