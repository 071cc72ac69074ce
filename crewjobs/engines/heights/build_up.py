"""How high a finished floor stands over the subfloor before and after the job, room by room, by what lies there and what is laid."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from crewjobs.domain import thickness
from crewjobs.domain.house import Covering, Layer, Room, Stairs
from crewjobs.domain.job import Job
from crewjobs.domain.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One layer of a floor: what it is, how thick (1/4064 inch), and whether that is only as usual."""

    what: str
    thickness: int
    usual: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildUp:
    """What lies over the subfloor before the job and after it."""

    before: tuple[Part, ...]
    after: tuple[Part, ...]

    @property
    def was(self) -> int:
        """Return how high the floor stands now (1/4064 inch over the subfloor)."""
        return sum(part.thickness for part in self.before)

    @property
    def becomes(self) -> int:
        """Return how high it will stand."""
        return sum(part.thickness for part in self.after)

    @property
    def rise(self) -> int:
        """Return by how much it rises; less than zero where it comes to lie lower."""
        return self.becomes - self.was


def build_up(job: Job, room: Room, left: frozenset[Covering] = frozenset()) -> BuildUp | None:
    """Return the build-up of a room; None where it keeps its floor and nobody said what that is.

    Coverings that are `left` stay under the new floor, with all that lies under them. What leveler adds is not counted: it fills
    what lies low.
    """
    before = tuple(map(_laid, room.layers))
    if room.floor is None:
        return BuildUp(before=before, after=before) if before else None
    top = next((index for index, layer in enumerate(room.layers) if layer.covering in left), len(before))
    after = [replace(part, what=f"{part.what}, left") for part in reversed(before[top:])]
    if room.add_plywood:
        after.append(Part(what="plywood underlayment", thickness=thickness.PLYWOOD, usual=True))
    if room.pad:
        after.append(Part(what="pad", thickness=thickness.PAD, usual=True))
    return BuildUp(before=before, after=(*after, _new(job.material(room.floor))))


def of_stairs(job: Job, stairs: Stairs) -> BuildUp:
    """Return the build-up of the steps of stairs."""
    before = tuple(map(_laid, stairs.layers))
    return BuildUp(before=before, after=before if stairs.floor is None else (_new(job.material(stairs.floor)),))


def guessed(found: BuildUp) -> Iterator[Part]:
    """Yield the layers whose thickness is only as usual, each once."""
    yield from dict.fromkeys(part for part in (*found.before, *found.after) if part.usual)


def _laid(layer: Layer) -> Part:
    usual = layer.thickness is None
    return Part(
        what=str(layer.covering),
        thickness=thickness.OF_LAYERS[layer.covering] if layer.thickness is None else layer.thickness,
        usual=usual,
    )


def _new(material: Material) -> Part:
    usual = material.thickness is None
    return Part(
        what=material.name,
        thickness=thickness.OF_MATERIALS[material.kind] if material.thickness is None else material.thickness,
        usual=usual,
    )
