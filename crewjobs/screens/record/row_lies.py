"""A row of planks lies, and the wall turned out otherwise: the rest is planned anew."""

from __future__ import annotations

from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.at_lines import refused_at
from crewjobs.screens.record.form import Blank, Filled, Form, Note, Press, whole_of
from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.rows import Done

_MEANWHILE = "Planning the other rows anew: some seconds …"
_ROW = "Row that lies: write its number, as on the cut list."
_MENDED = (
    (r"has \d+ rows: |^row \d+: |is worked in parts", "row"),
    ("for the next row|laid at 45 degrees", "measured"),
    ("to the wall across", "to_wall"),
)
"""What a refused row has in its sentence, and the line that mends it."""


def row_lies(job: int, room: str, kept: KeptForm | None = None) -> Form:
    """Which row lies, and what was measured from it."""

    def save(office: OfficeFace, filled: Filled) -> Done:
        row = whole_of(filled["row"], _ROW)
        off = ("of the layout: measure again", "measured" if filled["measured"] else "to_wall")
        with refused_at((("row", "Row that lies"),), (*_MENDED, off)):
            return office.row_lies(job, room, row, measured=filled["measured"], to_wall=filled["to_wall"])

    return Form(
        f"A row lies, job {job}, {room}",
        (
            Blank("row", "Row that lies", "7", check=checks.number),
            Blank("measured", "Next row", "wall to wall, such as 14' 6 1/2; empty: as drawn", check=checks.length),
            Blank("to_wall", "Far wall", "from its edge, such as 6' 3; empty: as drawn", check=checks.length),
            Note("Rows that lie stay as they are; the others are planned anew, with what was kept of cut planks."),
        ),
        (Press("save", "Plan anew", save=save, meanwhile=_MEANWHILE),),
    ).kept_as("row lies", {"job": str(job), "room": room}, kept)
