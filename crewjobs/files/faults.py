"""What a reader found wrong, in sentences: file, place, key, and what would be right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Final

from cattrs.errors import (
    ClassValidationError,
    ForbiddenExtraKeysError,
    IterableValidationError,
    IterableValidationNote,
)

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import opening_name
from crewjobs.domain.units import quoted
from crewjobs.files.values import nearest

_MOST: Final = 50
"""A file with more faults than this is told so instead of filling the screen."""


Path = tuple[str | int, ...]
"""Steps down the tables of a file: keys, and items of lists from 0; empty where a fault has no one place."""


class At(Refused):
    """A refusal of one key, found after the table's values were read one by one; `under` are the steps down to its table."""

    def __init__(self, key: str, fault: Refused | str, under: Path = ()) -> None:
        super().__init__(fault if isinstance(fault, str) else fault.sentences)
        self.key = key
        self.under = under


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault: where, what is wrong in itself, and the whole sentence with file and place in front."""

    path: Path = ()
    words: str
    sentence: str


class Misread(Refused):
    """A refusal of tables that knows where each of its faults lies, for a form to say it beside the field."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple({fault.sentence: fault for fault in reversed(faults)}.values())[::-1]
        super().__init__([fault.sentence for fault in self.faults])


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where in a file: labels of the tables passed through, the key last named, and the steps that led there."""

    labels: tuple[str, ...] = ()
    key: str = ""
    path: Path = ()

    def table(self, label: str) -> Place:
        """Return the place of a table inside."""
        return replace(self, labels=(*self.labels, label), key="")

    def named(self, key: str) -> Place:
        """Return the place of a key of this table."""
        return replace(self, key=key)

    def down(self, step: str | int) -> Place:
        """Return the place one step further down, not named yet."""
        return replace(self, path=(*self.path, step))

    def say(self, source: str, sentence: str) -> str:
        """Return the sentence with its place in front, without naming the last table twice."""
        labels = list(self.labels)
        if labels and not self.key and sentence.startswith(labels[-1]):
            labels.pop()
        where = ", ".join([*labels, *([f"key {self.key}"] if self.key else [])])
        return ": ".join(filter(None, (source, where, sentence)))


def misread(error: Exception, raw: object, source: str, right: Mapping[str, str]) -> Misread:
    """Return every fault of a structured read; `right` says what to write for a missing key.

    Raises:
        Exception: the error itself, where it is no fault of the file but of this program.
    """
    walked = _walk(error, raw, Place(), right)
    found = Misread([Fault(path=place.path, words=text, sentence=place.say(source, text)) for place, text in walked])
    if len(found.faults) > _MOST:
        more = f"and {len(found.faults) - _MOST} more faults of the same kind."
        return Misread([*found.faults[:_MOST], Fault(words=more, sentence=f"{source}: {more}")])
    return found


def _walk(error: Exception, raw: object, place: Place, right: Mapping[str, str]) -> Iterator[tuple[Place, str]]:
    if isinstance(error, ClassValidationError | IterableValidationError):
        noted, others = error.group_exceptions()
        for inner, note in noted:
            step = note.index if isinstance(note, IterableValidationNote) else note.name
            yield from _walk(inner, *_step(raw, step, place), right)
        for inner in others:
            yield from _walk(inner, raw, place, right)
    elif isinstance(error, ForbiddenExtraKeysError):
        yield from _unknown_keys(error, place)
    elif isinstance(error, KeyError):
        yield place, _missing(place.key.strip("'"), right)
    elif isinstance(error, ExceptionGroup):
        for inner in error.exceptions:
            yield from _walk(inner, raw, place, right)
    elif isinstance(error, At):
        for step in error.under:
            raw, place = _step(raw, step, place)
        at = place.down(error.key).named(quoted(error.key))
        yield from ((at, sentence) for sentence in error.sentences)
    elif isinstance(error, Refused):
        yield from ((place, sentence) for sentence in error.sentences)
    else:
        raise error


def _step(raw: object, step: str | int, place: Place) -> tuple[object, Place]:
    """Go down one key or one list item, and name it as the person who wrote it would."""
    place = place.down(step)
    if isinstance(step, int):
        item = raw[step] if isinstance(raw, list) and step < len(raw) else None
        key = place.key.strip("'")
        if isinstance(item, dict):
            return item, place.table(_label(key, step, item))
        return item, place.named(f"'{key}', item {step + 1}")
    if not isinstance(raw, dict):
        return raw, place  # a short spelling, such as "carpet" for a layer: its inner keys were never written
    item = raw.get(step)
    return item, place.table(step) if isinstance(item, dict) else place.named(quoted(step))


def _label(key: str, index: int, item: dict[str, object]) -> str:
    name, between, material = item.get("name", item.get("key")), item.get("between"), item.get("material")
    if isinstance(name, str) and name:
        return f"{key} {quoted(name)}"
    if isinstance(between, list) and len(between) == 2:
        which = item.get("which")
        return f"{key} {quoted(opening_name([str(end) for end in between], which if isinstance(which, str) else ''))}"
    if isinstance(material, str):
        return f"{key} of {quoted(material)}"
    goods, place = item.get("goods"), item.get("place", "")
    if isinstance(goods, str) and isinstance(place, str):
        return f"{key} of {quoted(goods_label(goods, place))}"
    what = item.get("what")
    if isinstance(what, str) and what:
        return f"{key} {quoted(what)}"
    return f"{key} {index + 1}"


def goods_label(goods: str, place: str) -> str:
    """Return how an order line of goods is called, as its file spells it."""
    return f"{goods} ({place})" if place else goods


def _unknown_keys(error: ForbiddenExtraKeysError, place: Place) -> Iterator[tuple[Place, str]]:
    known = [field.name for field in fields(error.cl)]
    for key in sorted(error.extra_fields):
        near = nearest(key, known)
        hint = f"did you mean {quoted(near)}?" if near else f"known here: {', '.join(known)}."
        yield place.down(key).named(quoted(key)), f"unknown key; {hint}"


def _missing(key: str, right: Mapping[str, str]) -> str:
    return f"missing; write {right[key]}." if key in right else "missing; it is needed."
