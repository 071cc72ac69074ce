"""What is to be put right on a finished job: a small job of its own."""

from __future__ import annotations

from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.form import Blank, Filled, Form, Note, Press
from crewjobs.services.rows import Done

_DAY = "fri, 2026-03-06; empty: none"
_MENDED = (
    ("is no time for a callback", "hours"),
    ("has no room or stairs", "where"),
    ("people", "people"),
    ("^promised", "promised"),
    ("^wished", "wished"),
)


def callback(about: About) -> Form:
    """What, where, how long and by when."""
    return Form(
        f"Callback of job {about.number}",
        (
            Blank(
                "what", "What", "swap the board that clicks", needed="Write what is to be put right, in a few words."
            ),
            Blank("where", "Where", "a room or stairs; empty: the house"),
            Blank("hours", "Hours", "of one person: 1.5; empty: 2"),
            Blank("people", "People", "how many it takes at once; empty: 1", check=checks.number),
            Blank("wished", "Wished day", _DAY, check=checks.day),
            Blank("promised", "Promised day", _DAY, check=checks.day),
            Note("It becomes a small job of its own, tied to this one; its hours never count in the crew's pace."),
        ),
        (Press("save", "Book it", save=lambda office, filled: _book(office, about, filled)),),
        mended=_MENDED,
    )


def _book(office: OfficeFace, about: About, filled: Filled) -> Done:
    return office.callback(
        about.number,
        filled["what"],
        where=filled["where"],
        hours=filled["hours"],
        people=filled.whole("people", "people", empty=1),
        wished=filled["wished"],
        promised=filled["promised"],
    )
