"""Sampled plans: against the plan itself, the planner's own start tables one sample at a time, and closed forms."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import log
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import betabinom, binom, lomax, norm

from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Pause
from crewjobs.engines.planning.calendars import SLOTS_A_DAY, calendar_of
from crewjobs.engines.planning.coming_late import HowLate, Late, draw_lates
from crewjobs.engines.planning.list_schedule import plan_week
from crewjobs.engines.planning.odds import After, Network, Step, sample
from crewjobs.engines.planning.odds_calendar import NEVER
from crewjobs.engines.planning.odds_network import BlockPace, Spreads, by_estimate, network_of
from crewjobs.engines.planning.starts import StartTables
from tests.engines.planning.networks import booked_weeks, random_problem
from tests.thorough import examples

DAYS = 60


def calendar(random=None, days=DAYS, open_all_day=False):
    """Return a calendar of five days a week, 7:00 to 15:30 with lunch, or hours made by a seed, or around the clock."""
    found = []
    for number in range(days):
        base = number * SLOTS_A_DAY
        if open_all_day:
            windows = ((base, base + SLOTS_A_DAY),)
        elif number % 7 >= 5 or (random is not None and random.random() < 0.1):
            continue
        else:
            begin, end = base + 28, base + 62
            if random is not None:
                begin, end = begin + random.randint(0, 8), end - random.randint(0, 8)
            windows = ((begin, base + 48), (base + 50, end))
        found.append((date(2026, 3, 2) + timedelta(days=number), windows))
    return calendar_of(found, days * SLOTS_A_DAY)


USUAL, ALWAYS = calendar(), calendar(open_all_day=True)


def step(minutes, sigma=0.0, *, job=1, crew="Birch", at=ALWAYS, floor=0, **more):
    return Step(job=job, crew=crew, calendar=at, hours=at, minutes=minutes, sigma=sigma, floor=floor, **more)


def sampled(*steps, seed=1, count=20_000, **more):
    return sample(Network(steps=steps, **more), np.random.default_rng(seed), count)


def sure(plan):
    """Return spreads under which every block takes exactly its planned minutes."""
    return Spreads(blocks={one.key: BlockPace(factor=1.0, sigma=0.0) for one in plan.placements})


@pytest.mark.parametrize("seed", [10, 26, *range(examples(60, 3))])
def test_without_spread_the_plan_comes_out(seed):
    """Any made shop, with people away, pins, elevators, work under way: every block ends in the slot it is planned to end in."""
    problem = random_problem(seed)
    plan = plan_week(problem)
    found = network_of(problem, plan, sure(plan))
    ends = sample(found.network, np.random.default_rng(0), 2).ends
    planned = {one.key: found.axis.up(one.end) for one in plan.placements}
    assert [int(end) for end in ends[:, 1]] == [planned[key] for key in found.keys]
    assert len(found.keys) == sum(one.end > problem.now for one in plan.placements)


def test_a_plan_without_late_jobs_is_a_bad_promise():
    """Full weeks with 20 % spread: many jobs are more likely than not to end after their planned end, and nothing precedes its floor."""
    problem = booked_weeks(12, 3, 4, 1)
    plan = plan_week(problem)
    unsure = Spreads(blocks={one.key: BlockPace(factor=1.0, sigma=0.2) for one in plan.placements})
    found = network_of(problem, plan, unsure)
    run = sample(found.network, np.random.default_rng(0), 2000)
    ends = {one.key: found.axis.up(one.end) for one in plan.placements}
    last = {job: max(end for key, end in ends.items() if key.job == job) for job in {key.job for key in found.keys}}
    chances = [run.chance_by(job, end) for job, end in last.items()]
    assert sum(chance < 0.5 for chance in chances) > len(chances) / 3
    assert (run.ends > np.array([one.floor for one in found.network.steps])[:, None]).all()


def test_blocks_without_a_pace_spread_as_their_estimates_do():
    """The plan's minutes in the mean, and the tasks' PERT spread together (low half, high twice the likely minutes)."""
    problem = booked_weeks(2, 1, 1, 1)
    record = problem.jobs[0]
    wide = [replace(one.estimate, low=one.estimate.likely / 2, high=one.estimate.likely * 2) for one in record.tasks]
    record = replace(
        record, tasks=tuple(replace(task, estimate=new) for task, new in zip(record.tasks, wide, strict=True))
    )
    block = next(one for one in plan_week(problem).placements if one.key.job == record.job.number)
    pace = by_estimate(record, block)
    estimates = [record.task(number).estimate for number in block.tasks]
    relative = np.sqrt(sum(one.spread**2 for one in estimates)) / sum(one.expected for one in estimates)
    assert pace.factor * np.exp(pace.sigma**2 / 2) == pytest.approx(1)
    assert np.sqrt(np.expm1(pace.sigma**2)) == pytest.approx(relative)


@settings(max_examples=examples(40, 8), deadline=None)
@given(st.integers(0, 10_000))
def test_each_sample_is_what_the_start_tables_give(seed):
    """Every step of every sample starts where the planner's table and timeline would let that work start, one at a time."""
    random = Random(seed)
    calendars = {name: calendar(random) for name in ("Birch", "Cedar")}
    steps = []
    for place in range(14):
        crew = random.choice(("Birch", "Cedar"))
        waits = tuple({random.randrange(place): random.choice((0, 4, 96)) for _ in range(2)}.items()) if place else ()
        steps.append(
            Step(
                job=place // 4,
                crew=crew,
                calendar=calendars[crew],
                hours=calendars[crew],
                minutes=random.uniform(10, 200),
                sigma=random.choice((0.0, 0.3)),
                floor=random.choice((0, 100, 300)),
                pause=random.choice((Pause.NIGHT, Pause.NIGHT, Pause.LUNCH, Pause.NONE)),
                drive=random.choice((0, 0, 2)),
                after=tuple(After(step=one, wait=wait) for one, wait in waits),
            )
        )
    run = sample(Network(steps=tuple(steps), job_sigma=0.1), np.random.default_rng(seed), 20)
    tables = StartTables()
    for number in range(20):
        ends, last = [], {}
        for place, one in enumerate(steps):
            ready = one.floor
            if one.crew in last:
                ready = max(ready, _driven(one, ends[last[one.crew]]))
            ready = max([ready, *(ends[link.step] + link.wait for link in one.after)])
            logs = [run.drawn[key][number] for key in (("job", str(one.job)), ("step", str(place))) if key in run.drawn]
            slots = one.minutes / 15 * np.exp(float(sum(logs)))
            if logs and abs(slots - round(slots)) < 1e-3:  # the engine reckons in single precision
                break
            work = max(1, int(np.ceil(slots - 1e-6)))
            work_on = min(work, one.calendar.longest(one.pause))
            if work_on < work:  # longer than any stretch: it goes on over lunch or night
                return
            starts = tables.of(one.calendar, work, one.pause, work if work <= one.unsplit else one.opening)
            found = starts.first(ready, 10**6)
            ends.append(found[1] if found else NEVER)
            last[one.crew] = place
            assert run.ends[place, number] == ends[-1]


