"""What the customer was told, what was agreed on the way, and the three facts of money."""

from __future__ import annotations

from dataclasses import replace

from crewjobs.domain.errors import Refused
from crewjobs.domain.wording import listed
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import in_lines, refused_at
from crewjobs.screens.record.form import Blank, Box, Filled, Form, Note, Pick, Press
from crewjobs.services.rows import Done

_DAY = "today, fri, 2026-03-06; empty: today"
_AMOUNT = "1,250.00, if noted"
_LINES = (("by", "Answered by"), ("on", "Day"))
_MENDED = (
    ("say the amount", "amount"),
    ("cannot be (agreed|declined) before|has not come yet", "on"),
    ("says what it is for|there is no change order|already|: say which", "what"),
)
"""What a refused change order has in its sentence, and the line that mends it."""
_BY_WHOM = (
    "by: Who answered is named, so there is an answer: press Agreed or Declined. Was it only asked, this is empty."
)
_WHAT = "Write what it is for, in a few words."
_FACTS = (("deposit in", "deposit"), ("balance asked", "asked"), ("balance received", "received"))


def told(about: About) -> Form:
    """The finish day the customer was told; of a job called off, that everybody was told of that."""
    if about.off:
        return Form(
            f"Everybody told, job {about.number}",
            (
                Note(f"It records everybody as told: {listed(list(about.off), most=9)}."),
                Note("Who was not told yet is called first: after it none of them is a call to make."),
            ),
            (Press("save", "All were told", save=lambda office, _: office.told(about.number, off=True)),),
        )
    return Form(
        f"Told the customer, job {about.number}",
        (
            Blank("day", "Finish told", "fri, 2026-03-06; empty: the plan's", check=checks.day),
            Note("What moves from this day on is listed as a call to make."),
        ),
        (Press("save", "Record", save=lambda office, filled: office.told(about.number, filled["day"], off=False)),),
        mended=(("has gone by|is not ticked", "day"),),
    )


def money(about: About) -> Form:
    """One of the three facts."""
    return Form(
        f"Money, job {about.number}",
        (
            Pick("fact", "What", _FACTS),
            Blank("amount", "Amount", _AMOUNT, check=checks.amount),
            Blank("on", "Day", _DAY, check=checks.any_day),
            Box("again", "A further part of what is recorded already"),
        ),
        (
            Press(
                "save",
                "Record",
                save=lambda o, f: o.money(about.number, f["fact"], f["amount"], on=f["on"], again=f.yes("again")),
            ),
        ),
        mended=(("is less than nothing", "amount"), ("has not come yet", "on")),
    )


def change_order(about: About) -> Form:
    """More or other work than agreed, asked for or agreed."""
    return Form(
        f"Change order, job {about.number}",
        (
            Blank("what", "What", "in the same words when asked and agreed", needed=_WHAT),
            Blank("amount", "Amount", _AMOUNT, check=checks.amount),
            Blank("by", "Answered by", "who"),
            Blank("on", "Day", _DAY, check=checks.any_day),
        ),
        (
            # What Enter comes to first answers for nobody, and none is what ^s keeps: the customer's answer is chosen.
            Press("asked", "Only asked", save=lambda o, f: _answered(o, about, f, "asked")),
            Press("agreed", "Agreed", save=lambda o, f: _answered(o, about, f, "agreed")),
            Press("no", "Declined", save=lambda o, f: _answered(o, about, f, "no")),
        ),
    )


def _answered(office: OfficeFace, about: About, filled: Filled, answer: str) -> Done:
    what, on, by = filled["what"], filled["on"], filled["by"]
    if answer == "asked" and by:
        raise Refused(_BY_WHOM)
    with refused_at(_LINES, _MENDED):
        if answer == "no":
            done = office.declined(about.number, what, on=on, by=by)
        elif answer == "asked":
            done = office.agreed(about.number, what, filled["amount"], on=on, only_asked=True)
        else:
            done = office.agreed(about.number, what, filled["amount"], on=on, by=by)
    return replace(done, then=tuple(in_lines(sentence, _LINES) for sentence in done.then))
