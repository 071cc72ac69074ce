"""How long after a section is laid furniture may not stand on it, by the waits of the templates that lay it."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.job import Job
from crewjobs.domain.moves import Spot
from crewjobs.domain.tasks import Catalogue, Phase, ScopeKind
from crewjobs.engines.estimating.expand import expand

FURNITURE: Final = "furniture-back"
"""The template whose waits are those of furniture."""


def furniture_waits(job: Job, catalogue: Catalogue) -> dict[Spot, int]:
    """Return minutes by the clock from the end of laying until furniture may stand there, for every section that gets a floor."""
    found: dict[Spot, int] = {
        (room.name, part.name): 0 for room in job.rooms if room.floor is not None for part in room.sections
    }
    for task in expand(job, catalogue).tasks:
        template = catalogue.template(task.key.template)
        spot = task.key.scope.name, task.key.scope.part
        if template is None or task.phase is not Phase.INSTALL or task.key.scope.kind is not ScopeKind.SECTION:
            continue
        meant = [wait.minutes for wait in template.waits if FURNITURE in wait.before]
        if spot in found and meant:
            found[spot] = max(found[spot], *meant)
    return found
