"""A job's wanted tasks as a graph, judged by networkx and nothing of the program's own."""

from __future__ import annotations

from functools import lru_cache

import networkx as nx

from crewjobs.domain.job import Job
from crewjobs.domain.tasks import Catalogue, Phase, ScopeKind, TaskKey
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.wanted import Wanted, WantedTask
from crewjobs.files.catalogue import read_catalogue


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The program's own catalogue, read once."""
    return read_catalogue()


class Graph:
    """What comes before what in a job."""

    def __init__(self, job: Job, of: Catalogue | None = None) -> None:
        self.job = job
        self.wanted: Wanted = expand(job, of or catalogue())
        self.tasks: dict[TaskKey, WantedTask] = {task.key: task for task in self.wanted.tasks}
        self.links = nx.DiGraph()
        self.links.add_nodes_from(self.tasks)
        for link in self.wanted.links:
            self.links.add_edge(link.before, link.after, wait=link.wait_min, name=link.name)
        self._order = list(nx.topological_sort(self.links))
        self._ancestors: dict[TaskKey, set[TaskKey]] = {}
        self._waits: dict[TaskKey, dict[TaskKey, int]] = {}

    def named(self, *templates: str) -> list[TaskKey]:
        """The tasks of these templates."""
        return [key for key in self.tasks if key.template in templates]

    def one(self, template: str, name: str | None = None, part: str | None = None, cause: str = "") -> TaskKey:
        """The one task of a template in a place."""
        (key,) = (
            key
            for key in self.named(template)
            if name in (None, key.scope.name) and part in (None, key.scope.part) and key.cause == cause
        )
        return key

    def laying(self) -> list[TaskKey]:
        """The tasks that finish the floor of a section: of several that lay its rows, the last."""
        rows = [
            key
            for key, task in self.tasks.items()
            if task.phase is Phase.INSTALL and key.scope.kind is ScopeKind.SECTION and task.needs_material
        ]
        return [
            key
            for key in rows
            if not any(other.scope == key.scope and self.comes_before(key, other) for other in rows if other != key)
        ]

    def comes_before(self, one: TaskKey, other: TaskKey) -> bool:
        """Whether there is a way from one task to the other."""
        return one in self.ancestors(other)

    def ancestors(self, key: TaskKey) -> set[TaskKey]:
        """Everything that comes before a task."""
        if key not in self._ancestors:
            self._ancestors[key] = nx.ancestors(self.links, key)
        return self._ancestors[key]

    def wait(self, one: TaskKey, other: TaskKey) -> int:
        """The longest wait by the clock between the end of one task and the start of the other."""
        if one not in self._waits:
            longest = {one: 0}
            for key in self._order:
                for before, _, wait in self.links.in_edges(key, data="wait"):
                    if before in longest:
                        longest[key] = max(longest.get(key, 0), longest[before] + wait)
            self._waits[one] = longest
        return self._waits[one][other]
