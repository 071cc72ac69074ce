"""Crews that get another name while the screens are open: whose day one looks at stays that crew's."""

from __future__ import annotations

from collections.abc import Sequence


class CrewNames:
    """What a crew is called now, as far as the names that were seen tell it."""

    def __init__(self) -> None:
        self._now: dict[str, str] = {}

    def seen(self, before: Sequence[str], after: Sequence[str]) -> None:
        """Take in that the crews, in their order, have other names: where one alone differs, it is in the other's place."""
        differ = [pair for pair in zip(before, after, strict=False) if pair[0] != pair[1]]
        if len(before) != len(after) or len(differ) != 1:
            return
        ((was, now),) = differ
        for name, called in self._now.items():
            if called == was:
                self._now[name] = now
        self._now[was] = now
        self._now.pop(now, None)

    def now(self, name: str) -> str:
        """Return what stands in the place of a crew's name; the name itself where nothing does."""
        return self._now.get(name, name)
