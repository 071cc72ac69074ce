"""Two pages as pictures, drawn by one renderer (PDFium): they look as they did.

A picture is taken anew with ``pytest tests/paper/test_pixels.py --snapshot-update``; look at it before it is committed.
Other builds of the renderer smooth edges by a shade: what counts is how many points differ clearly.
"""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
from PIL import Image, ImageChops

from crewjobs.paper.document_pdf import document_pdf
from tests.paper import page_samples

PICTURES = Path(__file__).parent / "pictures"
SCALE = 0.9
CLEARLY, SHARE = 96, 0.002
"""Shades of 255 by which a point differs clearly, and which share of all may."""
PAGES = {"week": lambda: page_samples.week(), "notice": lambda: page_samples.notice("a4")}


@pytest.mark.parametrize("name", list(PAGES))
def test_a_page_looks_as_it_did(name: str, request: pytest.FixtureRequest) -> None:
    """The first page of the week for the wall, and of a notice on A4, point by point."""
    pdf = document_pdf(page_samples.document(PAGES[name]()))
    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=SCALE).to_pil().convert("L")
    path = PICTURES / f"{name}.png"
    if request.config.getoption("update_snapshots", default=False):
        PICTURES.mkdir(exist_ok=True)
        picture.quantize(16).save(path, optimize=True)
    known = Image.open(path).convert("L")
    assert picture.size == known.size
    differ = ImageChops.difference(picture, known).point(lambda shade: 255 if shade > CLEARLY else 0)
    assert differ.histogram()[255] <= SHARE * picture.width * picture.height
