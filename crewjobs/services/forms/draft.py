"""A job or a shop while it is written: pages with their lines as typed, and the tables of the file they stand for."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house import opening_name
from crewjobs.domain.units import UnitSystem, quoted
from crewjobs.files.faults import Path
from crewjobs.services.forms.fields import REST, Entry, From, Page
from crewjobs.services.forms.following import begun_with, followed
from crewjobs.services.forms.texts import Kind, Reading, section_names, text_of, value_of

Tables = dict[str, Any]
OUTSIDE: Final = "outside"


@dataclass(eq=False, slots=True)
class Part:
    """One page in hand. A line that still is as it was keeps the very value it came from."""

    page: Page
    before: Tables
    first: dict[str, str]
    texts: dict[str, str]
    called: str = ""
    """What others name it by, while its name is taken out to write another, or is just another page's in passing."""
    cut_into: tuple[str, ...] = ()
    """What others name its sections by, while one of their names is taken out to write another."""

    @property
    def name(self) -> str:
        """Return what the page is about, as it is named now; empty where it has no name yet."""
        texts = self.texts
        if "between.0" in texts and self.page.table == "opening":
            return (
                opening_name([texts["between.0"], texts["between.1"]], texts.get("which", "").strip())
                if texts["between.0"]
                else ""
            )
        return next(
            (
                texts[key].strip()
                for key in ("name", "material", "goods", "what", "customer.name", "shop.name")
                if texts.get(key, "").strip()
            ),
            "",
        )

    @property
    def filled(self) -> bool:
        """Return whether something stands in it, besides its name, that it did not begin with as a new page."""
        kinds = (Kind.CHOICE, Kind.FLAG, Kind.TICKS)
        return any(
            entry.kind not in kinds
            and entry.key != "name"
            and self.texts[entry.key].strip() not in ("", entry.usual, entry.fresh)
            for entry in self.page.entries
        )

    def shown(self) -> Iterator[Entry]:
        """Yield the fields that are there now."""
        return (entry for entry in self.page.entries if entry.shown(self.texts))


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A fault, or a remark, about a page by its place in the draft (-1: the whole) and its field (empty: the page as such)."""

    part: int
    key: str
    words: str


@dataclass(eq=False, slots=True)
class Draft:
    """The pages of one form in their order. `number` is that of the job that is changed, 0 for a new one."""

    pages: tuple[Page, ...]
    parts: list[Part]
    zone: str
    units: UnitSystem = "us"
    """What the shop measures in: examples are told so."""
    number: int = 0
    kept: Tables = field(default_factory=dict)
    """Tables and keys of the file that no page shows."""
    from_here: dict[str, str] = field(default_factory=dict)
    """Lines of the shop that others followed last, by key: what is half typed is followed by nothing."""
    seen: str = ""
    """The file of the job or the shop as it was when its form was opened; empty for a new one."""
    opened: Tables = field(default_factory=dict)
    """The tables it was opened on, those of pages taken out since too."""

    @property
    def measured_in(self) -> UnitSystem:
        """Return what the shop measures in, as its own form says now."""
        (units,) = [one.texts["shop.units"] for one in self.of("shop")] or [self.units]
        return "metric" if units == "metric" else "us"

    def of(self, kind: str) -> list[Part]:
        """Return the pages of one kind."""
        return [part for part in self.parts if part.page.kind == kind]

    def add(self, kind: str) -> Part:
        """Put one more page of a kind behind those there are, and return it."""
        page = next(page for page in self.pages if page.kind == kind)
        part = fresh(page)
        if page.many and "name" in part.texts:
            part.texts["name"] = self._own_name(kind, part.texts["name"])
        for entry in page.entries:
            options = self.options(entry) if entry.chosen_from is not None else ()
            if entry.chosen_from is From.MATERIALS and part.texts[entry.key] not in options:
                part.texts[entry.key] = options[0] if options else ""
        if kind == "order":
            ordered = {one.texts["material"] for one in self.of("order")}
            part.texts["material"] = next(
                (name for name in self.names("material") if name not in ordered), part.texts["material"]
            )
        begun_with(self, part)
        order = [page.kind for page in self.pages]
        place = sum(order.index(one.page.kind) <= order.index(kind) for one in self.parts)
        self.parts.insert(place, part)
        self.turn_to(part)
        return part

    def _own_name(self, kind: str, usual: str) -> str:
        """Return the name a new page usually begins with, numbered where one has it already."""
        taken = {name.casefold() for name in self.names(kind)}
        names = (f"{usual} {number}" if number > 1 else usual for number in range(1, len(self.parts) + 3))
        return next(name for name in names if name.casefold() not in taken) if usual else ""

    def turn_to(self, part: Part) -> None:
        """A doorway that leads from nowhere yet leads from a room without one, now that rooms have names."""
        if part.page.kind == "opening" and not part.texts["between.0"] and (rooms := self.names("room")):
            taken = {one.texts[key] for one in self.of("opening") for key in ("between.0", "between.1")}
            part.texts["between.0"] = next((room for room in rooms if room not in taken), rooms[-1])

    def remove(self, part: Part) -> None:
        """Take a page out."""
        self.parts.remove(part)

    def names(self, kind: str) -> list[str]:
        """Return what the pages of a kind are called."""
        return [part.name for part in self.of(kind) if part.name]

    def options(self, entry: Entry) -> tuple[str, ...]:
        """Return what can be chosen in a field."""
        match entry.chosen_from:
            case None:
                return entry.options
            case From.MATERIALS:
                found = self.names("material")
            case From.ROOMS:
                found = self.names("room")
            case From.ENDS:
                found = [*self._ends(), OUTSIDE]
            case From.PLACES:
                found = [*self.names("room"), *self.names("stairs"), *self.names("opening")]
        return tuple(dict.fromkeys(found))

    def _ends(self) -> Iterator[str]:
        for part in self.of("room"):
            if part.name:
                yield part.name
                yield from (f"{part.name}: {section}" for section in section_names(part.texts["sections"]))

    def write(self, part: Part, texts: Mapping[str, str]) -> None:
        """Put lines into a page; where its name is another now, what names it elsewhere follows."""
        old, before = part.called or part.name, dict(part.texts)
        sections = part.cut_into or sections_of(before)
        part.texts.update(texts)
        followed(self, part, before)
        new = part.name
        own = new and self.names(part.page.kind).count(new) == 1
        if own and part.page.kind in ("room", "material", "stairs", "opening") and old and old != new:
            self._follow(part.page.kind, old, new)
        part.called = new if own else old
        if part.page.kind == "room":
            self._follow_sections(part, sections)

    def _follow_sections(self, part: Part, old: tuple[str, ...]) -> None:
        """Where a section has another name in the same place, what names it follows: doorways, furniture, the order of work."""
        new = sections_of(part.texts)
        part.cut_into = new if len(new) >= len(old) else old
        if len(new) != len(old):
            return
        names = {was: name for was, name in zip(old, new, strict=True) if was != name and was not in new}
        for was, name in names.items():
            if name in old:
                continue
            whole, becomes = f"{part.called}: {was}", f"{part.called}: {name}"
            for other in self.parts:
                called = other.name
                for entry in other.page.entries:
                    text = other.texts[entry.key]
                    if entry.chosen_from is From.ENDS and text == whole:
                        other.texts[entry.key] = becomes
                    elif entry.key == REST and other.page.kind == "terms":
                        other.texts[entry.key] = text.replace(f'"{whole}"', f'"{becomes}"')
                if other.page.kind == "opening" and other.name != called:
                    other.called = other.name
                    self._follow("opening", called, other.name)
            pieces = re.split(r"([,;\n])", part.texts["furniture"])
            end = re.compile(rf"(\sin\s+){re.escape(was)}(\s*)$", re.IGNORECASE)
            part.texts["furniture"] = "".join(
                end.sub(lambda at, name=name: at[1] + name + at[2], one) for one in pieces
            )

    def _follow(self, kind: str, old: str, new: str) -> None:
        if old in self.names(kind):
            return  # another of that name is there: who is meant is not known
        froms = {"material": {From.MATERIALS}, "room": {From.ROOMS, From.ENDS, From.PLACES}}.get(kind, {From.PLACES})
        for part in self.parts:
            called = part.name
            for entry in part.page.entries:
                text = part.texts[entry.key]
                if entry.chosen_from in froms and text == old:
                    part.texts[entry.key] = new
                elif entry.chosen_from is From.ENDS and kind == "room" and text.startswith(f"{old}: "):
                    part.texts[entry.key] = new + text[len(old) :]
                elif entry.key == REST and kind == "room" and part.page.kind == "terms":
                    text = text.replace(f'"{old}"', f'"{new}"').replace(f'"{old}: ', f'"{new}: ')
                    part.texts[entry.key] = text
            if part.page.kind == "opening" and part.name != called:
                part.called = part.name
                self._follow("opening", called, part.name)

    # The tables

    def tables(self, today: date) -> tuple[Tables, tuple[Said, ...]]:
        """Return the tables of the file as it would be written, and what could not even be read."""
        raw: Tables = deepcopy(self.kept)
        said: list[Said] = []
        for place, part in enumerate(self.parts):
            written, faults = _written(part, today)
            said += (Said(part=place, key=key, words=words[:1].upper() + words[1:]) for key, words in faults)
            if part.page.table:
                raw.setdefault(part.page.table, []).append(written)
            else:
                for key in part.page.holds:
                    raw.setdefault(key, {})
                for key, value in written.items():
                    raw[key] = {**raw.get(key, {}), **value} if isinstance(value, dict) else value
        return raw, tuple(said)

    def place_of(self, path: Path) -> tuple[int, str]:
        """Return the page and the field that a place in the tables comes from, as near as can be said."""
        if len(path) >= 2 and isinstance(path[1], int) and isinstance(path[0], str):
            items = [place for place, part in enumerate(self.parts) if part.page.table == path[0]]
            if path[1] < len(items):
                return items[path[1]], _field(self.parts[items[path[1]]], path[2:])
            return -1, ""
        found = [(place, _field(part, path)) for place, part in enumerate(self.parts) if not part.page.table]
        return next(((place, key) for place, key in found if key), (-1, ""))


def fresh(page: Page) -> Part:
    """Return a new page, with what usually stands in one."""
    first = {entry.key: entry.usual for entry in page.entries}
    return Part(
        page=page,
        before={},
        first=first,
        texts={**first, **{entry.key: entry.fresh for entry in page.entries if entry.fresh}},
    )


def draft_of(pages: Sequence[Page], raw: Tables, zone: str) -> Draft:
    """Return the pages that show the tables of a file, each key in its field or among what has none."""
    rest = deepcopy(raw)
    parts: list[Part] = []
    listed = {page.table for page in pages if page.table}
    for page in pages:
        if page.table:
            items = [item for item in rest.get(page.table, []) if not page.marker or page.marker in item]
            parts += [_part(page, item) for item in items]
    for key in listed:
        rest.pop(key, None)
    number = int(rest.pop("number", 0))
    single = [page for page in pages if not page.table]
    for page in single:
        own = {entry.key.partition(".")[0] for entry in page.entries if entry.key != REST}
        if any(entry.key == REST for entry in page.entries):
            others = {entry.key.partition(".")[0] for other in single if other is not page for entry in other.entries}
            own |= set(rest) - others
        parts.append(_part(page, {key: rest[key] for key in own if key in rest}))
    order = list(pages)
    parts.sort(key=lambda part: order.index(part.page))
    kept = {"number": number} if number else {}
    return Draft(pages=tuple(pages), parts=parts, zone=zone, number=number, kept=kept, opened=deepcopy(raw))


def _part(page: Page, before: Tables) -> Part:
    first = {}
    for entry in page.entries:
        value = _left(page, before) or None if entry.key == REST else _dig(before, entry.key)
        first[entry.key] = entry.usual if value is None else text_of(entry.kind, value)
    return Part(page=page, before=before, first=first, texts=dict(first))


def _left(page: Page, before: Tables) -> Tables:
    """Return the keys of a table that no field of its page shows."""
    own = {entry.key.partition(".")[0] for entry in page.entries}
    return {key: value for key, value in before.items() if key not in own}


def _dig(table: Any, key: str) -> Any:
    for step in key.split("."):
        if isinstance(table, Mapping):
            table = table.get(step)
        elif isinstance(table, list) and step.isdecimal() and int(step) < len(table):
            table = table[int(step)]
        else:
            return None
    return table


def sections_of(texts: Mapping[str, str]) -> tuple[str, ...]:
    """Return the names of a room's sections, as far as they have one."""
    return tuple(section_names(texts.get("sections", "")))


