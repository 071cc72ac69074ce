"""Why a job is finished when it is, which promises clash, and what is wrong with what a plan is made from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from crewjobs.cli.why import why_text
from crewjobs.domain.errors import Refused
from crewjobs.domain.tasks import Pause
from crewjobs.engines.judging.check import check_plan
from crewjobs.services.demonstration.demo import demo_office, run_demo
from crewjobs.services.office import Office
from crewjobs.services.weeks.plan_problem import problem_of
from tests import thorough
from tests.services.conftest import JOB, SHOP, Shop

BIRCH_ONLY = SHOP[: SHOP.index('[[crew]]\nname = "Cedar"')]
OFF_ON_THURSDAY = BIRCH_ONLY.replace('lays = ["floating"', 'days_off = [2026-03-05]\nlays = ["floating"')
CEDAR_HOURS = 'hours = { mon-fri = "7:30-12:00, 12:30-16:00" }'


def dens(shop: Shop, promised: str, numbers=(4, 5, 6), text: str = BIRCH_ONLY):
    """Load the same house under several numbers, with one crew for all of them; return what loading said."""
    files = [shop.file("shop.toml", text)]
    for number in numbers:
        den = JOB.replace("number = 4", f"number = {number}").replace("2026-03-13", promised)
        files.append(shop.file(f"{number}.toml", den.replace("9 Quarry", f"{number}9 Quarry")))
    return shop.office.load(files)


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_the_demo_is_told_in_whole_sentences(tmp_path, monkeypatch) -> None:
    """Job 12's planks acclimate beyond its promise; job 3 waits for a crew; jobs 7 and 9 have no date, and what gives one."""
    monkeypatch.setenv("COLUMNS", "100")
    run_demo(tmp_path / "demo.sqlite3", tmp_path / "pages")
    office = demo_office(tmp_path / "demo.sqlite3")
    twelve, three, seven, nine = (office.why(number).job for number in (12, 3, 7, 9))
    assert (
        "creek maple is due Mon 9 Mar 13:00, carried in by 14:15 and acclimates 120 h until Sat 14 Mar 14:15"
        in twelve.sentence
    )
    assert twelve.possible is False
    assert "cannot be kept even with every crew free: its material is ready Sat 14 Mar" in twelve.promise[0]
    assert three.holds
    assert three.sentence.startswith("Job 3 ends ")
    assert seven.finish is None
    assert any("get a new date" in sentence for sentence in seven.gives_a_date)
    assert any("deposit" in sentence for sentence in nine.gives_a_date)
    everything = office.why()
    assert len(everything.late) == 3
    assert everything.clashes == ()


def test_the_finish_is_the_weeks(shop) -> None:
    """A job's finish in `why` is the one the week shows beside its promise, to the minute."""
    shop.office.plan()
    (promise,) = shop.office.week(date(2026, 3, 2)).promises
    found = shop.office.why(4).job
    assert (found.finish, found.promised, found.holds) == (promise.finish, promise.promised, promise.holds)


def test_what_is_to_spare_is_the_weeks(shop) -> None:
    """`why` says the very words of the week on what a promise has to spare, with somebody out, too, and tight where that is."""
    for out in (None, "Tobiah"):
        if out is not None:
            shop.office.away(out, date(2026, 3, 12))
        shop.office.plan()
        (promise,) = shop.office.week(date(2026, 3, 2)).promises
        assert promise.spare_words
        assert shop.office.why(4).job.promise == (f"Promised Fri 13 Mar: it holds, {promise.spare_words}.",)
        assert ("tight" in promise.spare_words) == promise.tight


