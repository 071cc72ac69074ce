"""The one way the program says no."""

from __future__ import annotations

from collections.abc import Sequence


class Refused(Exception):
    """Something asked for cannot be done; nothing was changed.

    Carries one or more sentences a person can act on: what is wrong, where, and what would be right.
    Every face (command, screen) prints them as they are; none of them ever shows a traceback.
    """

    def __init__(self, sentence: str | Sequence[str]) -> None:
        self.sentences: tuple[str, ...] = (sentence,) if isinstance(sentence, str) else tuple(sentence)
        super().__init__("\n".join(self.sentences))


class AlreadySo(Refused):
    """What is asked for is so already: nothing is wrong, and nothing was changed."""


class ChangedMeanwhile(Refused):
    """What is to be changed was changed by somebody else since it was looked at: look again, then decide."""


class OnHold(Refused):
    """A task is on hold, or less is done than was said. A written reason, which is kept, records it all the same.

    `what` and `why` are what is held and by what, where a sentence of several is to be made.
    """

    def __init__(self, sentence: str | Sequence[str], *, what: str = "", why: str = "") -> None:
        super().__init__(sentence)
        self.what, self.why = what, why


class NotWritten(OnHold):
    """A task is ticked only with words written down, and none were: they are given as a reason is."""
