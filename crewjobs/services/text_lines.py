"""Lines of a text that is read as text: each with what stands before it, so that a face can wrap it to its width."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TextLine:
    """A paragraph; `first` stands before its first line, `indent` before those it is wrapped to. An empty one is a blank line."""

    text: str = ""
    first: str = ""
    indent: str = ""
