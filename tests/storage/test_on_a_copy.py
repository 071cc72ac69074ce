"""What is tried in a copy of a database: all of it is there, and nothing of it is here afterwards."""

from __future__ import annotations

from pathlib import Path

import pytest

from crewjobs.domain.errors import Refused
from tests.builders import record, task
from tests.storage.actions import add, change, job, tick


def test_what_is_written_in_a_copy_is_nowhere_afterwards(database):
    """A tick in the copy: there it stands, here it never was, and the copy is gone."""
    add(database, record([task(1), task(2)]))
    before = database.path.read_bytes()
    with database.on_a_copy() as copy:
        path = copy.path
        assert job(copy) == job(database)
        change(copy, tick(1))
        assert not job(copy).task(1).open
    assert job(database).task(1).open
    assert database.path.read_bytes() == before
    assert not path.exists()
    assert path.parent != database.path.parent


def test_where_no_copy_can_be_made_one_sentence_says_so(database, monkeypatch):
    """No folder for what is only tried: refused, and no traceback."""

    def full(**_asked: object) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("crewjobs.storage.database.TemporaryDirectory", full)
    with pytest.raises(Refused, match="there is no folder to try it in: No space left on device"), database.on_a_copy():
        pass