def _written(part: Part, today: date) -> tuple[Tables, list[tuple[str, str]]]:
    """Return the table of one page, and what could not be read of it."""
    out: Tables = {}
    said: list[tuple[str, str]] = []
    reading = Reading(today=today, sections=sections_of(part.texts), furniture=part.before.get("furniture", ()))
    for entry in part.shown():
        text = part.texts[entry.key]
        try:
            if entry.key == REST:
                rest = (
                    _left(part.page, part.before)
                    if text == part.first[REST]
                    else value_of(Kind.REST, text, reading) or {}
                )
                clash = sorted(set(rest) & set(out))  # type: ignore[call-overload]
                if clash:
                    raise Refused(f"{quoted(clash[0])} has a field of its own on this page: write it there.")
                out.update(deepcopy(rest))  # type: ignore[call-overload]
                continue
            same = text == part.first[entry.key]
            value = _dig(part.before, entry.key) if same else value_of(entry.kind, text, reading)
            if not same and value is None and entry.usual and entry.kind is Kind.FLAG:
                value = entry.usual == "yes"
        except Refused as refused:
            said.append((entry.key, " ".join(refused.sentences)))
            continue
        if value is not None:
            _put(out, entry.key, deepcopy(value))
    return {key: _listed(value) if key == "between" else value for key, value in out.items()}, said


def _put(table: Tables, key: str, value: object) -> None:
    *steps, last = key.split(".")
    for step in steps:
        table = table.setdefault(step, {})
    table[last] = value


def _listed(value: object) -> object:
    """Return ``between.0`` and ``between.1`` as the list they are."""
    if isinstance(value, dict) and value and set(value) <= {"0", "1"}:
        return [value.get("0", ""), value.get("1", "")]
    return value


def _field(part: Part, path: Path) -> str:
    """Return the field of a page that shows a place in its table, the longest that leads there."""
    spelled = ".".join(str(step) for step in path)
    keys = [entry.key for entry in part.page.entries if entry.key != REST]
    leading = [key for key in keys if spelled == key or spelled.startswith(f"{key}.")]
    if leading:
        return max(leading, key=len)
    inside = [key for key in keys if spelled and key.startswith(f"{spelled}.")]
    if inside:
        return inside[0]
    return REST if spelled and REST in part.texts and (path[0] in part.before or part.texts[REST]) else ""
