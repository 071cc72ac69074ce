"""Whatever text comes, reading it succeeds or refuses: it never fails in another way."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import JOINERS
from crewjobs.files.history_file import read_history
from crewjobs.files.job_file import read_job
from crewjobs.files.shop_file import read_shop
from crewjobs.files.toml_text import document, inline
from tests import thorough
from tests.files.samples import JOB, SHOP

READERS: list[Callable[[str], Any]] = [
    lambda text: read_job(text, "x.toml", "America/Chicago"),
    lambda text: read_shop(text, "x.toml"),
    lambda text: read_history(text, "x.toml", {1: "America/Chicago"}),
]
KEYS = [
    "number", "title", "state", "wished", "promised", "weight", "blocked", "stages", "customer", "site", "room", "opening",
    "stairs", "material", "order", "name", "length", "width", "corners", "sections", "layers", "floor", "level", "fixtures",
    "furniture", "between", "steps", "plank", "carton", "pattern", "lengths", "joint", "acclimation", "cartons", "ordered", "due", "hours", "zone", "address",
    "shop", "crew", "template", "workers", "lays", "days_off", "hours_on", "key", "minutes", "waits", "happened", "job", "at", "ticked", "covering",
]  # fmt: skip
scalars = (
    st.none().map(lambda _: "living")
    | st.text(st.characters(codec="utf-8"), max_size=8)
    | st.sampled_from(
        ["12' 6", "23.8 ft2", "48 h", "living", "2026-03-06 14:00", "click vinyl", "-3 ft", "America/Chicago", "9-16"]
    )
    | st.integers()
    | st.floats()
    | st.booleans()
    | st.dates()
    | st.datetimes().map(lambda moment: moment.replace(fold=0))
    | st.times().map(lambda time: time.replace(fold=0))
)
values = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(KEYS) | st.text(max_size=3), inner, max_size=5)
    ),
    max_leaves=12,
)
files = st.dictionaries(st.sampled_from(KEYS), values, max_size=8)


def read_all(text: str) -> None:
    """Read a text as each kind of file; only a refusal with printable sentences may come of it."""
    for read in READERS:
        with suppress(Refused):
            try:
                read(text)
            except Refused as refused:
                for sentence in refused.sentences:
                    assert sentence.startswith("x.toml: "), sentence
                    assert all(c.isprintable() or c in JOINERS for c in sentence), sentence
                    assert len(sentence) < 2000
                raise


@settings(max_examples=thorough.examples(60, 20), deadline=None)
@given(files)
def test_any_tables(tables: dict[str, Any]) -> None:
    """Any TOML tables with our keys and values of any kind are read or refused."""
    read_all(document(tables, ()))


@settings(max_examples=thorough.examples(60, 20), deadline=None)
@given(st.sampled_from([JOB, SHOP]), st.data())
def test_a_mangled_file(text: str, data: st.DataObject) -> None:
    """A good file with a piece cut out, doubled or replaced is read or refused."""
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 80)))
    piece = data.draw(
        st.sampled_from(["", text[start:end] * 2, '"', "[", "]]", "\x1b", "\0", "0", "-1", "nan", "{}", "\\", "'''"])
    )
    read_all(text[:start] + piece + text[end:])


@settings(max_examples=thorough.examples(60, 20), deadline=None)
@given(st.text(max_size=60))
def test_any_text(text: str) -> None:
    """Any text at all is read or refused."""
    read_all(text)


@settings(max_examples=thorough.examples(60, 20), deadline=None)
@given(st.sampled_from([JOB, SHOP]), st.data())
def test_values_of_another_kind(text: str, data: st.DataObject) -> None:
    """A good file with one value replaced by one of any kind is read or refused."""
    lines = text.splitlines()
    at = data.draw(st.sampled_from([number for number, line in enumerate(lines) if " = " in line]))
    lines[at] = f"{lines[at].partition(' = ')[0]} = {inline(data.draw(values))}"
    read_all("\n".join(lines))


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("x = " + "[" * 3_900, id="nested lists"),
        pytest.param("x = " + "[\n" * 20_000, id="nested lists on lines"),
        pytest.param("x = " + "{a=" * 1_300, id="nested tables"),
        pytest.param("x = " + "9" * 3_900, id="a very long number"),
        pytest.param("a." * 1_900 + "b = 1", id="a very long key"),
        pytest.param("a." * 50_000 + "b = 1", id="an endless key"),
        pytest.param("\n" * 100_000, id="nothing but lines"),
    ],
)
def test_texts_that_are_too_much(text: str) -> None:
    """Nesting without end, numbers of thousands of digits and the like are refused."""
    read_all(text)


@settings(max_examples=thorough.examples(60, 20), deadline=None)
@given(
    st.dictionaries(
        st.text(st.characters(codec="utf-8"), max_size=5), values.filter(lambda value: value == value), max_size=4
    )
)
def test_written_toml_is_toml(tables: dict[str, Any]) -> None:
    """Whatever is written, the standard library reads the same tables back."""
    assert repr(tomllib.loads(document(tables, ()))) == repr(tables)
