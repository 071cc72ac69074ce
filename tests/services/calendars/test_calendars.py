"""Calendars of crews and jobs: what the plan has, read by two parsers, over replans, undo and bad places to write to."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from crewjobs.domain.calendar import EventKind
from crewjobs.domain.errors import Refused
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import moment_words
from crewjobs.services.calendars.calendar_events import planned_events, to_house
from crewjobs.services.calendars.calendar_written import named, to_write
from crewjobs.services.clock import DEMO_NOW, FixedClock
from crewjobs.services.office import Office
from crewjobs.services.weeks.recorded import recorded_since
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database
from tests.builders import central
from tests.calendars import Program, read
from tests.services.conftest import JOB, Shop, kept, load_den

SECRETS = ("555-0142", "secret@marrow.example", "code 4471", "side door", "Teo Halloran")


def plan_den(shop: Shop) -> None:
    """Load job 4 with all that is private, deliver nothing yet, and plan it."""
    load_den(shop)
    text = JOB.replace('phone = "555-0142"', 'phone = "555-0142"\nmail = "secret@marrow.example"')
    shop.office.load([shop.file("den.toml", text)], replace=True)
    shop.office.plan()


den = kept(plan_den)


def visits(office: Office, weeks: int = 5) -> set[tuple[int, str, datetime, datetime]]:
    """Return job, crew, start and end (UTC) of all visits, as the week tells them."""
    found = set()
    for week in range(weeks):
        day = date.fromordinal(office.now().date().toordinal() + 7 * week)
        for shown in office.week(day).days:
            found |= {(v.job, v.crew, v.start.astimezone(UTC), v.end.astimezone(UTC)) for v in shown.visits}
    return found


def plain(path: Path) -> str:
    """Return a file's text as one reads it, neither folded nor escaped."""
    text = path.read_bytes().replace(b"\r\n ", b"").decode()
    return text.replace("\\,", ",").replace("\\;", ";")


def of_visits(events) -> list:
    return [seen for seen in events if seen.end is not None and isinstance(seen.start, datetime)]


def by_quarters(start: datetime, end: datetime) -> tuple[datetime, datetime]:
    """Return the quarter hours around a visit."""
    early, late = start.minute % 15, -end.minute % 15
    return start - timedelta(minutes=early), end + timedelta(minutes=late)


def as_one(spans) -> list[tuple[datetime, datetime]]:
    """Return spans by time, those that overlap as one: nobody comes twice to a house at once."""
    found: list[tuple[datetime, datetime]] = []
    for start, end in sorted(spans):
        if found and start < found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], end))
        else:
            found.append((start, end))
    return found


def write(office: Office, folder: Path) -> dict[str, list]:
    """Write all calendars; return their events by name."""
    view = office.calendars(folder)
    return {row.name: read(row.file.read_bytes()) for row in view.calendars if row.file is not None}


@pytest.fixture
def demo(demo_file: Path) -> Office:
    return Office(open_database(demo_file, create=False), FixedClock(DEMO_NOW), who="tester", follows=True)


def test_every_visit_of_the_plan_is_there_once_at_its_time(demo, tmp_path):
    """In its crew's calendar to the minute, in its job's by the quarter hour as the notice has it; no crew is in two places, every UID is one event's."""
    files = write(demo, tmp_path / "out")
    planned = visits(demo)
    assert len(planned) > 20
    crews = [(name, seen.start, seen.end) for name in demo.crews() for seen in of_visits(files.get(name, []))]
    assert sorted(crews) == sorted((crew, start, end) for _, crew, start, end in planned)
    for job in {job for job, *_ in planned}:
        mine = [
            (seen.start, seen.end) for seen in of_visits(files[f"job {job}"]) if seen.summary.endswith("at the house")
        ]
        assert sorted(mine) == as_one(by_quarters(start, end) for number, _, start, end in planned if number == job)
    for name in demo.crews():
        times = sorted((start, end) for crew, start, end in crews if crew == name)
        assert all(before[1] <= after[0] for before, after in pairwise(times))
    uids = [seen.uid for events in files.values() for seen in events]
    assert len(uids) == len(set(uids))


