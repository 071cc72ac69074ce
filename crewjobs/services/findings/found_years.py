"""What the years decide of a finding: old layers, trim painted before 1978, and how much of its paint is disturbed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import Finding
from crewjobs.domain.found import FoundKind
from crewjobs.domain.house import ASBESTOS_YEAR, LEAD_YEAR, PRESUMED, Covering
from crewjobs.domain.job import Job
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.tasks import Catalogue
from crewjobs.domain.units import UnitSystem
from crewjobs.engines.estimating.painted import BASE_IN, JAMB_FT2, SHOE_IN, coated_parts
from crewjobs.engines.safety.limits import PAINTED_FT2, over_painted_limit
from crewjobs.services.findings.found_kinds import HOUSE, area_said

PAINTED_TRIM: Final = "painted trim"
ASBESTOS: Final = "suspect asbestos"
FURTHER_LAYER: Final = "further layer"
_OTHER_LAYERS: Final = (
    *(str(covering) for covering in Covering if covering not in PRESUMED),
    *("plywood", "wood", "hardwood", "ceramic", "porcelain", "stone"),
)
_RESILIENT_WORDS: Final = ("vinyl", "sheet", "linoleum", "asphalt", "black", "mastic", "backing", "cutback")
_GLUED_WORDS: Final = ("glu", "stick", "stuck")
"""Said of carpet, what tells that it was glued down."""


def by_the_years(catalogue: Catalogue, kind: FoundKind, job: Job, year: int | None, words: str) -> FoundKind:
    """Return the kind that the rules make of a finding by its year: an old layer of unknown make is suspect asbestos.

    A layer counts as old up to and with 1980, and where nobody knows its year (29 CFR 1926.1101); a house before 1978 (40 CFR 745).

    Raises:
        Refused: a layer too new to be presumed, or trim of a house too new for the rule.
    """
    if kind.key == ASBESTOS and year is not None and year > ASBESTOS_YEAR:
        raise Refused(
            f"a layer of {year} is not presumed by the rule, which ends with {ASBESTOS_YEAR}: record it as a further layer; what is "
            "older under it, and a year nobody can prove, is recorded without a year."
        )
    if kind.key == PAINTED_TRIM and not job.site.lead_rule:
        raise Refused(
            f"the house of job {job.number} is of {job.site.year_built}: the rule for painted trim is for houses built before {LEAD_YEAR}."
        )
    if kind.key == FURTHER_LAYER and (year is None or year <= ASBESTOS_YEAR):
        said = words.casefold()
        glued = "carpet" in said and any(word in said for word in _GLUED_WORDS)
        other = any(word in said for word in _OTHER_LAYERS) and not any(word in said for word in _RESILIENT_WORDS)
        if glued or not other:
            return next(one for one in catalogue.findings if one.key == ASBESTOS)
    return kind


def trim_words(job: Job, finding: Finding, units: UnitSystem) -> Iterator[str]:
    """Yield how much coated surface base, shoe and jambs come to, room by room, and what the limit of the rule is."""
    for room in job.rooms:
        if finding.place not in (HOUSE, room.name):
            continue
        parts = coated_parts(job, room)
        area = finding.area_ft2 if finding.area_ft2 is not None and finding.place != HOUSE else sum(parts.values())
        of = (
            "as it was seen"
            if finding.area_ft2 is not None and finding.place != HOUSE
            else ", ".join(f"{name} {_tenths(part, units)}" for name, part in parts.items())
            + told_in(
                f"; base of {BASE_IN:g} in, shoe of {SHOE_IN:g} in and {JAMB_FT2:g} ft² a jamb taken for it: measure",
                units,
            )
        )
        over = "over" if over_painted_limit(area) else "not over"
        yield (
            f"Coated surface in {room.name}: about {_tenths(area, units)} ({of}), {over} the {area_said(PAINTED_FT2, units)} a room in 30 days of 40 CFR 745.83; "
            "the certified renovator decides."
        )


def _tenths(area_ft2: float, units: UnitSystem) -> str:
    return area_said(round(area_ft2, 1), units)
