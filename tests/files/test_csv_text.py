"""CSV as spreadsheets read it: RFC 4180, and no text run as a formula."""

from __future__ import annotations

import csv
import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.files.csv_text import BOM, guarded, unguarded, write_csv

FORMULAS = ("=1+1", "+1 555 0100", "-2", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1", "＝1", "＋1", "－1", "＠a")
"""OWASP ASVS 5.0, 1.2.10 (= + - @ tab null), with line breaks, blanks before and the full-width forms."""
CELLS = st.text(st.characters(blacklist_categories=("Cs",)), max_size=30)


@pytest.mark.parametrize("text", FORMULAS)
def test_what_a_spreadsheet_would_run_begins_with_an_apostrophe(text):
    """The cell begins with a sign that no formula begins with."""
    assert guarded(text) == f"'{text}"
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize("text", ["Odalys Brandt", "12' 6", "'tis", "a=b", "555-0112", ""])
def test_other_text_stays(text):
    """Nothing is put before text that is no formula."""
    assert guarded(text) == unguarded(text) == text


@given(CELLS)
def test_guarding_is_taken_back_exactly(text):
    """Whatever the text: reading takes away what writing put there, and no guarded text begins like a formula."""
    assert unguarded(guarded(text)) == text
    assert not re.match(r"[=+\-@\t\r\n\0]", guarded(text))


@given(st.lists(st.lists(CELLS, min_size=2, max_size=2), max_size=4))
def test_a_table_is_read_back_as_it_was(rows):
    """By the reader of the standard library in its strict mode: commas, quotes, line breaks, any script."""
    text = write_csv(["a", "b"], rows)
    found = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert [[unguarded(cell) for cell in row] for row in found[1:]] == [list(row) for row in rows]


def test_every_line_ends_as_rfc_4180_has_it():
    """Section 2: CR LF after each record, quotes doubled, fields with a comma, a quote or a break in quotes."""
    assert write_csv(["name", "h"], [['a "b", c', 1.5], ["x\ny", 2]]) == 'name,h\r\n"a ""b"", c",1.5\r\n"x\ny",2\r\n'


def test_numbers_are_told_with_a_point_and_without_empty_decimals():
    """A number below zero is one, and not text to be guarded."""
    assert write_csv(["h"], [[-1.5], [2.0], [0.333], [7]]) == "h\r\n-1.5\r\n2\r\n0.33\r\n7\r\n"


def test_a_byte_order_mark_stands_first_where_it_is_asked_for():
    """And nowhere else."""
    assert write_csv(["a"], [], bom=True) == f"{BOM}a\r\n"
