"""What went back to the supplier."""

from __future__ import annotations

from crewjobs.screens.ask_text import WHEN
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import NOT_YET
from crewjobs.screens.record.form import Blank, Form, Note, Press


def went_back(about: About) -> Form:
    """Cartons that went back: damaged ones, and full ones left over."""
    return Form(
        f"Went back to the supplier, job {about.number}",
        (
            Blank("what", "Material", "empty: the job's only one"),
            Blank("count", "Cartons", "how many went back", check=checks.count, needed="Write how many went back."),
            Blank("at", "When", WHEN, check=checks.moment),
            Note("What is to go back stands on the job's page: damaged cartons, and full ones left over."),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda o, f: o.returned(about.number, f["what"], f.count("count", "cartons"), at=f["at"]),
            ),
        ),
        mended=(("there is no material", "what"), ("is no return|can go back", "count"), NOT_YET),
    )
