"""Who is not with their crew on a day: out, lent to another crew, or working by themselves."""

from __future__ import annotations

from crewjobs.screens.record.about import About
from crewjobs.screens.record.form import Blank, Box, Form, Note, Press


def away(about: About) -> Form:
    """One person and one day."""
    return Form(
        "Somebody is not with their crew",
        (
            Blank("who", "Who", "the name; a first name will do"),
            Blank("day", "Day", "today, thu, 2026-03-05", about.day.isoformat() if about.day else "today"),
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
