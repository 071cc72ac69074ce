"""Initials that tell people apart."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.paper.initials import initials


@pytest.mark.parametrize(
    ("names", "marks"),
    [
        (["Ines Varga", "Tobiah Lund"], ("IV", "TL")),
        (["Ana Lund", "Al Lopez"], ("AnL", "AlL")),
        (["Ana Lund", "Ana Lopez"], ("AnLu", "AnLo")),
        (["Ana Lund", "Al Lopez", "Bo Reyes"], ("AnL", "AlL", "BR")),
        (["Ana Lund", "Ana Lund"], ("AL1", "AL2")),
        (["Bo", "Cy"], ("Bo", "Cy")),
        (["jean-luc de la cruz"], ("JC",)),
        (["Øyvind Åsen", "Пётр Иванов"], ("ØÅ", "ПИ")),
        (["", "王小明", "محمد علي", "\x1b[31m"], ("P1", "P2", "P3", "M")),
        ([], ()),
    ],
)
def test_examples(names: list[str], marks: tuple[str, ...]) -> None:
    """Marks are as short as tells the people apart, and always of letters the pages can print."""
    assert initials(names) == marks


@given(st.lists(st.text(max_size=12) | st.sampled_from(["Ana Lund", "Al Lopez", "AL1", "A L", "P1 x"]), max_size=6))
def test_always_different_never_empty(names: list[str]) -> None:
    """Whatever the names, each person gets a mark of their own."""
    marks = initials(names)
    assert len(marks) == len(names)
    assert len(set(marks)) == len(marks)
    assert all(marks)
