"""Small visits of one person, and the two walk-throughs with the customer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from crewjobs.domain.agreed import VisitKind
from crewjobs.screens.ask_text import WHEN
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import NOBODY, NOT_YET
from crewjobs.screens.record.form import Blank, Box, Filled, Form, Note, Pick, Press
from crewjobs.services.rows import Done

if TYPE_CHECKING:
    from crewjobs.domain.units import UnitSystem

_KINDS = tuple((kind.value, kind.value) for kind in VisitKind)
_USUAL_MIN = 60
_NAME = "Write who of the house walked along."
_VISIT = (
    NOBODY,
    ("minutes; a small visit takes", "minutes"),
    ("no such .* planned|has gone by|has not come yet|is not a moment|from when", "at"),
)
"""What is refused of a small visit has in its sentence, and the line that mends it."""
_DAMAGES = 3
_PUNCHES = 4


def small_visit(about: About) -> Form:
    """Planned, made or called off; a time free for it can be looked up."""
    return Form(
        f"Small visit, job {about.number}",
        (
            Pick("kind", "What for", _KINDS),
            Blank("who", "Who goes", "empty: the lead", known=lambda office, name: office.read_person(name)),
            Blank("at", "From", "thu 14:00", check=checks.ahead),
            Blank("minutes", "Minutes", "15 to 240", str(_USUAL_MIN), checks.number),
            Blank("because", "Why", "in a few words"),
            Box("leaves", "Leaves the crew's planned day for it"),
        ),
        (
            Press("save", "Plan it", save=lambda office, filled: _plan(office, about, filled)),
            Press("propose", "Free when?", fill=lambda office, filled: _propose(office, about, filled)),
            Press(
                "made",
                "It was made",
                save=lambda o, f: o.visit_done(about.number, f["kind"], who=f["who"], at=f["at"], minutes=_minutes(f)),
            ),
            Press(
                "off", "Called off", save=lambda o, f: o.visit_off(about.number, f["kind"], who=f["who"], at=f["at"])
            ),
        ),
        mended=_VISIT,
    )


def _minutes(filled: Filled) -> int:
    return filled.whole("minutes", "minutes", empty=_USUAL_MIN)


def _plan(office: OfficeFace, about: About, filled: Filled) -> Done:
    return office.plan_visit(
        about.number,
        filled["kind"],
        at=filled["at"],
        who=filled["who"],
        minutes=_minutes(filled),
        because=filled["because"],
        leaves_crew=filled.yes("leaves"),
    )


def _propose(office: OfficeFace, about: About, filled: Filled) -> tuple[str, Mapping[str, str]]:
    found = office.propose_visit(about.number, filled["kind"], who=filled["who"], minutes=_minutes(filled))
    return found.sentence, {"at": f"{found.start:%Y-%m-%d %H:%M}", "who": found.who}


def walk_before(about: About) -> Form:
    """What was agreed and what was damaged before."""
    return Form(
        f"Walk-through before the work, job {about.number}",
        (
            Blank("name", "Walked with", "who of the house", needed=_NAME),
            Blank("color", "Color", "as shown"),
            Blank("direction", "Rows run", "along the hall"),
            Blank("lot", "Lot", "as shown"),
            Note("Damage already there, and a photo's file if there is one:"),
            *(
                part
                for place in range(1, _DAMAGES + 1)
                for part in (
                    Blank(f"damage{place}", f"Damage {place}", "hall: scratch at the door"),
                    Blank(f"photo{place}", f"Photo {place}", "its file; its SHA-256 is kept", check=checks.whatever),
                )
            ),
            Blank("at", "When", WHEN, check=checks.moment),
            Blank("because", "Because", "only if its task is on hold"),
        ),
        (Press("save", "Record", save=lambda office, filled: _before(office, about, filled)),),
        _shown,
        mended=(NOT_YET, ("is on hold", "because")),
    )


def _shown(filled: Filled, _units: UnitSystem) -> list[str]:
    """Return of which photo nobody says what it shows."""
    places = (str(place) for place in range(1, _DAMAGES + 1))
    return [
        f"damage{place}: Write what it shows: photo {place} belongs to a damage."
        for place in places
        if filled[f"photo{place}"] and not filled[f"damage{place}"]
    ]


def _before(office: OfficeFace, about: About, filled: Filled) -> Done:
    typed = [(filled[f"damage{place}"], filled[f"photo{place}"]) for place in range(1, _DAMAGES + 1)]
    damage = [(what, photo) for what, photo in typed if what]
    return office.walk_before(
        about.number,
        filled["name"],
        color=filled["color"],
        direction=filled["direction"],
        lot=filled["lot"],
        damage=damage,
        at=filled["at"],
        because=filled["because"],
    )


def walk_after(about: About) -> Form:
    """What is still to be done, and what was left in the house."""
    return Form(
        f"Walk-through after the work, job {about.number}",
        (
            Blank("name", "Walked with", "who of the house", needed=_NAME),
            *(Blank(f"punch{place}", f"To do {place}", "base by the door") for place in range(1, _PUNCHES + 1)),
            Note("A later walk-through with fewer items clears the rest."),
            Box("carton", "One full carton was left in the house"),
            Box("care", "The care sheet was left"),
            Blank("at", "When", WHEN, check=checks.moment),
            Blank("because", "Because", "only if its task is on hold"),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda office, filled: office.walk_after(
                    about.number,
                    filled["name"],
                    punch=[one for place in range(1, _PUNCHES + 1) if (one := filled[f"punch{place}"])],
                    carton_left=filled.yes("carton"),
                    care_sheet=filled.yes("care"),
                    at=filled["at"],
                    because=filled["because"],
                ),
            ),
        ),
        mended=(NOT_YET, ("is on hold", "because")),
    )