def test_a_crew_that_helps_is_one_visit_with_the_other_and_keeps_its_uid(demo, tmp_path):
    """Job 12, 17 March: furniture comes back within the trim; the event says both. Written before as two, it stays what it was."""
    with demo._database.reading() as uow:
        found = planned(uow)
        events = planned_events(found, DEMO_NOW)
    day = datetime(2026, 3, 17, 13, tzinfo=UTC)
    before = [e for e in events if e.job == 12 and e.kind is EventKind.VISIT and e.start >= day]
    (both,) = [e for e in to_house(events) if e.job == 12 and e.kind is EventKind.VISIT and e.start >= day]
    assert len(before) == 2
    assert set(both.tasks) == {task for one in before for task in one.tasks}
    assert both.to_house.lines[0] == "Trim and fixtures reset (music room); furniture back in its place"
    written = to_write(
        "job 12", named(before, (), seed="s", to_crews=False, now=DEMO_NOW), (), DEMO_NOW, today=DEMO_NOW
    )
    rows = [one.row for one in written]
    (again,) = named([both], rows, seed="s", to_crews=False, now=DEMO_NOW)
    assert again.uid == max(rows, key=lambda row: len(row.tasks)).uid


def test_a_floor_may_be_walked_on_at_one_instant_in_notice_and_calendar(demo, tmp_path):
    """Of every job of the demo: glued floors by their cure, floating and nailed ones by the end of their laying."""
    files, seen = write(demo, tmp_path / "out"), 0
    for job in (1, 2, 3, 4, 5, 6, 11, 12, 14):
        ready = {
            moment_words(to_wall("America/Chicago", one.start))
            for one in files[f"job {job}"]
            if one.end is None and ("Not walked on before" in one.summary or "hours over" in one.summary)
        }
        for row in demo.notice(job).out:
            walk = row.walk.partition("not before ")[2].partition(".")[0]
            seen += bool(walk)
            assert not walk or walk in ready
    assert seen > 10


def test_a_floor_that_has_set_is_told_with_the_wet_one_on_its_only_way(demo, tmp_path):
    """The bath of job 2 sets a night before the back hall one comes through: its event says so, that of the hall does not."""
    said = {
        one.summary.partition("(")[2].rstrip(")"): "only through back hall, where the floor sets over night" in one.text
        for one in write(demo, tmp_path / "out")["job 2"]
        if "hours over" in one.summary
    }
    assert said == {"bath": True, "back hall": False}


def test_no_instant_counts_from_work_that_is_late_and_not_ticked(demo_file, tmp_path):
    """Job 2's floor was planned for Tuesday and is not ticked on Wednesday: its cure ends at no hour anybody knows."""
    late = Office(
        open_database(demo_file, create=False), FixedClock(DEMO_NOW + timedelta(days=2, hours=4)), who="tester"
    )
    assert not [one.summary for one in write(late, tmp_path / "out")["job 2"] if "hours over" in one.summary]


def test_written_again_all_is_as_it_was(demo, tmp_path):
    """No number rises, the log has no second entry, and the view says so."""
    first = write(demo, tmp_path)
    log = demo.changes()
    view = demo.calendars(tmp_path)
    assert view.change is None
    assert not any(row.new or row.changed or row.cancelled for row in view.calendars)
    assert demo.changes() == log
    assert write(demo, tmp_path) == first


