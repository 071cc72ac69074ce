"""What is typed in an open form: kept whole, taken up by whoever comes next, not from a window that lives."""

from __future__ import annotations

import errno
import json
import os
import stat
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TextIO
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.services.forms.draft import draft_of
from crewjobs.services.forms.fields import JOB_PAGES, SHOP_PAGES
from crewjobs.services.forms.kept import KeptForm, pages_of, stood, take_up, typed_in
from crewjobs.services.forms.kept_files import KeptForms
from crewjobs.services.forms.making import new_job

ZONE = "America/Chicago"
FORM = KeptForm(
    form="evening", title="Evening", about={"crew": "Birch", "day": "2026-03-02"}, texts={"h1-start": "7:1"}
)


def as_another(forms: KeptForms) -> KeptForms:
    """The same files as a later process sees them."""
    code = (
        "import sys; from pathlib import Path; from crewjobs.services.forms.kept_files import KeptForms;"
        "print(KeptForms(Path(sys.argv[1]), 'a').left())"
    )
    return subprocess.run([sys.executable, "-c", code, str(forms._folder)], capture_output=True, text=True, check=True)


def test_a_window_that_lives_keeps_its_own(tmp_path: Path) -> None:
    """While the first lives, another process finds nothing; the file may be read by its owner alone."""
    forms = KeptForms(tmp_path / "forms", "a")
    forms.keep(lambda: FORM)
    (file,) = (tmp_path / "forms").glob("*.json")
    if os.name == "posix":
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert as_another(forms).stdout.strip() == "None"
    assert file.exists()
    forms.drop()
    assert list((tmp_path / "forms").iterdir()) == []


def test_a_full_disk_is_said_and_leaves_no_half_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What cannot be written is told in a sentence; what was kept before stays, and once there is room it is kept again."""
    forms = KeptForms(tmp_path / "forms", "a")
    assert forms.keep(lambda: FORM) == ""
    whole = forms._own.read_text(encoding="utf-8")

    def full(_: object, out: TextIO, **__: object) -> None:
        out.write("{")
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(json, "dump", full)
        assert forms.keep(lambda: FORM).startswith("What is typed here cannot be kept: the disk is full")
        assert list(forms._folder.glob("*.new")) == []
        assert forms._own.read_text(encoding="utf-8") == whole
    assert forms.keep(lambda: FORM) == ""


@pytest.mark.parametrize(
    ("zone", "since"), [("America/Denver", "Fri 27 Nov 19:35"), ("Asia/Kathmandu", "Sat 28 Nov 08:20")]
)
def test_from_when_it_is_kept_is_told_by_the_shops_clock(zone: str, since: str, tmp_path: Path) -> None:
    """However the machine's own is set, such as a server's; and where the program has another, by that one."""
    forms = KeptForms(tmp_path, "a")
    seconds = datetime(2026, 11, 28, 2, 35, tzinfo=UTC).timestamp()
    for moment, told in (("", since), ("2026-03-02T06:30:00-06:00", "Mon 2 Mar 06:30")):  # a demo has its own clock
        forms.keep(lambda moment=moment: replace(FORM, moment=moment))  # type: ignore[misc]
        os.utime(forms._own, (seconds, seconds))
        gone(forms)
        found = KeptForms(tmp_path, "a").left(ZoneInfo(zone))
        assert found is not None
        assert found.since == told
        forms = KeptForms(tmp_path, "a")


def test_what_a_dead_window_left_is_found_once(tmp_path: Path) -> None:
    """By a window of the same database, and by no other."""
    code = (
        "import os, sys; from pathlib import Path; from crewjobs.services.forms.kept import KeptForm;"
        "from crewjobs.services.forms.kept_files import KeptForms;"
        "KeptForms(Path(sys.argv[1]), 'a').keep(lambda: KeptForm(form='job', title='New job', at=3)); os._exit(9)"
    )
    subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=False)
    assert KeptForms(tmp_path, "b").left() is None
    living = KeptForms(tmp_path, "a")
    found = living.left()
    assert found is not None
    assert (found.form, found.title, found.at) == ("job", "New job", 3)
    assert KeptForms(tmp_path, "a").left() is None
    assert len(list(tmp_path.glob("*.json"))) == 1, "the link may drop again before it is open"
    living.is_open(found)
    assert KeptForms(tmp_path, "a").left() is None
    living.drop()
    assert list(tmp_path.iterdir()) == []


def gone(forms: KeptForms) -> None:
    """Its process ends: the system frees its locks."""
    for lock in (forms._lock, *forms._waiting.values()):
        if lock is not None:
            lock.release()


def test_what_waits_is_kept_beside_what_is_typed_meanwhile(tmp_path: Path) -> None:
    """Another form is opened, kept and closed: that takes nothing of it, nor is it taken by another window."""
    KeptForms(tmp_path, "a").put_back(FORM)
    forms = KeptForms(tmp_path, "a")
    waits = forms.left()
    assert waits == FORM
    forms.keep(lambda: KeptForm(form="job", title="New job"))
    assert len(list(tmp_path.glob("*.json"))) == 2
    assert KeptForms(tmp_path, "a").left() is None
    forms.drop()
    gone(forms)
    last = KeptForms(tmp_path, "a")
    found = last.left()
    assert found == FORM
    last.let_go(found)
    assert list(tmp_path.iterdir()) == []


def test_one_that_is_put_back_hides_no_other(tmp_path: Path) -> None:
    """It is as old as it was, is asked for once by a window, and the next older one comes after it."""
    for title, hour in (("older", 7), ("newer", 8)):
        writer = KeptForms(tmp_path, "a")
        writer.keep(lambda title=title: KeptForm(form="job", title=title))  # type: ignore[misc]
        seconds = datetime(2026, 3, 2, hour, tzinfo=UTC).timestamp()
        os.utime(writer._own, (seconds, seconds))
        waits = writer._own.with_stem(f"{writer._own.stem}-{hour}")
        writer._own.rename(waits)
        gone(writer)
    for _ in range(2):
        forms, found = KeptForms(tmp_path, "a"), []
        while (one := forms.left(UTC)) is not None:
            found.append((one.title, one.since))
            forms.put_back(one)
        assert found == [("newer", "Mon 2 Mar 08:00"), ("older", "Mon 2 Mar 07:00")]


def test_only_the_form_that_is_looked_for_is_taken(tmp_path: Path) -> None:
    """A form of a shop's records stays where there is no shop."""
    KeptForms(tmp_path, "a").put_back(FORM)
    forms = KeptForms(tmp_path, "a")
    assert forms.left(only="set-up") is None
    assert forms.left(only="evening") == FORM


