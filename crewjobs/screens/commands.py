"""The command palette's list: all that keys and forms reach from where one is, and what has no key, by name."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Final

from textual.app import SystemCommand
from textual.command import Hit, Hits
from textual.system_commands import SystemCommandsProvider
from textual.widgets import Input, TextArea

from crewjobs.domain.wording import upper
from crewjobs.screens.elsewhere import elsewhere
from crewjobs.screens.keys import MEANINGS, TOLD_BY_ITSELF
from crewjobs.screens.palette import DAYLIGHT, LAMP
from crewjobs.screens.spreadsheets import spreadsheet_commands
from crewjobs.screens.texts import text_commands
from crewjobs.screens.widgets.headline import PLACES

if TYPE_CHECKING:
    from textual.screen import Screen

    from crewjobs.screens.app import CrewApp

_BY_HELP: Final = 0.01
"""How well what only the help text says fits: behind every name that does."""
_BY_NAME: Final = 6.0
"""How well, for each letter typed, a name fits that has every word typed: more than the palette gives any."""
_BY_WORDS: Final = 5.0
"""And one that people call so: more than the palette gives a name that has only the letters somewhere, 4 for each at most."""
_PEOPLES: Final = (
    ("Record: a finding", "found uncovered mold rot asbestos"),
    ("Record: the way on", "found"),
    ("Record: walk-through", "walkthrough"),
    ("Record: small visit", "appointment"),
    ("Backup", "save copy"),
)
"""What people also call a command, by how its name begins."""
_MOVES: Final = ("walk", "leaf", "far", "go", "light", "new")
"""Actions that are no commands: the hand moves, or the command stands here under a fuller name."""
_OF_ALL: Final = ("plan", "plan")
"""The key that plans the weeks, and its word where it does: the command has a fuller name."""


class Commands(SystemCommandsProvider):
    """Commands are found by their names, and behind those by the words that say what they do."""

    async def search(self, query: str) -> Hits:
        """Yield what fits what is typed."""
        matcher, words = self.matcher(query), _plain(query).split()
        app: CrewApp = self.app  # type: ignore[assignment]
        here = [(one, "") for one in app.get_system_commands(self.screen)]
        for (name, told, callback, *_), also in (*here, *elsewhere(app, self.screen)):
            fits = matcher.match(name)
            if words and all(word in _plain(name) for word in words):
                yield Hit(max(fits, _BY_NAME * len(query)), matcher.highlight(name), callback, help=told)
            elif words and all(word in _plain(f"{name} {also} {_also(name)}") for word in words):
                yield Hit(_BY_WORDS * len(query), name, callback, help=told)
            elif fits > 0:
                yield Hit(fits, matcher.highlight(name), callback, help=told)
            elif words and all(word in _plain(told) for word in words):
                yield Hit(_BY_HELP, name, callback, help=told)


def _plain(text: str) -> str:
    """Return text as it is compared: hyphens and blanks are the same."""
    return text.casefold().replace("-", " ")


def _also(name: str) -> str:
    """Return what people also call a command."""
    return " ".join(words for begins, words in _PEOPLES if name.startswith(begins))


def commands_of(app: CrewApp, screen: Screen[object]) -> Iterator[SystemCommand]:
    """Yield the commands of the screen or dialog in front; what is recorded is about what is selected."""
    if not app.no_shop:  # until there is one, nothing is to be seen or planned anywhere
        yield from _of_a_shop(app)
    yield from _keys(app, screen)
    if not screen.is_modal and app.front is not None:
        yield from _forms(app)
        yield from text_commands(app, app.front)
        yield from spreadsheet_commands(app)
    yield SystemCommand(
        "Palette: lamp", "light on dark, at the kitchen table; the dark theme", partial(app.wear, LAMP.name)
    )
    yield SystemCommand(
        "Palette: daylight", "dark on light, outdoors; the light theme", partial(app.wear, DAYLIGHT.name)
    )
    if app.slow:
        yield SystemCommand("Slow link: off", "paint as often as anything changes", partial(app.spare, False))
    else:
        yield SystemCommand("Slow link: on", "nothing moves by itself, little is painted", partial(app.spare, True))


def _of_a_shop(app: CrewApp) -> Iterator[SystemCommand]:
    """Yield the ways to its screens and forms, and what plans its weeks."""
    for mode, name in PLACES:
        yield SystemCommand(f"Go to {name[2:]}", f"key {name[0]}", partial(app.action_go, mode))
    if app.planning is not None:
        yield SystemCommand("Stop", "keeps the best found so far", app.stop_planning)
    else:
        yield SystemCommand("Plan the weeks", "all crews; keeps pins and work begun", app.plan)
    if app.front is not None:
        yield SystemCommand("New job", "a form: house, rooms, floor, order, days", app.new_job)
        yield SystemCommand(
            "Shop and crews", "a form: name, time zone, units, hours, people, cards, holidays", app.change_shop
        )


def _keys(app: CrewApp, screen: Screen[object]) -> Iterator[SystemCommand]:
    """Yield what the keys do here, also those the bottom line has no room for."""
    seen: set[str] = set()
    for active in screen.active_bindings.values():
        binding = active.binding
        kind = binding.action.partition("(")[0]
        if isinstance(active.node, Input | TextArea):
            continue  # how the cursor moves in a line is no command
        if not active.enabled or binding.action in seen or kind in _MOVES or binding.key not in MEANINGS:
            continue
        if (kind, binding.description) == _OF_ALL or (kind == "step" and not binding.show):
            continue
        seen.add(binding.action)
        key = binding.key
        meaning = MEANINGS[key][1]
        title = f"{binding.description[:1].upper()}{binding.description[1:]}"
        if kind not in TOLD_BY_ITSELF:
            begins = meaning.casefold().startswith(title.casefold())
            title = upper(meaning) if begins else f"{title}: {meaning}"
        yield SystemCommand(title, f"key {app.get_key_display(binding)}", partial(app.press, key))


def _forms(app: CrewApp) -> Iterator[SystemCommand]:
    """Yield the forms that record something about what is selected, and what is written to files."""
    from crewjobs.screens.calendars import ask_calendar
    from crewjobs.screens.printing import PAGES, write_on, write_page_on, write_week_on
    from crewjobs.screens.record.menu import forms_about

    screen = app.front
    if screen is None or app.office is None:
        return
    for words, opened in forms_about(screen, screen.about()):
        yield SystemCommand(f"Record: {words[:1].lower()}{words[1:]}", "a form", opened)
    yield SystemCommand("Day plans of today", "every crew's page, PDF and text", partial(write_on, screen, 0))
    yield SystemCommand("Day plans of tomorrow", "every crew's page, PDF and text", partial(write_on, screen, 1))
    if screen.PLACE != "week":  # there D writes the week that is shown
        yield SystemCommand("Week sheet of this week", "for the wall", partial(write_week_on, screen))
    if (job := screen.about().job) is not None:
        for kind, words in PAGES:
            yield SystemCommand(f"{words}, job {job}", "PDF, text and HTML", partial(write_page_on, screen, kind, job))
    yield SystemCommand("Calendar", "a crew's or a job's, as a file for any calendar", partial(ask_calendar, screen))