def test_clashing_houses_are_named_with_ways_out(empty_shop) -> None:
    """Three equal houses for one crew by Friday: they clash, and each way out names a day and an hour."""
    dens(empty_shop, "2026-03-06")
    empty_shop.office.plan()
    found = empty_shop.office.why()
    assert found.clashes
    for clash in found.clashes:
        assert clash.smallest or clash.pairs
        assert clash.ways
        for way in clash.ways:
            assert set(clash.jobs) - {slip.job for slip in way.slips} == set(way.keeps)
    late = next(row.job for row in empty_shop.office.week(date(2026, 3, 2)).promises if not row.holds)
    one = empty_shop.office.why(late)
    assert one.job.possible
    assert "with every crew free it would end" in one.job.promise[0]
    assert all(late in clash.jobs for clash in one.clashes)
    assert "→ Keep job" in why_text(one)


def test_a_plan_that_is_stale_says_so(shop) -> None:
    """What changed since the plan was made stands first."""
    shop.office.plan()
    first = next(day for day in shop.office.week().days if day.visits)
    shop.office.hours(first.visits[0].crew, first.day, "off")
    assert "Plan again to take it in" in shop.office.why(4).stale


def test_looking_keeps_nothing(shop) -> None:
    """Plans that were tried are thrown away: no new plan, no change."""
    shop.office.plan()
    before = shop.path.read_bytes()
    shop.office.why()
    shop.office.why(4)
    assert shop.path.read_bytes() == before


def test_what_cannot_be_explained_is_refused(shop) -> None:
    """No plan yet, a job that is closed: one sentence each."""
    with pytest.raises(Refused, match="nothing is planned yet: `crewjobs plan` does it"):
        shop.office.why(4)
    shop.office.edit(4, shop.record().version, {"state": "closed"})
    with pytest.raises(Refused, match="job 4 is closed: nothing of it is planned"):
        shop.office.why(4)


# -- a way out that is taken


def _ways(view) -> list:
    order = [view.order] if view.order is not None else []
    return [way for way in (*view.saves, *(way for clash in view.clashes for way in clash.ways), *order) if way.name]


def _holds(office) -> dict[int, bool]:
    return {row.job: row.holds for row in office.week(date(2026, 3, 2)).promises}


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
@pytest.mark.parametrize(
    ("promised", "numbers", "text"),
    thorough.of(
        [
            ("2026-03-06", (4, 5, 6), BIRCH_ONLY),
            ("2026-03-09", (4, 5, 6), OFF_ON_THURSDAY),
            ("2026-03-06", (4, 5, 6, 7), BIRCH_ONLY),
            ("2026-03-06", (4, 5, 6, 7, 8), SHOP),
        ],
        1,
    ),
)
def test_every_way_out_comes_true(empty_shop, promised: str, numbers: tuple[int, ...], text: str) -> None:
    """Taken and accepted, each way's promises are kept in the week, none is broken unsaid; undone, all is as before.

    The judge finds nothing against the plan that is proposed, with the hours that were recorded for it.
    """
    dens(empty_shop, promised, numbers, text)
    office = empty_shop.office
    office.plan()
    before = _holds(office)
    view = office.why()
    ways = _ways(view)
    assert ways
    assert text is not OFF_ON_THURSDAY or any(way.day is not None for way in ways)
    for way in ways:
        done = office.take_way(way.name)
        assert done.then[0] == way.sentence
        with office._database.reading() as uow:
            proposed = uow.proposal()
            assert proposed is not None
            assert check_plan(problem_of(uow, empty_shop.clock.now()), proposed) == ()
        if way.day is not None:
            assert office.hours_of(way.crew, way.day).hours == tuple(way.hours.split(", "))
        office.accept()
        after = _holds(office)
        assert all(after[number] for number in (*way.keeps, *way.wins))
        assert {number for number, holds in after.items() if not holds} == {slip.job for slip in way.slips}
        office.undo()
        office.undo()
        assert _holds(office) == before
        office.why()  # what was recorded since the answer is no longer what the ways were found on


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_what_was_chosen_is_not_replaced_and_another_name_is_refused(empty_shop) -> None:
    """While a chosen proposal waits the search proposes no other; a way that is not there is named with those that are."""
    dens(empty_shop, "2026-03-06")
    office = empty_shop.office
    office.plan()
    (first, *_) = _ways(office.why())
    with pytest.raises(Refused, match=f"no way out called 'slip-99' was found; there are: .*{first.name}"):
        office.take_way("slip-99")
    number = office.take_way(first.name).plan
    said = office.improve(rounds=2)
    assert f"Plan {number}, which was chosen, waits" in said.sentence
    assert office.proposal().number == number


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_what_was_recorded_meanwhile_voids_a_way(empty_shop) -> None:
    """A way found before something was recorded is refused in one sentence, and nothing is kept."""
    dens(empty_shop, "2026-03-06")
    office = empty_shop.office
    office.plan()
    (first, *_) = _ways(office.why())
    office.hours("Birch", date(2026, 3, 20), "off")
    with pytest.raises(Refused, match="more was recorded since this way out was found: ask again"):
        office.take_way(first.name)
    assert not office.proposal_waits()