def test_a_second_import_after_a_new_plan_changes_and_does_not_double(demo, tmp_path):
    """A crew off for a day and a plan anew: each program ends with exactly the new plan, whatever is told again."""
    lead, crews = Program(), {name: Program() for name in demo.crews()}

    def send() -> dict[str, list]:
        files = write(demo, tmp_path)
        for name, events in files.items():
            if name in crews:
                crews[name].take(events)
                lead.take(events)
        return files

    first = send()
    demo.hours("Birch", date(2026, 3, 3), "off")
    demo.plan()
    second = send()
    planned = visits(demo)
    for name, program in crews.items():
        mine = [(seen.start, seen.end) for seen in of_visits(program.shown)]
        assert sorted(mine) == sorted((start, end) for _, crew, start, end in planned if crew == name)
    assert sorted((seen.start, seen.end) for seen in of_visits(lead.shown)) == sorted(
        (start, end) for _, _, start, end in planned
    )
    before = {(name, seen.uid): seen for name, events in first.items() for seen in events}
    kept = [
        (before[name, seen.uid], seen)
        for name, events in second.items()
        for seen in events
        if (name, seen.uid) in before
    ]
    assert any(old != new for old, new in kept)
    for old, new in kept:
        assert (new.sequence > old.sequence) == (new != old)
    gone = {seen.uid: seen.sequence for name in crews for seen in second.get(name, []) if seen.cancelled}
    assert gone
    shown = {name: program.shown for name, program in crews.items()}
    third = send()
    assert {s.uid: s.sequence for name in crews for s in third.get(name, []) if s.cancelled} == gone
    assert {name: program.shown for name, program in crews.items()} == shown


def test_nothing_private_and_no_other_customer_is_in_a_file(demo, den, tmp_path):
    """Neither a phone, a mail, an entry note, nor a name of a customer; a job's calendar names no other job's house."""
    den.office.calendars(tmp_path / "den")
    text = "".join(map(plain, (tmp_path / "den").iterdir()))
    assert "Lay click vinyl rows" in text
    assert not [secret for secret in SECRETS if secret in text]
    demo.calendars(tmp_path / "demo")
    with demo._database.reading() as uow:
        jobs = [record.job for record in uow.live_jobs()]
    for path in (tmp_path / "demo").iterdir():
        text = plain(path)
        for job in jobs:
            private = [job.customer.phone, job.customer.mail, job.site.entry_notes, job.customer.name]
            if path.name.startswith("job-"):
                private.append(job.site.address)
                if path.name != f"job-{job.number}.ics":
                    private.append(job.title)
            assert not [words for words in private if words and words in text], (path.name, job.number)


def test_an_undo_takes_no_number_back(den, tmp_path):
    """Planned anew, written, and the plan taken back: what is written then counts on; the files themselves are no change to undo."""
    program = Program()
    program.take_file(den.office.calendars(tmp_path, crew="Birch").calendars[0].file)
    was = [(seen.start, seen.end) for seen in program.shown]
    assert of_visits(program.shown)
    den.office.hours("Birch", date(2026, 3, 5), "off")
    den.office.plan()
    program.take_file(den.office.calendars(tmp_path, crew="Birch").calendars[0].file)
    assert [(seen.start, seen.end) for seen in program.shown] != was
    high = {uid: seen.sequence for uid, seen in program.events.items()}
    assert den.office.changes()[0].what.startswith("calendar of Birch written")
    assert "plan 2" in den.office.undo().sentence
    assert "Birch is off" in den.office.undo().sentence
    program.take_file(den.office.calendars(tmp_path, crew="Birch").calendars[0].file)
    assert [(seen.start, seen.end) for seen in program.shown] == was
    assert all(seen.sequence >= high.get(seen.uid, 0) for seen in program.events.values())
    written = den.office.changes()[0]
    assert written.what.startswith("calendar of Birch written")
    with den.office._database.unit_of_work() as uow, pytest.raises(Refused, match="cannot be taken back"):
        uow.undo(written.number, at=den.clock.now())


def test_a_written_calendar_is_no_reason_to_plan_again(den, tmp_path):
    """It is in the log, and no fact is other than the plan saw it."""
    assert den.office.calendars(tmp_path).change is not None
    with den.office._database.reading() as uow:
        plan = uow.latest_plan()
        assert plan is not None
        assert recorded_since(uow, plan.based_on) == ()


