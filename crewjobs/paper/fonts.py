"""What the page's typefaces can print, read from the font files themselves."""

import struct
from collections.abc import Iterable, Iterator
from functools import cache
from importlib import import_module
from pathlib import Path

# Scripts that DejaVu Sans Mono prints, in regular and bold alike: it is built into typst 0.15, which
# gives no path to it, so its coverage is stated here and checked against real pages by the tests.
_BUILT_IN = (
    (0xA1, 0xAC), (0xAE, 0x1C3), (0x300, 0x341),  # Latin and marks
    (0x384, 0x38A), (0x38C, 0x38C), (0x38E, 0x3A1), (0x3A3, 0x3CE),  # Greek
    (0x400, 0x45F), (0x490, 0x49B), (0x4A2, 0x4A5), (0x4AA, 0x4B3),  # Cyrillic
    (0x531, 0x556), (0x559, 0x55F), (0x561, 0x587),  # Armenian
    (0x10D0, 0x10FC),  # Georgian
    (0x2190, 0x2213), (0x2241, 0x2269), (0x2500, 0x262F),  # arrows, mathematics, shapes
)  # fmt: skip
_WEIGHTS = ("Regular", "SemiBold", "Bold")
# Shaped with their neighbors or wholly without a shape: printed right although no font lists them.
LOOKS_ALONE = "\ufe0e\ufe0f"
"""What says only how the character before it looks, as text or in color: nothing of it is to be seen on a page."""
_SHAPELESS = frozenset(f"\u200b\u200c\u200d{LOOKS_ALONE}")


_OWN, _ARABIC, _HEBREW = "IBM Plex Sans", "IBM Plex Sans Arabic", "Assistant"
_BUILT_IN_FAMILY, _CJK = "DejaVu Sans Mono", "Noto Sans CJK TC"


def font_folder() -> Path:
    """The folder of IBM Plex Sans Condensed. Raises ImportError if its package is not installed."""
    return Path(import_module("fontpkg_ibm_plex_sans_condensed").ROOT) / "files"


def arabic_folder() -> Path:
    """The folder of IBM Plex Sans Arabic. Raises ImportError if its package is not installed."""
    return Path(import_module("fontpkg_ibm_plex_sans_arabic").ROOT) / "files"


def hebrew_folder() -> Path:
    """The folder of Assistant, a typeface of Hebrew letters. Raises ImportError if its package is not installed."""
    return Path(import_module("fontpkg_assistant").ROOT) / "files"


@cache
def cjk_folder() -> Path | None:
    """The folder of a typeface for Chinese, Japanese and Korean, None without the extra `cjk`: it is larger than all the rest."""
    try:
        found = import_module("cvttf_NotoSansCJK_Regular").__file__
    except ImportError:
        return None
    return Path(found).parent if found else None


def font_folders() -> list[Path]:
    """The folders of all typefaces that are here. Raises ImportError if the package of one is not that every page needs."""
    cjk = cjk_folder()
    return [font_folder(), arabic_folder(), hebrew_folder(), *([cjk] if cjk else [])]


def families() -> tuple[str, ...]:
    """The typefaces by name, in the order in which a character is looked for."""
    return (_OWN, _ARABIC, _HEBREW, _BUILT_IN_FAMILY, *([_CJK] if cjk_folder() else []))


@cache
def printable() -> frozenset[int]:
    """Code points the pages can print in every weight they use."""
    plex = [font_folder() / f"IBMPlexSansCondensed-{weight}.ttf" for weight in _WEIGHTS]
    arabic = [arabic_folder() / f"IBMPlexSansArabic-{weight}.ttf" for weight in _WEIGHTS]
    hebrew = [hebrew_folder() / "Assistant[wght].ttf"]  # one file of all weights
    built_in = {code for first, last in _BUILT_IN for code in range(first, last + 1)}
    found = _in_all(plex) | _in_all(arabic) | _in_all(hebrew) | built_in | {ord(char) for char in _SHAPELESS}
    cjk = cjk_folder()
    return frozenset(found | _in_all([cjk / "NotoSansCJKtc-Regular.otf"]) if cjk else found)


def _in_all(fonts: Iterable[Path]) -> set[int]:
    return set.intersection(*(set(code_points(font.read_bytes())) for font in fonts))


def code_points(font: bytes) -> Iterator[int]:
    """Code points in a font's character map, formats 4 and 12, that lead to a real glyph.

    Layout of the tables: OpenType specification 1.9, "cmap - Character to Glyph Index Mapping Table".
    """
    start = _table(font, b"cmap")
    (count,) = struct.unpack_from(">H", font, start + 2)
    for record in range(count):
        (offset,) = struct.unpack_from(">I", font, start + 4 + 8 * record + 4)
        (kind,) = struct.unpack_from(">H", font, start + offset)
        if kind == 4:
            yield from _format_4(font, start + offset)
        elif kind == 12:
            yield from _format_12(font, start + offset)


def _table(font: bytes, name: bytes) -> int:
    (count,) = struct.unpack_from(">H", font, 4)
    for place in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sIII", font, 12 + 16 * place)
        if tag == name:
            return int(offset)
    raise ValueError(f"The font has no {name.decode()} table.")


def _format_4(font: bytes, at: int) -> Iterator[int]:
    segments = struct.unpack_from(">H", font, at + 6)[0] // 2
    ends, starts, deltas, ranges = (
        struct.unpack_from(f">{segments}H", font, at + place + 2 * segments * column)
        for column, place in enumerate((14, 16, 16, 16))
    )
    ranges_at = at + 16 + 6 * segments
    for segment, (first, last) in enumerate(zip(starts, ends, strict=True)):
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = code
            if ranges[segment]:
                place = ranges_at + 2 * segment + ranges[segment] + 2 * (code - first)
                (glyph,) = struct.unpack_from(">H", font, place)
            if glyph and (glyph + deltas[segment]) & 0xFFFF:
                yield code


def _format_12(font: bytes, at: int) -> Iterator[int]:
    (groups,) = struct.unpack_from(">I", font, at + 12)
    for group in range(groups):
        first, last, glyph = struct.unpack_from(">III", font, at + 16 + 12 * group)
        yield from range(first if glyph else first + 1, last + 1)
