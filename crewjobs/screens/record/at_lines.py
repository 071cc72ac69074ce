"""What the office refuses, said at the line of a form that mends it: a command's options are told as the form's lines."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from crewjobs.domain.errors import Refused

Lines = Sequence[tuple[str, str]]
"""Keys of lines, which are a command's options, too, and their labels."""
Mended = Sequence[tuple[str, str]]
"""What a sentence has in it, as a pattern, and the key of the line that mends it."""
NOT_YET = ("has not come yet", "at")
"""Of when something happened."""
NOBODY = ("^there is nobody called|^there is no crew", "who")


@contextmanager
def refused_at(lines: Lines, mended: Mended = ()) -> Iterator[None]:
    """Have what is refused said at a line: at the one that `mended` names, else at the first whose option it names."""
    try:
        yield
    except Refused as refused:
        raise Refused([at_its_line(sentence, lines, mended) for sentence in refused.sentences]) from None


def at_its_line(sentence: str, lines: Lines, mended: Mended = ()) -> str:
    """Return a sentence in a form's words, behind the name of its line where it has one: ``By whom: say who agreed``."""
    named = [(found.start(), label) for key, label in lines if (found := re.search(rf"--{key}\b", sentence))]
    name = next((key for has, key in mended if re.search(has, sentence)), min(named)[1] if named else "")
    words = in_lines(sentence, lines)
    return f"{name}: {words}" if name else words


def in_lines(sentence: str, lines: Lines) -> str:
    """Return a sentence with the names of a form's lines in the place of a command's options."""
    for key, label in lines:
        sentence = re.sub(rf" with --{key} NAME\b", "", sentence)
        sentence = re.sub(rf"--{key}\b", label, sentence)
    return sentence
