"""Whom a job waits for: a plumber, a laboratory, the customer; asked, promised, asked again, come."""

from __future__ import annotations

from crewjobs.domain.house_ready import Other
from crewjobs.screens.ask_text import WHEN
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import NOT_YET
from crewjobs.screens.record.form import Blank, Filled, Form, Note, Pick, Press, whole_of
from crewjobs.services.rows import Done

_ASKED = (
    ("was not asked for|asked for several", "what"),
    ("was not asked;", "who"),
    ("^promised for|is not a moment to come|^say what it is promised for", "until"),
    NOT_YET,
    ("was asked only", "at"),
)
"""What is refused of an answer has in its sentence, and the line that mends it."""
_WHO = tuple((who.value, who.value) for who in Other)


def asked(about: About) -> Form:
    """Somebody else is asked for something, and some tasks wait for it."""
    return Form(
        f"Ask somebody else, job {about.number}",
        (
            Pick("who", "Who", _WHO),
            Blank(
                "what", "What for", "gas shut off and capped", needed="Write what they are asked for, in a few words."
            ),
            Blank("promised", "Promised for", "thu 12:00; empty: not promised", check=checks.promised),
            Blank("holds", "Tasks held", "their numbers: 12, 13; empty: none", check=checks.numbers),
            Blank("at", "When", WHEN, check=checks.moment),
        ),
        (Press("save", "Record", save=lambda office, filled: _ask(office, about, filled)),),
        mended=(("^promised for", "promised"), ("has no task", "holds"), NOT_YET),
    )


def _ask(office: OfficeFace, about: About, filled: Filled) -> Done:
    words = filled["holds"].replace(",", " ").replace("#", " ").split()
    return office.ask(
        about.number,
        filled["who"],
        filled["what"],
        promised=filled["promised"],
        holds=[whole_of(word, "tasks held: write the tasks' numbers, such as 12, 13.") for word in words],
        at=filled["at"],
    )


def answered(about: About, who: str = "", what: str = "") -> Form:
    """What somebody else was asked for: promised, asked again, or there."""

    def kept(filled: Filled) -> tuple[int, str]:
        return about.number, filled["who"]

    return Form(
        f"Asked before, job {about.number}",
        (
            Pick("who", "Who", _WHO, who),
            Blank("what", "What for", "only where they were asked for several things", what),
            Blank("until", "Promised for", "thu 12:00", check=checks.promised),
            Blank("at", "When", WHEN, check=checks.moment),
            Note("“Promised” takes the day above; “Asked again” and “It is there” take when."),
        ),
        (
            Press("came", "It is there", save=lambda o, f: o.came(*kept(f), what=f["what"], at=f["at"])),
            Press("promised", "Promised", save=lambda o, f: o.promised(*kept(f), f["until"], what=f["what"])),
            Press("chased", "Asked again", save=lambda o, f: o.chased(*kept(f), what=f["what"], at=f["at"])),
        ),
        mended=_ASKED,
    )
