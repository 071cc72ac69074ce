"""What each key means: the same on every screen and in every dialog, so that a hand need learn it once.

A binding names the action of its key here; what it is done to (a week, a day, a job) is the screen's own. Fields of text
take every printable key as text: there only Esc, F1 and the keys that need Ctrl act.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

MEANINGS: Final = MappingProxyType(
    {
        "enter": ("choose", "act on what is selected"),
        "space": ("choose", "act on what is selected"),
        "escape": ("back", "close what is open, stop what is at work, go back"),
        "question_mark": ("help", "what can be done here"),
        "f1": ("help", "what can be done here, from inside a field too"),
        "1": ("go", "Waiting"),
        "2": ("go", "Week"),
        "3": ("go", "Jobs"),
        "4": ("go", "On site"),
        "5": ("go", "Rooms"),
        "6": ("go", "Rates"),
        "up": ("walk", "select what is above, or scroll"),
        "k": ("walk", "select what is above, or scroll"),
        "down": ("walk", "select what is below, or scroll"),
        "j": ("walk", "select what is below, or scroll"),
        "left": ("step", "to what stands before or left of this"),
        "right": ("step", "to what stands after or right of this"),
        "pageup": ("leaf", "a page up, or the page before"),
        "pagedown": ("leaf", "a page down, or the next page"),
        "home": ("far", "to the first"),
        "end": ("far", "to the last"),
        "left_square_bracket": ("turn", "the page before: week, day, job, crew"),
        "right_square_bracket": ("turn", "the page after: week, day, job, crew"),
        "plus": ("new", "write a new one, in a form"),
        "ctrl+s": ("keep", "the main button of a form: keep, make, record"),
        "slash": ("find", "find by words"),
        "a": ("arrived", "material has come"),
        "b": ("light", "light or dark"),
        "c": ("odds", "chances of promises"),
        "d": ("print", "pages on paper and calendars"),
        "D": ("print_week", "the week sheet for the wall"),
        "e": ("edit", "change what is shown"),
        "f": ("how_far", "how far the selected task is"),
        "F": ("found", "record a finding"),
        "g": ("other", "go to another crew or job"),
        "h": ("evening", "a crew's hours and sheet of the day"),
        "i": ("what_if", "what if something were so"),
        "l": ("lots", "which rooms each lot goes into"),
        "L": ("layout", "how the planks are laid"),
        "m": ("from_here", "stages anew, from where things stand"),
        "n": ("answer", "all that was said last"),
        "o": ("order", "the next order of the list"),
        "p": ("plan", "plan what is shown: weeks, stages, layouts"),
        "P": ("tick_phase", "tick all that is left of a phase"),
        "q": ("quit", "leave"),
        "r": ("record", "record what happened"),
        "s": ("start", "the selected task has begun"),
        "t": ("today", "to today"),
        "u": ("undo", "take the last change back"),
        "U": ("redo", "put back what u took back"),
        "v": ("view", "the other view, or more of this one"),
        "w": ("when", "from when ticks count"),
        "x": ("proposal", "the better plan that is proposed"),
        "y": ("why", "why it is so"),
    }
)
"""Of each key its action and what it means everywhere, in alphabetical order of letters."""

TOLD_BY_ITSELF: Final = ("turn", "choose", "step", "back")
"""Actions that a screen's own word tells better than what they mean everywhere: ``week before``, ``open job``."""
