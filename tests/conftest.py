"""What every test begins with."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from crewjobs.domain.wording import read_in


@pytest.fixture(autouse=True)
def no_year_said() -> Iterator[None]:
    """The year in which another test read its words is left behind."""
    read_in(None)
    yield
    read_in(None)
