"""Who is not with their crew on a day: out, lent, or working by themselves; a crew's hours; who goes on with a task."""

from __future__ import annotations

from crewjobs.screens.ask_text import FAR, WHEN
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.form import Blank, Box, Form, Note, Pick, Press


def away(about: About) -> Form:
    """One person and one day."""
    return Form(
        "Somebody is not with their crew",
        (
            Blank("who", "Who", "the name; a first name will do"),
            Blank("day", "Day", "today, thu, 2026-03-05", about.day.isoformat() if about.day else "today", checks.day),
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
    )


def hours(about: About) -> Form:
    """One crew and one day."""
    return Form(
        "A crew's hours on a day",
        (
            Pick("crew", "Crew", about.crew_options, about.crew),
            Blank("day", "Day", "today, sat, 2026-03-07", about.day.isoformat() if about.day else "", checks.day),
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
    )


def goes_on(about: About) -> Form:
    """One task under way that another crew goes on with."""
    return Form(
        f"Another crew goes on, job {about.number}",
        (
            Blank("task", "Task", "its number: 11", check=checks.number),
            Blank("far", "How far it is", FAR, check=checks.how_far),
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
    )