def test_what_was_taken_up_and_not_opened_is_found_by_the_next(tmp_path: Path) -> None:
    """A window that is killed between the two loses nothing; what it puts back is there for the next, once."""
    form = KeptForm(form="evening", title="Evening", texts={"h1-start": "7:20"})
    KeptForms(tmp_path, "a").put_back(form)
    killed = KeptForms(tmp_path, "a")
    assert killed.left() == form
    gone(killed)
    again = KeptForms(tmp_path, "a")
    found = again.left()
    assert found == form
    again.put_back(found)
    assert again.left() is None
    last = KeptForms(tmp_path, "a")
    found = last.left()
    assert found == form
    last.let_go(found)
    assert KeptForms(tmp_path, "a").left() is None
    assert list(tmp_path.iterdir()) == []


def test_what_was_closed_meanwhile_is_not_kept(tmp_path: Path) -> None:
    """A writing that comes after the closing writes nothing."""
    forms = KeptForms(tmp_path, "a")
    forms.keep(lambda: None)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("text", ["", "[]", '{"form": 3}', '{"form": "job", "title": "x", "about": [], "stood": ""}'])
def test_a_file_of_another_make_is_let_go(text: str, tmp_path: Path) -> None:
    """It is no form, and no trouble."""
    forms = KeptForms(tmp_path, "a")
    forms._own.with_name(f"{forms._name}-1.json").write_text(text, encoding="utf-8")
    assert forms.left() is None


def test_a_folder_that_cannot_be_written_costs_nothing(tmp_path: Path) -> None:
    """A file lies where the folder should."""
    (tmp_path / "forms").write_text("", encoding="utf-8")
    forms = KeptForms(tmp_path / "forms", "a")
    forms.keep(lambda: FORM)
    forms.drop()
    assert forms.left() is None


