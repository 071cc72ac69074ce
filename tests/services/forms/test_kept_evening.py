"""A kept evening sheet by its jobs: what has no line on another sheet is kept behind it, and found again."""

from __future__ import annotations

from crewjobs.services.forms.kept import KeptForm
from crewjobs.services.forms.kept_evening import UNKNOWN, as_words, lines_of, with_rest

TEXTS = {"h1-start": "7:20", "h1-task-25": "done", "h2-stop": "", "h2-found-1": "wet", "h9-start": "8"}


def test_lines_are_read_by_their_jobs() -> None:
    """Empty ones are not; those of a house that is not known are told apart."""
    found = lines_of(KeptForm(form="evening", title="Evening", about={"houses": "4,11"}, texts=TEXTS))
    assert found == {"4": {"start": "7:20", "task-25": "done"}, "11": {"found-1": "wet"}, UNKNOWN: {"start": "8"}}
    assert as_words(found["4"]) == ["7:20", "task 25 done"]


def test_what_has_no_line_is_kept_behind_the_sheet() -> None:
    """On a sheet of one of the jobs and another one it is read again as it was, beside what is typed there."""
    rest = {"4": {"task-25": "done"}, "11": {"start": "7:00"}, UNKNOWN: {"start": "8"}}
    houses, texts = with_rest([7, 4], {"h1-start": "6:30", "h2-start": "7:20"}, rest)
    again = lines_of(KeptForm(form="evening", title="Evening", about={"houses": houses}, texts=texts))
    assert again == {**rest, "7": {"start": "6:30"}, "4": {"start": "7:20", "task-25": "done"}}
