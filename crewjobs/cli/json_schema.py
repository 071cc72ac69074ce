"""What `--json` prints, as a JSON Schema (draft 2020-12) made from the types of the values printed.

One rule for each kind of value, the same as `printing.plain` has: rows are objects with all their fields and no others, instants and
days are ISO 8601 text, sets and tuples are lists. A figure says its unit (`json_units`), an instant always its offset.
"""

from __future__ import annotations

import inspect
import types
import typing
from collections.abc import Collection, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime, time
from enum import Enum
from pathlib import Path
from typing import Any, Final, Literal, Union, get_args, get_origin

from crewjobs.cli.json_units import unit_of

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
Schema = dict[str, Any]

_SECONDS: Final = r"([01]\d|2[0-3]):[0-5]\d:[0-5]\d(\.\d{1,6})?"
INSTANT: Final = rf"^\d{{4}}-\d{{2}}-\d{{2}}T{_SECONDS}([+-]\d{{2}}:\d{{2}}|Z)$"
"""An instant is told with its offset from UTC (RFC 3339, section 5.6)."""
DAY: Final = r"^\d{4}-\d{2}-\d{2}$"
CLOCK: Final = r"^([01]\d|2[0-3]):[0-5]\d(:[0-5]\d)?$"
"""A time of the wall on a day that stands beside it."""
_KIND: Final = " kind"
"""Under this key a row's schema holds its type while a schema is made: two rows may have one name."""
_PLAIN: Final[Mapping[object, Schema]] = {
    str: {"type": "string"},
    bool: {"type": "boolean"},
    int: {"type": "integer"},
    float: {"type": "number"},
    type(None): {"type": "null"},
    None: {"type": "null"},
    datetime: {"type": "string", "format": "date-time", "pattern": INSTANT},
    date: {"type": "string", "format": "date", "pattern": DAY},
    time: {"type": "string", "pattern": CLOCK},
    Path: {"type": "string"},
    object: {},
}


def schema_of(kinds: Sequence[object], title: str) -> Schema:
    """Return the schema of what is printed where it is one of some kinds: types, or mappings of names to types."""
    named: dict[str, Schema] = {}
    found = [_of(kind, named) for kind in kinds]
    whole = found[0] if len(found) == 1 else {"anyOf": found}
    rows = {name: {key: one for key, one in row.items() if key != _KIND} for name, row in sorted(named.items())}
    return {"$schema": DIALECT, "title": title, **whole, **({"$defs": rows} if rows else {})}


def _of(kind: object, named: dict[str, Schema]) -> Schema:
    if isinstance(kind, Mapping):
        return _object({name: _field("", name, one, named) for name, one in kind.items()})
    if kind in _PLAIN:
        return dict(_PLAIN[kind])
    if isinstance(kind, typing.NewType):
        return _of(kind.__supertype__, named)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return {"enum": [one.value for one in kind]}
    if isinstance(kind, type) and is_dataclass(kind):
        return _row(kind, named)
    return _generic(kind, named)


def _generic(kind: object, named: dict[str, Schema]) -> Schema:
    origin, given = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        return _one_of([_of(one, named) for one in given])
    if origin is Literal:
        return {"enum": list(given)}
    if origin is tuple and not (len(given) == 2 and given[1] is Ellipsis):
        return {
            "type": "array",
            "prefixItems": [_of(one, named) for one in given],
            "items": False,
            "minItems": len(given),
        }
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": _of(given[1], named)}
    if isinstance(origin, type) and issubclass(origin, Collection):
        return {"type": "array", "items": _of(given[0], named)}
    raise TypeError(f"no schema for {kind!r}: say what its JSON is")


def _one_of(found: Sequence[Schema]) -> Schema:
    """Return one of some schemas; of plain types in one line, such as text or nothing."""
    if all(set(one) == {"type"} for one in found):
        return {"type": [one["type"] for one in found]}
    return {"anyOf": list(found)}


def _row(kind: type[Any], named: dict[str, Schema]) -> Schema:
    """Return a reference to a row's schema, which stands once under its name."""
    name = _name(kind, named)
    if name not in named:
        named[name] = {_KIND: kind}  # a row may hold rows of its own kind
        hints = _hints(kind)
        said = inspect.cleandoc(kind.__doc__ or "")
        named[name] = {
            _KIND: kind,
            "description": said,
            **_object({one.name: _field(name, one.name, hints[one.name], named) for one in fields(kind)}),
        }
    return {"$ref": f"#/$defs/{name}"}


def _name(kind: type[Any], named: Mapping[str, Schema]) -> str:
    """Return the name of a row: its own, with that of its module where another row has the same."""
    known = named.get(kind.__name__)
    if known is None or known[_KIND] is kind:
        return kind.__name__
    return f"{kind.__module__.rpartition('.')[2]}.{kind.__name__}"


def _hints(kind: type[Any]) -> Mapping[str, Any]:
    return typing.get_type_hints(kind)


def _field(row: str, name: str, kind: object, named: dict[str, Schema]) -> Schema:
    found = _of(kind, named)
    unit = unit_of(row, name) if _holds_number(found) else ""
    return {**found, "unit": unit} if unit else found


def _holds_number(found: Schema) -> bool:
    said = found.get("type")
    if said in ("number", "integer") or (isinstance(said, list) and {"number", "integer"} & set(said)):
        return True
    inner = [*found.get("anyOf", ()), *found.get("prefixItems", ())]
    items = found.get("items")
    return any(_holds_number(one) for one in (*inner, *([items] if isinstance(items, dict) else [])))


def _object(properties: Mapping[str, Schema]) -> Schema:
    return {
        "type": "object",
        "properties": dict(properties),
        "required": list(properties),
        "additionalProperties": False,
    }
