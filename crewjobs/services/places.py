"""What a form about a house has to pick from: its places, and the ways on from what was found and is not decided."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from crewjobs.domain.evening import Finding
from crewjobs.domain.found import FoundKind, Way
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import Catalogue
from crewjobs.engines.readiness.found import held_by, of_a_finding, way_taken
from crewjobs.services.findings.found_asked import at_any_size
from crewjobs.services.findings.found_form import LINES
from crewjobs.services.findings.found_kinds import HOUSE


@dataclass(frozen=True, slots=True, kw_only=True)
class WayPick:
    """A way on that can be taken: of what kind of finding, where, and in words with what it needs."""

    place: str
    kind: str
    way: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesView:
    """A job's rooms, its stairs, and the ways on from what was found there."""

    rooms: tuple[str, ...]
    stairs: tuple[str, ...]
    ways: tuple[WayPick, ...]

    @property
    def all(self) -> tuple[str, ...]:
        """Every place something can be found in."""
        return (*self.rooms, *self.stairs, HOUSE)


def places_view(record: JobRecord, catalogue: Catalogue, now: datetime) -> PlacesView:
    """Return what a job's forms have to pick from at an instant."""
    return PlacesView(
        rooms=tuple(room.name for room in record.job.rooms),
        stairs=tuple(flight.name for flight in record.job.stairs),
        ways=tuple(_ways(record, catalogue, now)),
    )


def _ways(record: JobRecord, catalogue: Catalogue, now: datetime) -> Iterator[WayPick]:
    kinds = {kind.key: kind for kind in catalogue.findings}
    for finding in record.findings:
        kind = kinds.get(finding.kind)
        if kind is None:
            continue
        for way in open_ways(record, kind, finding, now):
            needs = f" ({', '.join(LINES[need] for need in way.needs)})" if way.needs else ""
            yield WayPick(
                place=finding.place,
                kind=kind.key,
                way=way.key,
                words=f"{finding.place}, {kind.key}: {way.key}{needs}",
            )


def open_ways(record: JobRecord, kind: FoundKind, finding: Finding, now: datetime) -> Iterator[Way]:
    """Yield the ways on from what was found, by how much of it is seen and what was said of it.

    Once one is taken those that come after it, where they would open something; and where it left there what was found, and keeps
    work on something else that was found, those by which it is gone.
    """
    taken = way_taken(record, finding, now)
    tasks = [record.task(number) for number in held_by(record, finding, now)]
    held = {task.key.template for task in tasks if task.open and not of_a_finding(record, task)}
    into = any(task.open and of_a_finding(record, task) for task in tasks)
    for way in kind.ways:
        if taken is None and way.after:
            continue
        if (
            taken is not None
            and (taken.way not in (way.after, way.key) or not way.after or not held & way.lets)
            and not (into and kind.decided_anew(way, taken.way))
        ):
            continue
        small = not at_any_size(kind, finding) and (
            finding.area_ft2 is None or finding.area_ft2 < (way.under_ft2 or 0.0)
        )
        if way.under_ft2 is None or small:
            yield way
