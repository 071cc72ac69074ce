"""Which parts of a line are read from right to left, so that a page sets each of them apart from what stands beside it.

Lines are English with names in them. Left to the bidirectional algorithm alone, a name in Arabic or Hebrew letters takes the
digits after it along: a telephone number comes out turned round (Unicode Standard Annex 9, rules W2 and N1). A part set
apart (an isolate, rules X5a to X6a) leaves its neighbours alone.
"""

from __future__ import annotations

import re
from typing import Final

_ISOLATE, _FIRST_STRONG, _END = "\u2067", "\u2068", "\u2069"
"""RIGHT-TO-LEFT ISOLATE, FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE."""

# Blocks whose characters, assigned or not, are of the classes R, AL and AN (DerivedBidiClass.txt, its default values).
_LETTER: Final = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff]"
_WORD: Final = rf"{_LETTER}(?:[-'\u2019\"./&\u200c\u200d]?{_LETTER})*"
# A number of a house or room goes with the words around it; a longer one or one in parts is a telephone number or a measure.
_NUMBER: Final = r"[0-9]{1,4}"
_RUN: Final = re.compile(rf"{_WORD}(?: (?:{_NUMBER} )?{_WORD})*(?: {_NUMBER}(?=$|[,.](?![0-9])|[;:)!?]))?")
_WHOLE: Final = re.compile(rf"(?:{_RUN.pattern})[ .!?]*")


def parts(text: str) -> list[tuple[str, bool]]:
    """Return a line cut into parts, each with whether it is read from right to left and must be set apart.

    A line that is read so as a whole is one part and not set apart: nothing stands beside it.
    """
    if _WHOLE.fullmatch(text):
        return [(text, False)]
    found, at = list[tuple[str, bool]](), 0
    for run in _RUN.finditer(text):
        found += [(text[at : run.start()], False), (run.group(), True)]
        at = run.end()
    return [(part, apart) for part, apart in (*found, (text[at:], False)) if part]


def isolated(text: str) -> str:
    """Return a line with each part that is read from right to left between the characters that set it apart."""
    return "".join(f"{_ISOLATE}{part}{_END}" if apart else part for part, apart in parts(text))


def set_apart(page: str) -> str:
    """Return the lines of a text page, each by itself, with each part that is read from right to left set apart.

    A message shows every line as a paragraph of its own: one with no such part stays as it is, to the last character.
    """
    if not _RUN.search(page):
        return page
    return "".join(
        f"{_FIRST_STRONG}{part}{_END}" if apart else part
        for line in page.splitlines(keepends=True)
        for part, apart in _cut(line)
    )


def _cut(line: str) -> list[tuple[str, bool]]:
    body = line.rstrip("\n")
    return [*parts(body), (line[len(body) :], False)]
