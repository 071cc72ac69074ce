"""A slow link, such as a phone over SSH: nothing moves by itself, and what is painted is painted seldom.

On a slow link every cell that changes is a wait. Then nothing is animated, what tells progress is drawn once a second
instead of ten times, the cursor in a field does not blink, and several changes are sent as one.
"""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Final

SLOW_FRAMES: Final = "20"
"""Paintings a second at most over a slow link; 60 otherwise: common practice, no source."""
PROGRESS_SECONDS: Final = {False: 0.1, True: 1.0}
"""How often progress is drawn, by whether the link is slow."""


def is_slow(environ: Mapping[str, str], asked: bool | None = None) -> bool:
    """Return whether the link is to be spared.

    Args:
        environ: of the process. ``CREWJOBS_SLOW_LINK`` says it (1, or 0); where it says nothing, a session over SSH is
            taken for slow.
        asked: what the command line says, which outranks both.
    """
    if asked is not None:
        return asked
    said = environ.get("CREWJOBS_SLOW_LINK", "").strip().casefold()
    if said:
        return said not in ("0", "no", "off", "false")
    return bool(environ.get("SSH_CONNECTION") or environ.get("SSH_TTY"))


def spare(environ: MutableMapping[str, str]) -> None:
    """Have the terminal painted seldom; to be called before Textual is imported, which reads it once."""
    environ.setdefault("TEXTUAL_FPS", SLOW_FRAMES)
    environ.setdefault("TEXTUAL_ANIMATIONS", "none")
