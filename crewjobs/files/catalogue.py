"""The task templates and cautions that come with the program, and what a shop changes in them.

Plain parsing on purpose: the catalogue is read by nearly every command, and this takes milliseconds.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, replace
from enum import StrEnum
from functools import cache
from importlib.resources import files
from math import isfinite
from typing import Any, Final

from crewjobs.domain.crew import Skill
from crewjobs.domain.errors import Refused
from crewjobs.domain.found import FoundKind
from crewjobs.domain.goods import Goods
from crewjobs.domain.house import Covering, FixtureKind, Subfloor, Transition, Trim
from crewjobs.domain.material import FloorKind, Method
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.tasks import (
    ONTO,
    PREVIOUS_STAGE,
    Applies,
    Catalogue,
    Caution,
    Driver,
    Pause,
    Phase,
    ScopeKind,
    TaskTemplate,
    TemplateOverride,
    TemplateWait,
    ThreePoint,
)
from crewjobs.domain.units import UnitSystem, quoted
from crewjobs.files.findings import read_findings
from crewjobs.files.overrides import apply_overrides as apply_overrides

TEMPLATE_FILES: Final = (
    "acclimate.toml",
    "house.toml",
    "demolition.toml",
    "subfloor_prep.toml",
    "install.toml",
    "trim.toml",
    "fixtures_reset.toml",
)
CAUTION_FILE: Final = "cautions.toml"
LOAD_FILE: Final = "load.toml"
FINDING_FILE: Final = "findings.toml"
CONDITIONS: Final = ("furnished", "occupied", "upstairs", "cut-up", "small")


def read_catalogue(overrides: Sequence[TemplateOverride] = (), units: UnitSystem = "us") -> Catalogue:
    """Return the program's own templates and cautions, told in the shop's units, with the shop's changes in them.

    Raises:
        Refused: an override does not fit; every fault is named.
    """
    return apply_overrides(_told(units), overrides) if overrides else _told(units)


@cache
def _told(units: UnitSystem) -> Catalogue:
    """Return the program's own with titles, notes and cautions in the units of a shop; sources stay as they are published.

    What is loaded keeps its name, by which a crew's truck and shared tools are known.
    """
    own = _own()
    if units == "us":
        return own
    return replace(
        own,
        templates=tuple(
            replace(
                one,
                title=told_in(one.title, units),
                notes=tuple(told_in(note, units) for note in one.notes),
                air_notes=tuple(told_in(note, units) for note in one.air_notes),
                air_off_title=told_in(one.air_off_title, units),
            )
            for one in own.templates
        ),
        cautions=tuple(replace(one, text=told_in(one.text, units)) for one in own.cautions),
        findings=tuple(_kind_told(kind, units) for kind in own.findings),
    )


def _kind_told(kind: FoundKind, units: UnitSystem) -> FoundKind:
    ways = (replace(way, says=told_in(way.says, units), asks_for=told_in(way.asks_for, units)) for way in kind.ways)
    return replace(kind, first=told_in(kind.first, units), ways=tuple(ways))


@cache
def _own() -> Catalogue:
    """Return the program's own, read once: its files do not change while it runs."""
    folder = files("crewjobs") / "catalogue"
    templates = {name: (folder / "templates" / name).read_text(encoding="utf-8") for name in TEMPLATE_FILES}
    catalogue = parse_catalogue(templates, (folder / CAUTION_FILE).read_text(encoding="utf-8"))
    load = tomllib.loads((folder / LOAD_FILE).read_text(encoding="utf-8"))
    findings = finding_kinds()
    return replace(catalogue, supplies=frozenset(load["supplies"]), bag=frozenset(load["bag"]), findings=findings)


@cache
def finding_kinds() -> tuple[FoundKind, ...]:
    """Return the kinds of findings that come with the program, in their order."""
    return read_findings((files("crewjobs") / "catalogue" / FINDING_FILE).read_text(encoding="utf-8"))


