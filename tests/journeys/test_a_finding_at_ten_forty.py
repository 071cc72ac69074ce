"""Wednesday 10:40: an old sheet floor under the kitchen's carpet, in a house of 1962. The kitchen stops, the bedrooms go on."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from hashlib import sha256

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.found import NOBODY_IN
from crewjobs.domain.plan import Placement
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.blocks import begun_tasks
from crewjobs.engines.readiness.holds import cannot_be_planned, holds
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.findings.found_holds import where_nobody_goes
from crewjobs.services.jobs.walks import check_photos
from crewjobs.services.office import Office
from tests.builders import central
from tests.services.conftest import SHOP, Shop, kept

ROOM = """
[[room]]
name = "NAME"
length = "12 ft"
width = "10 ft"
layers = ["carpet"]
floor = "gray plank"
painted_trim = false
"""
HOUSE = (
    """
number = 4
title = "Rope Walk, house of 1962"
promised = 2026-03-06

[customer]
name = "Teo Halloran"

[site]
address = "9 Rope Walk, Marrow Bend"
year_built = 1962
"""
    + "".join(ROOM.replace("NAME", name) for name in ("kitchen", "front bedroom", "back bedroom"))
    + """
[[material]]
name = "gray plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 18
supplier = "north yard"
ordered = 2026-02-16
due = "2026-02-26 10:00"
"""
)
PRICED = SHOP.replace("[shop]", '[shop]\nhour_price = "$60"')
CARDED = PRICED.replace('"Ines Varga"', '{ name = "Ines Varga", cards = ["lead-safe renovator"] }')
AT = ("2026-03-04", "10:40")


def make_shop(shop: Shop) -> None:
    """Three carpeted rooms, planks lying there since Thursday; work began on Wednesday morning and is planned to end on Friday."""
    office, clock = shop.office, shop.clock
    clock.set("2026-02-26", "11:00")
    office.load([shop.file("shop.toml", CARDED), shop.file("house.toml", HOUSE)])
    office.arrived(4, "gray plank", 18, in_rooms=True)
    clock.set("2026-03-02", "06:30")
    shop.ready()
    clock.set("2026-03-04", "07:30")
    looks = [
        t.number
        for t in shop.record().tasks
        if t.key.template in ("walk-through-before", "room-reading", "count-lot-check")
    ]
    office.tick(4, [n for n in looks if shop.record().task(n).open], because="seen")
    office.plan()
    clock.set("2026-03-04", "10:30")
    begun = ("protect-house", "lead-papers", "base-off")
    office.tick(4, [t.number for t in shop.record().tasks if t.key.template in begun])
    office.start(4, shop.number_of("carpet-out", "kitchen"), crew="Birch")
    clock.set(*AT)


shop = kept(make_shop)


def found(shop: Shop):
    """Record the finding as the lead does, the plan following."""
    office = Office(shop.office._database, shop.clock, who="tester", follows=True)
    return office, office.found(
        4, "kitchen", "suspect asbestos", words="old sheet floor under the carpet", area="90 ft2", by="Ines Varga"
    )


def placements(shop: Shop) -> tuple[Placement, ...]:
    """Return the places of the plan in force."""
    with shop.office._database.reading() as uow:
        in_force = uow.latest_plan()
    assert in_force is not None
    return in_force.placements


def left_of(shop: Shop, task: int) -> int:
    """Return the labor minutes left of a task under way."""
    with shop.office._database.reading() as uow:
        crews = uow.shop()
    return begun_tasks(shop.record(), crews, shop.clock.at, None)[task].labor


def test_the_kitchen_is_held_at_once_and_the_bedrooms_go_on(shop: Shop) -> None:
    """Tear-out, scraping and whatever goes into that floor; nothing of the bedrooms. The laboratory is back on Monday, three working
    days later, and Friday's promise is named as lost."""
    before = {row.job: row for row in shop.office.week().promises}
    assert before[4].holds
    _, done = found(shop)
    record, now = shop.record(), central(*AT)
    [finding] = record.findings
    held = [record.task(n) for n in finding.holds]
    assert {task.key.template for task in held} >= {"carpet-out", "scrape-and-look"}
    assert {task.key.scope.name for task in held} == {"kitchen", ""}
    of_the_house = {task.key.template for task in held if not task.key.scope.name}
    assert of_the_house == {"lead-clean-check", "uncover-house", "returns"}
    for task in held:
        assert any(
            "suspect asbestos found in kitchen Wed 4 Mar 10:40" in hold.what for hold in holds(record, task, now)
        )
    for task in record.tasks:
        if task.key.scope.name.endswith("bedroom"):
            assert not any("asbestos" in hold.what for hold in holds(record, task, now))
    said = "\n".join(done.then)
    assert done.then[0].startswith("Stop there, air handler off, door shut, nothing swept, no shop vacuum")
    assert (
        "The inspector is waited for, sample of what was found in kitchen: Wed 4 Mar at the earliest, promised by nobody yet"
        in said
    )
    assert (
        "The laboratory is waited for, answer on what was found in kitchen: Mon 9 Mar at the earliest, promised by nobody yet"
        in said
    )
    assert "presumed to hold asbestos until an accredited inspector's sample proves it clear" in said
    assert "The promise of job 4 would be lost" in said
    with pytest.raises(OnHold, match="no way on is taken"):
        shop.office.tick(4, [held[0].number])


