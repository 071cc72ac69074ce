"""Where the files that travel with the program are: beside the source, or inside the wheel."""

from __future__ import annotations

from pathlib import Path

import crewjobs
from crewjobs.domain.errors import Refused


def seed_folder() -> Path:
    """Return the folder of the demo shop's files.

    Raises:
        Refused: the program was installed without them.
    """
    package = Path(crewjobs.__file__).parent
    for folder in (package / "_bundled" / "seed_data", package.parent / "seed_data"):
        if folder.is_dir():
            return folder
    raise Refused("the demo's files are missing from this installation: install crewjobs again.")
