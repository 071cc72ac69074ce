"""What the forms of a finding and of its way on call what the command takes as options."""

from __future__ import annotations

import re
from types import MappingProxyType
from typing import Final

LINES: Final = MappingProxyType(
    {
        "by": "By whom",
        "because": "On what",
        "laboratory": "Laboratory",
        "sampled": "Sampled",
        "sample": "Sample",
        "area": "Seen",
        "what": "More",
        "photo": "Photos",
    }
)
"""By the name of an option, the line of a form."""
_OPTION: Final = re.compile(rf"(`?)--({'|'.join(LINES)})(?![\w-])\1")


def in_the_forms_words(sentence: str) -> str:
    """Return a sentence about a finding with the names of the form's lines in the place of a command's options."""
    return _OPTION.sub(lambda found: LINES[found[2]], sentence)
