"""Rips: first and last rows, balanced only where needed, never under the limit."""

from __future__ import annotations

from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH
from crewjobs.engines.laying.rows import RipReason, choose_rips
from tests import thorough
from tests.engines.laying.given import field, floor, inches, product, rectangle


def test_a_room_of_140_in_needs_no_balancing():
    """Clear 139.5 in of 7 in planks: 19 full rows and one of 6.5 in, above the limit of 2.333 in.

    Trade-facts 12.5, room 140 in (derived arithmetic; the balance rule itself is common practice).
    """
    rips = floor(product(48, 7), rectangle(200, 140)).fields[0].rips
    assert rips.widths == (*[inches(7)] * 19, inches(6.5))
    assert rips.reason is RipReason.FULL


def test_a_room_of_127_in_is_balanced():
    """Clear 126.5 in of 6 in planks leaves 0.5 in: first and last 3.25 in, 20 full rows between.

    Trade-facts 12.5, room 127 in (derived arithmetic; the balance rule itself is common practice).
    """
    rips = floor(product(48, 6), rectangle(200, 127)).fields[0].rips
    assert rips.widths == (inches(3.25), *[inches(6)] * 20, inches(3.25))
    assert rips.reason is RipReason.LAST_TOO_NARROW


@given(depth=st.integers(0, 4000).map(lambda eighths: eighths * INCH // 8), width=st.integers(16, 96))
def test_outer_rows_keep_the_limit_in_the_fewest_rows(depth: int, width: int):
    """Rows fill the depth exactly, none is wider than a plank, outer ones keep the limit, and no fewer rows could."""
    plank = product(96, width / 8)
    if depth < plank.least_rip:
        with pytest.raises(Refused, match="deep"):
            choose_rips(plank, depth)
        return
    rips = choose_rips(plank, depth)
    assert sum(rips.widths) == depth
    assert all(plank.least_rip <= one <= plank.width for one in (rips.first, rips.last))
    assert all(one == plank.width for one in rips.widths[1:-1])
    assert len(rips.widths) == ceil(depth / plank.width)


@given(depth=st.integers(60, 1500), at=st.integers(8, 1400), beyond=st.booleans())
@settings(max_examples=thorough.examples(40, 13))
def test_no_first_row_leaves_fewer_slivers(depth: int, at: int, beyond: bool):
    """Of all first rows on the grid with as few rows and legal outer ones, none leaves fewer strips under an inch at a jog."""
    plank = product(48, 7)
    depth, at = depth * INCH // 8 * 2, at * INCH // 8
    edges = [(at, beyond)] if at < depth else []
    rips = choose_rips(plank, depth, edges)
    for eighths in range(1, 57):
        first = eighths * INCH // 8
        try:
            other = choose_rips(plank, depth, edges, first=first)
        except Refused:
            continue
        if len(other.widths) == len(rips.widths):
            assert other.slivers >= rips.slivers


def test_a_jog_moves_the_rows_where_it_would_leave_a_sliver():
    """A jog half an inch beyond a row's edge makes the first row narrower, and says so."""
    jogged = field([(0, 0), (100, 0), (100, 140), (50, 140), (50, 106), (0, 106)])
    rips = floor(product(48, 7), jogged).fields[0].rips  # the wall at 106 - 1/4 is 3/4 in past row 15's edge at 105 1/4
    assert rips.reason is RipReason.SLIVERS
    assert rips.slivers == 0
    straight = choose_rips(product(48, 7), inches(139.5))
    assert straight.first == inches(7)


@pytest.mark.parametrize(("first", "match"), [(2, "between"), (8, "between"), (6.5, "last row of")])
def test_a_first_row_that_breaks_a_limit_is_refused(first: float, match: str):
    """A first row asked for is refused in one sentence if it or the last row it leaves is too narrow or too wide."""
    with pytest.raises(Refused, match=match) as refused:
        choose_rips(product(48, 7), inches(14 * 7 + 6.5 + 1), first=inches(first))
    assert len(refused.value.sentences) == 1
