"""Databases for the storage's tests."""

from __future__ import annotations

import pytest

from crewjobs.storage import open_database


@pytest.fixture
def database(tmp_path):
    """Return a new, empty database."""
    return open_database(tmp_path / "shop.sqlite3")
