"""What the typefaces can print."""

import io
import json
import struct

import pdfplumber
import pytest
import typst

from crewjobs.paper.fonts import _BUILT_IN, code_points, families, font_folder, font_folders, printable
from tests import thorough

TRADE_SIGNS = "½¼¾⅛⅜⅝⅞⅓⅔⁄′″×–²³°→←↑↓±≤≥·…‘’“”"


def test_trade_signs_are_in_every_weight() -> None:
    """Fractions, foot and inch marks, squares, degrees and arrows are in the page's own typeface."""
    for weight in ("Regular", "SemiBold", "Bold"):
        found = set(code_points((font_folder() / f"IBMPlexSansCondensed-{weight}.ttf").read_bytes()))
        assert [sign for sign in TRADE_SIGNS if ord(sign) not in found] == []


def test_square_and_triangle_are_drawn_for_a_reason() -> None:
    """The typeface has no ballot box and no filled triangle, so the page draws them as shapes."""
    found = set(code_points((font_folder() / "IBMPlexSansCondensed-Regular.ttf").read_bytes()))
    assert not found & {ord("☐"), ord("□"), ord("▼")}


@pytest.mark.parametrize("weight", [400, 600, 700])
def test_all_that_counts_as_printable_prints(weight: int) -> None:
    """No code point called printable gives the "missing" glyph on a real page.

    This is where the stated coverage of the typeface built into typst is held against typst itself.
    """
    built_in = [chr(code) for first, last in _BUILT_IN for code in range(first, last + 1)]
    every = [chr(code) for code in sorted(printable()) if code > 0x20 and chr(code) not in set(built_in)]
    first = next(place for place, char in enumerate(every) if char > "\u2e7f")
    own = [
        *every[:first],
        *every[first :: thorough.examples(20, 200)],
    ]  # one font carries all of the tens of thousands beyond
    source = (
        "#set page(width: 30cm, height: 40cm)\n#set text(font: json(bytes(sys.inputs.families)), "
        f"stretch: 75%, fallback: false, weight: {weight}, size: 8pt)\n"
        "#for char in json(bytes(sys.inputs.chars)) [#char ]"
    )
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[*font_folders()])
    inputs = {"chars": json.dumps(own + built_in), "families": json.dumps(families())}
    pdf, warnings = typst.compile_with_warnings(source.encode(), format="pdf", font_paths=fonts, sys_inputs=inputs)
    assert warnings == []
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        missing = [char for page in document.pages for char in page.chars if "(cid:0)" in char["text"]]
    assert missing == []


def _font(table: bytes) -> bytes:
    """A file with nothing but a character map."""
    head = struct.pack(">4sHHHH", b"\0\1\0\0", 1, 0, 0, 0)
    return head + struct.pack(">4sIII", b"cmap", 0, 28, len(table)) + table


def test_reads_format_12() -> None:
    """Groups of format 12 give their code points, without those that lead to no glyph."""
    groups = struct.pack(">IIIIII", 0x20, 0x22, 0, 0x1F600, 0x1F601, 7)
    table = struct.pack(">HHHHI", 0, 1, 3, 10, 12) + struct.pack(">HHIII", 12, 0, 16 + len(groups), 0, 2)
    assert list(code_points(_font(table + groups))) == [0x21, 0x22, 0x1F600, 0x1F601]


def test_reads_format_4_with_glyph_array() -> None:
    """Segments of format 4 that point into a glyph array skip code points with glyph 0."""
    sub = struct.pack(">HHHHHHH", 4, 0, 0, 4, 0, 0, 0)
    sub += struct.pack(">HH", 0x42, 0xFFFF) + b"\0\0" + struct.pack(">HH", 0x41, 0xFFFF)
    sub += struct.pack(">HH", 0, 1) + struct.pack(">HH", 4, 0) + struct.pack(">HH", 0, 9)
    table = struct.pack(">HHHHI", 0, 1, 3, 1, 12) + sub
    assert list(code_points(_font(table))) == [0x42]


def test_a_font_without_a_map_is_an_error() -> None:
    """A file without a character map is not read as an empty one."""
    with pytest.raises(ValueError, match="no cmap table"):
        list(code_points(struct.pack(">4sHHHH", b"\0\1\0\0", 0, 0, 0, 0)))
