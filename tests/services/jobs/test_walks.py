"""Walk-throughs with the customer."""

from __future__ import annotations

import hashlib

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.waits import WaitState


def walked_before(shop, **more):
    return shop.office.walk_before(4, "Teo Halloran", color="gray", direction="along the den", lot="0417", **more)


def test_the_walk_before_ticks_its_task_once(shop):
    """The first walk ticks the task at its own moment; a second one is kept and ticks nothing again."""
    number = shop.number_of("walk-through-before")
    walked_before(shop, at="6:00")
    first = shop.record().task(number)
    assert first.done_at is not None
    done = walked_before(shop)
    assert shop.record().task(number) == first
    assert len(shop.record().walks) == 2
    assert "ticked" not in done.sentence


def test_the_walk_after_is_held_like_any_tick(shop):
    """Work is open before it: it needs a reason, which is kept with what was seen; refused it leaves nothing."""
    with pytest.raises(OnHold):
        shop.office.walk_after(4, "Teo Halloran")
    assert shop.record().walks == ()
    shop.office.walk_after(4, "Teo Halloran", because="the customer travels tomorrow")
    assert shop.record().passed[-1].because == "the customer travels tomorrow"


def test_a_photo_is_kept_with_the_hash_of_its_bytes(shop, tmp_path):
    """Path as given, SHA-256 as hashlib reckons it; other bytes and a lost file are said when asked, and only then."""
    photo = tmp_path / "door.jpg"
    photo.write_bytes(b"scratch" * 9000)
    walked_before(shop, damage=[("hall: scratch at the door", str(photo))])
    (seen,) = shop.record().walks[0].damage
    assert (seen.place, seen.what, seen.photo) == ("hall", "scratch at the door", str(photo))
    assert seen.sha256 == hashlib.sha256(b"scratch" * 9000).hexdigest()
    assert "the bytes recorded" in shop.office.check_photos(4)[0]
    photo.write_bytes(b"other")
    assert "OTHER bytes" in shop.office.check_photos(4)[0]
    photo.unlink()
    assert "no file that can be read" in shop.office.check_photos(4)[0]
    assert shop.office.job(4).photos == ()


@pytest.mark.parametrize("photo", ["nowhere.jpg", ".", "x" * 5000, "a\x00b", "a\x1b[31m"])
def test_a_photo_that_cannot_be_read_is_refused(shop, photo):
    """No file, a folder, an impossible name: one sentence, and no walk is recorded."""
    with pytest.raises(Refused, match=r"^photo "):
        walked_before(shop, damage=[("hall: scratch", photo)])
    assert shop.record().walks == ()


def test_an_empty_file_is_no_photo(shop, tmp_path):
    """A file without a byte shows nothing: refused, and no walk is recorded; emptied later it has other bytes."""
    photo = tmp_path / "door.jpg"
    photo.touch()
    with pytest.raises(Refused, match=r"^photo .* is an empty file"):
        walked_before(shop, damage=[("hall: scratch", str(photo))])
    assert shop.record().walks == ()
    photo.write_bytes(b"scratch")
    walked_before(shop, damage=[("hall: scratch", str(photo))])
    photo.write_bytes(b"")
    assert "OTHER bytes" in shop.office.check_photos(4)[0]


def test_a_walk_with_only_a_name_says_what_was_not_agreed(shop):
    """The task is ticked, since the walk took place; color, direction and lot are asked for, and open on the page."""
    done = shop.office.walk_before(4, "Teo Halloran")
    assert shop.record().task(shop.number_of("walk-through-before")).done_at is not None
    assert "Not recorded: color, direction and lot; ask before the first row." in done.then
    (line,) = shop.office.job(4).walks
    assert "color not recorded; direction not recorded; lot not recorded" in line


def test_a_lot_other_than_the_one_shown_is_said(shop):
    """The lot the customer was shown against the lots that came: a hint on the page and on the waiting list."""
    walked_before(shop)
    assert not any("names lot 0417" in line for line in shop.office.job(4).walks)
    shop.office.arrived(4, "gray plank", 9, lot="0992")
    assert "lot 0992 came" in shop.office.job(4).walks[-1]
    assert [row.state for row in shop.office.waiting() if "0417" in row.what] == [WaitState.TO_DECIDE]


def test_the_lot_that_was_shown_is_no_hint(shop):
    """The very lot came: nothing to say, capitals aside."""
    shop.office.walk_before(4, "Teo Halloran", lot="a17")
    shop.office.arrived(4, "gray plank", 9, lot="A17")
    assert not [row for row in shop.office.waiting() if "a17" in row.what]


def test_a_later_walk_clears_the_punch_list(shop):
    """Open is what the last walk after the work names; a walk without items leaves none."""
    shop.office.walk_after(4, "Teo Halloran", punch=["caulk in bath", "door drags"], because="shown")
    assert any(line.startswith("Punch list: 2 open") for line in shop.office.job(4).walks)
    shop.clock.set("2026-03-03", "08:00")
    shop.office.walk_after(4, "Teo Halloran", punch=["door drags"])
    assert any(line.startswith("Punch list: 1 open: door drags") for line in shop.office.job(4).walks)
    shop.clock.set("2026-03-04", "08:00")
    shop.office.walk_after(4, "Teo Halloran")
    assert not any(line.startswith("Punch list") for line in shop.office.job(4).walks)


def test_what_was_not_recorded_is_said_so(shop):
    """Carton and care sheet are asked for until a walk says they were left; the page claims nothing beyond."""
    done = shop.office.walk_after(4, "Teo Halloran", because="shown", carton_left=True)
    assert [line for line in done.then if "Not recorded" in line] == [
        "Care sheet left? Not recorded: --care-sheet says so."
    ]
    (line,) = shop.office.job(4).walks
    assert "one full carton left; care sheet left: not recorded" in line
    assert "no punch list item recorded" in line
    assert "accept" not in line


def test_a_walk_names_who_walked_along(shop):
    """Nobody is no name."""
    with pytest.raises(Refused, match="names who"):
        shop.office.walk_before(4, "  ")


def test_a_walk_to_come_is_refused(shop):
    """Only what has happened is recorded."""
    with pytest.raises(Refused, match="has not come yet"):
        walked_before(shop, at="7:00")


def test_no_walk_on_a_job_called_off(shop):
    """A job called off is walked no more."""
    shop.office.edit(4, shop.record().version, {"state": "called off"})
    with pytest.raises(Refused, match="called off"):
        walked_before(shop)


def test_undo_takes_walk_and_tick_together(shop):
    """One change: taken back, neither the walk nor the tick stands."""
    before = shop.record()
    walked_before(shop)
    shop.office.undo()
    after = shop.record()
    assert (after.walks, after.tasks) == (before.walks, before.tasks)
