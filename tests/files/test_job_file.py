"""A job file: short to write, read with good defaults, written so that it reads back."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given, settings

from crewjobs.domain.goods import Goods, GoodsLine
from crewjobs.domain.house import Covering, FixtureKind, Layer, Site
from crewjobs.domain.job import Job, JobState
from crewjobs.domain.material import Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.pattern import Pattern
from crewjobs.domain.units import INCH, MILLIMETRE
from crewjobs.domain.wall import Span
from crewjobs.domain.work import ExtraWork
from crewjobs.files.job_file import read_job, write_job
from tests import thorough
from tests.files.samples import JOB, SHORT, changed
from tests.files.strategies import jobs, without_entry_notes

CENTRAL = "America/Chicago"


@settings(max_examples=thorough.examples(30, 10))
@given(jobs)
def test_a_written_job_reads_back(job: Job) -> None:
    """Any job, to the last 1/4064 inch, is read back from its file as the very same, but for the private notes."""
    assert read_job(write_job(job), "job.toml") == without_entry_notes(job)


@settings(max_examples=thorough.examples(15, 5))
@given(jobs)
def test_writing_is_settled(job: Job) -> None:
    """Writing what was read gives the very same text."""
    text = write_job(job)
    assert write_job(read_job(text, "job.toml")) == text


def test_a_short_file_has_good_defaults() -> None:
    """Twenty lines make a job: number and title come later, waits and method by kind, the zone from the shop."""
    job = read_job(SHORT, "02.toml", CENTRAL)
    assert (job.number, job.title, job.state) == (0, "Kwame Ferrant", JobState.BOOKED)
    assert job.site == Site(address="3 Tannery Row, Marrow Bend", zone=CENTRAL)
    assert (job.materials[0].method, job.materials[0].acclimation_min) == (Method.GLUED, 48 * 60)
    assert job.rooms[0].layers == (Layer(covering=Covering.SHEET_VINYL),)
    assert job.rooms[0].has(FixtureKind.TOILET) == 1


def test_a_file_as_people_write_it() -> None:
    """Sizes, corners, sections, layers, fixtures, furniture, hours, orders and stages mean what they say."""
    job = read_job(JOB, "01.toml", CENTRAL)
    living, hall = job.rooms
    assert living.outline == Outline.rectangle(222 * INCH, round(158.5 * INCH))
    assert living.cuts == (("window half", 108 * INCH), ("door half", 114 * INCH))
    assert living.layers[1] == Layer(covering=Covering.SHEET_VINYL, year=1966)
    assert [(piece.name, piece.count, piece.stays) for piece in living.furniture] == [
        ("sofa", 1, False),
        ("dining chair", 6, False),
        ("piano", 1, True),
    ]
    assert hall.outline.area_ft2 == 68
    assert job.stages == ((("living", "window half"),), (("living", "door half"), ("hall", "")))
    assert job.orders[0].due == datetime(2026, 3, 6, 20, tzinfo=UTC)
    assert job.site.hours is not None
    assert job.site.hours.on(date(2026, 3, 7)) == ()
    assert job.site.elevator is not None
    assert job.site.elevator.on(date(2026, 3, 6)) == (Span(start=9 * 60, end=11 * 60),)
    assert job.site.toilet_meanwhile == "rented toilet in the garage"
    assert job.goods == (
        GoodsLine(
            goods=Goods.STAIR_NOSE,
            count=14,
            place="main stairs",
            supplier="mill order",
            ordered=date(2026, 2, 20),
            due=datetime(2026, 3, 5, 16, tzinfo=UTC),
            special=True,
        ),
    )
    assert not job.orders[0].special


def test_millimetres_read_back() -> None:
    """A room measured in metric is written in millimetres and read back exactly."""
    text = changed(changed(SHORT, '"8\'"', '"3.052 m"'), '"5\' 1"', '"381 cm"')
    job = read_job(text, "02.toml", CENTRAL)
    assert job.rooms[0].outline == Outline.rectangle(3052 * MILLIMETRE, 3810 * MILLIMETRE)
    assert '"3052 mm"' in write_job(job)
    assert read_job(write_job(job), "02.toml") == job


def test_entry_notes_are_read_and_never_written() -> None:
    """Private notes of a file are kept with the site, may have lines, and are in no written file."""
    text = changed(JOB, "[[room]]", 'entry_notes = """gate code 4711\nring twice"""\n\n[[room]]')
    job = read_job(text, "01.toml", CENTRAL)
    assert job.site.entry_notes == "gate code 4711\nring twice"
    assert "4711" not in write_job(job)
    assert "entry_notes" not in write_job(job)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"click vinyl"', '"Click-Vinyl"'),
        ('"floor vent" = 2', "floor_vent = 2"),
        ('"floor vent" = 2', "register = 2"),
        ('layers = ["carpet", {', 'layers = [{ covering = "Carpet" }, {'),
        ('"7 in x 48 in"', '"7\\" × 4\'"'),
        ('"7 in x 48 in"', '"7 in by 48 in"'),
        ('"14 Mill Lane, Marrow Bend"', '"14 Mill Lane, Marrow Bend"\nzone = "America/Chicago"'),
        ('{ name = "door half" }', '{ name = "door half", length = "9\' 6" }'),
        ('"living: window half"', '{ room = "living", section = "window half" }'),
        ('[["0", "0"]', "[[0, 0]"),
        ('"2026-03-06 14:00"', "2026-03-06T14:00:00"),
        ('"2026-03-06 14:00"', "2026-03-06T20:00:00Z"),
        ("2026-02-20", '"2026-02-20"'),
        ('"stair nose"', '"Stair Nose"'),
        ('"stair nose"', '"nose"'),
        ('elevator = { mon-fri = "9-11" }', 'elevator = { mon-fri = "9:00 am - 11 am" }'),
        ('furniture = ["sofa",', 'furniture = [{ name = "sofa", count = 1 },'),
    ],
)
def test_two_spellings_of_one_thing(old: str, new: str) -> None:
    """Common spellings mean the same job."""
    assert read_job(changed(JOB, old, new), "01.toml", CENTRAL) == read_job(JOB, "01.toml", CENTRAL)


@pytest.mark.parametrize(
    "word",
    [
        "glued carpet",
        "carpet glued",
        "carpet glued down",
        "glued-down carpet",
        "glue-down carpet",
        "direct-glue carpet",
    ],
)
def test_glued_carpet_as_people_write_it(word: str) -> None:
    """Carpet that is glued down is a layer of its own, not the stretched one; it is written back and read again."""
    job = read_job(changed(JOB, 'layers = ["carpet", {', f'layers = ["{word}", {{'), "01.toml", CENTRAL)
    living = next(room for room in job.rooms if room.name == "living")
    assert living.layers[0] == Layer(covering=Covering.GLUED_CARPET)
    assert read_job(write_job(job), "01.toml", CENTRAL) == job


@pytest.mark.parametrize(
    ("spelled", "minutes", "written"),
    [
        ("hours = 1.5", 90, "hours = 1.5"),
        ("hours = 2", 120, "hours = 2"),
        ("minutes = 40", 40, "minutes = 40"),
        ("minutes = 120", 120, "hours = 2"),
        ("hours = 0.3", 18, "minutes = 18"),
    ],
)
def test_agreed_work_is_in_hours_or_minutes(spelled: str, minutes: int, written: str) -> None:
    """Either is read to the minute, and written back as a person would; `where` says house or is left out for it."""
    text = f'{JOB}\n[[work]]\nwhat = "shelf off"\nwhere = "House"\n{spelled}\n'
    job = read_job(text, "01.toml", CENTRAL)
    assert job.work == (ExtraWork(what="shelf off", minutes=minutes),)
    assert write_job(job).endswith(f'[[work]]\nwhat = "shelf off"\n{written}\n')
    assert read_job(text.replace('where = "House"\n', ""), "01.toml", CENTRAL) == job


def test_a_room_with_a_colon_can_be_staged() -> None:
    """A room whose name looks like room and section is named in stages by a table, and reads back."""
    job = read_job(JOB, "01.toml", CENTRAL)
    rooms = (replace(job.rooms[0], name="a: b"), replace(job.rooms[1], name="a"))
    job = replace(
        job,
        rooms=rooms,
        openings=(replace(job.openings[0], between=("a: b", "a")),),
        stages=((("a: b", "window half"), ("a", "")), (("a: b", "door half"),)),
    )
    assert read_job(write_job(job), "01.toml") == job


def test_a_written_file_is_for_people() -> None:
    """A dumped job leaves out what is usual and needs no escaped sign."""
    text = write_job(read_job(JOB, "01.toml", CENTRAL))
    assert 'length = "18\' 6"' in text
    assert "\\" not in text
    assert "painted_trim" not in text
    assert len(text.splitlines()) < 60
    assert tomllib.loads(text)["room"][0]["name"] == "living"


def test_random_lengths_as_people_write_them() -> None:
    """The width alone as plank, percents of the running length by length, or a list of equal shares; the longest is the plank's."""
    plank = 'kind = "click vinyl"\nplank = "7 in x 48 in"'
    oak = 'kind = "solid wood"\nplank = "2 1/4 in"\nlengths = { "2\'" = 10, "4\'" = 40, "6\' 6" = 50 }'
    text = changed(JOB, plank, oak)
    (material,) = read_job(text, "01.toml", CENTRAL).materials
    assert material.lengths == ((24 * INCH, 10), (48 * INCH, 40), (78 * INCH, 50))
    assert (material.plank_width, material.plank_length) == (9 * INCH // 4, 78 * INCH)
    written = write_job(read_job(text, "01.toml", CENTRAL))
    assert 'plank = "2 1/4 in"' in written
    assert 'lengths = { "2\'" = 10, "4\'" = 40, "6\' 6" = 50 }' in written
    text = changed(JOB, plank, 'kind = "solid wood"\nplank = "2 1/4 in"\nlengths = ["2 ft", "4 ft"]')
    (material,) = read_job(text, "01.toml", CENTRAL).materials
    assert material.lengths == ((24 * INCH, 50), (48 * INCH, 50))


def test_tiles_as_people_write_them() -> None:
    """A tile is a plank of its size in a grid; a joint or gap of nothing is written 0."""
    plank = 'kind = "click vinyl"\nplank = "7 in x 48 in"'
    tile = 'kind = "glue-down vinyl"\nplank = "12 in x 12 in"\npattern = "Third-Offset"\njoint = "1/8 in"\ngap = "0"'
    job = read_job(changed(JOB, plank, tile), "01.toml", CENTRAL)
    (material,) = job.materials
    assert (material.pattern, material.joint, material.gap) == (Pattern.THIRD_OFFSET, INCH // 8, 0)
    assert read_job(write_job(job), "01.toml", CENTRAL).materials == job.materials