@settings(max_examples=25)
@given(st.lists(st.tuples(st.sampled_from(["room", "order", "opening", "remove"]), st.text(max_size=12)), max_size=8))
def test_a_form_is_taken_up_as_it_was_typed(steps: list[tuple[str, str]]) -> None:
    """Pages added, removed and written come back, each with its lines, and stand for the same tables."""
    from datetime import date

    draft = new_job(ZONE)
    opened = list(draft.parts)
    for kind, text in steps:
        if kind == "remove":
            removable = [part for part in draft.parts if part.page.many]
            if removable:
                draft.remove(removable[-1])
        else:
            part = draft.add(kind)
            draft.write(part, {next(iter(part.texts)): text})
    kept = KeptForm(form="job", title="New job", stood=stood(draft), pages=pages_of(draft, opened))
    again = new_job(ZONE)
    take_up(again, kept)
    assert [(part.page.kind, part.texts) for part in again.parts] == [
        (part.page.kind, part.texts) for part in draft.parts
    ]
    today = date(2026, 3, 2)
    assert again.tables(today) == draft.tables(today)


def test_what_was_changed_meanwhile_is_not_taken_up() -> None:
    """Lines typed over another shop than the one that is stored would take back what somebody else changed."""
    draft = draft_of(SHOP_PAGES, {}, ZONE)
    draft.seen = "one"
    shop = draft.of("shop")[0]
    before, shop.texts["shop.name"] = shop.texts["shop.name"], "Elm Floors"
    kept = KeptForm(form="shop", title="Shop", stood=stood(draft), pages=pages_of(draft, draft.parts))
    draft.seen, shop.texts["shop.name"] = "another", before
    with pytest.raises(Refused, match="changed since the screens ended") as refused:
        take_up(draft, kept)
    assert refused.value.sentences[1:] == ("In its form stood, other than it is now: Shop, Shop's name: 'Elm Floors'.",)


def test_of_a_job_that_is_gone_what_was_typed_is_told() -> None:
    """The lines that are other than they were stored, not those that stood there; so it is after it was kept on disk."""
    raw = {"title": "Den", "customer": {"name": "Ann"}, "room": [{"name": "den", "length": "12'", "width": "10'"}]}
    draft = draft_of(JOB_PAGES, raw, ZONE)
    draft.seen = "stored"
    opened = list(draft.parts)
    (room,) = draft.of("room")
    draft.write(room, {"width": "10' 6", "length": ""})
    draft.add("order")
    draft.write(draft.of("order")[0], {"material": "oak", "cartons": "9"})
    kept = KeptForm(form="job", title="Job 4", stood=stood(draft), pages=pages_of(draft, opened))
    assert typed_in(kept) == [
        "Room den, Length: emptied",
        "Room den, Width: '10' 6'",
        "Order oak, Of: 'oak'",
        "Order oak, Cartons: '9'",
    ]
    again = draft_of(JOB_PAGES, raw | {"title": "Another"}, ZONE)
    again.seen = "another"
    with pytest.raises(Refused, match="changed since the screens ended") as refused:
        take_up(again, kept)
    assert "Title" not in refused.value.sentences[1]  # that is another's, and stood there
    assert "Room den, Length: emptied, Room den, Width: '10' 6'" in refused.value.sentences[1]


def test_what_was_emptied_is_kept_no_more(tmp_path: Path) -> None:
    """Nothing is typed any more: nothing of before comes back, and the window that is closed takes nothing of another one."""
    forms = KeptForms(tmp_path, "a")
    forms.keep(lambda: FORM)
    forms.keep(lambda: None, lambda: False)
    assert forms._own.exists()
    forms.keep(lambda: None)
    assert list(tmp_path.iterdir()) == []


def test_what_waits_is_named_and_stays_where_it_is(tmp_path: Path) -> None:
    """What no living window has open, also what this one put back; a living window's own is not told."""
    KeptForms(tmp_path, "a").put_back(FORM)
    forms = KeptForms(tmp_path, "a")
    assert forms.named() == [FORM]
    found = forms.left()
    assert found is not None
    assert forms.named() == []
    forms.put_back(found)
    assert forms.named() == [FORM]
    assert forms.left() is None
    forms.ask_again()
    assert forms.left() == FORM