def test_a_delivery_is_told_at_its_hour_or_on_its_day_until_it_came(den, tmp_path):
    """Promised for 10:00, then for a day alone, then there: an instant, a date, and cancelled until that day is past."""

    def told() -> list:
        [row] = den.office.calendars(tmp_path / "den.ics", job=4).calendars
        return [seen for seen in read(row.file.read_bytes()) if " due" in seen.summary]

    [due] = told()
    assert (due.summary, due.start) == ("Gray plank, 9 cartons due", central("2026-03-03", "10:00"))
    den.office.back_ordered(4, "gray plank", "2026-03-05")
    [later] = told()
    assert (later.uid, later.sequence, later.start) == (due.uid, 1, date(2026, 3, 5))
    den.office.arrived(4, "gray plank", 9, in_rooms=True)
    [gone] = told()
    assert (gone.uid, gone.sequence, gone.cancelled) == (due.uid, 2, True)
    assert told() == [gone]
    den.clock.at = central("2026-03-06", "00:01")
    den.office.plan()
    assert told() == []


def test_what_lies_is_told_ready_when_its_hours_are_over(den, tmp_path):
    """Planned first, then counted from when it was carried in: 48 h by the clock, the same event."""

    def told():
        [row] = den.office.calendars(tmp_path, job=4).calendars
        return next(seen for seen in read(row.file.read_bytes()) if "acclimation" in seen.summary)

    planned = told()
    den.clock.set("2026-03-03", "10:30")
    den.office.arrived(4, "gray plank", 9, in_rooms=True)
    den.office.plan()
    lies = told()
    assert (lies.uid, lies.start, lies.end) == (planned.uid, central("2026-03-05", "10:30"), None)
    assert "By the clock only" in lies.text


def test_a_job_called_off_is_cancelled_for_everybody(den, tmp_path):
    """Its visits come as cancelled, in the crew's calendar and in the job's, in every file until their days are past; a look uses
    nothing up."""
    first = write(den.office, tmp_path)
    den.office.edit(4, den.record().version, {"state": "called off"})
    second = write(den.office, tmp_path)
    assert set(second) == set(first) == {"Birch", "job 4"}
    assert all(seen.cancelled for events in second.values() for seen in events)
    assert {seen.uid for seen in second["job 4"]} == {seen.uid for seen in first["job 4"]}
    assert write(den.office, tmp_path) == second
    den.clock.at = max(seen.start for seen in of_visits(first["Birch"]))
    assert {seen.uid for seen in write(den.office, tmp_path)["Birch"]} < {seen.uid for seen in second["Birch"]}
    den.clock.at += timedelta(days=4)
    assert write(den.office, tmp_path) == {}


def test_a_look_at_calendars_uses_nothing_up(den, tmp_path):
    """Between a visit called off and the file that says so, a look tells the same counts, writes no file and no entry of the log."""
    write(den.office, tmp_path / "out")
    den.office.edit(4, den.record().version, {"state": "called off"})
    log = den.office.changes()
    seen = den.office.look_at_calendars()
    assert den.office.changes() == log
    assert not seen.written
    written = den.office.calendars(tmp_path / "out")
    assert written.written
    assert [(row.name, row.cancelled) for row in seen.calendars] == [
        (row.name, row.cancelled) for row in written.calendars
    ]
    assert any(row.cancelled for row in seen.calendars)


