"""Values to what JSON can hold and back, by their types: for columns that keep a whole small value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints


def plain(value: Any) -> Any:
    """Return a value as lists, dictionaries, texts and numbers; sets are sorted, so equal values give equal text.

    Raises:
        TypeError: a value of a kind that is not kept.
    """
    if value is None or type(value) in (str, int, float, bool):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, frozenset | set):
        return sorted((plain(item) for item in value), key=repr)
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    raise TypeError(f"no plain form for {type(value).__name__}")


@cache
def builder(kind: Any) -> Callable[[Any], Any]:
    """Return the function that builds a value of a type from its plain form.

    Raises:
        TypeError: a type that is not kept.
    """
    origin, arguments = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return _optional(arguments)
    if origin is tuple:
        return _tuple(arguments)
    if origin is frozenset:
        one = builder(arguments[0])
        return lambda data: frozenset(one(item) for item in data)
    if kind is Any or origin is Literal or kind in (str, int, float, bool):
        return _as_is
    if kind in (date, datetime):
        convert: Callable[[Any], Any] = kind.fromisoformat
        return convert
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind
    if is_dataclass(kind):
        return _dataclass(kind)
    raise TypeError(f"no value is built for {kind!r}")


def _as_is(data: Any) -> Any:
    return data


def _optional(arguments: tuple[Any, ...]) -> Callable[[Any], Any]:
    kinds = [argument for argument in arguments if argument is not NoneType]
    if len(kinds) != 1:
        raise TypeError(f"no value is built for one of {kinds!r}")
    one = builder(kinds[0])
    return lambda data: None if data is None else one(data)


def _tuple(arguments: tuple[Any, ...]) -> Callable[[Any], Any]:
    if len(arguments) == 2 and arguments[1] is Ellipsis:
        one = builder(arguments[0])
        return lambda data: tuple(map(one, data))
    each = tuple(builder(argument) for argument in arguments)
    return lambda data: tuple(build(item) for build, item in zip(each, data, strict=True))


def _dataclass(kind: Any) -> Callable[[Any], Any]:
    """A field the stored form lacks takes its default: it was stored before the field was there."""
    hints = get_type_hints(kind)
    parts = {field.name: builder(hints[field.name]) for field in fields(kind) if field.init}
    return lambda data: kind(**{name: parts[name](item) for name, item in data.items() if name in parts})