def parse_catalogue(templates: Mapping[str, str], cautions: str) -> Catalogue:
    """Return the catalogue of template files (name to TOML text) and the text of the cautions' file.

    Raises:
        Refused: all faults at once, each with file, key and what would be right.
    """
    faults: list[str] = []
    found: list[TaskTemplate] = []
    for name, text in templates.items():
        found.extend(_templates(name, text, faults))
    said = _cautions(CAUTION_FILE, cautions, faults)
    faults.extend(_unresolved(found, {caution.key for caution in said}))
    if faults:
        raise Refused(faults)
    return Catalogue(templates=tuple(found), cautions=tuple(sorted(said, key=lambda caution: caution.order)))


def _templates(file: str, text: str, faults: list[str]) -> list[TaskTemplate]:
    data = _toml(file, text, faults)
    phase = data.pop("phase", None)
    try:
        of_phase = Phase(phase)
    except ValueError:
        faults.append(f"{file}: phase is {phase!r}; it is one of {', '.join(Phase)}.")
        return []
    found = []
    for key, table in data.items():
        values = _values(f"{file}, {key}", table, _TEMPLATE, ("title", "scope", "driver", "rate"), faults)
        if values is not None:
            found.append(TaskTemplate(key=key, phase=of_phase, **values))
    return found


def _cautions(file: str, text: str, faults: list[str]) -> list[Caution]:
    found = []
    for key, table in _toml(file, text, faults).items():
        values = _values(f"{file}, {key}", table, _CAUTION, ("order", "text", "source"), faults)
        if values is not None:
            found.append(Caution(key=key, **values))
    return found


def _toml(file: str, text: str, faults: list[str]) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        faults.append(f"{file}: this is not TOML: {error}.")
        return {}


_Field = tuple[str, Callable[[Any], Any]]


def _values(
    where: str, table: Any, spec: Mapping[str, _Field], needed: Sequence[str], faults: list[str]
) -> dict[str, Any] | None:
    """Return a table's fields as the dataclass takes them, None (with faults named) where it is not right."""
    if not isinstance(table, dict):
        faults.append(f"{where}: a table of keys is expected.")
        return None
    before, values = len(faults), {}
    for key, raw in table.items():
        if key not in spec:
            faults.append(f"{where}: there is no key {quoted(key)}; it is one of {', '.join(spec)}.")
            continue
        field, convert = spec[key]
        try:
            values[field] = convert(raw)
        except ValueError as error:
            faults.append(f"{where}, {key}: {error}")
    names = {field: key for key, (field, _) in spec.items()}
    faults.extend(
        f"{where}: {names[field]} is missing." for field in needed if field not in values and names[field] not in table
    )
    return values if len(faults) == before else None


def _text(raw: Any) -> str:
    if not isinstance(raw, str) or not raw.strip():
        raise ValueError("a text that is not empty is expected.")
    return raw


def _any_text(raw: Any) -> str:
    if not isinstance(raw, str):
        raise ValueError("a text is expected.")
    return raw


def _flag(raw: Any) -> bool:
    if not isinstance(raw, bool):
        raise ValueError("true or false is expected.")
    return raw


def _whole(raw: Any) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int) or raw < 0:
        raise ValueError("a whole number, 0 or more, is expected.")
    return raw


def _half(raw: Any) -> int:
    if isinstance(raw, bool) or raw not in (1, 2):
        raise ValueError("1 (every second step from the first) or 2 (those between) is expected.")
    return int(raw)


def _number(raw: Any) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float)) or not isfinite(raw) or raw < 0:
        raise ValueError("a number, 0 or more, is expected.")
    return float(raw)


def _texts(raw: Any) -> tuple[str, ...]:
    if not isinstance(raw, list):
        raise ValueError("a list of texts is expected.")
    return tuple(_text(item) for item in raw)


def _three(raw: Any) -> ThreePoint:
    if not isinstance(raw, list) or len(raw) != 3:
        raise ValueError("three minutes are expected: low, likely, high.")
    low, likely, high = (_number(item) for item in raw)
    if not low <= likely <= high:
        raise ValueError("low, likely and high are out of order.")
    return ThreePoint(low=low, likely=likely, high=high)


def _one_of(kind: type[StrEnum]) -> Callable[[Any], StrEnum]:
    def convert(raw: Any) -> StrEnum:
        try:
            return kind(raw)
        except ValueError:
            raise ValueError(f"{raw!r} is not known; it is one of {', '.join(kind)}.") from None

    return convert


