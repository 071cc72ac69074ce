"""The kinds of findings that come with the program: read from their file, every name in it resolved."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from typing import Any

from crewjobs.domain.found import NEEDS, Asking, FoundKind, FoundWork, Way
from crewjobs.domain.house_ready import Other


def read_findings(text: str) -> tuple[FoundKind, ...]:
    """Return the kinds of a file, in its order.

    Raises:
        ValueError: a way needs what nobody is asked for; a test holds templates and cautions to the catalogue.
    """
    data = tomllib.loads(text)
    groups: dict[str, list[str]] = data["groups"]
    return tuple(_kind(key, table, groups) for key, table in data["kind"].items())


def _kind(key: str, table: Mapping[str, Any], groups: Mapping[str, list[str]]) -> FoundKind:
    return FoundKind(
        key=key,
        words=tuple(table["words"]),
        first=table["first"],
        holds=_templates(table["holds"], groups),
        ways=tuple(_way(name, way, groups) for name, way in table["way"].items()),
        cautions=tuple(table["cautions"]),
        source=table["source"],
        asks=tuple(
            Asking(
                who=Other(one["who"]),
                what=one["what"],
                days=one.get("days"),
                from_ft2=one.get("from_ft2"),
                words=tuple(one.get("words", [])),
            )
            for one in table.get("asks", [])
        ),
        work=_work(table["work"]) if "work" in table else None,
        holds_large=_templates(table.get("holds_large", []), groups),
        any_size=tuple(table.get("any_size", [])),
        slab=table.get("slab", False),
        elsewhere=_templates(table.get("elsewhere", []), groups),
    )


def _way(key: str, table: Mapping[str, Any], groups: Mapping[str, list[str]]) -> Way:
    unknown = [need for need in table["needs"] if need not in NEEDS]
    if unknown:
        raise ValueError(f"way {key} needs {unknown}")
    return Way(
        key=key,
        says=table["says"],
        needs=tuple(table["needs"]),
        asks_for=table.get("asks_for", ""),
        keeps=_templates(table.get("keeps", []), groups),
        drops=_templates(table.get("drops", []), groups),
        under_ft2=table.get("under_ft2"),
        leaves=table.get("leaves", False),
        after=table.get("after", ""),
        lets=_templates(table.get("lets", []), groups),
    )


def _work(table: Mapping[str, Any]) -> FoundWork:
    return FoundWork(
        what=table["what"],
        way=table["way"],
        fixed_min=table["minutes"],
        per_ft2_min=table.get("minutes_ft2", 0.0),
        people=table.get("people", 1),
        dry_min=round(table.get("dry_h", 0) * 60),
        instead_of=frozenset(table.get("instead_of", [])),
        under=table.get("under", False),
    )


def _templates(names: Iterable[str], groups: Mapping[str, list[str]]) -> frozenset[str]:
    return frozenset(template for name in names for template in groups.get(name, [name]))
