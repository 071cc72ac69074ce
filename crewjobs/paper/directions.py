"""Which parts of a line are read from right to left, so that a page sets each of them apart from what stands beside it.

Lines are English with names in them. Left to the bidirectional algorithm alone, a name in Arabic or Hebrew letters takes the
digits after it along: a telephone number comes out turned round (Unicode Standard Annex 9, rules W2 and N1). A part set
apart (an isolate, rules X5a to X6a) leaves its neighbours alone.

What was typed as one, such as an address with the numbers of house and floor in it, is set apart as one (`whole`): cut at its
numbers and commas its pieces would stand in the order of the line, and the number of the house beside that of the floor. So are
names of rooms and people wherever they were put into a page's sentences (`named`): a number of a room belongs to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Final, TypeVar, cast

T = TypeVar("T")

_FIRST_STRONG, _END = "\u2068", "\u2069"
"""FIRST STRONG ISOLATE and POP DIRECTIONAL ISOLATE."""

_BEGIN, _OVER = "\ufdd0", "\ufdd1"
"""Around what is one whole until it is printed: noncharacters, which Unicode keeps for such use and no text holds."""

# Blocks whose characters, assigned or not, are of the classes R, AL and AN (DerivedBidiClass.txt, its default values).
_LETTER: Final = "[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff]"
_WORD: Final = rf"{_LETTER}(?:[-'\u2019\"./&\u200c\u200d]?{_LETTER})*"
# A number of a house or room goes with the words around it; a longer one or one in parts is a telephone number or a measure.
_NUMBER: Final = r"[0-9]{1,4}"
_COMMA: Final = "[\u060c\u061b]?"  # of Arabic letters, after a number among them
_RUN: Final = re.compile(
    rf"{_WORD}(?: (?:{_NUMBER}{_COMMA} )?{_WORD})*(?: {_NUMBER}(?=$|[,.](?![0-9])|[;:)!?\u060c\u061b]))?"
)
_WHOLE: Final = re.compile(rf"(?:{_RUN.pattern})[ .!?]*")


_TYPED_AS_ONE: Final = re.compile(f"{_BEGIN}([^{_BEGIN}{_OVER}]*)(?:{_OVER}|$)")
_BEFORE_NUMBER, _NO_BREAK = re.compile(rf" (?={_NUMBER}(?![0-9]))"), "\u00a0"
_OF_LETTER: Final = re.compile(_LETTER)


def whole(text: str) -> str:
    """Return what was typed as one (an address, a name), marked to be set apart as one where letters read from right to left are in it."""
    bare = unmarked(text)
    return f"{_BEGIN}{bare}{_OVER}" if _OF_LETTER.search(bare) else bare


def read_from_right(text: str) -> bool:
    """Return whether letters in a text are read from right to left."""
    return bool(_OF_LETTER.search(text))


def named(names: Iterable[str]) -> Callable[[str], str]:
    """Return what marks each of these names as one whole (`whole`) where it stands in a text, the longest first.

    A name inside of a longer word, or of what is marked already, is none.
    """
    marked = sorted(
        {name for name in map(unmarked, names) if read_from_right(name)}, key=lambda name: (-len(name), name)
    )
    if not marked:
        return str
    there = re.compile(rf"{_TYPED_AS_ONE.pattern}|(?<!\w)(?P<name>{'|'.join(map(re.escape, marked))})(?!\w)")

    def mark(text: str) -> str:
        if not read_from_right(text):
            return text
        return there.sub(lambda found: whole(found["name"]) if found["name"] else found[0], text)

    return mark


def each_text(value: T, change: Callable[[str], str], *, but: Iterable[str] = (), never: tuple[type, ...] = ()) -> T:
    """Return a page's values with each text in them changed, however deep; not those of the fields `but`, nor of the types `never`."""
    return cast(T, _changed(value, change, frozenset(but), never))


def _changed(value: object, change: Callable[[str], str], but: frozenset[str], never: tuple[type, ...]) -> object:
    if isinstance(value, never):
        return value
    if type(value) is str:
        return change(value)
    if type(value) is tuple:
        return tuple(_changed(part, change, but, never) for part in value)
    if is_dataclass(value) and not isinstance(value, type):
        before = {field.name: getattr(value, field.name) for field in fields(value) if field.name not in but}
        after = {name: _changed(part, change, but, never) for name, part in before.items()}
        other = {name: part for name, part in after.items() if part != before[name]}
        return replace(value, **other) if other else value
    return value


def with_its_number(text: str) -> str:
    """Return a line in which a number in what is marked as one whole is not parted from the word before it."""
    return _TYPED_AS_ONE.sub(lambda found: _BEFORE_NUMBER.sub(_NO_BREAK, found[0]), text)


def unmarked(text: str) -> str:
    """Return a line without the marks of `whole`."""
    return text.replace(_BEGIN, "").replace(_OVER, "")


def parts(text: str) -> list[tuple[str, bool]]:
    """Return a line cut into parts, each with whether it is read from right to left and must be set apart.

    A line that is read so as a whole is one part and not set apart: nothing stands beside it. What was marked as one whole
    is one part, up to the end of a line that was cut in it.
    """
    found, at = list[tuple[str, bool]](), 0
    for one in _TYPED_AS_ONE.finditer(text):
        found += [*_runs(unmarked(text[at : one.start()])), (one[1], True)]
        at = one.end()
    return [(part, apart) for part, apart in (*found, *_runs(unmarked(text[at:]))) if part]


def _runs(text: str) -> list[tuple[str, bool]]:
    if _WHOLE.fullmatch(text):
        return [(text, False)]
    found, at = list[tuple[str, bool]](), 0
    for run in _RUN.finditer(text):
        found += [(text[at : run.start()], False), (run.group(), True)]
        at = run.end()
    return [(part, apart) for part, apart in (*found, (text[at:], False)) if part]


def isolated(text: str) -> str:
    """Return a line with each part that is read from right to left between the characters that set it apart.

    A number in such a part stays on the line of the word before it: alone at the start of the next it belongs to nothing.
    """
    return "".join(
        f"{_FIRST_STRONG}{_BEFORE_NUMBER.sub(_NO_BREAK, part)}{_END}" if apart else part for part, apart in parts(text)
    )


def set_apart(page: str) -> str:
    """Return the lines of a text page, each by itself, with each part that is read from right to left set apart.

    A message shows every line as a paragraph of its own: one with no such part stays as it is, to the last character.
    """
    if not _OF_LETTER.search(page):
        return page
    return "".join(
        f"{_FIRST_STRONG}{part}{_END}" if apart else part
        for line in _over_lines(page.splitlines(keepends=True))
        for part, apart in _cut(line)
    )


def _over_lines(lines: Iterable[str]) -> Iterator[str]:
    """Yield lines, what is one whole over several of them as one whole of each: a message shows each by itself."""
    open_before = False
    for line in lines:
        body = line.lstrip() if open_before else line
        yield f"{line[: len(line) - len(body)]}{_BEGIN}{body}" if open_before else line
        begun, over = line.rfind(_BEGIN), line.rfind(_OVER)
        open_before = begun > over or (open_before and over < 0)


def _cut(line: str) -> list[tuple[str, bool]]:
    body = line.rstrip("\n")
    return [*parts(body), ("\n" * (len(line) - len(body)), False)]
