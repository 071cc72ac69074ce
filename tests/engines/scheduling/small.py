"""Small random problems for the tests, and their best schedule by trying every combination of places."""

from __future__ import annotations

from itertools import combinations, product

from hypothesis import strategies as st

from crewjobs.engines.scheduling.model import Activity, Lag, Mode, Placed, Problem, StartTable, always
from tests.engines.scheduling.judge import faults


@st.composite
def tables(draw, slots=8):
    """Start tables with gaps, in which a later start never ends sooner."""
    starts = sorted(draw(st.sets(st.integers(0, slots), max_size=4)))
    ends: list[int] = []
    for start in starts:
        ends.append(max(start + draw(st.integers(1, 3)), ends[-1] if ends else 0))
    return StartTable(starts=starts, ends=ends)


@st.composite
def problems(draw):
    """Problems of up to four activities with modes, machines, setups, pools, least and most lags."""
    count, machines, pools = draw(st.integers(1, 4)), draw(st.integers(0, 2)), draw(st.integers(0, 2))
    table = tables() | st.builds(always, st.integers(1, 3), st.just(7))
    mode = st.builds(Mode, table=table, machine=st.integers(-1, machines - 1))
    activities = tuple(
        Activity(
            modes=tuple(draw(st.lists(mode, min_size=1, max_size=2))),
            group=draw(st.integers(0, 2)),
            uses=tuple((pool, draw(st.integers(0, 2))) for pool in range(pools)),
        )
        for _ in range(count)
    )
    lags = []
    for before, after in combinations(range(count), 2):
        if draw(st.booleans()):
            least = draw(st.integers(-1, 2))
            most = draw(st.none() | st.integers(least, least + 3))
            lags.append(Lag(before=before, after=after, least=least, most=most))
    return Problem(
        activities=activities,
        lags=tuple(lags),
        machines=machines,
        pools=tuple(draw(st.integers(1, 3)) for _ in range(pools)),
        setups={(a, b): draw(st.integers(0, 2)) for a in range(3) for b in range(3) if a != b},
    )


@st.composite
def networks(draw, most=12):
    """Project networks: one mode, any start, pools, lags of 0 and more, numbered in no order."""
    count, pools = draw(st.integers(1, most)), draw(st.lists(st.integers(1, 5), max_size=3))
    durations = draw(st.lists(st.integers(0, 6), min_size=count, max_size=count))
    order = draw(st.permutations(range(count)))
    lags = [
        Lag(before=order[a], after=order[b], least=draw(st.sampled_from((0, 0, 0, 2))))
        for a, b in combinations(range(count), 2)
        if draw(st.integers(0, 3)) == 0
    ]
    horizon = sum(durations) + 2 * count
    return Problem(
        activities=tuple(
            Activity(
                modes=(Mode(table=always(duration, horizon)),),
                uses=tuple((pool, draw(st.integers(0, units))) for pool, units in enumerate(pools)),
            )
            for duration in durations
        ),
        lags=tuple(lags),
        pools=tuple(pools),
    )


def best(problem, cost):
    """Return the least cost of any schedule, or None where there is none."""
    places = [
        [
            Placed(number, start, end)
            for number, mode in enumerate(activity.modes)
            for start, end in zip(mode.table.starts, mode.table.ends, strict=True)
        ]
        for activity in problem.activities
    ]
    priced = sorted((cost(schedule), schedule) for schedule in product(*places))
    return next((price for price, schedule in priced if not faults(problem, schedule)), None)
