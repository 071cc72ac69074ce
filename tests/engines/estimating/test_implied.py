"""Leaving links out never lets anything start earlier."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.tasks import Scope, ScopeKind, TaskKey
from crewjobs.engines.estimating.implied import needed_links
from crewjobs.engines.estimating.wanted import WantedLink

KEYS = [TaskKey(template=f"t{n}", scope=Scope(kind=ScopeKind.JOB)) for n in range(9)]


@st.composite
def networks(draw):
    """Links between nine tasks, always from a lower to a higher one, some with waits."""
    pairs = [(a, b) for a in range(9) for b in range(a + 1, 9)]
    chosen = draw(st.lists(st.sampled_from(pairs), unique=True, max_size=25))
    waits = st.sampled_from((0, 0, 60, 120, 180))
    return [WantedLink(before=KEYS[a], after=KEYS[b], wait_min=draw(waits)) for a, b in chosen]


@given(networks(), st.data())
def test_a_wait_at_most_is_never_left_out(links, data):
    """No longer way says how long something may wait at most, so such a link stays."""
    tight = [replace(link, most_min=data.draw(st.none() | st.just(link.wait_min + 60))) for link in links]
    left = needed_links(tight, KEYS)
    assert [link for link in left if link.most_min] == sorted(
        (link for link in tight if link.most_min), key=lambda link: (KEYS.index(link.before), KEYS.index(link.after))
    )
    assert longest_waits(left) == longest_waits(tight)


def longest_waits(links):
    """The longest wait between every two tasks with a way between them, by networkx alone."""
    graph = nx.DiGraph()
    graph.add_nodes_from(KEYS)
    graph.add_weighted_edges_from((link.before, link.after, -link.wait_min) for link in links)
    return {start: dict(nx.single_source_bellman_ford_path_length(graph, start)) for start in graph}


@given(networks())
def test_every_longest_wait_survives(links):
    """Between any two tasks the longest wait is the same with and without the links left out."""
    assert longest_waits(needed_links(links, KEYS)) == longest_waits(links)


@given(networks())
def test_nothing_left_can_be_left_out(links):
    """Each link that stays is missed when it goes."""
    left = needed_links(links, KEYS)
    for link in left:
        assert longest_waits([other for other in left if other != link]) != longest_waits(left)


@given(networks())
def test_links_to_be_kept_are_kept(links):
    """A pair named stays, implied or not."""
    pairs = {(link.before, link.after) for link in links}
    assert {(link.before, link.after) for link in needed_links(links, KEYS, pairs)} == pairs
