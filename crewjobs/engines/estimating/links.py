"""What waits for what: a template's `after`, found again among the instances of a job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from heapq import heapify, heappop, heappush

from crewjobs.domain.job import Job
from crewjobs.domain.moves import StageKind
from crewjobs.domain.tasks import ONTO, PREVIOUS_STAGE, Catalogue, Phase, ScopeKind, TaskKey, TaskTemplate
from crewjobs.engines.estimating.implied import needed_links
from crewjobs.engines.estimating.instances import Instance
from crewjobs.engines.estimating.places import Atom
from crewjobs.engines.estimating.wanted import WantedLink


def links_of(job: Job, catalogue: Catalogue, instances: Sequence[Instance]) -> tuple[WantedLink, ...]:
    """Return the links between the instances, without those that others already imply."""
    finder = _Finder(job, catalogue, instances)
    found: dict[tuple[TaskKey, TaskKey], WantedLink] = {}
    for instance in instances:
        for link in finder.before(instance):
            pair = (link.before, link.after)
            found[pair] = _both(found[pair], link) if pair in found else link
    links = list(found.values())
    order = [instance.key for instance in working_order(instances, links)]
    return needed_links(links, order, _guards(instances))


def _guards(instances: Sequence[Instance]) -> set[tuple[TaskKey, TaskKey]]:
    """Return the pairs of tasks whose links stay, however long the way around.

    They keep a suspect layer shut, and a carton shut until it was counted and read: cartons may be in the rooms before
    either was done, and then the way around, through carrying them in, holds nothing.
    """
    return {
        (one.key, other.key)
        for one in instances
        if one.template.applies.suspect or one.template.scope is ScopeKind.MATERIAL
        for other in instances
        if one.template.key in other.template.after
        and (one.template.applies.suspect or (one.template.phase is Phase.ACCLIMATE and other.template.needs_material))
    }


def working_order(instances: Sequence[Instance], links: Sequence[WantedLink]) -> tuple[Instance, ...]:
    """Return the instances so that each comes after all it waits for; stage by stage, then as the catalogue goes."""
    place = {instance.key: number for number, instance in enumerate(instances)}
    waiting = [0] * len(instances)
    followers: list[list[int]] = [[] for _ in instances]
    for link in links:
        followers[place[link.before]].append(place[link.after])
        waiting[place[link.after]] += 1
    heap = [(instance.stage, number) for number, instance in enumerate(instances) if not waiting[number]]
    heapify(heap)
    order: list[Instance] = []
    while heap:
        _, number = heappop(heap)
        order.append(instances[number])
        for follower in followers[number]:
            waiting[follower] -= 1
            if not waiting[follower]:
                heappush(heap, (instances[follower].stage, follower))
    assert len(order) == len(instances), "stages only rise and templates have no circle, so tasks have none"
    return tuple(order)


Way = tuple[str, frozenset[str]]
"""A template named before a follower, and the ones passed on the way to it whose waits name what they stand in for."""


@dataclass(slots=True)
class _Search:
    """What is known while the tasks before one follower are looked for; what was found is told apart by its key."""

    follower: Instance
    found: dict[tuple[int, frozenset[str]], Instance] = field(default_factory=dict)
    seen: dict[Way, frozenset[Atom]] = field(default_factory=dict)


class _Finder:
    def __init__(self, job: Job, catalogue: Catalogue, instances: Sequence[Instance]) -> None:
        self._job = job
        self._templates: Mapping[str, TaskTemplate] = {template.key: template for template in catalogue.templates}
        self._waited = {t.key: frozenset(name for wait in t.waits for name in wait.before) for t in catalogue.templates}
        self._waited_before: dict[str, frozenset[str]] = {}
        self._made: dict[str, list[Instance]] = {}
        self._laid: dict[int, list[Instance]] = {}
        self._layers: dict[Atom, list[Instance]] = {}
        self._ways: dict[str, tuple[tuple[str, frozenset[str], frozenset[str]], ...]] = {}
        self._staged = any(instance.move is not None for instance in instances)
        self._moved = [instance for instance in instances if instance.move is not None]
        self._glued = [instance for instance in instances if _glues_steps(instance)]
        laying = _closing(instances)
        for instance in instances:
            self._made.setdefault(instance.template.key, []).append(instance)
            if instance.template.key in laying or _cleans_up(instance, laying):
                self._laid.setdefault(instance.stage, []).append(instance)
            if instance.layer is not None:
                for atom in instance.atoms:
                    self._layers.setdefault(atom, []).append(instance)

    def before(self, follower: Instance) -> Iterator[WantedLink]:
        search = _Search(follower)
        for name, passed, _ in self._ways_on(follower.template.key):
            self._look(search, name, follower.atoms, passed)
        for (_, through), instance in search.found.items():
            minutes, wait = self._wait(instance.template, instance.key, follower.template.key, through)
            if self._staged and not instance.atoms & (follower.atoms | follower.onto):
                minutes, wait = 0, ""  # the stages leave a floor that cures alone: the crew goes on elsewhere
            most = _at_most(instance.template, follower.template.key, minutes)
            yield WantedLink(before=instance.key, after=follower.key, wait_min=minutes, name=wait, most_min=most)
        yield from self._before_furniture(follower)
        yield from self._over_stairs(follower)
        yield from self._section_before(follower)
        above = self._layer_above(follower)
        if above is not None:
            yield WantedLink(before=above.key, after=follower.key)
        yield from (WantedLink(before=laid.key, after=follower.key) for laid in self._rows_before_cuts(follower))

    def _section_before(self, follower: Instance) -> Iterator[WantedLink]:
        """Yield that of neighboring sections laid in one stage the rows run from the first into the next.

        They begin in the room's first section, or in its last where the job says that rows begin there.
        """
        if not (self._staged and follower.laying):
            return
        room = self._job.room(follower.key.scope.name)
        parts = [section.name for section in room.sections]
        starts = {part for name, part in self._job.starts if name == room.name}
        if parts[-1] in starts and parts[0] not in starts:
            parts.reverse()
        place = parts.index(follower.key.scope.part)
        for one in self._laid.get(follower.stage, ()):
            scope = one.key.scope
            if place and one.laying and scope.name == room.name and scope.part == parts[place - 1]:
                yield WantedLink(before=one.key, after=follower.key)

    def _before_furniture(self, follower: Instance) -> Iterator[WantedLink]:
        """Yield what must be over where a stage's furniture is carried onto: what the template named there comes after.

        Only work of earlier stages counts; when everything goes home, also what ends the work in the whole house.
        """
        named = [name.removeprefix(ONTO) for name in follower.template.after if name.startswith(ONTO)]
        home = follower.move is not None and follower.move.kind is StageKind.HOME
        for as_one in named:
            if as_one not in self._templates:
                continue
            for name in self._templates[as_one].after:
                for one in self._made.get(name.removesuffix("?"), ()):
                    if not one.atoms & follower.onto or (one.rank is None and not home):
                        continue
                    if one.rank is None or follower.rank is None or one.rank < follower.rank:
                        minutes, wait = self._wait(one.template, one.key, as_one, frozenset())
                        yield WantedLink(before=one.key, after=follower.key, wait_min=minutes, name=wait)

    def _over_stairs(self, follower: Instance) -> Iterator[WantedLink]:
        """Yield what stairs and what is carried over them have to do with each other.

        Steps are glued when all that goes over them before was carried; what goes home over them waits till they have set.
        """
        if follower.move is not None and follower.move.kind is StageKind.HOME:
            for one in self._glued:
                if one.key.scope.name in follower.over:
                    minutes, wait = self._wait(one.template, one.key, follower.template.key, frozenset())
                    yield WantedLink(before=one.key, after=follower.key, wait_min=minutes, name=wait)
        elif _glues_steps(follower):
            for one in self._moved:
                if one.move is not None and one.move.kind is not StageKind.HOME and follower.key.scope.name in one.over:
                    yield WantedLink(before=one.key, after=follower.key)

    def _look(self, search: _Search, name: str, atoms: frozenset[Atom], passed: frozenset[str]) -> None:
        seen = search.seen.get((name, passed))
        search.seen[name, passed] = atoms if seen is None else seen | atoms
        if name == PREVIOUS_STAGE:
            for laid in self._laid_before(search.follower):
                self._find(search, laid, passed)
            return
        key = name.removesuffix("?")
        there = [one for one in self._made[key] if _precedes(one, search.follower, atoms)]
        for one in there:
            self._find(search, one, passed)
        rest = atoms.difference(*(one.atoms for one in there))
        if name.endswith("?") or (there and not rest):
            return
        so_far = passed | {key}
        for further, more, minded in self._ways_on(key):
            way = (further, more | (so_far & minded) if minded else more)
            seen = search.seen.get(way)
            if seen is None or not seen >= rest:
                self._look(search, further, rest, way[1])

    def _find(self, search: _Search, one: Instance, passed: frozenset[str]) -> None:
        search.found[id(one), passed & self._waited[one.template.key]] = one

    def _ways_on(self, key: str) -> tuple[tuple[str, frozenset[str], frozenset[str]], ...]:
        """Return what a template comes after: those the job has tasks of, found once through those it has none of.

        With each: what was passed on the way to it, and what has to be known of the way so far.
        """
        known = self._ways.get(key)
        if known is None:
            ways: dict[Way, None] = {}
            for name in self._templates[key].after:
                before = name.removesuffix("?")
                if name.startswith(ONTO):
                    continue
                if name == PREVIOUS_STAGE or before in self._made:
                    ways[name, frozenset()] = None
                elif before == name:
                    for further, passed, minded in self._ways_on(name):
                        ways[further, passed | (minded & {name})] = None
            known = tuple((name, passed, self._waited_from(name)) for name, passed in ways)
            self._ways[key] = known
        return known

    def _waited_from(self, name: str) -> frozenset[str]:
        """Return what the waits of a template, and of all it comes after, name: of a way to it no more has to be known."""
        known = self._waited_before.get(name)
        if known is not None:
            return known
        if name == PREVIOUS_STAGE:
            found: frozenset[str] = frozenset().union(*self._waited.values())
        elif name.endswith("?"):
            found = self._waited[name.removesuffix("?")]
        else:
            found = self._waited[name].union(
                *(self._waited_from(before) for before in self._templates[name].after if not before.startswith(ONTO))
            )
        self._waited_before[name] = found
        return found

    def _laid_before(self, follower: Instance) -> list[Instance]:
        earlier = [stage for stage in self._laid if stage < follower.stage]
        return self._laid[max(earlier)] if earlier else []

    def _rows_before_cuts(self, follower: Instance) -> list[Instance]:
        """Return the sections that are laid before what is cut in the rows of a room: all of them but the last.

        Which section a vent or a flange lies in is not known; in the last one its cuts are made as the rows reach them.
        """
        template = follower.template
        if template.phase is not Phase.INSTALL or template.scope is not ScopeKind.ROOM or not template.needs_material:
            return []
        rows = [one for stage in sorted(self._laid) for one in self._laid[stage] if one.laying]
        return [one for one in rows if one.atoms <= follower.atoms][:-1]

    def _layer_above(self, follower: Instance) -> Instance | None:
        if follower.layer is None:
            return None
        (atom,) = follower.atoms
        above = [one for one in self._layers[atom] if one.layer is not None and one.layer < follower.layer]
        return max(above, key=lambda one: one.layer or 0, default=None)

    def _wait(self, template: TaskTemplate, key: TaskKey, follower: str, through: frozenset[str]) -> tuple[int, str]:
        """Return the wait after a task: meant for the follower, else for all, else for what it stands in for."""
        meant = [wait for wait in template.waits if follower in wait.before]
        for_all = [wait for wait in template.waits if not wait.before]
        stands_in = [wait for wait in template.waits if wait.before.intersection(through)]
        choice = meant or for_all or stands_in
        waits = [(self._minutes(key, wait.minutes, wait.of_material), wait.name) for wait in choice]
        minutes, name = max(waits, default=(0, ""))
        return minutes, name if minutes else ""

    def _minutes(self, key: TaskKey, minutes: int, of_material: bool) -> int:
        if of_material and key.scope.kind is ScopeKind.MATERIAL:
            return max(0, self._job.material(key.scope.name).acclimation_min + minutes)
        return minutes


def _glues_steps(instance: Instance) -> bool:
    """Return whether a task leaves steps on which nothing is carried until their glue has set."""
    return instance.template.scope is ScopeKind.STAIRS and bool(instance.template.waits)


def _both(one: WantedLink, other: WantedLink) -> WantedLink:
    """Return two links of the same tasks as one: the longer wait, and the shorter at most that leaves room for it."""
    longer = max(one, other, key=lambda link: link.wait_min)
    most = [link.most_min for link in (one, other) if link.most_min is not None]
    return replace(longer, most_min=max(longer.wait_min, min(most)) if most else None)


def _at_most(template: TaskTemplate, follower: str, least: int) -> int | None:
    """Return by when a follower named by a wait must have started; no less than what it waits at least.

    What follows in place of one that does not apply only waits.
    """
    found = [wait.at_most_min for wait in template.waits if follower in wait.before and wait.at_most_min is not None]
    return max(least, min(found)) if found else None


def _closing(instances: Sequence[Instance]) -> frozenset[str]:
    """Return the templates after which a section's floor is laid: of rows laid in several tasks, the last."""
    laying = {instance.template.key: instance.template for instance in instances if instance.laying}
    followed = {name.removesuffix("?") for template in laying.values() for name in template.after}
    return frozenset(laying.keys() - followed)


def _cleans_up(instance: Instance, laying: frozenset[str]) -> bool:
    """Return whether an instance belongs to a section just laid: nothing is moved onto a floor not cleaned up.

    What is there for an old layer's sake (a dust wall) does not clean the new floor, though it may follow its laying
    where a shop leaves the clean-up out.
    """
    template = instance.template
    in_section = template.scope is ScopeKind.SECTION and template.phase is Phase.HOUSE
    return in_section and not template.applies.coverings and not laying.isdisjoint(template.after)


def _precedes(one: Instance, follower: Instance, atoms: frozenset[Atom]) -> bool:
    """Return whether an instance of a template named before the follower has to do with it."""
    kind, other = one.key.scope.kind, follower.key.scope.kind
    if kind is other and kind is not ScopeKind.JOB and one.key.scope != follower.key.scope:
        return False
    if one.rank is not None and follower.rank is not None and one.rank > follower.rank:
        return False
    return bool(one.atoms & atoms)
