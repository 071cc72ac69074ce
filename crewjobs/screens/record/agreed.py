"""What the customer was told, what was agreed on the way, and the three facts of money."""

from __future__ import annotations

from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.form import Blank, Box, Form, Note, Pick, Press

_DAY = "today, fri, 2026-03-06; empty: today"
_AMOUNT = "1,250.00, if noted"
_FACTS = (("deposit in", "deposit"), ("balance asked", "asked"), ("balance received", "received"))


def told(about: About) -> Form:
    """The finish day the customer was told."""
    return Form(
        f"Told the customer, job {about.number}",
        (
            Blank("day", "Finish told", "fri, 2026-03-06; empty: the plan's", check=checks.day),
            Note("What moves from this day on is listed as a call to make."),
        ),
        (Press("save", "Record", save=lambda office, filled: office.told(about.number, filled["day"])),),
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
    )


def change_order(about: About) -> Form:
    """More or other work than agreed, asked for or agreed."""
    return Form(
        f"Change order, job {about.number}",
        (
            Blank("what", "What", "in the same words when asked and agreed"),
            Blank("amount", "Amount", _AMOUNT, check=checks.amount),
            Blank("by", "Answered by", "who"),
            Blank("on", "Day", _DAY, check=checks.any_day),
        ),
        (
            Press(
                "no",
                "Declined",
                save=lambda o, f: o.declined(about.number, f["what"], on=f["on"], by=f["by"]),
            ),
            Press(
                "save",
                "Agreed",
                save=lambda o, f: o.agreed(about.number, f["what"], f["amount"], on=f["on"], by=f["by"]),
            ),
            Press(
                "asked",
                "Only asked",
                save=lambda o, f: o.agreed(
                    about.number, f["what"], f["amount"], on=f["on"], by=f["by"], only_asked=True
                ),
            ),
        ),
    )
