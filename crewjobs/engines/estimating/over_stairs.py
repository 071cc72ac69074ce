"""Which stairs the furniture of a stage is carried over: those are worked after it, and wait for nothing else of the stages."""

from __future__ import annotations

from crewjobs.domain.job import Job
from crewjobs.domain.moves import IN_PLACE, MovesPlan, MoveStage
from crewjobs.domain.reach import beyond
from crewjobs.engines.estimating.places import floored_stairs


def carried_over(job: Job, moves: MovesPlan, stage: MoveStage) -> frozenset[str]:
    """Return the names of the stairs with a new floor that a stage's carries cross, as nothing else leads from foot to head.

    Doors come off their hinges where they are at home.
    """
    pairs = [
        (moves.pieces[one.piece].home if one.start == IN_PLACE else one.start, one.to)
        for one in stage.carried
        if one.to != IN_PLACE
    ]
    pairs += [(one.start, moves.pieces[one.piece].home) for one in stage.carried if one.to == IN_PLACE]
    return frozenset(
        stairs.name
        for stairs in floored_stairs(job)
        if (upper := beyond(job, stairs)) and any((a[0] in upper) != (b[0] in upper) for a, b in pairs)
    )
