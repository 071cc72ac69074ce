"""TOML tables to typed values (cattrs): unknown keys forbidden, all faults of a file collected."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import fields
from datetime import date, datetime
from enum import StrEnum
from types import GenericAlias
from typing import Any, Final, NewType, TypeVar, get_args, get_origin

from cattrs import ClassValidationError, Converter
from cattrs.cols import list_structure_factory
from cattrs.errors import ForbiddenExtraKeysError
from cattrs.gen import make_dict_structure_fn, override

from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import WeekHours
from crewjobs.files.faults import misread
from crewjobs.files.hours import read_hours
from crewjobs.files.values import (
    nearest,
    read_area,
    read_choice,
    read_date,
    read_dates,
    read_flag,
    read_instant,
    read_length,
    read_number,
    read_text,
    read_wait,
    read_whole,
    shown,
)

Length = NewType("Length", int)
Area = NewType("Area", float)
Wait = NewType("Wait", int)
NONE: Final = Area(0.0)
Hook = Callable[[Any, Any], Any]
Made = TypeVar("Made")

_ZONE: ContextVar[str] = ContextVar("zone", default="UTC")


@contextmanager
def times_of(zone: str) -> Iterator[None]:
    """Read wall times as those of a zone while inside."""
    token = _ZONE.set(zone)
    try:
        yield
    finally:
        _ZONE.reset(token)


def current_zone() -> str:
    """Return the zone whose wall times are being read."""
    return _ZONE.get()


def converter(choices: Mapping[type[StrEnum], Mapping[str, StrEnum]]) -> Converter:
    """Return a converter that knows single values, and the closed sets of words with the spellings people use for them."""
    made = Converter(forbid_extra_keys=True, detailed_validation=True)
    plain: dict[Any, Callable[[object], object]] = {
        str: read_text,
        int: read_whole,
        float: read_number,
        bool: read_flag,
        date: read_date,
        datetime: lambda value: read_instant(value, current_zone()),
        WeekHours: read_hours,
        Length: read_length,
        Area: read_area,
        Wait: read_wait,
    }
    for kind, read in plain.items():
        made.register_structure_hook(kind, _ignoring_type(read))
    for choice, spellings in choices.items():
        made.register_structure_hook(choice, _choice_hook(spellings))
    made.register_structure_hook_func(lambda kind: kind == frozenset[date], lambda value, _: read_dates(value))
    made.register_structure_hook_factory(_is_open_tuple, _list_hook)
    return made


def _choice_hook(spellings: Mapping[str, StrEnum]) -> Hook:
    return lambda value, kind: read_choice(value, kind, spellings)


def _ignoring_type(read: Callable[[object], object]) -> Hook:
    return lambda value, _: read(value)


def _is_open_tuple(kind: Any) -> bool:
    return get_origin(kind) is tuple and get_args(kind)[1:] == (...,)


def _list_hook(kind: Any, made: Converter) -> Hook:
    listed: Any = GenericAlias(list, get_args(kind)[:1])
    items = list_structure_factory(listed, made)

    def read(value: object, _: object) -> object:
        if not isinstance(value, list):
            raise Refused(f"{shown(value)} is not a list: write it in [ ].")
        return tuple(items(value, listed))

    return read


def table(
    made: Converter,
    kind: type[Made],
    short: str = "",
    finish: Callable[[Made], Any] | None = None,
    stand_in: Mapping[str, object] | None = None,
    vital: Iterable[str] = (),
    **hooks: Hook,
) -> Callable[[object], Any]:
    """Teach a converter a table, and return its reader.

    `hooks` read single keys in their own way; `short` is the key that a bare text stands for,
    as ``"carpet"`` stands for ``{ covering = "carpet" }``; `finish` makes the value of what was read, and
    may find faults between keys. Those are looked for too where some key could not be read: such a key is
    left away, or has its `stand_in`, with which nothing else can be wrong. Where a `vital` key could not be
    read, nothing can be said about the others.
    """
    overrides = {key: override(struct_hook=hook) for key, hook in hooks.items()}
    inner = make_dict_structure_fn(
        kind,
        made,
        _cattrs_forbid_extra_keys=True,
        _cattrs_detailed_validation=True,
        **overrides,  # type: ignore[arg-type]
    )
    hopeless = frozenset(vital)

    def build(value: dict[str, Any]) -> Any:
        found = inner(value, kind)
        return finish(found) if finish else found

    def read(value: object) -> Any:
        if short and isinstance(value, str):
            value = {short: value}
        if not isinstance(value, dict):
            raise Refused(f"{shown(value)} is not a table of keys and values.")
        try:
            return build(value)
        except ClassValidationError as error:
            wrong = _wrong_keys(error) | _meant(error, value)
            if not wrong or wrong & hopeless:
                raise
            spared = {key: stood for key, stood in (stand_in or {}).items() if key in wrong}
            rest = {key: item for key, item in value.items() if key not in wrong} | spared
            raise ClassValidationError(error.message, [*error.exceptions, *_more(build, rest)], kind) from None

    made.register_structure_hook(kind, _ignoring_type(read))
    return read


def _wrong_keys(error: ClassValidationError) -> frozenset[str]:
    noted, others = error.group_exceptions()
    unknown = [key for other in others if isinstance(other, ForbiddenExtraKeysError) for key in other.extra_fields]
    return frozenset([*(str(note.name) for _, note in noted), *unknown])


def _meant(error: ClassValidationError, value: Mapping[str, object]) -> frozenset[str]:
    """Return the keys that unknown ones were probably meant for: their values are not known either."""
    others = [other for other in error.group_exceptions()[1] if isinstance(other, ForbiddenExtraKeysError)]
    missing = {other: [field.name for field in fields(other.cl) if field.name not in value] for other in others}
    return frozenset(nearest(key, keys) for other, keys in missing.items() for key in other.extra_fields) - {""}


def _more(build: Callable[[dict[str, Any]], Any], rest: dict[str, Any]) -> list[Exception]:
    """Return what is wrong between the keys that could be read; nothing where too few could."""
    try:
        build(rest)
    except ClassValidationError as error:
        return [] if _wrong_keys(error) else [error]
    except (ExceptionGroup, Refused) as error:
        return [error]
    return []


def structured(
    read: Callable[[object], Made], raw: dict[str, Any], source: str, zone: str, right: Mapping[str, str]
) -> Made:
    """Return a file's value.

    Raises:
        Misread: with every fault of the file.
    """
    try:
        with times_of(zone):
            return read(raw)
    except (ExceptionGroup, Refused) as error:
        raise misread(error, raw, source, right) from None