def _driven(one, end):
    """Return when a crew can be elsewhere, as `timeline.Timeline.free_from` has it."""
    if one.drive == 0 or end >= NEVER:
        return end
    hours, done = one.hours, one.hours.count(end)
    day_end = hours.day_end[hours.window(max(0, done - 1))]
    return hours.slot(min(done + one.drive, day_end) - 1) + 1


def test_one_step_has_the_lognormal_chance():
    """Four hours in the median around the clock: the chance of each hour is scipy's lognormal, within sampling."""
    run = sampled(step(240, 0.3, unsplit=0, opening=1), count=100_000)
    for hours in (3, 4, 5, 6):
        exact = norm.cdf(log(hours * 60 / 240) / 0.3)
        assert run.chance_by(1, hours * 4) == pytest.approx(exact, abs=4 * run.chance_error(1, hours * 4) + 1e-4)


def test_the_safe_finish_is_the_quantile():
    """80 % and 95 %: the first slot whose chance is no less, and the slot before has less."""
    run = sampled(step(600, 0.4), step(300, 0.2))
    for chance in (0.5, 0.8, 0.95):
        slot = run.finish(1, chance)
        assert run.chance_by(1, slot) >= chance > run.chance_by(1, slot - 1)


@pytest.mark.parametrize(("chance", "days"), [(0.3, 2.0), (0.0, 5.0), (1.0, 1.0)])
def test_what_is_delivered_late_has_its_chance_and_its_delay(chance, days):
    """On its day with the chance of being on time; late by an exponential of the given mean."""
    late = Late(name="oak", due=96, how=HowLate(chance=chance, mean_days=days))
    run = sampled(step(15, late=("oak",), unsplit=0, opening=1), lates=(late,), count=50_000)
    assert run.chance_by(1, 97) == pytest.approx(1 - chance, abs=0.01)
    mean = (run.job_ends(1) - 97).mean()
    assert mean == pytest.approx(chance * days * 96, rel=0.03, abs=1)


def test_a_mean_known_from_few_late_ones_has_the_longer_tail():
    """An exponential whose rate is gamma is Lomax's (scipy): the same mean, more of it late by weeks."""
    late = Late(name="oak", due=0, how=HowLate(chance=1.0, mean_days=2, lates=6.0))
    run = sampled(step(15, late=("oak",), unsplit=0, opening=1), lates=(late,), count=50_000)
    wanted = lomax(6.0, scale=2 * 96 * 5)
    for chance in (0.5, 0.8, 0.95):
        assert run.finish(1, chance) - 1 == pytest.approx(wanted.ppf(chance), rel=0.04, abs=1)
    assert run.drawn["late", "oak"].mean() == pytest.approx(wanted.mean(), rel=0.05)
    with pytest.raises(Refused, match="more than 1"):
        HowLate(chance=0.5, mean_days=1, lates=1.0)


