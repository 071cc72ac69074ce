"""Who is not with their crew on a day: out, lent, or working by themselves; a crew's hours; who goes on with a task."""

from __future__ import annotations

from crewjobs.screens.ask_text import FAR, WHEN
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import NOBODY, NOT_YET
from crewjobs.screens.record.form import Blank, Box, Form, Note, Pick, Press

_DAY = "Write the day, such as today, thu or 2026-03-05."
_GOES_ON = (
    ("has no task| is done already| is not needed already", "task"),
    NOT_YET,
    ("was said already|before that", "at"),
    (
        r"cannot be: there|say how far it is|is less than|runs backwards|leaves out|of how many|nothing is done of it",
        "far",
    ),
)
"""What is refused of who goes on has in its sentence, and the line that mends it."""


def away(about: About) -> Form:
    """One person and one day."""
    return Form(
        "Somebody is not with their crew",
        (
            Blank(
                "who",
                "Who",
                "the name; a first name will do",
                needed="Write who it is; a first name will do.",
                known=lambda office, name: office.read_person(name),
            ),
            Blank(
                "day",
                "Day",
                "today, thu, 2026-03-05",
                about.day.isoformat() if about.day else "today",
                checks.day,
                _DAY,
            ),
            Blank("to", "Works with", "another crew; empty: out that day"),
            Note("A name that no crew has splits the crew: all who work with that name that day go by themselves."),
            Blank("because", "Because", "in a few words"),
            Box("again", "In the place of what was recorded for that day"),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda office, filled: office.away(
                    filled["who"],
                    office.read_day(filled["day"]),
                    to=filled["to"],
                    because=filled["because"],
                    again=filled.yes("again"),
                ),
            ),
            Press(
                "back",
                "Back after all",
                save=lambda office, filled: office.back(filled["who"], office.read_day(filled["day"])),
            ),
        ),
        mended=(NOBODY, ("days ago|is not away on", "day"), (" is in .* already", "to")),
    )


def hours(about: About) -> Form:
    """One crew and one day."""
    return Form(
        "A crew's hours on a day",
        (
            Pick("crew", "Crew", about.crew_options, about.crew),
            Blank("day", "Day", "today, sat, 2026-03-07", about.day.isoformat() if about.day else "", checks.day, _DAY),
            Blank("hours", "Hours", "8:00-12:00, or 7:00-12:00, 12:30-15:30"),
            Blank("because", "Because", "in a few words"),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda office, filled: office.hours(
                    filled["crew"], office.read_day(filled["day"]), filled["hours"], because=filled["because"]
                ),
                checks={"hours": checks.day_hours},
            ),
            Press(
                "off",
                "Day off",
                save=lambda office, filled: office.hours(
                    filled["crew"], office.read_day(filled["day"]), "off", because=filled["because"]
                ),
            ),
            Press(
                "usual",
                "As every week",
                save=lambda office, filled: office.usual_hours(
                    filled["crew"], office.read_day(filled["day"]), because=filled["because"]
                ),
            ),
        ),
        mended=(("has gone by|no other hours are recorded", "day"), ("are no hours of a day", "hours")),
    )


def goes_on(about: About) -> Form:
    """One task under way that another crew goes on with."""
    return Form(
        f"Another crew goes on, job {about.number}",
        (
            Blank("task", "Task", "its number: 11", check=checks.number, needed="Write the task's number, such as 11."),
            Blank("far", "How far it is", FAR, check=checks.how_far, needed=f"Write how far it is, such as {FAR}."),
            Pick("crew", "Goes on with it", about.crew_options, about.crew),
            Blank("at", "When", WHEN, check=checks.moment),
            Blank("because", "Because", "only if the task is on hold"),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda office, filled: office.how_far(
                    about.number,
                    filled.whole("task", "task", empty=0),
                    filled["far"],
                    crew=filled["crew"],
                    at=filled["at"],
                    because=filled["because"],
                ),
            ),
        ),
        mended=_GOES_ON,
    )