# -- what is wrong with what a plan is made from: the rest is planned


def test_a_promise_gone_by_is_said_and_all_is_planned(empty_shop) -> None:
    """Loading, planning and amending each say that a promised day has gone by; the job is planned all the same."""
    said = "Job 4 is promised for Fri 20 Feb 2026, a day that has gone by: `crewjobs amend 4 --promised DAY`"
    assert any(said in line for line in dens(empty_shop, "2026-02-20", [4]).then)
    done = empty_shop.office.plan()
    assert done.sentence.startswith("Plan 1: 1 job planned, none left out")
    assert any(said in line for line in done.then)
    version = empty_shop.record().version
    assert any(
        "Tue 10 Feb 2026" in line for line in empty_shop.office.edit(4, version, {"promised": "2026-02-10"}).then
    )


def test_a_crew_without_hours_is_named_and_the_other_works(empty_shop) -> None:
    """Cedar has no hours: loading and planning say so, Birch gets the work, and a pin to Cedar is refused."""
    text = SHOP.replace(CEDAR_HOURS, "hours = {}")
    said = "Cedar has no working hours, so nothing is planned for it"
    assert any(said in line for line in dens(empty_shop, "2026-03-13", [4], text).then)
    done = empty_shop.office.plan()
    assert any(said in line for line in done.then)
    assert "none left out" in done.sentence
    with pytest.raises(Refused, match="Cedar has no working hours on any day: pin to another crew"):
        empty_shop.office.pin(4, [5], "Cedar", date(2026, 3, 4))


def test_a_crew_that_is_off_all_the_time_is_named(empty_shop) -> None:
    """Hours but every day off within the plan: nothing is planned for that crew, and it is said."""
    days = ", ".join(f"2026-03-{day:02d}" for day in range(2, 32))
    text = SHOP.replace(CEDAR_HOURS, f"{CEDAR_HOURS}\ndays_off = [{days}]")
    dens(empty_shop, "2026-03-13", [4], text)
    assert any("Cedar is off on all its days until" in line for line in empty_shop.office.plan().then)


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (date(2026, 3, 4), "Wed 4 Mar is a holiday of the shop: pin to another day, the next is Fri 6 Mar"),
        (date(2026, 3, 5), "Thu 5 Mar is a day off for Cedar: pin to another day, the next is Fri 6 Mar"),
        (date(2026, 3, 7), "Cedar does not work on Saturdays, and Sat 7 Mar is one: .* the next is Tue 10 Mar"),
        (date(2026, 3, 9), "the customer of job 4 has blocked Mon 9 Mar: pin to another day, the next is Tue 10 Mar"),
    ],
)
def test_a_pin_on_a_day_nobody_works_names_the_next(empty_shop, day: date, said: str) -> None:
    """A holiday, a day off, a weekday without hours, a day the customer has blocked: each refused with the next day."""
    text = SHOP.replace("[[crew]]", "holidays = [2026-03-04]\n\n[[crew]]", 1)
    text = text.replace(CEDAR_HOURS, f"{CEDAR_HOURS}\ndays_off = [2026-03-05]")
    dens(empty_shop, "2026-03-13", [4], text)
    empty_shop.office.edit(4, empty_shop.record().version, {"blocked": "2026-03-09"})
    with pytest.raises(Refused, match=said):
        empty_shop.office.pin(4, [5], "Cedar", day)


