"""What is kept for the screen, said on paper: commands of the program mean nothing to who reads a page."""

from __future__ import annotations

import re
from typing import Final

_IN_BRACKETS: Final = re.compile(r" ?\([^()`]*`[^()]*\)")
_SENTENCE: Final = re.compile(r"(?:^|(?<=[.!?]) )`[^`]*`[^.]*\.")
_CLAUSE: Final = re.compile(r"[;:,] [^;:,.`]*`[^`]*`[^;.]*(?=[;.]|$)")


def on_paper(text: str) -> str:
    """Return a sentence of the program's own without the commands it names, in brackets or in a clause of their own."""
    if "`" not in text:
        return text
    return _CLAUSE.sub("", _SENTENCE.sub("", _IN_BRACKETS.sub("", text))).strip()
