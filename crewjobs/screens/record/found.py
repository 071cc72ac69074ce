"""What demolition uncovered, and the way on from it: two forms, since hours or days lie between them."""

from __future__ import annotations

from crewjobs.screens.ask_text import WHEN
from crewjobs.screens.face import OfficeFace
from crewjobs.screens.record import checks
from crewjobs.screens.record.about import About
from crewjobs.screens.record.at_lines import refused_at
from crewjobs.screens.record.form import Blank, Filled, Form, Note, Pick, Press, whole_of
from crewjobs.services.findings.found_form import LINES
from crewjobs.services.findings.found_kinds import kinds_to_pick, words_of_kinds
from crewjobs.services.rows import Done

_LINES = tuple(LINES.items())
_OF_A_WAY = (
    ("is no moment for it", "at"),
    ("^a sample of", "sampled"),
    ("is no way on|was taken|specialist is asked", "way"),
)
"""What a refused way is mended at, where its sentence names no line."""
_PARTICULARS = ("area", "words", "by", "at")
_PROOF = ("by", "because", "laboratory", "sampled", "sample", "at")


def finding(about: About) -> Form:
    """What was found, where, how much of it."""
    return Form(
        f"A finding, job {about.number}",
        (
            Pick("place", "Where", tuple((place, place) for place in about.picks.all), about.place),
            Pick("kind", "What it is", kinds_to_pick(), also=words_of_kinds()),
            Blank("area", LINES["area"], "12 ft2: how much", check=checks.area),
            Blank("year", "Laid in", "1962; empty: old", check=checks.year),
            Blank("words", LINES["what"], "in words"),
            Blank("photos", LINES["photo"], "their paths; several with ; between", check=checks.whatever),
            Blank("by", "Found by"),
            Blank("at", "When", WHEN, check=checks.moment),
            Note(
                "It holds what it must in that place. What to do at once, and the ways on, are said when it is recorded."
            ),
        ),
        (Press("save", "Record", save=lambda office, filled: _found(office, about, filled)),),
    )


def _found(office: OfficeFace, about: About, filled: Filled) -> Done:
    more = {key: filled[key] for key in _PARTICULARS if filled[key]}
    year = whole_of(filled["year"], "year: write the year a layer went in, such as 1962.") if filled["year"] else None
    photos = [path.strip() for path in filled["photos"].split(";") if path.strip()]
    with refused_at(_LINES):
        return office.found(about.number, filled["place"], filled["kind"], year=year, photos=photos, **more)


def way_on(about: About) -> Form:
    """Which way on was taken from what was found and is not decided, and on what it stands."""
    ways = tuple((one.words, str(index)) for index, one in enumerate(about.picks.ways))
    if not ways:
        return Form(
            f"The way on from a finding, job {about.number}",
            (Note("Nothing that was found here waits for a way on. A finding is recorded first."),),
            (),
        )
    return Form(
        f"The way on from a finding, job {about.number}",
        (
            Pick("way", "From what, and which way on", ways),
            Blank("by", LINES["by"], "the firm, the trade, the lead"),
            Blank("because", LINES["because"]),
            Blank("laboratory", LINES["laboratory"]),
            Blank("sampled", LINES["sampled"], "2026-03-04", check=checks.any_day),
            Blank("sample", LINES["sample"], "its number"),
            Blank("at", "When", WHEN, check=checks.moment),
            Note("A way says itself what it needs; nothing opens without it."),
        ),
        (Press("save", "Record", save=lambda office, filled: _way_on(office, about, filled)),),
    )


def _way_on(office: OfficeFace, about: About, filled: Filled) -> Done:
    chosen = about.picks.ways[int(filled["way"])]
    more = {key: filled[key] for key in _PROOF if filled[key]}
    with refused_at(_LINES, _OF_A_WAY):
        return office.way_on(about.number, chosen.place, chosen.kind, chosen.way, **more)
