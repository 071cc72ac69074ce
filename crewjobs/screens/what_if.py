"""What if: a list of what can be supposed, a small form for each, and the answer in a panel that scrolls.

Nothing here is kept; closing the answer leads back to the form as it was filled in.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from crewjobs.screens.answer import Answer
from crewjobs.screens.dialog import Dialog
from crewjobs.screens.drawing import Line, heading, paragraph
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.at_lines import NOBODY
from crewjobs.screens.record.form import Blank, Box, Filled, Form, Note, Part, Pick, Press
from crewjobs.screens.words import day, instant
from crewjobs.services.answers.what_if_rows import WhatIfAsked, WhatIfJob, WhatIfView, WhenAnswer, WhenView

if TYPE_CHECKING:
    from crewjobs.screens.base import CrewScreen
    from crewjobs.screens.record.about import About

NOTHING_KEPT = "Nothing is kept: the plan in force stays."
_DAYS = "fri, tomorrow, 2026-03-06"
_DAY = "Write the day, such as fri, tomorrow or 2026-03-06."
_NUMBER = "Write the job's number."
_MENDED = (
    NOBODY,
    ("^job .* is not among|^there is no job|: only one asked or quoted can be", "job"),
    ("there is no material|has more than one: say|say which material", "what"),
    ("has gone by|after the plan's end|is not a (day|moment)|back-ordered", "day"),
    (
        "(is promised|is due|has no date) .*already|before the wished start|is out on .* already|does not work on|is a holiday of",
        "day",
    ),
    ("are no hours of a day|on a quarter hour|anyhow: give hours|has no usual hours", "hours"),
    ("^there is a crew", "name"),
)
"""What is refused of something supposed has in its sentence, and the line that mends it."""
_WHEN = (
    ("is not an area and a floor", "floor"),
    ("the drive leaves", "drive"),
    ("^there is no crew", "crew"),
    ("is not known", "removes"),
    ("has gone by|, after the plan ends", "ready"),
)
"""The same of a floor that somebody asks for."""


def ask_what_if(screen: CrewScreen, about: About) -> None:
    """Ask what is to be supposed, then for its particulars."""
    from crewjobs.screens.choose import Choose

    if not screen.is_open():
        return
    forms: dict[str, tuple[str, Callable[[About], Form]]] = {
        "off": ("A crew or somebody off on a day", _off),
        "works": ("A crew works on a day more", _works),
        "crew": ("One crew more", _crew),
        "late": ("Material comes later or earlier", _late),
        "promise": ("A job promised for another day", _promise),
        "without": ("A job called off", _without),
        "book": ("A job asked or quoted is booked", _book),
        "when": ("A floor somebody asks for: when?", _when),
    }

    def opened(name: object) -> None:
        if isinstance(name, str) and name in forms:
            screen.app.push_screen(forms[name][1](about))

    screen.app.push_screen(Choose("What if", [(name, words) for name, (words, _) in forms.items()]), opened)


def _form(title: str, parts: tuple[Part, ...], asked: Callable[[Filled], WhatIfAsked]) -> Form:
    def show(office: OfficeFace, filled: Filled) -> Dialog[None]:
        view = office.what_if(asked(filled))
        return Answer("What if", lambda width: draw_what_if(view, width))

    return Form(title, (*parts, Note(NOTHING_KEPT)), (Press("try", "Try it", show=show),), mended=_MENDED)


def _job(filled: Filled) -> int:
    return int(filled["job"])  # looked at before


def _day_of(about: About) -> str:
    return about.day.isoformat() if about.day else ""


def _job_blank(about: About) -> Blank:
    return Blank("job", "Job", "its number", str(about.job) if about.job is not None else "", checks.number, _NUMBER)


def _off(about: About) -> Form:
    parts = (
        Blank("who", "Who", "Birch, or a name", about.crew, needed="Write a crew's name, or somebody's."),
        Blank("day", "Day", _DAYS, _day_of(about), checks.day, _DAY),
    )
    return _form("What if somebody is off", parts, lambda filled: WhatIfAsked(off=((filled["who"], filled["day"]),)))


def _works(about: About) -> Form:
    parts = (
        Pick("crew", "Crew", about.crew_options, about.crew),
        Blank("day", "Day", "sat, 2026-03-07", "", checks.day, _DAY),
        Blank("hours", "Hours", "8:00-12:00; empty: the usual ones"),
    )
    return _form(
        "What if a crew works a day more",
        parts,
        lambda filled: WhatIfAsked(works=((filled["crew"], filled["day"], filled["hours"]),)),
    )


def _crew(about: About) -> Form:
    parts = (
        Blank("name", "Name", "such as Elm", needed="Write what it is called, such as Elm."),
        Pick("like", "Like which crew", about.crew_options, about.crew),
        Blank("day", "From", "empty: at once", check=checks.day),
    )
    return _form(
        "What if there were a crew more",
        parts,
        lambda filled: WhatIfAsked(crews=((filled["name"], filled["like"], filled["day"]),)),
    )


def _late(about: About) -> Form:
    parts = (
        _job_blank(about),
        Blank("what", "Material", "or goods; empty where there is one"),
        Blank(
            "day", "Due", "fri, 'fri 10:00', none", needed="Write when, such as fri or fri 10:00; none: nobody knows."
        ),
    )
    return _form(
        "What if a truck comes another day",
        parts,
        lambda filled: WhatIfAsked(late=((_job(filled), filled["what"], filled["day"]),)),
    )


def _promise(about: About) -> Form:
    parts = (_job_blank(about), Blank("day", "Promised for", _DAYS, "", checks.day, _DAY))
    return _form(
        "What if a job were promised for", parts, lambda filled: WhatIfAsked(promises=((_job(filled), filled["day"]),))
    )


def _without(about: About) -> Form:
    return _form(
        "What if a job is called off", (_job_blank(about),), lambda filled: WhatIfAsked(without=(_job(filled),))
    )


def _book(_about: About) -> Form:
    parts = (Blank("job", "Job", "its number", "", checks.number, _NUMBER),)
    return _form("What if a job is booked", parts, lambda filled: WhatIfAsked(book=(_job(filled),)))


def _when(_about: About) -> Form:
    def show(office: OfficeFace, filled: Filled) -> Dialog[None]:
        view = office.when(
            filled["floor"],
            drive_min=filled.whole("drive", "Drive", empty=20),
            furnished=not filled.yes("empty"),
            removes=(filled["removes"],) if filled["removes"] else (),
            ready=filled["ready"],
            crew=filled["crew"],
        )
        return Answer("When", lambda width: draw_when(view, width))

    parts = (
        Blank("floor", "Floor", "400 ft2 click vinyl", needed="Write how much of what, such as 400 ft2 click vinyl."),
        Blank("removes", "Comes up", "carpet; empty: nothing"),
        Blank("ready", "There from", "thu; empty: tomorrow", check=checks.day),
        Blank("drive", "Drive, min", "20", check=checks.number),
        Blank("crew", "Crew", "its name; empty: any"),
        Box("empty", "The house is empty"),
        Note(NOTHING_KEPT),
    )
    return Form("When could we take", parts, (Press("try", "Try it", show=show),), mended=_WHEN)


def draw_what_if(view: WhatIfView, width: int) -> list[Line]:
    """The sentence, each job that changes without and with it, what moves soon."""
    room = width - 2
    lines = paragraph(view.sentence, room, "warn" if view.lost else "strong", " ")
    for words in view.unkept:
        lines += paragraph(words, room, "warn", " ! ")
    lines.append([])
    for row in view.jobs:
        lines += [heading(f"{row.job} {row.title}", width), *_job_lines(row, room), []]
    days = f"Crew days in all: {view.crew_days} without it, {view.crew_days_then} with it."
    lines += [*paragraph(view.soon, room, "", " "), *paragraph(days, room, "", " ")]
    for words in (view.note, view.at_first, NOTHING_KEPT, view.recording):
        lines += paragraph(words, room, "muted", " ") if words else []
    return lines


def _job_lines(row: WhatIfJob, room: int) -> list[Line]:
    now, then = (instant(one) if one else "no finish" for one in (row.finish, row.then))
    lines = paragraph(f"without it ends {now}", room, "", " ")
    lines += paragraph(f"with it {then}", room, "strong", " ")
    if row.promised_then or row.promised:
        stands = [_stand(holds) for holds in (row.holds, row.holds_then) if holds is not None]
        promised = " → ".join(dict.fromkeys(day(one) for one in (row.promised, row.promised_then) if one))
        broken = row.holds_then is False
        lines += paragraph(f"promised {promised}: {' → '.join(stands)}", room, "warn" if broken else "", " ")
    lines += paragraph(f"crew days {row.crew_days} → {row.crew_days_then}", room, "muted", " ")
    for why in row.why:
        lines += paragraph(f"not planned: {why}", room, "warn", " ")
    return lines


def _stand(holds: bool) -> str:
    return "holds" if holds else "broken"


def draw_when(view: WhenView, width: int) -> list[Line]:
    """As soon as it can be, without moving anything, and what was taken for true."""
    room = width - 2
    lines = [heading("As soon as it can be", width), *_answer_lines(view.soonest, room), []]
    if view.undisturbed is None:
        lines += paragraph(f"Without moving anything planned it fits nowhere: {view.why_not}.", room, "warn", " ")
    elif view.undisturbed != view.soonest:
        lines += [heading("Without moving anything", width), *_answer_lines(view.undisturbed, room, others=False)]
    lines += [[], heading("Taken for true", width)]
    for words in view.assumed:
        lines += paragraph(words, room, "muted", " · ")
    return [*lines, *paragraph(NOTHING_KEPT, room, "muted", " ")]


def _answer_lines(answer: WhenAnswer, room: int, *, others: bool = True) -> list[Line]:
    lines = paragraph(answer.sentence, room, "strong", " ")
    for visit in answer.visits:
        lines += paragraph(visit.words, room, "", " · ")
    lines += paragraph(answer.because, room, "", " ")
    return [*lines, *(paragraph(answer.others, room, "accent", " ") if others else [])]