def _some_of(kind: type[StrEnum]) -> Callable[[Any], frozenset[str]]:
    one = _one_of(kind)
    return lambda raw: frozenset(one(item) for item in _texts(raw))


def _minutes(raw: Any) -> tuple[int, bool]:
    """Read ``1440``, ``"material"`` or ``"material - 1440"``."""
    if isinstance(raw, str):
        word, _, less = (part.strip() for part in raw.partition("-"))
        if word == "material" and (not less or less.isdecimal()):
            return -int(less or 0), True
        raise ValueError(f'{raw!r} is not a wait; write minutes, "material" or "material - 1440".')
    return _whole(raw), False


def _nested(where: Mapping[str, _Field], needed: Sequence[str]) -> Callable[[Any], dict[str, Any]]:
    def convert(raw: Any) -> dict[str, Any]:
        faults: list[str] = []
        values = _values("inside", raw, where, needed, faults)
        if values is None:
            raise ValueError(" ".join(faults))
        return values

    return convert


def _waits(raw: Any) -> tuple[TemplateWait, ...]:
    if not isinstance(raw, list):
        raise ValueError("a list of waits is expected.")
    convert, waits = _nested(_WAIT, ("name", "minutes")), []
    for item in raw:
        values = convert(item)
        minutes, of_material = values.pop("minutes")
        waits.append(TemplateWait(minutes=minutes, of_material=of_material, **values))
    return tuple(waits)


def _factors(raw: Any) -> tuple[tuple[str, float], ...]:
    if not isinstance(raw, dict) or any(key not in CONDITIONS for key in raw):
        raise ValueError(f"factors are given by condition: {', '.join(CONDITIONS)}.")
    return tuple((key, _number(value)) for key, value in raw.items())


_SETS: Final[dict[str, type[StrEnum]]] = {
    "coverings": Covering, "lowest": Covering, "floors": FloorKind, "methods": Method, "subfloors": Subfloor,
    "trims": Trim, "fixtures": FixtureKind, "transitions": Transition,
}  # fmt: skip
_APPLIES: Final[dict[str, _Field]] = {
    field.name: (field.name, _some_of(_SETS[field.name]) if field.name in _SETS else _flag) for field in fields(Applies)
}
_WAIT: Final[dict[str, _Field]] = {
    "name": ("name", _any_text),
    "minutes": ("minutes", _minutes),
    "before": ("before", lambda raw: frozenset(_texts(raw))),
    "at_most": ("at_most_min", _whole),
}


def _applies(raw: Any) -> Applies:
    return Applies(**_nested(_APPLIES, ())(raw))


_TEMPLATE: Final[dict[str, _Field]] = {
    "title": ("title", _text),
    "scope": ("scope", _one_of(ScopeKind)),
    "driver": ("driver", _one_of(Driver)),
    "minutes": ("rate", _three),
    "fixed": ("fixed", _number),
    "applies": ("applies", _applies),
    "after": ("after", _texts),
    "waits": ("waits", _waits),
    "people": ("people", _whole),
    "least_people": ("least_people", _whole),
    "pause": ("pause", _one_of(Pause)),
    "skill": ("skill", _one_of(Skill)),
    "needs_material": ("needs_material", _flag),
    "needs_reading": ("needs_reading", _flag),
    "needs_goods": ("needs_goods", _one_of(Goods)),
    "card": ("card", _text),
    "card_applies": ("card_applies", _applies),
    "elevator": ("elevator", _flag),
    "half": ("half", _half),
    "staged": ("staged", _flag),
    "load": ("load", _texts),
    "cautions": ("cautions", _texts),
    "notes": ("notes", _texts),
    "air_notes": ("air_notes", _texts),
    "air_off_title": ("air_off_title", _text),
    "factors": ("factors", _factors),
    "source": ("source", _text),
}
_CAUTION: Final[dict[str, _Field]] = {
    "order": ("order", _whole),
    "text": ("text", _text),
    "applies": ("applies", _applies),
    "air": ("air", _flag),
    "source": ("source", _text),
}


def _at_most_faults(template: TaskTemplate, wait: TemplateWait) -> Iterable[str]:
    """Yield what is wrong with a wait's at most: whom it binds must be named, and there must be time to keep it."""
    if wait.at_most_min is None:
        return
    if not wait.before or wait.of_material:
        yield f"{template.key}, waits: at_most needs before, which names what must have started by then, and minutes."
    elif wait.at_most_min < wait.minutes:
        yield f"{template.key}, waits: at_most {wait.at_most_min} is less than the {wait.minutes} minutes at least."