def test_what_is_unsure_of_a_source_is_the_same_for_all_it_brings():
    """Of ten deliveries of one source the late ones are beta-binomial (scipy); of ten sources they are binomial."""
    of_one = HowLate(chance=0.2, mean_days=2, dates=8, lates=6, whose="delivery")
    each = replace(of_one, whose="")
    lates = [Late(name=f"oak {number}", due=0, how=of_one) for number in range(10)]
    found = draw_lates(lates, np.random.default_rng(3), 50_000)
    apart = draw_lates([replace(one, how=each) for one in lates], np.random.default_rng(3), 50_000)
    for drawn, wanted in ((found, betabinom(10, 0.2 * 8, 0.8 * 8)), (apart, binom(10, 0.2))):
        late = sum((values > 0).astype(int) for values in drawn.values())
        for number in range(7):
            assert (late == number).mean() == pytest.approx(wanted.pmf(number), abs=0.01)
        days = np.concatenate([values[values > 0] for values in drawn.values()]) / 96
        for share in (0.5, 0.8, 0.95):
            assert np.quantile(days, share) == pytest.approx(lomax(6.0, scale=10).ppf(share), rel=0.04)


def test_a_wait_runs_by_the_clock_from_when_its_work_ended():
    """48 hours after a step that ends late in the week end on the weekend: work starts Monday, whenever on Friday it ended."""
    pour = step(120, 0.2, at=USUAL, floor=3 * SLOTS_A_DAY + 30)  # Thursday 7:30
    lay = step(60, at=USUAL, after=(After(step=0, wait=2 * SLOTS_A_DAY),))
    run = sampled(pour, lay, count=200)
    assert (run.ends[0] < 4 * SLOTS_A_DAY).all()
    assert set(run.ends[1].tolist()) == {7 * SLOTS_A_DAY + 28 + 4}


def test_what_a_job_shares_does_not_even_out():
    """Twenty steps that differ together spread twenty times as far as one; apart they spread by the root of it."""
    steps = [step(480) for _ in range(20)]
    together = sampled(*steps, job_sigma=0.1).job_ends(1).std()
    apart = sampled(*(replace(one, sigma=0.1) for one in steps)).job_ends(1).std()
    assert together / apart == pytest.approx(np.sqrt(20), rel=0.1)
    crew = sampled(*steps, crew_sigma={"Birch": 0.1}).job_ends(1).std()
    assert crew == pytest.approx(together, rel=0.05)


def test_crews_keep_their_order():
    """Where the first job overruns, the next starts after it, though it could have gone first."""
    run = sampled(step(600, 0.5, job=1), step(60, job=2, floor=4))
    assert (run.ends[1] >= run.ends[0] + 4).all()


def test_what_drives_the_risk_is_named():
    """A long unsure step before a short one, and a delivery that decides the second job: each is its job's first driver."""
    late = Late(name="oak", due=10, how=HowLate(chance=0.5, mean_days=500 / 96))
    run = sampled(
        step(900, 0.4, job=1), step(300, 0.4, job=1), step(60, 0.1, job=2, crew="Cedar", late=("oak",)), lates=(late,)
    )
    first = run.drivers(1)[0]
    assert (first.what, first.step) == ("step 0", 0)
    assert first.correlation > 0.9
    assert run.drivers(2)[0].what == "late oak"
    assert [one.what for one in run.drivers(1)] == ["step 0", "step 1"]


def test_the_same_seed_gives_the_same_odds():
    """One generator state, one answer; another one differs."""
    steps = (step(300, 0.3), step(200, 0.3))
    np.testing.assert_array_equal(sampled(*steps).ends, sampled(*steps).ends)
    assert (sampled(*steps).ends != sampled(*steps, seed=2).ends).any()


def test_what_does_not_fit_on_the_axis_never_ends():
    """Work past the calendar's end, and what waits for it, has no chance by any day; no calendar at all neither."""
    run = sampled(step(60_000, at=USUAL), step(30, after=(After(step=0, wait=96),)), count=10)
    assert (run.ends >= NEVER).all()
    assert run.chance_by(1, 10**6) == 0
    assert (sampled(step(60, at=calendar_of([], 100)), count=10).ends == NEVER).all()


def test_bad_lateness_and_unknown_jobs_are_refused():
    """A chance beyond one, and a job without a place: one sentence each."""
    with pytest.raises(Refused, match=r"late with a chance of 1\.5 by 2 days"):
        HowLate(chance=1.5, mean_days=2)
    with pytest.raises(Refused, match="job 9 has no place in this plan"):
        sampled(step(60), count=10).job_ends(9)
