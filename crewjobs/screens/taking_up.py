"""A form that was open when the screens ended is opened again, with what was typed in it."""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen
    from crewjobs.services.forms.kept import KeptForm


def take_up(screen: CrewScreen, kept: KeptForm) -> None:
    """Open the form over a screen; one that this version does not know is let go."""
    from crewjobs.screens.draft.jobs import ask_new_job, ask_shop, ask_whole_job
    from crewjobs.screens.evening import ask_evening

    match kept.form:
        case "job" if kept.about.get("job", "").isdecimal():
            ask_whole_job(screen, int(kept.about["job"]), kept)
        case "job":
            ask_new_job(screen, kept.title, kept)
        case "shop":
            ask_shop(screen, kept=kept)
        case "evening":
            with suppress(ValueError):
                ask_evening(screen, kept.about.get("crew", ""), date.fromisoformat(kept.about.get("day", "")), kept)