_SCOPES: Final = frozenset(ScopeKind)
_LAYERED: Final = frozenset({ScopeKind.SECTION, ScopeKind.STAIRS})
_DRIVEN: Final = {
    Driver.DOORS: frozenset({ScopeKind.OPENING}),
    Driver.OPENINGS: frozenset({ScopeKind.OPENING}),
    Driver.JAMBS: frozenset({ScopeKind.OPENING}),
    Driver.PIECES: frozenset({ScopeKind.SECTION, ScopeKind.ROOM}),
    Driver.CARRYING: frozenset({ScopeKind.STAGE}),
    Driver.CARTONS: frozenset({ScopeKind.MATERIAL, ScopeKind.JOB}),
    Driver.RUNNING_FEET: frozenset({ScopeKind.MATERIAL}),
    Driver.SEAMS: frozenset({ScopeKind.SECTION, ScopeKind.ROOM}),
    Driver.POUNDS: _LAYERED,
    Driver.HOURS: frozenset({ScopeKind.JOB}),
    Driver.STEPS: frozenset({ScopeKind.STAIRS, ScopeKind.JOB}),
    Driver.FIXTURES: frozenset({ScopeKind.ROOM, ScopeKind.JOB}),
    Driver.AREA: _SCOPES - {ScopeKind.STAIRS, ScopeKind.OPENING},
    Driver.PERIMETER: _SCOPES - {ScopeKind.STAIRS, ScopeKind.OPENING},
}


def _unresolved(templates: Sequence[TaskTemplate], cautions: set[str]) -> Iterable[str]:
    """Yield names that point nowhere, keys given twice, people out of order and circles."""
    keys = [template.key for template in templates]
    known = set(keys)
    for key in sorted(key for key in known if keys.count(key) > 1):
        yield f"{key}: this template is there twice."
    for template in templates:
        for name in template.after:
            if name != PREVIOUS_STAGE and name.removeprefix(ONTO).removesuffix("?") not in known:
                yield f"{template.key}, after: there is no template {quoted(name)}."
        for wait in template.waits:
            for name in sorted(wait.before - known):
                yield f"{template.key}, waits: there is no template {quoted(name)}."
            if wait.of_material and template.scope is not ScopeKind.MATERIAL:
                yield f"{template.key}, waits: only a task about a material can wait its hours."
            yield from _at_most_faults(template, wait)
        for name in template.cautions:
            if name not in cautions:
                yield f"{template.key}, cautions: there is no caution {quoted(name)}."
        if template.scope not in _DRIVEN.get(template.driver, _SCOPES):
            yield f"{template.key}: {template.driver.value} are not counted for a {template.scope.value}."
        if template.driver is Driver.POUNDS and not template.applies.coverings:
            yield f"{template.key}: what is hauled is weighed, so applies says which coverings."
        if (template.scope is ScopeKind.STAGE) != (template.driver is Driver.CARRYING):
            yield f"{template.key}: a stage is counted in {Driver.CARRYING.value}, and nothing else is."
        if template.half and template.driver is not Driver.STEPS:
            yield f"{template.key}: every second step needs steps."
        if template.driver is Driver.FIXTURES and not template.applies.fixtures:
            yield f"{template.key}: fixtures are counted, so applies says which."
        if template.phase is Phase.DEMOLITION and template.applies.coverings and template.scope not in _LAYERED:
            yield f"{template.key}: a layer is taken out of a section or off stairs."
        if not 1 <= template.least_people <= template.people <= 4:
            yield f"{template.key}: one to four people, and at least as many as it needs."
    yield from _circles({t.key: [name.removesuffix("?") for name in t.after] for t in templates})


def _circles(after: Mapping[str, Sequence[str]]) -> Iterable[str]:
    left = {key: {name for name in names if name in after} for key, names in after.items()}
    while left:
        free = {key for key, names in left.items() if not names}
        if not free:
            yield f"these templates wait for each other in a circle: {', '.join(left)}."
            return
        left = {key: names - free for key, names in left.items() if key not in free}