def test_long_names_in_any_script_and_very_many_tasks(den, tmp_path):
    """A crew of 200 Arabic letters, a job of 200 CJK signs and 300 tasks: the files are read back, the rest is counted."""
    crew, title = "غ" * 200, "居" * 200
    work = "\n".join(f'[[work]]\nwhat = "small thing {n}"\nminutes = 1\nwhere = "den"' for n in range(300))
    text = JOB.replace("Den, Quarry Road", title).replace('floor = "gray plank"\n', "", 1).replace("patch", "#patch")
    shop = (den.folder / "shop.toml").read_text(encoding="utf-8").replace('"Birch"', f'"{crew}"')
    den.office.undo()  # the plan
    den.office.load([den.file("shop.toml", shop), den.file("den.toml", f"{text}\n{work}")], replace=True)
    den.office.plan()
    files = write(den.office, tmp_path / "out")
    seen = [one for events in files.values() for one in of_visits(events) if title in one.summary]
    assert seen
    assert any("more: see the day plan" in one.text for one in seen)
    assert all(len(one.text.splitlines()) <= 41 for one in seen)


def test_nothing_planned_is_refused(shop, tmp_path):
    """Without a plan one sentence, and no folder is made."""
    with pytest.raises(Refused, match="nothing is planned yet"):
        shop.office.calendars(tmp_path / "none")
    assert not (tmp_path / "none").exists()


def test_nothing_to_come_has_no_file(den, tmp_path):
    """A crew without work gets no file: the format has no empty calendar."""
    [row] = den.office.calendars(tmp_path / "none", crew="cedar").calendars
    assert (row.name, row.file, row.events) == ("Cedar", None, 0)
    assert not (tmp_path / "none").exists()


def test_what_cannot_be_written_changes_nothing(den, tmp_path):
    """One file for several calendars, a crew or job nobody has, a folder in the way, a file for a folder: a sentence each."""
    (tmp_path / "crew-birch.ics").mkdir()
    (tmp_path / "file").touch()
    log = den.office.changes()
    for out, asked, said in (
        (tmp_path / "all.ics", {}, "there are several calendars: name a folder"),
        (tmp_path / "two.ics", {"crew": "Birch", "job": 4}, "there are several calendars"),
        (tmp_path, {"crew": "Willow"}, "there is no crew 'Willow': the crews are Birch, Cedar"),
        (tmp_path, {"job": 99}, "there is no job 99"),
        (tmp_path, {"crew": "Birch"}, "is a folder"),
        (tmp_path / "file", {"crew": "Birch"}, "is a file: name a folder"),
        (tmp_path / "x.txt", {"crew": "Cedar"}, "goes into a file that ends in .ics"),
        (tmp_path / "file" / "birch.ics", {"crew": "Birch"}, "cannot be written to"),
        (tmp_path / "\x1b.ics", {"crew": "Birch"}, "control characters"),
        (tmp_path / f"{'x' * 300}.ics", {"crew": "Birch"}, "cannot be a file's name"),
    ):
        with pytest.raises(Refused, match=said):
            den.office.calendars(out, **asked)
    assert den.office.changes() == log
    with den.office._database.reading() as uow:
        assert uow.written_events() == ()
    assert sorted(path.name for path in tmp_path.glob("*.new")) == []


def test_a_crew_that_left_the_shop_is_told_that_nothing_is_planned_for_it(den, tmp_path):
    """Renamed: the old name's calendar is cancelled, the new one's has the same visits, numbered above."""
    program = Program()
    program.take(write(den.office, tmp_path)["Birch"])
    old = {seen.uid for seen in of_visits(program.shown)}
    text = (den.folder / "shop.toml").read_text(encoding="utf-8").replace('"Birch"', '"Alder"')
    den.office.load([den.file("shop.toml", text)], replace=True)
    den.office.plan()
    files = write(den.office, tmp_path)
    assert {seen.uid for seen in files["Birch"] if seen.cancelled} >= old
    program.take(files["Alder"])
    program.take(files["Birch"])
    assert {seen.uid for seen in of_visits(program.shown)} >= old
    assert [seen.start for seen in program.shown] == [
        seen.start for seen in sorted(files["Alder"], key=lambda s: str(s.start))
    ]
    assert all(seen.cancelled for seen in write(den.office, tmp_path)["Birch"])
    den.clock.at += timedelta(days=30)
    assert "Birch" not in write(den.office, tmp_path)


