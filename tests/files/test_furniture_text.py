"""A room's furniture in words, read and written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Piece
from crewjobs.domain.units import INCH
from crewjobs.files.furniture_text import furniture_words, read_furniture, size_not_known
from crewjobs.files.usual_furniture import usual_furniture

PARTS = ("window half", "door half")


def test_words_of_a_room() -> None:
    """Usual rooms, counts, sizes with one unit or two, what stays, and sections."""
    pieces = read_furniture("usual nursery, 2 bookcases, sofa 90 x 38 in in window half; upright piano stays", PARTS)
    names = [(piece.name, piece.count) for piece in pieces]
    assert names[: len(names) - 3] == list(usual_furniture().of_room("nursery") or ())
    assert names[-3:] == [("bookcase", 2), ("sofa", 1), ("upright piano", 1)]
    sofa, piano = pieces[-2], pieces[-1]
    assert (sofa.length, sofa.width, sofa.part) == (90 * INCH, 38 * INCH, "window half")
    assert piano.stays
    assert read_furniture("none", PARTS) == ()


@pytest.mark.parametrize(
    "words",
    [
        "-1 sofa", "0 sofa", "sofa 90 in x", "sofa 90", "1000000 box", "sofa stays stays", "piano in attic", "12",
        "usual cellar", "", " , ", "sofa 90 in x 0 in", "sofa <b>",
    ],
)  # fmt: skip
def test_what_is_no_furniture_is_refused(words: str) -> None:
    """Each slip has its sentence instead of a piece of that name."""
    with pytest.raises(Refused):
        read_furniture(words, PARTS)


@given(
    st.lists(
        st.builds(
            Piece,
            name=st.sampled_from(("sofa", "bookcase", "harp", "side table")),
            count=st.integers(1, 40),
            length=st.just(40 * INCH),
            width=st.just(20 * INCH),
            stays=st.booleans(),
            part=st.sampled_from(("", *PARTS)),
        ),
        min_size=1,
        max_size=6,
    )
)
def test_what_is_written_is_read_again(pieces: list[Piece]) -> None:
    """The words of a room's furniture say the same furniture."""
    again = read_furniture(furniture_words(pieces), PARTS)
    assert [(p.name, p.count, p.length, p.width, p.stays, p.part) for p in again] == [
        (p.name, p.count, p.length, p.width, p.stays, p.part) for p in pieces
    ]


@given(st.text(max_size=40))
def test_any_words_are_furniture_or_refused(words: str) -> None:
    """Whatever is typed, there is an answer."""
    answer: object
    try:
        answer = read_furniture(words, PARTS)
    except Refused as refused:
        answer = refused.sentences
    assert answer or words.strip().casefold() in ("none", "nothing", "empty")


def test_a_slip_in_a_known_name_is_asked_about() -> None:
    """Without its size it is refused with the name that is meant; with it, or like nothing known, it is taken."""
    with pytest.raises(Refused, match="'bokcase' is not a piece known by size; did you mean 'bookcase'"):
        read_furniture("3 bokcase", PARTS)
    assert read_furniture("3 bokcase 36 in x 12 in", PARTS)[0].count == 3
    assert size_not_known(read_furniture("throne, sofa", PARTS)) == ("throne",)


@pytest.mark.parametrize("words", ["sofa 7 x 3", "Schrank 210 x 90", "2 sofa 7x3 in door half"])
def test_a_size_without_a_unit_is_refused(words: str) -> None:
    """Nobody knows whether inches or centimetres are meant."""
    with pytest.raises(Refused) as caught:
        read_furniture(words, PARTS)
    [sentence] = caught.value.sentences
    assert "says no unit: write its length and width with theirs" in sentence


def test_a_decimal_comma_is_read_in_a_size() -> None:
    """As in every other length; between pieces it parts them all the same."""
    pieces = read_furniture("sofa 2,1 m x 90 cm, 2 desk 1,2 x 0,6 m,2 bookcase", PARTS)
    assert pieces == read_furniture("sofa 2.1 m x 90 cm; 2 desk 1.2 m x 0.6 m; 2 bookcase", PARTS)
    assert [(piece.name, piece.count) for piece in pieces] == [("sofa", 1), ("desk", 2), ("bookcase", 2)]