def test_a_pin_to_a_crew_that_cannot_do_the_work_is_refused(empty_shop) -> None:
    """Floors Cedar does not lay, a card nobody there has or whose holder is out: who lacks what, and who can do it."""
    glued = JOB.replace('kind = "click vinyl"', 'kind = "glue-down vinyl"')
    empty_shop.office.load([empty_shop.file("shop.toml", SHOP), empty_shop.file("den.toml", glued)])
    empty_shop.office.plan()
    spread, move = empty_shop.number_of("lay-glued-vinyl"), empty_shop.number_of("move-furniture-out")
    with empty_shop.office._database.unit_of_work(who="tester") as uow:
        shop = uow.shop()
        birch, *others = shop.crews
        holder = replace(birch.workers[1], cards=frozenset({"reading"}))
        birch = replace(birch, workers=(birch.workers[0], holder, *birch.workers[2:]))
        uow.save_shop(replace(shop, crews=(birch, *others)))
        uow.commit("Tobiah reads boards", at=empty_shop.clock.now())
        record = uow.job(4)
        tasks = tuple(replace(one, card="reading") if one.number == move else one for one in record.tasks)
        uow.save_job(record, replace(record, tasks=tasks))
        uow.commit("a card for the furniture", at=empty_shop.clock.now())
    monday = date(2026, 3, 9)
    with pytest.raises(
        Refused, match="takes a crew that lays glue-down floors: Cedar is none; Birch can do it that day"
    ):
        empty_shop.office.pin(4, [spread], "Cedar", monday)
    with pytest.raises(
        Refused, match="needs somebody with the card 'reading': nobody in Cedar has it; Birch can do it"
    ):
        empty_shop.office.pin(4, [move], "Cedar", monday)
    empty_shop.office.away("Tobiah", monday)
    with pytest.raises(Refused, match="'reading': Tobiah Lund, who has it, is not there"):
        empty_shop.office.pin(4, [move], "Birch", monday)
    with empty_shop.office._database.reading() as uow:
        assert uow.pins() == ()


def test_a_pin_whose_day_was_taken_off_later_leaves_the_rest_planned(empty_shop) -> None:
    """Pinned to Wednesday, which then becomes a holiday: the other job is planned, and this one's why says so."""
    dens(empty_shop, "2026-03-13", [4, 5])
    task = empty_shop.number_of("base-off")
    empty_shop.office.pin(4, [task], "Birch", date(2026, 3, 4))
    holiday = BIRCH_ONLY.replace("[[crew]]", "holidays = [2026-03-04]\n\n[[crew]]", 1)
    empty_shop.office.load([empty_shop.file("shop.toml", holiday)], replace=True)
    done = empty_shop.office.plan()
    assert any("pinned to Birch on Wed 4 Mar, but that day is a holiday of the shop" in line for line in done.then)
    assert empty_shop.office.why(5).job.finish is not None
    assert f"`crewjobs unpin 4 {task}`" in why_text(empty_shop.office.why(4)).replace("\n    ", " ")


