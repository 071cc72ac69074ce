"""What each command prints with `--json`: the rows of the services by name, loaded only where a schema is asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from importlib import import_module
from pathlib import Path
from types import GenericAlias
from typing import Final

from crewjobs.cli.json_schema import Schema, schema_of

DONE: Final = "rows.Done"
"""What was done, the change it made, what follows from it."""
Answer = str | type | GenericAlias | Mapping[str, object]
"""A row by its module and name, a plain type, or an object by its fields."""

_ANSWERS: Final[Mapping[str, Sequence[Answer]]] = {
    "demo": ("demonstration.demo.DemoReport",),
    "import": ("spreadsheets.import_rows.ImportView", DONE),
    "dump": (
        {"job": int, "text": str},
        {"job": int, "file": Path},
        {"shop": str, "text": str},
        {"shop": str, "file": Path},
    ),
    "jobs": ({"jobs": ["rows.JobRow"]},),
    "job": ("rows.JobPage",),
    "proposal": ("rows.ProposalView", DONE),
    "week": ("rows.WeekView",),
    "why": ("answers.why_rows.WhyView", DONE),
    "what-if": ("answers.what_if_rows.WhatIfView",),
    "when": ("answers.what_if_rows.WhenView",),
    "take-off": ("laying.layout_rows.TakeOffView",),
    "heights": ("jobs.heights_rows.HeightsView",),
    "layout": ("laying.layout_rows.LayoutView", "laying.sheet_rows.SheetView"),
    "moves": ({"done": (DONE, None), "rooms": "moving.rooms_rows.RoomsView"},),
    "furniture": ({"job": int, "room": str, "furniture": str}, DONE),
    "waiting": ({"waiting": ["rows.WaitRow"]},),
    "hours": ("people.day_hours.DayHoursRow", DONE),
    "offers": ({"offers": ["rows.OfferRow"], "none": str},),
    "evening": ("rows.EveningSheet", DONE),
    "visit": ("rows.VisitProposal", DONE),
    "day-plan": ({"day": date, "files": [Path]},),
    "calendar": ("calendars.calendar_rows.CalendarsView",),
    **dict.fromkeys(
        ("week-sheet", "notice", "house-ready", "job-record", "shopping-list"),
        ("pages.printed.Page", {"files": [Path]}),
    ),
    "printed": ("pages.still_holds.PrintedView",),
    "export": ("spreadsheets.export_rows.ExportTable", {"what": str, "file": Path, "rows": int}),
    "odds": ("odds.odds_rows.OddsView",),
    "promise": ("odds.odds_rows.PromiseView",),
    "rates": ("rates.rates_rows.RatesView", "rates.rates_rows.JobPace", DONE),
    "templates": ({"templates": ["rows.TemplateRow"]},),
    "figure": ("figuring.figures.FigureAnswer", {"figures": ["figuring.figures.FigureRow"]}),
    "log": ({"changes": ["rows.ChangeRow"]},),
    "backup": ({"file": Path},),
    "restore": ("checkup.PutBack",),
    "check": ("checkup.CheckUp",),
    "completion": ({"shell": str, "script": str},),
    "schema": (dict[str, object],),
    **dict.fromkeys(
        (
            *("load", "plan", "accept", "pin", "unpin", "ready", "ask", "promised", "chased", "came", "arrived"),
            *("back-ordered", "reading", "check-lot", "lots", "away", "dry-run", "tick", "how-far", "found", "undo"),
            *("amend", "callback", "walk", "agreed", "money", "returned", "told"),
        ),
        (DONE,),
    ),
}


def answer_schema(command: str) -> Schema:
    """Return the schema of what a command prints with `--json`.

    Raises:
        KeyError: there is no such command, or nobody said what it prints.
    """
    kinds = [_kind(one) for one in _ANSWERS[command]]
    return schema_of(kinds, f"crewjobs {command} --json")


def _kind(answer: object) -> object:
    """Return an answer with every row's name replaced by the row's type."""
    if isinstance(answer, str):
        module, _, name = answer.rpartition(".")
        return getattr(import_module(f"crewjobs.services.{module}"), name)
    if isinstance(answer, Mapping):
        return {name: _kind(one) for name, one in answer.items()}
    if isinstance(answer, list):
        return tuple[_kind(answer[0]), ...]  # type: ignore[misc]
    if isinstance(answer, tuple):
        return _kind(answer[0]) | None  # type: ignore[operator]
    return answer
