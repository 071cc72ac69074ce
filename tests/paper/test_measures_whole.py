"""A measure on paper stays on one line: its first part alone would be read as another measure."""

import pytest

from crewjobs.paper.payload import shower


@pytest.mark.parametrize(
    ("line", "measure"),
    [
        ('cut 1\' 3 ⅜", 7 ⅜" here', "1' 3 ⅜\","),
        ('cut 7 ⅜" here', '7 ⅜"'),
        ('keep 9 3/4" of it', '9 3/4"'),
        ("from 12' 6\" on", "12' 6\""),
    ],
)
def test_a_measure_is_one_word(line: str, measure: str) -> None:
    """Lines break at plain spaces only; what is no measure keeps its own."""
    words = shower(())(line).split(" ")
    assert measure.replace(" ", "\u00a0") in words
    assert words[0] == line.split(" ")[0]