def test_work_longer_than_any_day_is_named_and_the_rest_planned(empty_shop) -> None:
    """A pour that takes the crew 10 h in one go, of days with 5: the sentence names it, another house is planned."""
    slow = '\n[[template]]\nkey = "pour-leveler"\nminutes = [20, 20, 20]\n'
    files = [empty_shop.file("shop.toml", BIRCH_ONLY + slow), empty_shop.file("den.toml", JOB)]
    level = JOB.replace("number = 4", "number = 5").replace('patch = "20 ft2"', 'level = "90 ft2"')
    files.append(empty_shop.file("level.toml", level.replace("9 Quarry", "59 Quarry")))
    empty_shop.office.load(files)
    pour = empty_shop.record(5).task(empty_shop.number_of("pour-leveler", job=5))
    assert pour.pause is Pause.NONE
    done = empty_shop.office.plan()
    assert any(line.startswith("Job 5: ") and "in one go, and no crew has that long" in line for line in done.then)
    assert empty_shop.office.why(4).job.finish is not None
    assert "in one go" in " ".join(empty_shop.office.why(5).job.left_out)


def test_many_promises_that_cannot_be_kept_are_told_by_their_reason_with_the_sum_first(empty_shop) -> None:
    """Five houses promised before their planks have acclimated: the sum of what the week shows, then a line a house."""
    dens(empty_shop, "2026-03-04", numbers=(4, 5, 6, 7, 8))
    empty_shop.office.plan()
    view = empty_shop.office.why()
    week = empty_shop.office.week(date(2026, 3, 2)).promises
    late = sum((row.finish.date() - row.promised).days for row in week if row.finish and not row.holds)
    assert [row.job for row in view.late if row.grouped] == [4, 5, 6, 7, 8]
    assert sum(row.days_late for row in view.late) == late
    assert view.late_sum.startswith(f"5 promises cannot be kept: they are in all {late} days late in this plan")
    (group,) = view.late_groups
    assert group.head == "The material is ready only after the promise:"
    assert sorted(line.partition(" Den")[0] for line in group.lines) == [f"job {number}" for number in (4, 5, 6, 7, 8)]
    text = why_text(view)
    assert text.startswith(view.late_sum[:40])
    assert not any(row.sentence[:30] in text for row in view.late)


def test_a_few_promises_that_cannot_be_kept_have_a_sentence_each(empty_shop) -> None:
    """Three are told one by one, with what can be asked of each."""
    dens(empty_shop, "2026-03-04", numbers=(4, 5, 6))
    empty_shop.office.plan()
    view = empty_shop.office.why()
    assert (view.late_sum, view.late_groups) == ("", ())
    assert all(f"`crewjobs why {number}` says why" in why_text(view) for number in (4, 5, 6))


def test_what_one_promise_cannot_be_kept_with_is_one_clash_with_its_ways(empty_shop) -> None:
    """Three houses promised for a day on which one can be done: one sentence, one word on the plan in force, each way once."""
    dens(empty_shop, "2026-03-06", numbers=(4, 5, 6))
    empty_shop.office.plan()
    (clash,) = empty_shop.office.why().clashes
    assert (clash.jobs, clash.pairs) == ((4, 5, 6), ((4, 5), (4, 6)))
    assert clash.sentence.startswith("Job 4 can be kept with neither 5 nor 6 (all Fri 6 Mar) in any plan found; ")
    assert sum("as in this plan" in way.sentence for way in clash.ways) == 1
    assert {way.keeps for way in clash.ways} == {(4,), (5,), (6,)}
    assert len({way.sentence for way in clash.ways}) == len(clash.ways)


def test_what_is_left_out_is_named_by_its_numbers(demo_file) -> None:
    """A job has as many tasks as the last one's number: a bare number before "of its tasks" was read as how many."""
    office = Office.at(database=demo_file, pretend="2026-03-02 06:30")
    office.tick(2, [5, *range(8, 18)])
    office.found(2, "back hall", "rot", area="12 ft2")
    rows = office.job(2).tasks
    [work] = [row.number for row in rows if row.title.startswith("cut out")]
    assert work == len(rows)
    found = office.why(2).job.left_out
    assert any(one.endswith(f"'rot in back hall: cut out and replace soft wood' (task {work}).") for one in found)
    assert any("no way on is taken (tasks 6, 7, 18" in one for one in found)