def test_begun_work_goes_on_at_once_when_its_way_on_is_taken(shop: Shop) -> None:
    """The hours in which it was held are not worked: what was left of the tear-out on Wednesday is left on Monday. The plan has it that
    minute, with the haul-out behind it, wherever it was planned while nobody knew."""
    office, _ = found(shop)
    tear_out = shop.number_of("carpet-out", "kitchen")
    left = left_of(shop, tear_out)
    shop.clock.set("2026-03-09", "09:00")
    assert not any(
        tear_out in place.tasks and place.start < central("2026-03-09", "16:00") for place in placements(shop)
    )
    shop.clock.set("2026-03-09", "11:00")
    office.came(4, "laboratory")
    assert not any(tear_out in place.tasks for place in placements(shop))
    said = {"laboratory": "Bay Analysis", "sampled": "2026-03-04", "sample": "K-1"}
    done = office.way_on(4, "kitchen", "suspect asbestos", "proven clear", **said)
    assert done.plan is not None
    [place] = [place for place in placements(shop) if tear_out in place.tasks]
    assert place.start == central("2026-03-09", "11:00")
    assert left_of(shop, tear_out) == left


def test_it_opens_only_with_laboratory_date_and_sample(shop: Shop) -> None:
    """The laboratory's word that came opens nothing; neither does a way on that lacks one of the three."""
    office, _ = found(shop)
    [finding] = shop.record().findings
    [tear_out] = [n for n in finding.holds if shop.record().task(n).key.template == "carpet-out"]
    shop.clock.set("2026-03-09", "11:00")
    office.came(4, "laboratory")
    with pytest.raises(OnHold, match="no way on is taken"):
        office.tick(4, [tear_out])
    for lacks in ("laboratory", "sampled", "sample"):
        said = {"laboratory": "Bay Analysis", "sampled": "2026-03-04", "sample": "K-1", lacks: ""}
        with pytest.raises(Refused, match=f"opens nothing without --{lacks}"):
            office.way_on(4, "kitchen", "suspect asbestos", "proven clear", **said)
    done = office.way_on(
        4, "kitchen", "suspect asbestos", "proven clear", laboratory="Bay Analysis", sampled="2026-03-04", sample="K-1"
    )
    assert "laboratory Bay Analysis, sample K-1 of Wed 4 Mar" in done.sentence
    assert not any("asbestos" in h.what for h in holds(shop.record(), shop.record().task(tear_out), shop.clock.at))
    office.undo()
    assert any("asbestos" in h.what for h in holds(shop.record(), shop.record().task(tear_out), shop.clock.at))


def test_floated_over_nothing_goes_into_it(shop: Shop) -> None:
    """Left undisturbed: whatever would be scraped, screwed or cut into that floor is taken off the job, also after the file is loaded
    again; what lies loose over it comes up with its caution beside it, and the new floor is planned."""
    office, _ = found(shop)
    with pytest.raises(Refused, match="heights were checked and that the customer was told in writing"):
        office.way_on(4, "kitchen", "suspect asbestos", "float over", by="Ines Varga")
    done = office.way_on(
        4,
        "kitchen",
        "suspect asbestos",
        "float over",
        by="Ines Varga",
        because="heights checked, letter of today to the customer",
    )
    [way] = shop.record().ways_taken
    assert {shop.record().task(n).key.template for n in way.drops} == {"scrape-and-look", "screw-down"}
    assert any(words.startswith("Taken off the job: ") for words in done.then)
    shop.office.load([shop.file("house.toml", HOUSE.replace("Rope Walk, house", "Rope Walk, the house"))], replace=True)
    assert all(shop.record().task(n).not_needed for n in way.drops)
    placed = {task for place in placements(shop) for task in place.tasks}
    assert shop.number_of("lay-click-vinyl", "kitchen") in placed
    [row] = [one for one in office.job(4).tasks if one.number == shop.number_of("carpet-out", "kitchen")]
    assert any("presumed to hold asbestos" in text for text in row.cautions)
    office.undo()
    office.undo()
    assert not any(shop.record().task(n).not_needed for n in way.drops)


def test_what_would_be_fastened_into_it_stays_on_hold_until_the_job_is_changed(shop: Shop) -> None:
    """Plywood screwed down is no floating over: it says so, and is not needed once the job's file has no plywood."""
    text = HOUSE.replace("number = 4", "number = 5").replace('"kitchen"', '"kitchen"\nplywood = true')
    shop.office.load([shop.file("other.toml", text)])
    shop.office.found(5, "kitchen", "suspect asbestos")
    shop.office.way_on(5, "kitchen", "suspect asbestos", "float over", by="Ines Varga", because="letter of today")
    plywood = shop.number_of("plywood-underlayment", "kitchen", job=5)
    why = cannot_be_planned(shop.record(5), shop.clock.at)
    assert why[plywood].startswith("suspect asbestos in kitchen: float over was taken, and 'Plywood underlayment down")
    assert not any("asbestos" in words for number, words in why.items() if number != plywood)
    shop.office.load([shop.file("other.toml", text.replace("plywood = true", ""))], replace=True)
    assert shop.record(5).task(plywood).not_needed
    assert not any("asbestos" in words for words in cannot_be_planned(shop.record(5), shop.clock.at).values())


