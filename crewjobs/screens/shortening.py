"""A sentence of a record in less room than it takes: what was done stays, and names, reasons and lists give way.

Such a sentence names what it is about, then says what was done: ``Job 11: task 11 'Glued tile out' (front room) done Mon``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

from crewjobs.screens.drawing import fit

_ASIDE: Final = re.compile(r",(?: although on hold,)? because .*| \((?:it )?was .*", re.DOTALL)
"""What a sentence ends with besides: a reason, or how it was before."""
_NAME: Final = re.compile(r"'((?:[^']|'(?=\w))*)'(?!\w)")
"""A name or somebody's words in quotes; an apostrophe may stand within a word of it."""
_TASK: Final = r"task \d+ '(?:[^']|'(?=\w))*'(?: \([^()]*\))?"
_TASKS: Final = re.compile(rf"({_TASK})((?:, {_TASK})*) and (?:(\d+) more|{_TASK})")
_TASK_PLACE: Final = re.compile(r"(task \d+ '(?:[^']|'(?=\w))*') \([^()]*\)")
_DONE: Final = re.compile(
    r"(?<= )(?:(?:is )?not done after all|done|begun|ticked|checked|came|went back|back-ordered|(?:not )?agreed|declined|"
    r"drafted|asked|chased|told|called off|found|taken|(?:no longer )?pinned|planned|put back|closed|set up)(?=[ .,;:]|$)"
)
"""How it is said what was done; the last of them in the first clause is it."""
_CLAUSE: Final = re.compile(r"(?:(?:Taken back|There again): )?(?:[Jj]ob \d+: )?.*?(?=[;:] |$)", re.DOTALL)
"""What a sentence says first; behind it follows what belongs to it."""
_WORDS: Final = (6, 4, 3, 2, 1)
"""So many words are left of a name, one after the other."""
_CELLS: Final = 14
"""And of a word of it so many cells."""


def shortened(sentence: str, fits: Callable[[str], bool]) -> str:
    """Return a sentence with as little left out as fits; what does not fit even so goes from before or behind what was done.

    Args:
        sentence: what was done.
        fits: whether a text has room.
    """
    shorter = sentence
    for shorter in (sentence, *_shorter(sentence)):
        if fits(shorter):
            return shorter
    return _around_what_was_done(shorter, fits)


def _shorter(sentence: str) -> Iterator[str]:
    """Yield it ever shorter: without its reason, with shorter names, with one of several tasks, without that one's place."""
    told = _ASIDE.sub(" …", sentence, count=1)
    yield told
    for count in _WORDS[:-1]:
        yield _NAME.sub(partial(_begun, count), told)
    told = _TASKS.sub(_first_of_them, told)
    for count in _WORDS:
        yield _NAME.sub(partial(_begun, count), told)
    yield _TASK_PLACE.sub(r"\1", _NAME.sub(partial(_begun, 1), told))


def _begun(count: int, found: re.Match[str]) -> str:
    """Return the first words of a name, in its quotes."""
    words = found[1].split()
    kept = " ".join(fit(word, _CELLS) for word in words[:count])
    return f"'{kept.rstrip(',;:')} …'" if len(words) > count else f"'{kept}'"


def _first_of_them(found: re.Match[str]) -> str:
    """Return the first of several tasks, and how many more there are."""
    more = len(re.findall(_TASK, found[2])) + (int(found[3]) if found[3] else 1)
    return f"{found[1]} and {more} more"


def _around_what_was_done(sentence: str, fits: Callable[[str], bool]) -> str:
    """Return its beginning; where that does not come to what was done, its first words and what was done behind them."""
    hidden = _NAME.sub(lambda found: "x" * len(found[0]), sentence)
    clause = _CLAUSE.match(hidden)
    done = list(_DONE.finditer(hidden, 0, clause.end())) if clause is not None else []
    words = sentence.split()
    kept = _most(len(words), lambda count: fits(f"{' '.join(words[:count])} …"))
    if not done or kept >= len(sentence[: done[-1].end()].split()):
        return f"{' '.join(words[:kept])} …"
    before, behind = sentence[: done[-1].start()].split(), sentence[done[-1].start() :].split()

    def told(first: int, last: int) -> str:
        return f"{' '.join(before[:first])} … {' '.join(behind[:last])}{' …' if last < len(behind) else ''}"

    last = _most(len(behind), lambda count: fits(told(1, count)))
    return told(_most(len(before), lambda count: fits(told(count, last))), last)


def _most(end: int, fits: Callable[[int], bool]) -> int:
    """Return the greatest count up to `end` that fits; 1 where none does."""
    return max((count for count in range(1, end + 1) if fits(count)), default=1)
