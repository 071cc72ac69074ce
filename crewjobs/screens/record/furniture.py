"""What stands in a room, said in words."""

from __future__ import annotations

from collections.abc import Sequence

from crewjobs.domain.errors import Refused
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.form import Blank, Filled, Form, Note, Pick, Press
from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.rows import Done


def furniture(job: int, rooms: Sequence[str], kept: KeptForm | None = None) -> Form:
    """One room of a job, and its furniture as one says it."""
    return Form(
        f"Furniture, job {job}",
        (
            Pick("room", "Room", tuple((name, name) for name in rooms), rooms[0]),
            Blank("words", "Furniture", "usual bedroom, 2 bookcase, piano stays", check=checks.whatever),
            Note(
                "This takes the place of what the room had; 'usual' and a kind of room is what usually stands in one."
            ),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda office, filled: _furnish(office, job, filled),
            ),
            Press(
                "known",
                "What it has",
                fill=lambda office, filled: (
                    "This is what is said so far; change it and record it.",
                    {"words": office.furniture_of(job, filled["room"])},
                ),
            ),
        ),
    ).kept_as("furniture", {"job": str(job)}, kept)


def _furnish(office: OfficeFace, job: int, filled: Filled) -> Done:
    """Record it; what is wrong with the words is said below them."""
    try:
        return office.furnish(job, filled["room"], filled["words"])
    except Refused as refused:
        raise Refused([f"words: {sentence}" for sentence in refused.sentences]) from None
