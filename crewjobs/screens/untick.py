"""Taking back the tick of one task, from its row: asked first, for it may be long ago."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen


def ask_untick(screen: CrewScreen, job: int, task: int, title: str) -> None:
    """Ask whether a task that is ticked is not done after all, and record it."""
    from crewjobs.screens.choose import Choose

    def answered(answer: object) -> None:
        if answer == "take":
            screen.act(lambda office: office.untick(job, task), key=("untick", job, task))

    answers = [("leave", "Leave it ticked"), ("take", "Take the tick back")]
    told = (f"{title}: it is done. Its tick alone is taken back, and what it set running stops.",)
    screen.app.push_screen(Choose(f"Take back the tick of task {task}?", answers, "leave", told=told), answered)
