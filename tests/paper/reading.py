"""Reading a printed page back, independently of how it was made."""

import io
import unicodedata
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import lru_cache
from typing import Any

import pdfplumber
import pypdfium2
from PIL import ImageOps

from crewjobs.paper.model import DayPlan

# Values that choose a layout and are not printed as such; a drawing cuts names that stand in full beside it, and the head of
# later pages is made of what the first says in full.
_NOT_PRINTED = {"paper", "group", "kind", "drawing", "drawn_rows", "running"}


OTHER_SCRIPTS = frozenset(
    {"DejaVuSansMono", "DejaVuSansMono-Bold", "NotoSansCJKtc-Regular"}
    | {f"IBMPlexSansArabic-{weight}" for weight in ("Regular", "SemiBold", "Bold")}
    | {"Assistant-ExtraLight"}  # one file of all weights, called by its first
)
"""Typefaces of names in other letters than Latin ones, by their names in a PDF."""


def planned_texts(value: object) -> Iterator[str]:
    """Every text somebody put into a plan."""
    if isinstance(value, str):
        if value:
            yield value
    elif isinstance(value, tuple):
        for part in value:
            yield from planned_texts(part)
    elif is_dataclass(value):
        for field in fields(value):
            if field.name not in _NOT_PRINTED:
                yield from planned_texts(getattr(value, field.name))


def squeezed(text: str) -> str:
    """Text without white space, break marks, what sets names apart, and the rules of the text page."""
    return "".join(char for char in text if not char.isspace() and char not in "\u200b\u2068\u2069|")


def pdf_text(pdf: bytes) -> str:
    """All characters in the order they were set, which keeps a cell together that wraps."""
    return "".join(char["text"] for page in pages(pdf) for char in page.chars)


def body_text(pdf: bytes) -> str:
    """The characters between the head and the foot of each page."""
    head, foot = 60, 47
    return "".join(
        char["text"]
        for page in pages(pdf)
        for char in page.chars
        if head < (char["top"] + char["bottom"]) / 2 < page.height - foot
    )


def missing_from(plan: DayPlan, text: str, *, cut: bool = False) -> list[str]:
    """Planned texts that a page does not show; with `cut` a long one may stand there in two parts, where a page ends."""
    found = squeezed(text)
    planned = {one: squeezed(unicodedata.normalize("NFC", one)) for one in planned_texts(plan)}
    return [one for one, wanted in planned.items() if wanted not in found and not (cut and _cut_once(wanted, found))]


def _cut_once(wanted: str, found: str) -> bool:
    """Whether a long text stands there in two parts, neither of them a mere word."""
    least = 10
    return any(wanted[:at] in found and wanted[at:] in found for at in range(least, len(wanted) - least))


@lru_cache(maxsize=24)
def pages(pdf: bytes) -> list[Any]:
    """pdfplumber's pages; kept for the next questions about the same file, which is read longer than it is printed."""
    document = pdfplumber.open(io.BytesIO(pdf))
    return list(document.pages)


def ink_box(pdf: bytes, page: int) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of everything printed, in points from the left and top edge."""
    scale = 2
    document = pypdfium2.PdfDocument(pdf)
    picture = document[page].render(scale=scale).to_pil().convert("L")
    box = ImageOps.invert(picture).point(lambda value: 255 if value > 40 else 0).getbbox()
    assert box is not None, "an empty page"
    left, top, right, bottom = (edge / scale for edge in box)
    return left, top, right, bottom


def overlapping_words(page: Any) -> list[tuple[str, str]]:
    """Pairs of words whose bodies lie on each other by more than a hair."""
    words = [
        (
            w["text"],
            w["x0"] + 0.6,
            w["top"] + 0.3 * (w["bottom"] - w["top"]),
            w["x1"] - 0.6,
            w["bottom"] - 0.25 * (w["bottom"] - w["top"]),
        )
        for w in page.extract_words(keep_blank_chars=False, use_text_flow=True, extra_attrs=["size"])
    ]
    words.sort(key=lambda word: word[2])
    pairs = []
    for place, (text, left, top, right, bottom) in enumerate(words):
        for other, o_left, o_top, o_right, o_bottom in words[place + 1 :]:
            if o_top >= bottom:
                break
            if left < o_right and o_left < right and top < o_bottom:
                pairs.append((text, other))
    return pairs


def embedded_fonts(pdf: bytes) -> dict[str, bool]:
    """Each font's name without its subset mark, and whether its file is inside the PDF."""
    found: dict[str, bool] = {}
    for page in pages(pdf):
        for reference in (page.page_obj.resources.get("Font") or {}).values():
            font = reference.resolve()
            descendant = font["DescendantFonts"]
            descendant = descendant if isinstance(descendant, list) else descendant.resolve()
            descriptor = descendant[0].resolve()["FontDescriptor"].resolve()
            name = descriptor["FontName"].name.split("+")[-1]
            found[name] = "FontFile2" in descriptor or "FontFile3" in descriptor
    return found
