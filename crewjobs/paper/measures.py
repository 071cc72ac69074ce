"""Where a measure begins and ends in a line: no page breaks it, its first part alone would be read as another measure."""

from __future__ import annotations

import re
from typing import Final

NO_BREAK: Final = "\u00a0"
"""NO-BREAK SPACE."""
_FRACTION: Final = "¼½¾⅓⅔⅛⅜⅝⅞"
_UNIT: Final = r"(?:ft[²2]?|in|yd|lb|oz|h|min|mm|cm|m[²2]?|kg|°[CF]|%)(?![\w²])"
_WITHIN: Final = re.compile(
    rf"(?<=[0-9]['\u2032]) (?=[0-9{_FRACTION}])"
    rf"|(?<=[0-9]) (?=[{_FRACTION}]|[0-9]{{1,2}}/[0-9]{{1,2}}(?![0-9]))"
    rf"|(?<=[0-9{_FRACTION}]) (?={_UNIT})"
    r"|(?<=[0-9] h) (?=[0-9]{1,2} min(?!\w))"
)
"""The spaces within a measure: 1' 3 3/8" has two, 4 h 30 min three, 52 ft² one."""


def kept_whole(text: str) -> str:
    """Return a line in which feet, inches, fraction and unit of a measure are parted by spaces that do not break."""
    return _WITHIN.sub(NO_BREAK, text)