def test_small_visits_are_told_to_the_house_until_they_are_made(den, tmp_path):
    """Whoever opens the door knows of them; moved it is the same event, made or called off it goes."""

    def told():
        [row] = den.office.calendars(tmp_path, job=4).calendars
        return [seen for seen in read(row.file.read_bytes()) if "site check" in seen.summary]

    den.office.plan_visit(4, "site check", who="Ines Varga", at="2026-03-04 16:00", minutes=30)
    [seen] = told()
    assert (seen.summary, seen.place) == ("Linden Floor Crew: site check", "")
    assert (seen.start, seen.end) == (central("2026-03-04", "16:00"), central("2026-03-04", "16:30"))
    assert not any("site check" in one.summary for one in write(den.office, tmp_path)["Birch"])
    den.office.visit_off(4, "site check")
    den.office.plan_visit(4, "site check", who="Ines Varga", at="2026-03-04 16:30", minutes=30)
    [moved] = told()
    assert (moved.uid, moved.sequence, moved.start) == (seen.uid, 1, central("2026-03-04", "16:30"))
    den.office.visit_off(4, "site check")
    assert told()[0].cancelled
    assert told()[0].cancelled
    den.clock.at = central("2026-03-05", "00:01")
    assert told() == []


def test_who_makes_small_visits_has_a_calendar_of_any_job_that_is_not_called_off(demo, tmp_path):
    """The lead goes to a quoted job, a booked and a closed one, as the week shows: each is in the lead's and in that house's."""
    planned = {
        (row.who, row.job, row.start.astimezone(UTC), row.end.astimezone(UTC))
        for day in demo.week(DEMO_NOW.date()).days
        for row in day.small
        if not row.done
    }
    who = {name for name, *_ in planned}
    assert {str(demo.job(job).row.state) for _, job, *_ in planned} >= {"quoted", "closed"}
    files = write(demo, tmp_path / "out")
    for name in who:
        seen = {(name, one.start, one.end) for one in of_visits(files[name])}
        assert seen == {(name, start, end) for person, _, start, end in planned if person == name}
    for _, job, start, end in planned:
        assert by_quarters(start, end) in {(one.start, one.end) for one in of_visits(files[f"job {job}"])}
    [lead] = demo.calendars(tmp_path / "lead.ics", crew=next(iter(who)).split()[0]).calendars
    assert lead.file is not None
    with pytest.raises(Refused, match="no crew 'Nobody'"):
        demo.calendars(tmp_path, crew="Nobody")


def test_a_visit_of_today_that_is_over_is_told_no_more(den, tmp_path):
    """Written once its hours have gone by, the plan's first visit is not among what is to come, nor cancelled where it was."""
    first = write(den.office, tmp_path)["Birch"]
    visit = min(of_visits(first), key=lambda seen: seen.start)
    den.clock.at = visit.end
    later = write(den.office, tmp_path)["Birch"]
    assert visit.uid not in {seen.uid for seen in later}
    assert len(of_visits(later)) == len(of_visits(first)) - 1
    assert not any(seen.cancelled for seen in later)


def test_a_visit_that_is_over_early_is_not_called_off(den, tmp_path):
    """All of it ticked before its end, and the job called off: what was begun is told to its true end, what was to come goes."""
    first = write(den.office, tmp_path)["job 4"]
    visit = min(of_visits(first), key=lambda seen: seen.start)
    with den.office._database.reading() as uow:
        tasks = next(row.tasks for row in uow.written_events() if row.uid == visit.uid)
    den.clock.at = visit.start + timedelta(minutes=2)
    assert den.clock.at < visit.end
    den.office.arrived(4, "gray plank", 9)
    for number in tasks:
        if den.record().task(number).open:
            den.office.tick(4, [number], because="tried")
    den.office.plan()
    second = write(den.office, tmp_path)["job 4"]
    assert visit.uid not in {seen.uid for seen in second if seen.cancelled}
    den.office.edit(4, den.record().version, {"state": "called off"})
    third = write(den.office, tmp_path)["job 4"]
    [there] = [seen for seen in third if not seen.cancelled]
    assert (there.uid, there.start) == (visit.uid, visit.start)
    assert there.end == visit.start + timedelta(minutes=15), "the quarter hour in which all was ticked"
    assert any(seen.cancelled for seen in third)


