"""Critical path against published networks and against longest paths found by another library."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.engines.planning.critical_path import critical_path, in_order

# Hendrickson, Project Management for Construction, chapter 10, table 10-2 (durations, predecessors, length 30).
# Early and late times and floats follow from it; they agree with the event times 0, 4, 12, 21, 24, 30 printed there.
NINE = {  # activity: duration, predecessors, early start and finish, late start and finish, total and free float
    "A": (4, "", 0, 4, 0, 4, 0, 0),
    "B": (3, "", 0, 3, 9, 12, 9, 9),
    "C": (8, "A", 4, 12, 4, 12, 0, 0),
    "D": (7, "A", 4, 11, 15, 22, 11, 10),
    "E": (9, "BC", 12, 21, 13, 22, 1, 0),
    "F": (12, "BC", 12, 24, 12, 24, 0, 0),
    "G": (2, "DE", 21, 23, 22, 24, 1, 1),
    "H": (5, "DE", 21, 26, 25, 30, 4, 4),
    "I": (6, "FG", 24, 30, 24, 30, 0, 0),
}

# Hillier and Lieberman, Introduction to Operations Research, "Reliable Construction" (MEMORY; data consistent):
# weeks, predecessors. Length 44; slack D, G, H, M 4, I 2, K 1, others 0.
RELIABLE = {
    "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"), "F": (5, "E"), "G": (7, "D"),
    "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"), "K": (4, "J"), "L": (5, "J"), "M": (2, "H"), "N": (6, "KL"),
}  # fmt: skip
SLACK = {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}

# Ten jobs, documentation example of the python-mip library: without limits on its resources it takes 14.
TEN = (0, 3, 2, 5, 4, 2, 3, 4, 2, 4, 6, 0)
TEN_ARCS = ((0, 1), (0, 2), (0, 3), (1, 4), (1, 5), (2, 9), (2, 10), (3, 8), (4, 6), (4, 7), (5, 9), (5, 10), (6, 8),
            (6, 9), (7, 8), (8, 11), (9, 11), (10, 11))  # fmt: skip


def _network(table: dict[str, tuple[int, str]]) -> tuple[dict[int, int], list[tuple[int, int, int]]]:
    minutes = {ord(name): duration for name, (duration, _) in table.items()}
    return minutes, [(ord(p), ord(name), 0) for name, (_, before) in table.items() for p in before]


@pytest.mark.parametrize("name", NINE)
def test_nine_activities(name: str) -> None:
    """Every time and float of the nine activities is as in the book."""
    times = critical_path(*_network({key: row[:2] for key, row in NINE.items()}))[ord(name)]
    found = (times.early_start, times.early_finish, times.late_start, times.late_finish)
    assert (*found, times.total_float, times.free_float) == NINE[name][2:]


def test_critical_way_of_the_nine() -> None:
    """The critical way is A-C-F-I and takes 30."""
    times = critical_path(*_network({key: row[:2] for key, row in NINE.items()}))
    assert "".join(chr(key) for key, time in times.items() if time.critical) == "ACFI"
    assert max(time.early_finish for time in times.values()) == 30


def test_reliable_construction() -> None:
    """The house of the textbook takes 44 weeks and has the slacks printed."""
    times = critical_path(*_network(RELIABLE))
    assert max(time.early_finish for time in times.values()) == 44
    assert {chr(key): time.total_float for key, time in times.items() if time.total_float} == SLACK


def test_ten_jobs_without_limits() -> None:
    """The ten-job example takes 14 where resources are unlimited."""
    times = critical_path(dict(enumerate(TEN)), [(a, b, 0) for a, b in TEN_ARCS])
    assert max(time.early_finish for time in times.values()) == 14


@st.composite
def networks(draw: st.DrawFn) -> tuple[dict[int, int], list[tuple[int, int, int]]]:
    """Draw durations and arcs that only run from lower to higher numbers."""
    count = draw(st.integers(1, 12))
    minutes = {i: draw(st.integers(0, 500)) for i in range(count)}
    pairs = [(a, b) for b in range(count) for a in range(b)]
    chosen = draw(st.lists(st.sampled_from(pairs), unique=True)) if pairs else []
    return minutes, [(a, b, draw(st.sampled_from((0, 0, 30, 2880)))) for a, b in chosen]


def _longest(minutes: dict[int, int], arcs: list[tuple[int, int, int]]) -> tuple[nx.DiGraph, int]:
    graph = nx.DiGraph()
    for task, duration in minutes.items():
        graph.add_edge((task, "start"), (task, "end"), weight=duration)
        graph.add_edge("begin", (task, "start"), weight=0)
        graph.add_edge((task, "end"), "finish", weight=0)
    for before, after, wait in arcs:
        graph.add_edge((before, "end"), (after, "start"), weight=wait)
    return graph, nx.dag_longest_path_length(graph)


@given(networks())
def test_length_is_the_longest_path(network: tuple[dict[int, int], list[tuple[int, int, int]]]) -> None:
    """The end of everything is the longest path, waits included, that networkx finds."""
    minutes, arcs = network
    times = critical_path(minutes, arcs)
    assert max(time.early_finish for time in times.values()) == _longest(minutes, arcs)[1]


@given(networks())
def test_float_is_what_a_task_can_slip(network: tuple[dict[int, int], list[tuple[int, int, int]]]) -> None:
    """A task longer by its total float leaves the end where it is; a minute more moves it."""
    minutes, arcs = network
    end = _longest(minutes, arcs)[1]
    for task, times in critical_path(minutes, arcs).items():
        slipped = {**minutes, task: minutes[task] + times.total_float}
        assert _longest(slipped, arcs)[1] == end
        slipped[task] += 1
        assert _longest(slipped, arcs)[1] == end + 1


@given(networks())
def test_tail_is_the_longest_way_to_the_end(network: tuple[dict[int, int], list[tuple[int, int, int]]]) -> None:
    """A task's tail is the longest path from its start to the end."""
    minutes, arcs = network
    graph, _ = _longest(minutes, arcs)
    for task, times in critical_path(minutes, arcs).items():
        part = graph.subgraph({(task, "start"), *nx.descendants(graph, (task, "start"))})
        assert times.tail == nx.dag_longest_path_length(part)


def test_circle_is_named_task_by_task() -> None:
    """Links in a circle are refused with the tasks on it, and no others."""
    with pytest.raises(Refused, match="2 → 3 → 4 → 2"):
        in_order((1, 2, 3, 4, 5), [(1, 2, 0), (2, 3, 0), (3, 4, 0), (4, 2, 0), (4, 5, 0)])
