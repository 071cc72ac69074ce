"""What a shop changes in the task templates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from crewjobs.domain.bounds import MOST_PEOPLE
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Catalogue, Driver, TaskTemplate, TemplateOverride
from crewjobs.domain.units import LONGEST_WAIT, exact_wait, quoted


def apply_overrides(catalogue: Catalogue, overrides: Sequence[TemplateOverride]) -> Catalogue:
    """Return the catalogue as the shop wants it.

    A template that is off hands its place in the order on: its followers come after its predecessors.

    Raises:
        Refused: unknown or repeated template or wait, minutes that are negative or out of order, or a
            template the program does not leave out (who samples, the laboratory's answer, readings, agreed work).
    """
    known = {template.key: template for template in catalogue.templates}
    faults: list[str] = []
    changed = dict(known)
    for override in overrides:
        template = known.get(override.key)
        if template is None:
            faults.append(
                f"template {quoted(override.key)}: there is none of that name; it is one of {', '.join(known)}."
            )
            continue
        if [other.key for other in overrides].count(override.key) > 1:
            faults.append(f"template {quoted(override.key)}: it is changed twice; once is right.")
        faults.extend(_faults_of(override, template))
        changed[override.key] = _overridden(template, override)
    if faults:
        raise Refused(list(dict.fromkeys(faults)))
    for override in overrides:
        if override.off:
            changed = _without(changed, override.key)
    return replace(catalogue, templates=tuple(changed.values()))


def _faults_of(override: TemplateOverride, template: TaskTemplate) -> Iterable[str]:
    where = f"template {quoted(override.key)}"
    minutes = override.minutes
    if minutes and not 0 <= minutes.low <= minutes.likely <= minutes.high <= LONGEST_WAIT:
        yield f"{where}: minutes are low, likely and high, each at least the one before it, none below 0 or over {LONGEST_WAIT}."
    if override.fixed is not None and not 0 <= override.fixed <= LONGEST_WAIT:
        yield f"{where}: fixed is {override.fixed:g} minutes; it is 0 to {LONGEST_WAIT}."
    if override.people is not None and not template.least_people <= override.people <= MOST_PEOPLE:
        yield f"{where}: {override.people} people; it takes {template.least_people} to {MOST_PEOPLE}."
    if override.title is not None and not override.title.strip():
        yield f"{where}: the title is empty."
    names = [wait.name for wait in template.waits if wait.name]
    for name, wait in override.waits:
        if name not in names:
            yield f"{where}: it has no wait {quoted(name)}; {'it is one of ' + ', '.join(names) if names else 'it has none'}."
        elif any(own.name == name and own.of_material for own in template.waits):
            yield f"{where}: the wait {quoted(name)} follows the material; change it there."
        if not 0 <= wait <= LONGEST_WAIT:
            yield f"{where}: the wait {quoted(name)} is between 0 minutes and a year."
    yield from _at_most_faults(override, template, where)
    if override.off and (template.applies.suspect or template.needs_reading):
        yield f"{where}: this one cannot be left out: what comes after it is decided by its answer."
    if override.off and template.driver is Driver.HOURS:
        yield f"{where}: this one cannot be left out: what was agreed on a job would be forgotten with it."


def _at_most_faults(override: TemplateOverride, template: TaskTemplate, where: str) -> Iterable[str]:
    minutes, most = dict(override.waits), dict(override.at_most)
    named = [wait for wait in template.waits if wait.name and wait.before and not wait.of_material]
    for name, wait in override.at_most:
        if not any(own.name == name for own in named):
            right = f"it is one of {', '.join(own.name for own in named)}" if named else "it has none"
            yield f"{where}: it has no wait {quoted(name)} that says what it is meant for; {right}."
        if not 0 <= wait <= LONGEST_WAIT:
            yield f"{where}: at most for the wait {quoted(name)} is between 0 minutes and a year."
    for own in template.waits:
        least, at_most = minutes.get(own.name, own.minutes), most.get(own.name, own.at_most_min)
        if own in named and at_most is not None and at_most < least:
            yield (
                f"{where}: the wait {quoted(own.name)} is at least {exact_wait(least)} and at most "
                f"{exact_wait(at_most)}; at most is no less than at least."
            )


def _overridden(template: TaskTemplate, override: TemplateOverride) -> TaskTemplate:
    minutes, most = dict(override.waits), dict(override.at_most)
    return replace(
        template,
        title=template.title if override.title is None else override.title,
        air_off_title=template.air_off_title if override.title is None else "",
        rate=template.rate if override.minutes is None else override.minutes,
        fixed=template.fixed if override.fixed is None else override.fixed,
        people=template.people if override.people is None else override.people,
        load=template.load if override.load is None else override.load,
        waits=tuple(
            replace(
                wait,
                minutes=minutes.get(wait.name, wait.minutes),
                at_most_min=most.get(wait.name, wait.at_most_min) if wait.before else None,
            )
            for wait in template.waits
        ),
        source="the shop's own" if override.minutes is not None else template.source,
    )


def _without(templates: Mapping[str, TaskTemplate], gone: str) -> dict[str, TaskTemplate]:
    """Take a template out: its followers come after what it came after, and waits meant for it hold them."""
    followers = frozenset(key for key, template in templates.items() if gone in template.after)
    rest = {}
    for key, template in templates.items():
        if key == gone:
            continue
        after: list[str] = []
        for name in template.after:
            if name == gone:
                after.extend(templates[gone].after)
            elif name != f"{gone}?":
                after.append(name)
        waits = tuple(
            # What came at the latest so long after it is gone; what follows in its place only waits.
            replace(wait, before=(wait.before - {gone}) | followers, at_most_min=None) if gone in wait.before else wait
            for wait in template.waits
        )
        # A wait meant only for what is gone and for nobody after it must not become one for everybody.
        waits = tuple(new for old, new in zip(template.waits, waits, strict=True) if new.before or not old.before)
        rest[key] = replace(template, after=tuple(dict.fromkeys(after)), waits=waits)
    return rest
