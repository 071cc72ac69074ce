"""What follows from a line of the shop's form, as long as nobody said otherwise: measures from the zone, a crew's hours from the shop's."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.services.forms.texts import Kind, Reading, value_of
from crewjobs.services.zones import measures_in, zones

if TYPE_CHECKING:
    from crewjobs.services.forms.draft import Draft, Part

HOURS: Final = "shop.hours"


def followed(draft: Draft, part: Part, before: Mapping[str, str]) -> None:
    """Let follow what was said on the shop's page; `before` are its lines as they were."""
    if part.page.kind != "shop":
        return
    last = draft.from_here
    zone, hours = part.texts["shop.zone"].strip(), part.texts[HOURS].strip()
    if not part.before and zone in zones():
        usual = measures_in(last.get("shop.zone", draft.zone))
        if (part.texts["shop.units"], part.texts["shop.paper"]) == usual:
            part.texts["shop.units"], part.texts["shop.paper"] = measures_in(zone)
        last["shop.zone"] = zone
    if hours != before[HOURS].strip() and _readable(hours):
        for crew in draft.of("crew"):
            untouched = (last.get(HOURS, ""), crew.page.entry("hours").fresh)
            if not crew.before and crew.texts["hours"].strip() in untouched:
                crew.texts["hours"] = hours
        last[HOURS] = hours


def begun_with(draft: Draft, part: Part) -> None:
    """Begin a new crew's page with the shop's usual hours, where those were said."""
    for shop in draft.of("shop") if part.page.kind == "crew" else ():
        hours = shop.texts[HOURS].strip()
        if hours != shop.page.entry(HOURS).fresh and _readable(hours):
            part.texts["hours"] = hours


def _readable(hours: str) -> bool:
    from crewjobs.files.hours import read_hours

    with suppress(Refused):
        found = value_of(Kind.HOURS, hours, Reading(today=date.min))
        return found is not None and bool(read_hours(found))
    return False
