"""Where in a form a reader's sentence belongs: which page it is about, and which of its fields mends it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from crewjobs.domain.house import opening_name
from crewjobs.domain.units import quoted
from crewjobs.services.forms.draft import Draft, Part, Said
from crewjobs.services.forms.plainly import begun

_MENDED_AT: Final[tuple[tuple[str, str, str], ...]] = (
    ("room", r"is there twice|would both be called", "name"),
    ("material", r"is there twice|would both be called", "name"),
    ("stairs", r"is there twice|would both be called|there is a room of that name", "name"),
    ("opening", r"is there twice|would both be called", "which"),
    ("crew", r"is there twice", "name"),
    ("crew", r"a crew is one to four|needs exactly one lead|has two people of one name", "workers"),
    ("crew", r"its sub names no area", "sub.area"),
    ("room", r"there is no material", "floor"),
    ("stairs", r"there is no material", "floor"),
    ("stairs", r"there is no room", "between.0"),
    ("order", r"there is no material", "material"),
    ("goods", r"there is no room", "place"),
    ("goods", r"is there twice", "goods"),
    ("work", r"there is no room", "where"),
    ("opening", r"wide, and the longest wall", "width"),
    ("order", r"due before it was ordered", "due"),
    ("goods", r"due before it was ordered", "due"),
    ("terms", r"before the wished start", "promised"),
    ("terms", r"^callback of job", "callback_of"),
    ("material", r"a carton weighs", "carton_lb"),
    ("material", r"planks in a carton cover", "planks"),
    ("material", r"a carton covers ", "carton"),
    (
        "material",
        r"width and length must be more than zero|: a plank .* (long: .* is the most|wider than long)|longest board is"
        r"|a board .* no shorter than it is wide",
        "plank",
    ),
    ("material", r"squares make no herringbone", "pattern"),
    ("opening", r"no floor runs on outside|a floor cannot run on", "transition"),
    ("opening", r"joins two different rooms", "between.1"),
    ("material", r"a joint is left between", "joint"),
    ("material", r"^relative humidity of the slab", "slab_rh"),
    ("material", r"^vapor emission of the slab", "slab_vapor"),
    ("material", r"^pH of the slab", "slab_ph"),
    ("room", r"the sections must add up|give each section its own name", "sections"),
    ("room", r"the rows start at wall", "start_wall"),
    ("room", r"most light comes from wall", "window_wall"),
    ("room", r"a flange, and no toilet", "flange"),
    ("stairs", r"it leads from one room to another", "between.1"),
    ("stairs", r": steps .* wide; they are ", "width"),
    ("stairs", r" flights; ", "flights"),
    ("stairs", r" open ends; ", "open_ends"),
)
"""Kind of page, what its sentence has in it, and the field. Sentences about several values at once name no key of their own."""
_OF_SHOP: Final = re.compile(r"shop: (\w+) ")
"""How a sentence about one value of the shop begins."""


_STAYS: Final = re.compile(r"'(.*)' stays in the job, under that name: ", re.DOTALL)
_CAME: Final = re.compile(
    r"(?:.*?: )?cartons of (.*) have come for job \d+; the file must keep that material\.", re.DOTALL
)
_TAKES: Final = re.compile(r"'(.*)' takes the name of another of this job: ", re.DOTALL)
_LINE_CAME: Final = re.compile(
    r"(?:.*?: )?(.*) came for job \d+; the file must keep that order line as it is named\.", re.DOTALL
)
"""What is refused where a form is kept, about pages by the names they had when it was opened."""


def refused_at(draft: Draft, sentence: str) -> Said | None:
    """Return what was refused when a form was to be kept as said of the page it is about; None where it is of no page left."""
    if found := _STAYS.match(sentence):
        return _renamed(draft, ("room", "stairs", "opening"), found[1], sentence)
    if found := _TAKES.match(sentence):
        return _renamed(draft, ("room", "stairs"), found[1], sentence)
    if found := _CAME.fullmatch(sentence):
        words = f"Cartons of {found[1]} have come: this floor stays in the job, under that name."
        return _renamed(draft, ("material",), found[1], words)
    if found := _LINE_CAME.fullmatch(sentence):
        return _renamed(draft, ("goods",), found[1], f"{begun(found[1])} came: this stays on order, under that name.")
    return None


def _renamed(draft: Draft, kinds: Sequence[str], name: str, words: str) -> Said | None:
    for place, part in enumerate(draft.parts):
        if part.page.kind in kinds and part.name != name and replace(part, texts=part.first).name == name:
            key = next(key for key in ("name", "between.0", "goods") if key in part.texts)
            return Said(part=place, key=key, words=words)
    return None


def page_label(part: Part) -> str:
    """Return what a reader calls a page at the beginning of a sentence about it."""
    place = part.texts.get("place", "") if part.page.kind == "goods" else ""
    name = f"{part.name} ({place})" if place else part.name
    if part.page.kind == "opening" and part.name:  # a reader names rooms there, and none of their parts
        rooms = [part.texts[end].partition(":")[0].strip() for end in ("between.0", "between.1")]
        name = opening_name(rooms, part.texts["which"].strip())
    return f"{'order of' if part.page.table == 'order' else part.page.table} {quoted(name)}"


def page_named(draft: Draft, words: str) -> int:
    """Return the page that a sentence begins with the name of, the last where several have it; -1 for none."""
    found = -1
    for place, part in enumerate(draft.parts):
        if (
            (part.page.table and part.name and words.startswith(page_label(part)))
            or ((shop := _OF_SHOP.match(words)) and f"shop.{shop[1]}" in part.texts)
            or (part.page.kind == "terms" and words.startswith(("promised for ", "callback of job")))
        ):
            found = place
    return found


def mended_at(part: Part, words: str) -> str:
    """Return the field of a page where what a sentence says is mended; empty where it is no one field's."""
    shop = _OF_SHOP.match(words)
    if shop and f"shop.{shop[1]}" in part.texts:
        return f"shop.{shop[1]}"
    key = next((key for kind, has, key in _MENDED_AT if part.page.kind == kind and re.search(has, words)), "")
    if part.page.kind in ("opening", "stairs") and (
        missing := re.search(r"there is no room '(.*?)' in this job", words)
    ):
        ends = [one for one in ("between.0", "between.1") if part.texts[one] == missing[1]]
        return ends[0] if ends else key or "between.0"
    return key
