"""Pages as PDF: the day plan's values to finished strings here, layout in assets/day_plan.typ after assets/look.typ."""

import json
from calendar import timegm
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.domain.errors import Refused
from crewjobs.paper import wording as say
from crewjobs.paper.directions import unmarked
from crewjobs.paper.fonts import families, font_folders, printable
from crewjobs.paper.model import DayPlan
from crewjobs.paper.payload import Json, payload

if TYPE_CHECKING:
    import typst

_ASSETS = Path(__file__).parent / "assets"
_NO_PDF = (
    "A PDF needs the packages typst, fontpkg-ibm-plex-sans-condensed, fontpkg-ibm-plex-sans-arabic and fontpkg-assistant, and "
    "{missing} is not installed here: print the text page instead, it has the same content."
)


def day_plan_pdf(plan: DayPlan) -> bytes:
    """The day plan as a PDF, Letter or A4 as `plan.paper` says; equal plans give equal bytes.

    Characters no typeface here can print are drawn as empty boxes, and the page says so: see
    `missing_characters`. Raises Refused where the packages for PDF are not installed.
    """
    return typeset("day_plan", lambda: payload(plan, missing_characters(plan)), plan.sheet.printed_at)


def typeset(template: str, data: Callable[[], Mapping[str, Json]], printed_at: datetime) -> bytes:
    """A page as PDF, by the name of its template; `data` is made once it is known that the packages are there.

    Raises Refused where they are not.
    """
    try:
        import typst

        fonts = _fonts()
    except ImportError as error:
        raise Refused(_NO_PDF.format(missing=error.name or "one of them")) from error
    made, warnings = typst.compile_with_warnings(
        (_ASSETS / "look.typ").read_bytes() + (_ASSETS / f"{template}.typ").read_bytes(),
        format="pdf",
        font_paths=fonts,
        sys_inputs={"plan": json.dumps(data()), "families": json.dumps(families())},
        # The sheet's own stamp, not the computer's clock: a second print of the same sheet is the same file.
        timestamp=timegm(printed_at.timetuple()),
    )
    if warnings:
        # A wrong font name falls back with only a warning: the page would be another page.
        raise RuntimeError(f"The page template is not clean: {'; '.join(str(warning) for warning in warnings)}")
    if not isinstance(made, bytes):
        raise RuntimeError("Typst gave no single PDF.")
    return made


def missing_characters(plan: object) -> tuple[str, ...]:
    """Characters of a page's values that the pages' typefaces cannot print, each once, in order of code.

    Raises Refused where the typeface's package is not installed.
    """
    try:
        known = printable()
    except ImportError as error:
        raise Refused(_NO_PDF.format(missing=error.name or "one of them")) from error
    used = {char for text in _texts(plan) for char in say.visible(unmarked(text))}
    return tuple(sorted(char for char in used if ord(char) not in known))


def _texts(value: object) -> Iterator[str]:
    """Every text in a page's values, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for part in value:
            yield from _texts(part)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))


@cache
def _fonts() -> "typst.Fonts":
    """The pages' typefaces and those built into typst, nothing of the computer's: pages agree wherever the same packages are."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[*font_folders()])