def test_removed_by_a_licensed_firm_the_crew_tears_out_nothing_there(shop: Shop) -> None:
    """The tear-out of the room and its hauling out are taken off the job; looking the bare floor over is not."""
    office, _ = found(shop)
    said = {"by": "Harbor Abatement", "because": "clearance in writing"}
    with pytest.raises(Refused, match=r"without --sampled .*sampled the day of the clearance"):
        office.way_on(4, "kitchen", "suspect asbestos", "licensed removal", **said)
    done = office.way_on(4, "kitchen", "suspect asbestos", "licensed removal", **said, sampled="2026-03-04")
    assert "(cleared Wed 4 Mar)" in done.sentence
    [way] = shop.record().ways_taken
    assert {shop.record().task(n).key.template for n in way.drops} == {"carpet-out", "haul-out"}
    assert any("scrape" in words.casefold() for words in done.then if words.startswith("No longer held"))
    placed = {task for place in placements(shop) for task in place.tasks}
    assert {shop.number_of("scrape-and-look", "kitchen"), shop.number_of("lay-click-vinyl", "kitchen")} <= placed


@pytest.mark.parametrize(
    ("place", "kind", "more", "says"),
    [
        ("cellar", "mold", {}, "there is no place 'cellar' in job 4"),
        ("kitchen", "ghosts", {}, "'ghosts' is no kind of finding"),
        ("kitchen", "modl", {}, r"did you mean mold\?"),
        ("kitchen", "mold", {"area": "500 ft2"}, "500 ft² of it in kitchen: it is more than 0 and at most 120 ft²"),
        ("kitchen", "further layer", {"year": 2030}, "2030 is no year a layer went in"),
        ("kitchen", "mold", {"photos": ["gone.jpg"]}, "photo 'gone.jpg' cannot be read"),
        ("kitchen", "mold", {"photos": ["/dev/null"]}, "is an empty file: give the picture itself"),
        ("kitchen", "mold", {"at": "2026-03-05 09:00"}, "is still to come"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_stored(shop: Shop, place: str, kind: str, more: dict, says: str) -> None:
    """One sentence each."""
    before = shop.record()
    with pytest.raises(Refused, match=says):
        shop.office.found(4, place, kind, **more)
    assert shop.record() == before


def test_mold_by_its_size(shop: Shop) -> None:
    """Under 10 ft² the lead decides with the customer; from there a specialist is asked; unknown, it is asked for (EPA guidance)."""
    office = shop.office
    office.found(4, "kitchen", "mold", area="12 ft2")
    with pytest.raises(Refused, match="from 10 ft² on a specialist is asked"):
        office.way_on(4, "kitchen", "mold", "treated", by="Teo", because="dry")
    office.way_on(4, "kitchen", "mold", "specialist", by="Harbor Remediation", because="clearance of 6 March")
    done = office.found(4, "front bedroom", "mold", area="4 ft2")
    assert any("lead decides with the customer" in words for words in done.then)
    with pytest.raises(Refused, match=r"'treated' stands on task \d+ 'clean, cut out .* which is not ticked") as no:
        office.way_on(4, "front bedroom", "mold", "treated", by="Ines Varga", because="valve closed, wood at 11 %")
    assert "--because" not in str(no.value), "in a form it would be taken for a line of the way on, and a tick has none"
    office.tick(4, [shop.number_of("extra-work")], because="agreed by telephone")
    with pytest.raises(Refused, match=r"'treated': it dries until Fri 6 Mar 10:40 \(48 h"):
        office.way_on(4, "front bedroom", "mold", "treated", by="Ines Varga", because="valve closed, wood at 11 %")
    shop.clock.set("2026-03-06", "10:40")
    office.way_on(4, "front bedroom", "mold", "treated", by="Ines Varga", because="valve closed, wood at 11 %")
    with pytest.raises(Refused, match="'treated' was taken"):
        office.way_on(4, "front bedroom", "mold", "treated", by="Ines Varga", because="again")


def test_more_of_it_shows_after_opening_up(shop: Shop) -> None:
    """4 ft² of mold are drafted work of the crew; 12 ft² of the same are a specialist's, asked that day, and the draft is gone. Of rot the
    draft follows what is seen, and one the customer was asked for stays. One undo takes each of it back."""
    office = shop.office
    office.found(4, "kitchen", "mold", area="4 ft2", by="Ines Varga")
    small = shop.record()
    assert [order.minutes for order in small.change_orders] == [120]
    with pytest.raises(Refused, match="where more of it is seen now, give all of it with --area"):
        office.found(4, "kitchen", "mold", area="3 ft2")
    shop.clock.set("2026-03-05", "09:00")
    done = office.found(4, "kitchen", "mold", area="12 ft2")
    assert "more mold in kitchen, 12 ft² of it seen Thu 5 Mar 09:00, before 4 ft²" in done.sentence
    record = shop.record()
    [finding] = record.findings
    [asked] = record.waiting_on
    assert (finding.area_ft2, finding.by, finding.work, record.change_orders) == (12, "Ines Varga", "", ())
    assert (asked.who.value, asked.asked) == ("specialist", date(2026, 3, 5))
    assert not any(task.open for task in record.tasks if task.key.template == "extra-work")
    office.undo()
    assert shop.record().findings == small.findings
    assert shop.record().change_orders == small.change_orders
    office.found(4, "kitchen", "rot", area="10 ft2")
    office.found(4, "kitchen", "rot", area="20 ft2")
    [order] = [one for one in shop.record().change_orders if one.what == ROT]
    assert (order.minutes, order.cents) == (360, 36000)
    office.agreed(4, ROT, "$360", only_asked=True)
    done = office.found(4, "kitchen", "rot", area="30 ft2")
    assert any("was asked for when less was known" in words for words in done.then)
    assert [one.cents for one in shop.record().change_orders if one.what == ROT] == [36000]
    [work] = [task.number for task in shop.record().tasks if ROT.endswith(f": {task.key.cause}") and task.key.cause]
    assert shop.record().job.work[-1].minutes == 510, "the day is by all of it"
    office.agreed(4, ROT, "$510", by="Teo Halloran")
    more = office.found(4, "kitchen", "rot", area="40 ft2").then
    assert any(f'`crewjobs agreed 4 "more {ROT}" --asked`' in words for words in more)
    rest = [(one.what, one.minutes, one.cents, one.drafted) for one in shop.record().change_orders[-1:]]
    assert rest == [(f"more {ROT}", 150, 15000, True)]
    with pytest.raises(OnHold, match=f"the customer has not agreed to 'more {ROT}'"):
        office.tick(4, [work])
    office.found(4, "kitchen", "rot", area="42 ft2")
    assert [one.minutes for one in shop.record().change_orders if one.what.startswith("more")] == [180]
    office.declined(4, f"more {ROT}", by="Teo Halloran")
    no = office.found(4, "kitchen", "rot", area="44 ft2").then
    assert any(f'`crewjobs agreed 4 "more {ROT}" AMOUNT --by NAME`' in words for words in no)
    office.agreed(4, f"more {ROT}", "$210", by="Teo Halloran")
    assert shop.record().change_orders[-1].minutes == 210
    office.tick(4, [work], because="the rest is ready")
    office.found(4, "kitchen", "rot", area="50 ft2")
    [second] = [task for task in shop.record().tasks if "soft wood" in task.title and task.open]
    assert second.title.endswith(" (2)")
    assert shop.record().change_orders[-1].minutes == 90, "what was not repaired yet"


def test_a_file_loaded_again_keeps_what_was_found(shop: Shop) -> None:
    """A job's file says nothing of findings: their work and its draft stay; what comes up in their place is held as well."""
    office = shop.office
    office.found(4, "kitchen", "rot", area="10 ft2")
    work = shop.number_of("extra-work")
    anew = shop.file("house.toml", HOUSE.replace('floor = "gray plank"', 'floor = "gray plank"\nplywood = true', 1))
    office.load([anew], replace=True)
    record = shop.record()
    assert record.task(work).open
    assert [order.what for order in record.change_orders] == [ROT]
    plywood = shop.number_of("plywood-underlayment", "kitchen")
    [finding] = record.findings
    assert plywood in finding.holds
    assert any("rot found in kitchen" in hold.what for hold in holds(record, record.task(plywood), shop.clock.at))


def test_what_is_floated_over_counts_in_the_height(shop: Shop) -> None:
    """It is not in the job's file yet: the way on asks for it. Added with its thickness, nobody takes it out, nothing goes into it, and the
    kitchen's floor comes to lie so much higher than before."""
    office, _ = found(shop)
    said = {"by": "Ines Varga", "because": "heights checked, told in writing"}
    done = office.way_on(4, "kitchen", "suspect asbestos", "float over", **said)
    assert any("it is not among the layers of kitchen" in words for words in done.then)
    was = next(one for one in office.heights(4).rooms if one.startswith("kitchen"))
    layers = 'layers = ["carpet", { covering = "sheet vinyl", year = 1962, thickness = "1/8 in" }]'
    office.load([shop.file("house.toml", HOUSE.replace('layers = ["carpet"]', layers, 1))], replace=True)
    record = shop.record()
    sheet = [task for task in record.tasks if task.key.template == "sheet-vinyl-out"]
    assert sheet
    assert not any(task.open for task in sheet)
    assert any(task.open for task in record.tasks if task.key.template == "carpet-out")
    now = next(one for one in office.heights(4).rooms if one.startswith("kitchen"))
    assert 'sheet vinyl, left 1/8"' in now
    assert "left" not in was


def test_much_mold_stops_all_that_stirs_it_up(shop: Shop) -> None:
    """4 ft² hold what would cover them; 12 ft², or any of it from sewage, hold the tear-out, the carrying out and the screwing too."""
    office = shop.office
    office.found(4, "kitchen", "mold", area="4 ft2")
    tear_out = shop.number_of("carpet-out", "kitchen")
    assert tear_out not in shop.record().findings[0].holds
    office.found(4, "kitchen", "mold", area="12 ft2")
    assert tear_out in shop.record().findings[0].holds
    office.found(4, "front bedroom", "mold", words="sewage", area="1 ft2")
    assert shop.number_of("carpet-out", "front bedroom") in shop.record().findings[-1].holds


@pytest.mark.parametrize(("built", "warned"), [(1962, True), (1999, False)])
def test_a_hump_in_an_old_house_is_not_ground_unasked(shop: Shop, built: int, warned: bool) -> None:
    """Old floors and glue come before dust; in a house of 1999 only the glue is spoken of."""
    shop.office.load([shop.file("house.toml", HOUSE.replace("1962", str(built)))], replace=True)
    checks = [words for words in shop.office.found(4, "kitchen", "hump").then if words.startswith("Check:")]
    assert ("Old resilient floor" in checks[0]) is warned
    assert any("Black or old adhesive" in words for words in checks[:2])
    assert "silica" in checks[-1]


def test_what_lies_under_a_floor_is_done_when_that_is_out(shop: Shop) -> None:
    """The kitchen's soft wood is cut out behind its tear-out, in the plan and at the tick; the bedrooms' tear-out has nothing to do with it."""
    office = Office(shop.office._database, shop.clock, who="tester", follows=True)
    office.found(4, "kitchen", "rot", area="10 ft2", by="Ines Varga")
    office.agreed(4, ROT, by="Teo Halloran")
    work, out = shop.number_of("extra-work"), shop.number_of("carpet-out", "kitchen")
    places = {task: place for place in placements(shop) for task in place.tasks}
    assert places[out].end <= places[work].start
    assert {link.before for link in shop.record().links if link.after == work} >= {out}
    assert shop.number_of("carpet-out", "back bedroom") not in {
        link.before for link in shop.record().links if link.after == work
    }
    with pytest.raises(OnHold, match="Carpet, pad, tack strip and staples out"):
        office.tick(4, [work])


def test_photos_are_found_from_any_folder(shop: Shop, monkeypatch: pytest.MonkeyPatch, tmp_path) -> None:
    """A path that was typed from the truck's folder is kept whole."""
    picture = shop.file("one.jpg", "a picture")
    monkeypatch.chdir(picture.parent)
    shop.office.found(4, "kitchen", "rot", photos=["one.jpg"])
    monkeypatch.chdir(tmp_path)
    assert check_photos(shop.record()) == (f"{picture} (kitchen): the bytes recorded",)


def test_answers_are_usual_until_somebody_promises_them(shop: Shop) -> None:
    """Nobody was called yet: the list says whom to call, and no answer is called promised. The laboratory's three working days run from
    the inspector's own day; found after hours, from the next day of work."""
    office, _ = found(shop)
    rows = {
        row.what.partition(":")[0]: row for row in office.waiting() if row.what.startswith(("inspector", "laboratory"))
    }
    assert {row.state.value for row in rows.values()} == {"to ask"}
    assert rows["inspector"].what.endswith("to be asked, expected Wed 4 Mar at the earliest, promised by nobody")
    assert all(row.ready_at is None and "asked Wed" not in row.what for row in rows.values())
    assert "call the inspector: nobody has asked yet" in rows["inspector"].call
    assert "nobody has asked yet" in rows["laboratory"].call
    office.promised(4, "inspector", "2026-03-10 09:00")
    inspector, laboratory = shop.record().waiting_on
    assert (inspector.usual, inspector.promised) == (False, central("2026-03-10", "09:00"))
    assert (laboratory.usual, to_wall("America/Chicago", laboratory.promised).date()) == (True, date(2026, 3, 13))
    office.promised(4, "laboratory", "2026-03-12 12:00")
    office.came(4, "inspector")
    assert shop.record().waiting_on[1].promised == central("2026-03-12", "12:00")


def _of_the_inspector(lines: Iterable[str]) -> list[str]:
    return [line for line in lines if "inspector" in line and "sample of what was found" in line]


def test_nobody_was_asked_until_somebody_says_so(shop: Shop) -> None:
    """A finding asks nobody by itself. Asked by hand in the same words, or chased, the day of the asking is told everywhere."""
    office, _ = found(shop)
    (line,) = _of_the_inspector(office.job(4).site_lines)
    assert line.endswith("to be asked, expected Wed 4 Mar at the earliest, promised by nobody")
    span = next(wait for day in office.week().days for wait in day.waits if wait.what.startswith("inspector"))
    assert span.unpromised
    assert span.what.endswith("to be asked")
    shop.clock.set("2026-03-05", "08:00")
    done = office.ask(4, "inspector", "Sample of what was found in kitchen")
    assert done.sentence == "Job 4: the inspector asked for 'sample of what was found in kitchen' Thu 5 Mar."
    (line,) = _of_the_inspector(office.job(4).site_lines)
    assert "asked Thu 5 Mar, was expected Wed 4 Mar at the earliest, promised by nobody" in line
    office.chased(4, "laboratory")
    office.promised(4, "laboratory", "2026-03-12 12:00")
    (_, laboratory) = shop.record().waiting_on
    assert (laboratory.asked, laboratory.chased, laboratory.usual) == (date(2026, 3, 5), (), False)
    with pytest.raises(Refused, match="was asked for 'sample of what was found in kitchen'"):
        office.ask(4, "inspector", "sample of what was found in kitchen")


def test_a_plumber_is_to_be_asked_though_no_day_is_usual(shop: Shop) -> None:
    """What follows a finding without usual days is no more asked than what has them."""
    shop.office.found(4, "kitchen", "shutoff weeps")
    (row,) = [row for row in shop.office.waiting() if row.what.startswith("plumber: the shutoff")]
    assert (row.state.value, row.what.endswith(", to be asked")) == ("to ask", True)
    shop.office.chased(4, "plumber")
    (row,) = [row for row in shop.office.waiting() if row.what.startswith("plumber: the shutoff")]
    assert row.state.value == "asked"


def test_found_on_friday_night(shop: Shop) -> None:
    """The inspector is not usual before Monday, nor the laboratory before Thursday."""
    shop.clock.set("2026-03-06", "19:00")
    shop.office.found(4, "kitchen", "suspect asbestos")
    days = [to_wall("America/Chicago", waits.promised).date() for waits in shop.record().waiting_on]
    assert days == [date(2026, 3, 9), date(2026, 3, 12)]


def test_floated_over_nothing_is_ground_and_the_caution_stays(shop: Shop) -> None:
    """Grinding and patching go off the job with the rest; every task left in the kitchen tells of the layer that stays there."""
    patched = HOUSE.replace('floor = "gray plank"', 'floor = "gray plank"\npatch = "20 ft2"', 1)
    shop.office.load([shop.file("house.toml", patched)], replace=True)
    office, _ = found(shop)
    done = office.way_on(
        4, "kitchen", "suspect asbestos", "float over", by="Ines Varga", because="heights checked, told in writing"
    )
    tasks = {task.key.template: task for task in shop.record().tasks if task.key.scope.name == "kitchen"}
    assert tasks["patch"].not_needed
    assert any(words.startswith("Check: Old resilient floor") for words in done.then)
    assert any(
        "No longer waited for, though no answer was recorded: the inspector and the laboratory" in words
        for words in done.then
    )
    rows = {row.number: row for row in office.job(4).tasks}
    assert any("Old resilient floor" in text for text in rows[tasks["lay-click-vinyl"].number].cautions)
    assert not any(
        "Old resilient floor" in text for text in rows[shop.number_of("lay-click-vinyl", "front bedroom")].cautions
    )


@pytest.mark.parametrize(
    ("kind", "words", "area", "who"),
    [
        ("mold", "sewage backed up", "3 ft2", ["specialist"]),
        ("mold", "under the sink", "3 ft2", []),
        ("pipe in the floor", "", "", ["plumber"]),
        ("live wire or pipe", "cable not in a box", "", ["electrician"]),
        ("live wire or pipe", "", "", ["electrician", "plumber"]),
        ("shutoff weeps", "", "", ["plumber"]),
    ],
)
def test_who_is_asked_goes_by_what_was_said(shop: Shop, kind: str, words: str, area: str, who: list[str]) -> None:
    """Sewage is a specialist's at any size (EPA guidance), a pipe is no electrician's; a shutoff is the plumber's whatever it holds."""
    shop.office.found(4, "kitchen", kind, words=words, area=area)
    assert [waits.who.value for waits in shop.record().waiting_on] == who
    if words.startswith("sewage"):
        assert shop.record().change_orders == ()
        with pytest.raises(Refused, match="a specialist is asked, however little is seen"):
            shop.office.way_on(4, "kitchen", "mold", "treated", by="Ines", because="dry")


def test_what_the_job_has_already_is_not_added_twice(shop: Shop) -> None:
    """A loose subfloor is screwed down in the job as it is; lead-safe work is in it by the year of the house."""
    done = shop.office.found(4, "kitchen", "loose subfloor", area="40 ft2")
    assert shop.record().change_orders == ()
    assert any(words.startswith("The job has it already: task") for words in done.then)


def test_the_customer_answers_by_the_works_own_words(shop: Shop) -> None:
    """Named by the task's title; who answered is asked for; said no, it stays on hold and says so; later agreed, it opens."""
    office = shop.office
    office.found(4, "kitchen", "rot", area="10 ft2")
    work = shop.number_of("extra-work")
    with pytest.raises(Refused, match="say who agreed with --by NAME"):
        office.agreed(4, "cut out and replace soft wood")
    with pytest.raises(Refused, match="say who said no with --by NAME"):
        office.declined(4, ROT)
    with pytest.raises(Refused, match="there is no change order 'new stairs'"):
        office.declined(4, "new stairs", by="Teo Halloran")
    done = office.declined(4, "cut out and replace soft wood", by="Teo Halloran")
    assert "declined Wed 4 Mar by Teo Halloran" in done.sentence
    assert not [row for row in office.waiting() if row.what.startswith("Customer's choice")]
    with pytest.raises(OnHold, match="the customer has declined"):
        office.tick(4, [work])
    with pytest.raises(Refused, match="was declined Wed 4 Mar already"):
        office.declined(4, ROT, by="Teo Halloran")
    office.agreed(4, ROT, by="Teo Halloran")
    assert [(one.what, one.by, one.declined) for one in shop.record().change_orders] == [(ROT, "Teo Halloran", None)]
    assert not any("customer" in hold.what for hold in holds(shop.record(), shop.record().task(work), shop.clock.at))


def test_more_photos_of_what_was_found(shop: Shop) -> None:
    """They are added to the finding; it stays as it was."""
    one, other = shop.file("one.jpg", "a picture"), shop.file("other.jpg", "another")
    shop.office.found(4, "kitchen", "rot", area="10 ft2", photos=[str(one)])
    shop.office.found(4, "kitchen", "rot", photos=[str(other)])
    [finding] = shop.record().findings
    assert ([photo.path for photo in finding.photos], finding.area_ft2) == ([str(one), str(other)], 10)
    assert len(shop.record().change_orders) == 1


ROT = "rot in kitchen: cut out and replace soft wood"


def test_rot_adds_work_that_waits_for_the_customer_and_drafts_its_change_order(shop: Shop) -> None:
    """60 min and 15 min a ft² of it: 10 ft² are 3.5 h, at $60 an hour $210. What is held is planned behind that work only once the
    customer agreed to it, and opens only when somebody has taken the way on."""
    office = Office(shop.office._database, shop.clock, who="tester", follows=True)
    done = office.found(4, "kitchen", "rot", area="10 ft2", by="Ines Varga")
    work, laying = shop.number_of("extra-work"), shop.number_of("lay-click-vinyl", "kitchen")
    [order] = shop.record().change_orders
    assert (order.what, order.minutes, order.cents, order.drafted) == (ROT, 210, 21000, True)
    assert any("3.5 h of one person, $210.00" in words for words in done.then)
    placed = {task for place in placements(shop) for task in place.tasks}
    assert not {work, laying} & placed
    with pytest.raises(OnHold, match="the customer has not agreed to"):
        office.tick(4, [work])
    done = office.agreed(4, ROT, by="Teo Halloran")
    assert "agreed Wed 4 Mar by Teo Halloran" in done.sentence
    assert "$210.00" in done.sentence
    [order] = shop.record().change_orders
    assert not order.drafted
    places = {task: place for place in placements(shop) for task in place.tasks}
    assert places[work].end <= places[laying].start
    shop.clock.set("2026-03-04", "15:00")
    office.tick(4, [work], because="done at once")
    with pytest.raises(OnHold, match="no way on is taken"):
        office.tick(4, [laying])
    office.way_on(4, "kitchen", "rot", "replaced", by="Ines Varga", because="valve mended, 11 % by the meter")
    assert not any("rot" in hold.what for hold in holds(shop.record(), shop.record().task(laying), shop.clock.at))


def test_asked_for_another_price_the_draft_is_no_draft_any_more(shop: Shop) -> None:
    """Asked for $180, agreed two days later: name, day and amount stay."""
    office = shop.office
    office.found(4, "kitchen", "rot", area="10 ft2")
    assert any(row.what.startswith(f"Customer's choice: {ROT}") for row in office.waiting())
    office.agreed(4, ROT, "180", only_asked=True)
    with pytest.raises(Refused, match="was asked Wed 4 Mar already"):
        office.agreed(4, ROT, "180", only_asked=True)
    shop.clock.set("2026-03-06", "09:00")
    office.agreed(4, ROT, by="Teo Halloran")
    [order] = shop.record().change_orders
    assert (order.cents, order.agreed.isoformat(), order.by) == (18000, "2026-03-06", "Teo Halloran")


def test_another_way_takes_the_drafted_work_off(shop: Shop) -> None:
    """Mold of unknown size is drafted as the crew's work; a specialist's clearance leaves none of it, nor the draft."""
    office = shop.office
    office.found(4, "kitchen", "mold")
    work = shop.number_of("extra-work")
    office.way_on(4, "kitchen", "mold", "specialist", by="Harbor Remediation", because="clearance of 4 March")
    assert shop.record().task(work).not_needed
    assert shop.record().change_orders == ()
    office.undo()
    assert not shop.record().task(work).not_needed


def test_much_mold_drafts_no_work_of_the_crew(shop: Shop) -> None:
    """From 10 ft² on a specialist is asked (EPA guidance): nothing is added and nothing drafted."""
    shop.office.found(4, "kitchen", "mold", area="10 ft2")
    assert shop.record().change_orders == ()
    assert not any(task.key.template == "extra-work" for task in shop.record().tasks)


@pytest.mark.parametrize(
    ("kind", "year", "words", "becomes"),
    [
        ("further layer", 1980, "sheet vinyl", "suspect asbestos"),
        ("further layer", None, "", "suspect asbestos"),
        ("further layer", 1981, "sheet vinyl", "further layer"),
        ("further layer", None, "plywood underlayment", "further layer"),
        ("further layer", None, "carpet", "further layer"),
        ("further layer", None, "an older carpet, glued down", "suspect asbestos"),
        ("further layer", 1981, "carpet, glued down", "further layer"),
        ("suspect asbestos", 1980, "", "suspect asbestos"),
    ],
)
def test_the_year_of_a_layer_decides(shop: Shop, kind: str, year: int | None, words: str, becomes: str) -> None:
    """Up to and with 1980, and where nobody knows it (29 CFR 1926.1101(b), (k): no later than 1980)."""
    shop.office.found(4, "kitchen", kind, year=year, words=words)
    assert shop.record().findings[-1].kind == becomes


def test_a_layer_of_1981_is_not_presumed(shop: Shop) -> None:
    """The rule's year is inclusive: 1980 is the last."""
    with pytest.raises(Refused, match="a layer of 1981 is not presumed by the rule, which ends with 1980"):
        shop.office.found(4, "kitchen", "suspect asbestos", year=1981)


def test_painted_trim_counts_base_shoe_and_jambs(shop: Shop) -> None:
    """44 ft of base at 5 1/4 in are 19.25 ft², its shoe 2.75: over the 6 ft² a room of 40 CFR 745.83. The kitchen's trim is held, no
    other."""
    done = shop.office.found(4, "kitchen", "painted trim")
    assert any(
        "about 22 ft² (base 19.2 ft², shoe 2.8 ft²;" in words and "over the 6 ft²" in words for words in done.then
    )
    [finding] = shop.record().findings
    assert {shop.record().task(number).where for number in finding.holds} <= {"kitchen"}
    seen = shop.office.found(4, "front bedroom", "painted trim", area="6 ft2")
    assert any("about 6 ft² (as it was seen), not over the 6 ft²" in words for words in seen.then)


@pytest.mark.parametrize(("built", "held"), [("1977", True), ("1978", False)])
def test_the_year_of_the_house_decides(shop: Shop, built: str, held: bool) -> None:
    """Housing built before 1978 (40 CFR 745): 1977 is the last year."""
    text = HOUSE.replace("number = 4", "number = 5").replace("year_built = 1962", f"year_built = {built}")
    shop.office.load([shop.file("other.toml", text)])
    if held:
        shop.office.found(5, "kitchen", "painted trim")
        assert shop.record(5).findings
        return
    with pytest.raises(Refused, match="for houses built before 1978"):
        shop.office.found(5, "kitchen", "painted trim")


def test_it_is_told_wherever_the_crew_looks(shop: Shop) -> None:
    """The job's page, the task, on site and the day plan: what is held, what to check and the ways on; taken, the way says so."""
    office, _ = found(shop)
    page = office.job(4)
    lines = "\n".join(page.findings)
    assert "kitchen: suspect asbestos, old sheet floor under the carpet, 90 ft² seen (Ines Varga)" in lines
    assert "On hold by it: " in lines
    assert "Way on: proven clear: proven clear by a laboratory; it needs --laboratory, --sampled and --sample." in lines
    [row] = [one for one in page.tasks if one.number == shop.number_of("screw-down", "kitchen")]
    assert "suspect asbestos found in kitchen" in row.hold
    assert any("presumed to hold asbestos" in text for text in row.cautions)
    [other] = [one for one in page.tasks if one.number == shop.number_of("screw-down", "front bedroom")]
    assert not any("presumed to hold asbestos" in text for text in other.cautions)
    [decide] = [one for one in office.waiting() if one.what == "suspect asbestos in kitchen: the way on"]
    assert decide.state == "to decide"
    assert "Carpet, pad, tack strip" in decide.holds
    [house] = office.site_day("Birch").houses
    assert any(
        "kitchen: suspect asbestos" in words and "ways on: float over; licensed" in words for words in house.found
    )
    text = " ".join(office.day_plan_text(date(2026, 3, 5), "Birch").split())
    assert "kitchen: shut, air handler stays off, nothing swept, no shop vacuum" in text
    assert "Tonight: vacuumed" not in text
    assert "kitchen: suspect asbestos, 90 ft² seen" in text
    assert "Stop there, air handler off" in text
    assert "presumed to hold asbestos" in text
    said = {"laboratory": "Bay Analysis", "sampled": "2026-03-04", "sample": "K-1"}
    office.way_on(4, "kitchen", "suspect asbestos", "proven clear", **said)
    lines = "\n".join(office.job(4).findings)
    assert "proven clear by a laboratory, laboratory Bay Analysis, sample K-1 of Wed 4 Mar" in lines
    assert "On hold by it" not in lines
    assert office.site_day("Birch").houses[0].found == ()


@pytest.mark.parametrize("key", [kind.key for kind in read_catalogue().findings])
def test_every_kind_holds_its_room_and_no_other(shop: Shop, key: str) -> None:
    """What is held is in the kitchen or of the whole house, of a template the kind names; a photo is kept by its path and hash."""
    kind = next(one for one in read_catalogue().findings if one.key == key)
    if kind.slab:
        with pytest.raises(Refused, match="the subfloor of kitchen is plywood, no slab"):
            shop.office.found(4, "kitchen", key)
        slab = HOUSE.replace('floor = "gray plank"', 'floor = "gray plank"\nsubfloor = "slab"', 1)
        shop.office.load([shop.file("house.toml", slab)], replace=True)
    photo = shop.file("photo.jpg", "not really a photo")
    shop.office.found(4, "kitchen", key, words="ceramic tile", photos=[str(photo)])
    [finding] = shop.record().findings
    for number in finding.holds:
        assert shop.record().task(number).where in ("kitchen", "house")
        assert shop.record().task(number).key.template in (
            where_nobody_goes(read_catalogue())[0] if key in NOBODY_IN else kind.holds
        )
    [kept_photo] = finding.photos
    assert kept_photo.path == str(photo)
    assert kept_photo.sha256 == sha256(photo.read_bytes()).hexdigest()
    assert check_photos(shop.record()) == (f"{photo} (kitchen): the bytes recorded",)
    photo.write_text("another picture", encoding="utf-8")
    assert check_photos(shop.record()) == (f"{photo} (kitchen): OTHER bytes than recorded",)


def test_a_metric_shop_is_told_in_metric(shop: Shop) -> None:
    """90 ft² are 8.4 m², and the limit of 10 ft² of mold is told as 0.9 m²."""
    shop.office.load([shop.file("shop.toml", CARDED.replace("[shop]", '[shop]\nunits = "metric"'))], replace=True)
    done = shop.office.found(4, "kitchen", "mold", area="90 ft2")
    assert "8.4 m² of it seen" in done.sentence
    with pytest.raises(Refused, match=r"8\.4 m² of mold are seen: from 0\.9 m² on a specialist is asked"):
        shop.office.way_on(4, "kitchen", "mold", "treated", by="Teo", because="dry")
    done = shop.office.found(4, "kitchen", "painted trim")
    dip = shop.office.found(4, "kitchen", "dip")
    told = [done.sentence, *done.then, *dip.then, *shop.office.job(4).findings]
    assert not [words for words in told if re.search(r"\d ?(?:ft|in|ft²)(?!\w)", words)]
