"""Whether a house is ready: asked and answered; a crew sent there for nothing, and what it can do instead."""

from __future__ import annotations

from crewjobs.domain.house_ready import READY_WORDS, ReadyItem
from crewjobs.screens.ask_text import WHEN
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import NOT_YET
from crewjobs.screens.record.form import Blank, Box, Filled, Form, Note, Pick, Press
from crewjobs.services.rows import Done

_ITEMS = tuple(ReadyItem)
_UNTIL = ("^not ready until", "until")


def house_ready(about: About) -> Form:
    """Who was asked, what is so, what is not and until when."""
    return Form(
        f"House ready, job {about.number}",
        (
            Blank("asked", "Asked", "who; empty if asked before"),
            Blank("by", "Answered by", "who; empty is who was asked"),
            Note("It is so:"),
            *(Box(item.value, READY_WORDS[item]) for item in _ITEMS),
            Note("It is not so:"),
            Pick(
                "missing", "One thing missing", tuple((READY_WORDS[item], item.value) for item in _ITEMS), needed=False
            ),
            Blank("until", "Ready by", "of what is missing: thu 7:00", check=checks.ahead),
            Blank("since", "So since", "yesterday 16:00, for air running", check=checks.moment),
            Blank("at", "When", WHEN, check=checks.moment),
        ),
        (
            Press("save", "Record", save=lambda office, filled: _ready(office, about, filled)),
            Press("all", "All is so", save=lambda office, filled: _ready(office, about, filled, everything=True)),
        ),
        mended=(_UNTIL, ("cannot be so since", "since"), NOT_YET),
    )


def _ready(office: OfficeFace, about: About, filled: Filled, *, everything: bool = False) -> Done:
    from crewjobs.services.asked.house_ready import Answers, read_items

    missing = read_items([filled["missing"]] if filled["missing"] else [])
    ready = tuple(item for item in _ITEMS if item not in missing and (everything or filled.yes(item.value)))
    answers = Answers(ready=ready, not_ready=missing, by=filled["by"], until=filled["until"], since=filled["since"])
    return office.ready(
        about.number, asked=filled["asked"], answers=answers if ready or missing else None, at=filled["at"]
    )


def dry_run(about: About) -> Form:
    """Who stood there and why they could not work."""
    return Form(
        f"House not ready: dry run, job {about.number}",
        (
            Pick("crew", "Crew sent there", about.crew_options, about.crew),
            Blank("because", "Because", "paint is wet", needed="Write why they could not work, such as: paint is wet."),
            Pick(
                "item",
                "What was missing, if the reason does not tell",
                tuple((READY_WORDS[item], item.value) for item in _ITEMS),
                needed=False,
            ),
            Blank("until", "Ready by", "thu 7:00; empty: nobody knows", check=checks.ahead),
            Blank("at", "When", WHEN, check=checks.moment),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda office, filled: office.dry_run(
                    about.number,
                    filled["crew"],
                    filled["because"],
                    item=filled["item"],
                    until=filled["until"],
                    at=filled["at"],
                ),
            ),
        ),
        mended=(_UNTIL, ("--item", "item"), NOT_YET),
    )
