"""Initials that tell the people of one crew apart on a page."""

import unicodedata
from collections.abc import Iterator, Sequence

_CASED_SCRIPTS = ("LATIN", "GREEK", "CYRILLIC")


def initials(names: Sequence[str]) -> tuple[str, ...]:
    """One short mark a name, in the same order, all different.

    "Ines Varga" gives IV. Names that would share a mark get more letters of the first word, then
    of the last: Ana Lund and Al Lopez give AnL and AlL; equal names are counted: AL1, AL2.
    A name with no Latin, Greek or Cyrillic letter (also an empty one) gives P and its place in
    the list: its own letters may not print, and a mark must be readable on every page.
    """
    words = [_words(name) for name in names]
    marks = [""] * len(names)
    for place, parts in enumerate(words):
        if not parts:
            marks[place] = f"P{place + 1}"
    for mark_level in range(max((len(w) for parts in words for w in parts), default=0) * 2):
        marks = [mark or _candidate(parts, mark_level) for mark, parts in zip(marks, words, strict=True)]
        clashing = {mark for mark in marks if marks.count(mark) > 1}
        if not clashing:
            return tuple(marks)
        marks = ["" if mark in clashing else mark for mark in marks]
    return _counted([mark or _candidate(parts, 0) for mark, parts in zip(marks, words, strict=True)])


def _words(name: str) -> list[str]:
    """The words of a name, cut down to letters that have a capital form."""
    composed = unicodedata.normalize("NFC", name)
    found = ["".join(_letters(word)) for word in composed.split()]
    return [word for word in found if word]


def _letters(word: str) -> Iterator[str]:
    for char in word:
        if char.isalpha() and unicodedata.name(char, "").startswith(_CASED_SCRIPTS):
            yield char


def _candidate(parts: list[str], level: int) -> str:
    """Level 0: AL; 1: AnL; 2: AnLu; 3: AnaLu; and so on, one letter more a level."""
    first, last = parts[0], parts[-1] if len(parts) > 1 else ""
    if not last:
        return _capital(first[: level + 2])
    return _capital(first[: 1 + (level + 1) // 2]) + _capital(last[: 1 + level // 2])


def _capital(letters: str) -> str:
    return letters[:1].upper() + letters[1:].lower()


def _counted(marks: list[str]) -> tuple[str, ...]:
    """Equal marks numbered by their order, skipping a number that somebody else's mark already is."""
    taken = {mark for mark in marks if marks.count(mark) == 1}
    counted: list[str] = []
    for mark in marks:
        unique, number = mark, 1
        while marks.count(mark) > 1 and unique in taken | {mark}:
            unique, number = f"{mark}{number}", number + 1
        taken.add(unique)
        counted.append(unique)
    return tuple(counted)
