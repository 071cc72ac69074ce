"""Said chances beside how often they held, over many made shops, with the standard errors of both (`judged`).

Shops are made and learned from in several processes, each from its own seed, so that figures do not depend on how many processes
there are.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from typing import Any

import numpy as np

from crewjobs.engines.learning.lateness import Lateness, learn_lateness
from crewjobs.engines.learning.pace import Pace, learn
from crewjobs.engines.planning.calendars import SLOTS_A_DAY
from crewjobs.engines.planning.odds import sample
from tests.benchmarks.judged import Estimate, Floats, judge, ratio, told
from tests.benchmarks.made_shops import CREWS, World
from tests.benchmarks.odds_shops import AHEAD, ahead, deliveries, happened, said, usual_hours
from tests.benchmarks.progress import Progress, one_thread_a_process

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
    """What one shop showed: a row a day asked for and time it happened; chances by who says them, and whether it held.

    `late_chance` is its hidden chance that a delivery is late.
    """

    chances: Mapping[str, Floats]
    held: Floats
    finishes: Mapping[str, Floats]
    late_chance: float
    core_seconds: float


def one_shop(seed: int, number: int) -> Seen:
    """Return what one made shop shows; the same two numbers make the same shop."""
    begin = time.process_time()
    random, theirs = np.random.default_rng([seed, 0, number]), np.random.default_rng([seed, 6, number])
    world, hours = World(random, 1.0), usual_hours()
    each = HISTORIES[number % len(HISTORIES)]
    pace = learn(day for n in range(each * CREWS) for day in world.job(n + 1, n % CREWS).days)
    come = deliveries(theirs)
    lateness = learn_lateness(come.history(each * CREWS, theirs))
    jobs = ahead(world, random)
    plan, ends = said(pace, lateness, jobs, hours)
    by_book, _ = said(Pace(), Lateness(), jobs, hours, plan)
    runs = {"learned": sample(plan, random, SAMPLES), "book": sample(by_book, random, SAMPLES)}
    truths = [happened(world, come, plan, jobs, random) for _ in range(HAPPEN)]
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
        late_chance=come.chance,
        core_seconds=time.process_time() - begin,
    )


def reliability(shops: int, seed: int, processes: int | None = None) -> dict[str, Any]:
    """Return how said chances and finishes compare with what happened."""
    workers, progress = min(processes or os.cpu_count() or 1, shops), Progress("odds, shops", shops)
    if workers == 1:
        return summed(list(_followed(map(partial(one_shop, seed), range(shops)), progress)))
    one_thread_a_process()
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        return summed(list(_followed(pool.map(partial(one_shop, seed), range(shops), chunksize=4), progress)))


def _followed(seen: Iterable[Seen], progress: Progress) -> Iterator[Seen]:
    for count, one in enumerate(seen, start=1):
        progress.at(count)
        yield one


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
        "core_seconds": round(sum(one.core_seconds for one in seen), 1),
        "brier": {name: told(_brier(seen, name), 4) for name in sorted(seen[0].chances)},
        "brier_over_book": told(brier_over(seen, "book"), 3),
        "brier_over_plan_at_its_word": told(brier_over(seen, "plan at its word"), 3),
        "finish_held": {name: told(_mean(one.finishes[name] for one in seen), 3) for name in FINISHES},
        "finish_held_by_hidden_chance_of_late_deliveries": _by_lateness(seen),
    }


def _by_lateness(seen: Sequence[Seen]) -> dict[str, Any]:
    """Return how finishes held in the thirds of shops whose deliveries are late least, in between and most often."""
    ordered, found = sorted(seen, key=lambda one: one.late_chance), dict[str, Any]()
    for third in range(3):
        shops = ordered[third * len(seen) // 3 : (third + 1) * len(seen) // 3]
        if not shops:
            continue
        span = f"{shops[0].late_chance:.2f} to {shops[-1].late_chance:.2f}"
        found[span] = {name: told(_mean(one.finishes[name] for one in shops), 3) for name in FINISHES}
    return found


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


def brier_over(seen: Sequence[Seen], other: str) -> Estimate:
    """Return the Brier score as learned over another's of the same days, with its standard error."""
    sums = [[float(((one.chances[name] - one.held) ** 2).sum()) for one in seen] for name in ("learned", other)]
    return ratio(*sums)


def judged(found: Mapping[str, Any]) -> dict[str, Any]:
    """Return of each thing expected of the odds whether it is held."""
    worst = found["reliability_most_points"], found["reliability_most_error_points"]

    def of(part: Mapping[str, float | None]) -> Estimate:
        return part["mean"] or 0.0, part["error"] or 0.0

    return {
        "reliability_mean_points": judge(found["reliability_mean_points"], most=AT_MOST),
        "reliability_most_points": judge(worst, most=AT_MOST),
        "tenths_off_by_more_than_allowed_and_chance": judge(
            found["tenths_off_by_more_than_allowed_and_chance"], most=0
        ),
        "brier_over_book": judge(of(found["brier_over_book"]), most=1),
        "brier_over_plan_at_its_word": judge(of(found["brier_over_plan_at_its_word"]), most=1),
        **{
            f"finish {name} held": judge(of(found["finish_held"][name]), chance - AT_MOST / 100, chance + AT_MOST / 100)
            for name, chance in FINISHES.items()
        },
    }


def _brier(seen: Sequence[Seen], name: str) -> Estimate:
    return _mean((one.chances[name] - one.held) ** 2 for one in seen)


def _mean(values: Iterable[Floats]) -> Estimate:
    ones = list(values)
    return ratio([float(one.sum()) for one in ones], [len(one) for one in ones])