def calendars_at(file: Path, folder: Path, hour: int, minute: int = 0) -> dict[str, list]:
    """Write all calendars on Tuesday 3 March."""
    return write(at_hour(file, hour, minute), folder / f"{hour:02}{minute:02}")


def at_hour(file: Path, hour: int, minute: int = 0, day: int = 3) -> Office:
    clock = FixedClock(central(f"2026-03-{day:02}", f"{hour:02}:{minute:02}"))
    return Office(open_database(file, create=False), clock, who="tester", follows=True)


def first_of(events: list, crew: bool = True) -> list:
    """Return the first visit by its start, and all that overlap with it."""
    there = sorted((seen for seen in of_visits(events) if not seen.cancelled), key=lambda seen: seen.start)
    return [seen for seen in there if seen.start < there[0].end]


def test_a_visit_begun_and_cut_short_is_told_with_its_end(demo_file, tmp_path):
    """Six tasks ticked at ten, the job called off at noon: whichever file a phone is given next, Cedar was there until ten, and is at one house at a time."""
    early = calendars_at(demo_file, tmp_path, 7)
    at_hour(demo_file, 10).tick(1, [5, 6, 7, 8, 9, 10])
    at_hour(demo_file, 12).edit(1, at_hour(demo_file, 12).job(1).version, {"state": "called off"})
    for minute in (5, 40):
        later = calendars_at(demo_file, tmp_path, 12, minute)
        for name in ("Cedar", "job 1"):
            [before], [after] = first_of(early[name]), first_of(later[name])
            assert (after.uid, after.start, after.sequence) == (before.uid, before.start, before.sequence + 1)
            assert after.end == central("2026-03-03", "10:00")
    tomorrow = write(at_hour(demo_file, 6, 0, 4), tmp_path / "next")["job 1"]
    assert all(seen.cancelled for seen in tomorrow), "its day is past"


def test_a_visit_cut_short_by_a_finding_is_told_with_its_end(demo_file, tmp_path):
    """Found at 10:40, and the plan sends Cedar to another house: it was at this one until then, though nothing was ticked."""
    early = calendars_at(demo_file, tmp_path, 7)
    at_hour(demo_file, 10, 40).found(1, "living", "suspect asbestos", by="Maeve")
    later = calendars_at(demo_file, tmp_path, 11)
    for name, minute in (("Cedar", 40), ("job 1", 45)):
        [before], [after] = first_of(early[name]), first_of(later[name])
        assert (after.uid, after.start, after.sequence) == (before.uid, before.start, 1)
        assert after.end == central("2026-03-03", f"10:{minute}")


def test_a_visit_under_way_is_told_from_its_true_beginning(demo_file, tmp_path):
    """At eleven the plan has the rest of Hazel's rows from eleven on; it came at half past seven, as the week has it, and so say calendar and notice."""
    early = write(at_hour(demo_file, 7, 0, 2), tmp_path / "early")
    at_hour(demo_file, 11, 0, 2).how_far(14, 14, "10/19 rows")
    office = at_hour(demo_file, 11, 0, 2)
    [week] = [one for one in office.week().days[0].visits if one.crew == "Hazel"]
    assert f"{week.start:%H:%M}" == "07:30"
    later = write(office, tmp_path / "later")
    for name in ("Hazel", "job 14"):
        [before], [after] = first_of(early[name]), first_of(later[name])
        assert (after.uid, after.start, after.end) == (before.uid, week.start, week.end)
        assert after.sequence == 1
        assert after.end > before.end
    [day] = office.notice(14).days
    assert (day.start, day.end) == (week.start.time(), week.end.time())
