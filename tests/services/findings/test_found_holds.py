"""What is of the whole house but done in rooms is held by what was found in one of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.found import NOTHING_INTO
from crewjobs.domain.plan import Placement
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.found import before_its_work, held_by, work_task
from crewjobs.engines.readiness.holds import cannot_be_planned
from crewjobs.engines.readiness.shut import behind_shut, nobody_in
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.findings.found_holds import held_there
from crewjobs.services.findings.kept_out import NOBODY_GOES_IN
from crewjobs.services.laying.take_off_rests import supply_rows
from crewjobs.services.office import Office
from tests.builders import central
from tests.services.conftest import SHOP, Shop, kept

ROOM = """
[[room]]
name = "NAME"
length = "12 ft"
width = "10 ft"
layers = ["vinyl tile"]
floor = "gray plank"
subfloor = "SUBFLOOR"
"""
HOUSE = (
    """
number = 4
title = "Slab and joists, Quarry Road"

[customer]
name = "Teo Halloran"

[site]
address = "9 Quarry Road, Marrow Bend"
year_built = 1985
"""
    + "".join(
        ROOM.replace("NAME", name).replace("SUBFLOOR", subfloor)
        for name, subfloor in (("front room", "slab"), ("back room", "slab"), ("loft", "plywood"))
    )
    + """
[[material]]
name = "gray plank"
kind = "glue-down vinyl"
method = "glued"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "gray plank"
cartons = 18
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-02 07:00"
"""
)
SUSPECT = "suspect asbestos"


def make_house(shop: Shop) -> None:
    """Two rooms on slab, one on joists; the house is open, the laboratory has answered for the layers that were known."""
    office = shop.office
    office.load([shop.file("shop.toml", SHOP), shop.file("house.toml", HOUSE)])
    shop.clock.set("2026-03-02", "07:00")
    shop.ready()
    open_house = ("walk-through-before", "protect-house", "sampling", "laboratory-answer")
    numbers = [task.number for task in shop.record().tasks if task.key.template in open_house]
    for number in numbers:  # the laboratory's answer is ticked by itself
        office.tick(4, [number], because="seen")
    shop.clock.set("2026-03-02", "11:30")


shop = kept(make_house)
SET = "Slab moisture test set"


def following(shop: Shop) -> Office:
    """Return the services of a shop that is planned, its plan following what is recorded."""
    shop.office.plan()
    return Office(shop.office._database, shop.clock, who="tester", follows=True)


def placements(shop: Shop) -> tuple[Placement, ...]:
    """Return the places of the plan in force."""
    with shop.office._database.reading() as uow:
        in_force = uow.latest_plan()
    assert in_force is not None
    return in_force.placements


@pytest.mark.parametrize("place", ["front room", "back room", "house"])
@pytest.mark.parametrize("kind", [SUSPECT, "live wire or pipe", "pests"])
def test_the_slab_test_is_held_by_what_is_found_where_it_is_set(shop: Shop, kind: str, place: str) -> None:
    """It drills the slab and lifts a corner of the old floor there; the tick says what holds it."""
    shop.office.found(4, place, kind)
    with pytest.raises(OnHold, match=f"{kind} found in {place}"):
        shop.office.tick(4, [shop.number_of("slab-test-set")])


def test_a_room_without_a_slab_does_not_hold_the_slab_test(shop: Shop) -> None:
    """Nobody sets one in the loft; the house's last cleaning is done there, too."""
    shop.office.found(4, "loft", SUSPECT)
    [finding] = shop.record().findings
    held = {shop.record().task(number).key.template for number in finding.holds}
    assert "slab-test-set" not in held
    assert "uncover-house" in held
    shop.office.tick(4, [shop.number_of("slab-test-set")])


def test_the_day_plan_sends_nobody_to_it(shop: Shop) -> None:
    """Planned for a day before it was found; gone from that day's page after it, until the laboratory is usually back."""
    office, test = following(shop), shop.number_of("slab-test-set")
    [planned] = [place for place in placements(shop) if test in place.tasks]
    day = to_wall("America/Chicago", planned.start).date()
    assert day <= date(2026, 3, 5)
    assert SET in office.day_plan_text(day, planned.crew)
    office.found(4, "back room", SUSPECT)
    assert SET not in office.day_plan_text(day, planned.crew)
    [planned] = [place for place in placements(shop) if test in place.tasks]
    assert planned.start > central("2026-03-05", "17:00")


def test_cartons_are_not_carried_into_a_room_that_is_shut(shop: Shop) -> None:
    """The material is for all three rooms, so carrying it in is held by each of them."""
    shop.office.arrived(4, "gray plank", 18)
    shop.office.found(4, "back room", SUSPECT)
    [finding] = shop.record().findings
    assert shop.number_of("carry-in") in finding.holds


def test_what_another_finding_adds_is_held_in_the_same_room(shop: Shop) -> None:
    """Soft wood is cut out of no floor that may hold asbestos, whichever of the two was found first; its own work a finding never holds."""
    office = shop.office
    office.found(4, "loft", SUSPECT)
    office.found(4, "loft", "rot", area="10 ft2")
    work = shop.number_of("extra-work")
    held_by = {finding.kind for finding in shop.record().findings if work in finding.holds}
    assert held_by == {SUSPECT}
    office.undo()
    office.undo()
    office.found(4, "loft", "rot", area="10 ft2")
    office.found(4, "loft", SUSPECT)
    work = shop.number_of("extra-work")
    assert {finding.kind for finding in shop.record().findings if work in finding.holds} == {SUSPECT}


@pytest.mark.parametrize(("first", "then"), [("rot", "further layer"), ("further layer", "rot")])
def test_a_layer_over_soft_wood_is_taken_up_before_that_is_cut_out(shop: Shop, first: str, then: str) -> None:
    """As what else lies there is torn out; a dip in the same room is filled after it."""
    office = shop.office
    for kind in (first, then, "dip"):
        office.found(4, "loft", kind, area="10 ft2", year=2004)
    record = shop.record()
    works = {one.kind: task.number for one in record.findings if (task := work_task(record, one))}
    [holds] = [one.holds for one in record.findings if one.kind == "rot"]
    assert works.keys() == {"rot", "further layer", "dip"}
    assert {kind for kind, number in works.items() if number in holds} == {"dip", "further layer"}, "nobody steps on it"
    office.agreed(4, "rot in loft: cut out and replace soft wood", "300", by="Teo Halloran")
    [holds] = [one.holds for one in shop.record().findings if one.kind == "rot"]
    assert {kind for kind, number in works.items() if number in holds} == {"dip"}
    office.found(4, "loft", SUSPECT)
    assert {*works.values()} <= {*shop.record().findings[-1].holds}


def test_glued_carpet_is_not_pulled_where_what_was_found_stays(shop: Shop) -> None:
    """Floating over leaves what may hold asbestos undisturbed: carpet in glue stays on hold, as it would tear it up."""
    office = shop.office
    with_layers(shop, 'layers = ["glued carpet", "vinyl tile"]')
    carpet = shop.number_of("glued-carpet-out", "loft")
    office.found(4, "loft", SUSPECT)
    [finding] = shop.record().findings
    assert carpet in finding.holds
    office.way_on(4, "loft", SUSPECT, "float over", by="Ines Varga", because="heights checked, told in writing")
    with pytest.raises(OnHold, match="float over was taken"):
        office.tick(4, [carpet])


def test_floated_over_the_room_is_left_out_of_the_slab_test(shop: Shop) -> None:
    """The other room is tested, and page and tick say which is not; with both floated over there is nowhere left to test."""
    office = following(shop)
    said = {"by": "Ines Varga", "because": "heights checked, told in writing"}
    office.found(4, "back room", SUSPECT)
    office.way_on(4, "back room", SUSPECT, "float over", **said)
    out = "back room is left out: suspect asbestos stays there, nothing is drilled or lifted"
    pages = " ".join(
        " ".join(office.day_plan_text(date(2026, 3, day), crew).split())
        for crew in ("Birch", "Cedar")
        for day in (2, 3, 4, 5, 6)
    )
    assert "holes, or dishes: 3 in front room; holes" in pages
    assert out in pages
    test = shop.number_of("slab-test-set")
    done = office.tick(4, [test])
    assert any(words.startswith(out[0].upper() + out[1:]) for words in done.then)
    office.undo()
    office.found(4, "front room", SUSPECT)
    office.way_on(4, "front room", SUSPECT, "float over", **said)
    with pytest.raises(OnHold, match="float over was taken, and that is not done into it"):
        office.tick(4, [test])
    why = cannot_be_planned(shop.record(), shop.clock.at)[test]
    assert f"`crewjobs tick 4 {test} --because …`" in why
    office.tick(4, [test], because="Ines Varga: no test into it, asked of the maker")


def test_nothing_is_laid_over_what_nobody_has_decided(shop: Shop) -> None:
    """Black glue on a floor that is scraped already: the glue of the new floor waits for a way on as well."""
    shop.office.found(4, "loft", "black glue")
    [finding] = shop.record().findings
    assert shop.number_of("lay-glued-vinyl", "loft") in finding.holds
    with pytest.raises(Refused):
        shop.office.tick(4, [shop.number_of("lay-glued-vinyl", "loft")])


def test_nothing_of_a_crew_goes_on_in_a_room_that_is_shut(shop: Shop) -> None:
    """What comes back into it, readings and trim as well; the other rooms and the house's protection go on."""
    record = shop.record()
    there = {task.number for task in record.tasks if task.open and "loft" in task.key.scope.name.split(" / ")}
    assert {"flatness-check", "wood-subfloor-reading", "base-back"} <= {
        record.task(number).key.template for number in there
    }
    shop.office.found(4, "loft", SUSPECT)
    [finding] = shop.record().findings
    assert there <= set(finding.holds)
    assert shop.number_of("flatness-check", "front room") not in finding.holds


def test_the_rooms_of_a_material_are_read_while_one_of_them_is_open(shop: Shop) -> None:
    """What is read for all of them goes on in the others; in the last of them it is held."""
    office = shop.office
    reading = shop.number_of("room-reading")
    for place in ("loft", "back room"):
        office.found(4, place, SUSPECT)
        assert not any(reading in finding.holds for finding in shop.record().findings)
    office.found(4, "front room", SUSPECT)
    assert reading in shop.record().findings[-1].holds


def test_work_agreed_in_words_is_not_done_into_what_is_floated_over(shop: Shop) -> None:
    """A hump ground down would go through it, whether it was agreed before or after the way on was taken."""
    office = shop.office
    said = {"by": "Ines Varga", "because": "heights checked, told in writing"}
    office.found(4, "loft", "hump", area="6 ft2")
    office.agreed(4, "hump in loft: take the hump down", "120", by="Teo Halloran")
    office.found(4, "loft", SUSPECT)
    office.way_on(4, "loft", SUSPECT, "float over", **said)
    work = shop.number_of("extra-work")
    with pytest.raises(OnHold, match="float over was taken, and that is not done into it"):
        office.tick(4, [work])
    why = cannot_be_planned(shop.record(), shop.clock.at)[work]
    assert f"`crewjobs tick 4 {work} --because …`" in why
    assert NOTHING_INTO not in why
    assert "change the job" not in why, "its file does not take off what was added for a finding"
    office.found(4, "back room", SUSPECT)
    office.way_on(4, "back room", SUSPECT, "float over", **said)
    office.found(4, "back room", "hump", area="4 ft2")
    office.agreed(4, "hump in back room: take the hump down", "120", by="Teo Halloran")
    with pytest.raises(OnHold, match="suspect asbestos in back room: float over was taken"):
        office.tick(4, [shop.number_of("extra-work", "back room")])


def test_strips_and_agreed_work_go_on_once_the_lead_says_nothing_goes_into_it(shop: Shop) -> None:
    """After floating over, a job has an end again: what is glued or lies on top is planned, what is nailed stays held."""
    office = following(shop)
    strip = """
[[opening]]
between = ["loft", "front room"]
width = "2 ft 8 in"
door = false
transition = "T-mold"
"""
    office.load([shop.file("house.toml", HOUSE + strip)], replace=True)
    office.found(4, "loft", SUSPECT)
    with pytest.raises(Refused, match="'nothing into it' comes after 'float over', which is not the last"):
        office.way_on(4, "loft", SUSPECT, NOTHING_INTO, **FLOATED)
    office.way_on(4, "loft", SUSPECT, "float over", **FLOATED)
    office.agreed(4, "hump in loft: take the hump down", "120", by="Teo Halloran")
    number = shop.number_of("set-strip")
    assert shop.number_of("lay-glued-vinyl", "loft") in cannot_be_planned(shop.record(), shop.clock.at)
    why = cannot_be_planned(shop.record(), shop.clock.at)[number]
    assert f'`crewjobs found 4 loft "{SUSPECT}" --way "{NOTHING_INTO}" …`' in why
    assert [pick.way for pick in office.places(4).ways] == [NOTHING_INTO]
    with pytest.raises(Refused, match="is no moment for it: 'float over' was taken"):
        office.way_on(4, "loft", SUSPECT, NOTHING_INTO, **FLOATED, at="2026-03-01 08:00")
    done = office.way_on(
        4, "loft", SUSPECT, NOTHING_INTO, by="Ines Varga", because="both strips looked at, glue allowed"
    )
    opened = next(words for words in done.then if words.startswith("No longer held by it: "))
    assert f"task {number} " in opened
    assert f"task {shop.number_of('lay-glued-vinyl', 'loft')} " in opened
    assert not any("Heights" in words for words in done.then)
    assert number not in cannot_be_planned(shop.record(), shop.clock.at)
    assert not office.places(4).ways
    page = " ".join(
        " ".join(office.day_plan_text(date(2026, 3, day), crew).split())
        for crew in ("Birch", "Cedar")
        for day in range(2, 14)
    )
    assert "suspect asbestos stays in loft: glued or laid on top, nothing drilled, screwed or nailed into it" in page
    told = " ".join(office.job(4).findings)
    assert told.index("floated over") < told.index("glued or lies on top")
    with pytest.raises(Refused, match="was taken"):
        office.way_on(4, "loft", SUSPECT, "float over", **FLOATED)
    another = strip.replace("front room", "back room")
    office.load([shop.file("house.toml", HOUSE + strip + another)], replace=True)
    newer = shop.number_of("set-strip", "loft / back room")
    assert newer in cannot_be_planned(shop.record(), shop.clock.at)
    assert number not in cannot_be_planned(shop.record(), shop.clock.at)
    office.way_on(4, "loft", SUSPECT, NOTHING_INTO, by="Ines Varga", because="that strip looked at as well")
    assert newer not in cannot_be_planned(shop.record(), shop.clock.at)
    office.undo()
    office.undo()
    office.undo()
    assert number in cannot_be_planned(shop.record(), shop.clock.at)


def doorways(*pairs: tuple[str, str]) -> str:
    """Return doorways between rooms, for a job's file."""
    return "".join(
        f'\n[[opening]]\nbetween = ["{a}", "{b}"]\nwidth = "2 ft 8 in"\ntransition = "T-mold"\n' for a, b in pairs
    )


WAYS = [("front room", "outside"), ("front room", "back room"), ("back room", "loft")]


def test_work_that_a_finding_added_is_not_done_into_it_whatever_the_lead_says_of_strips(shop: Shop) -> None:
    """A hump is ground or planed: agreed before that word or after it, it stays on hold in what is left there."""
    office = following(shop)
    office.found(4, "loft", "hump", area="6 ft2")
    office.agreed(4, "hump in loft: take the hump down", "120", by="Teo Halloran")
    office.found(4, "loft", SUSPECT)
    office.way_on(4, "loft", SUSPECT, "float over", **FLOATED)
    office.way_on(4, "loft", SUSPECT, NOTHING_INTO, **FLOATED)
    office.found(4, "loft", "dip", area="6 ft2")
    office.agreed(4, "dip in loft: fill the dip", "120", by="Teo Halloran")
    held = cannot_be_planned(shop.record(), shop.clock.at)
    works = [task.number for task in shop.record().tasks if task.key.template == "extra-work" and task.where == "loft"]
    assert len(works) == 2
    assert set(works) <= held.keys()
    assert not office.places(4).ways or all(pick.way != NOTHING_INTO for pick in office.places(4).ways)


def test_the_same_floor_in_other_rooms_is_asked_about(shop: Shop) -> None:
    """Vinyl tile lies in all three; found in two of them, only the third is still to be asked about, and carpet never is."""
    office = shop.office
    with_layers(shop, 'layers = ["carpet"]')
    said = office.found(4, "front room", SUSPECT).then
    assert any(
        words.startswith("Vinyl tile lies in back room too: whether the same is there, nobody") for words in said
    )
    said = office.found(4, "back room", SUSPECT).then
    assert not any("nobody has said" in words for words in said)
    with_layers(shop, 'layers = ["carpet", "vinyl tile"]')
    said = office.found(4, "loft", SUSPECT).then
    assert not any("nobody has said" in words for words in said)


def test_a_floor_that_is_out_is_not_asked_about(shop: Shop) -> None:
    """The tile of the back room was taken out before it was found in the front room; that of the loft lies there still."""
    office = shop.office
    number = shop.number_of("vinyl-tile-out", "back room")
    office.tick(4, [number], because="out since last week")
    said = office.found(4, "front room", SUSPECT).then
    assert any(words.startswith("Vinyl tile lies in loft too") for words in said)


def test_a_job_called_done_says_what_is_not_settled(shop: Shop) -> None:
    """So does one called off: the room is shut all the same."""
    office = shop.office
    office.found(4, "loft", SUSPECT)
    for state in ("done", "called off"):
        said = office.edit(4, shop.record().version, {"state": state}).then
        assert not any("no longer needed" in words for words in said)
        office.way_on(4, "loft", SUSPECT, "proven clear", laboratory="Bay", sampled="2026-03-02", sample="K-1")
        office.undo()
        assert said[0].startswith(
            "Loft: suspect asbestos, found Mon 2 Mar 11:30, is not settled. Stop there, air handler"
        )
        office.undo()


def test_whoever_decides_is_called_once_the_job_is_done_and_for_none_that_is_called_off(shop: Shop) -> None:
    """It is there still: the answer, the waiting list and what a way on says of the job that is over agree."""
    office = shop.office
    office.found(4, "loft", SUSPECT)
    whom = {"the inspector", "the laboratory"}
    for state in ("done", "closed"):
        said = office.edit(4, shop.record().version, {"state": state}).then
        assert said[0].endswith("The customer is told, whoever decides is still asked.")
        assert {row.whom for row in office.waiting() if row.job == 4} == whom
        office.way_on(4, "loft", SUSPECT, "float over", **FLOATED)
        assert not [row for row in office.waiting() if row.job == 4]
        office.undo()
        office.undo()
    said = office.edit(4, shop.record().version, {"state": "called off"}).then
    assert said[0].endswith("for them to ask, no longer for the shop.")
    assert not [row for row in office.waiting() if row.job == 4 and row.whom in whom]
    said = office.way_on(4, "loft", SUSPECT, "float over", **FLOATED).then
    assert not [words for words in said if "held by it" in words or "on hold" in words]


@pytest.mark.parametrize(
    ("left", "words"), [(1, "1 of its tasks is still open and leaves"), (2, "2 of its tasks are still open and leave")]
)
def test_a_job_called_done_says_how_much_of_it_is_open(shop: Shop, left: int, words: str) -> None:
    """One task is, two are."""
    shop.office.arrived(4, "gray plank", 18, in_rooms=True)
    numbers = [task.number for task in shop.record().tasks if task.open]
    shop.office.tick(4, numbers[:-left], because="seen")
    said = shop.office.edit(4, shop.record().version, {"state": "done"}).then
    assert any(words in sentence for sentence in said)


def test_what_one_comes_to_only_through_a_shut_room_waits_too(shop: Shop) -> None:
    """The door stays shut: nobody walks through to the rooms behind it, until there is another way in or a way on."""
    office = shop.office
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS))], replace=True)
    done = office.found(4, "front room", SUSPECT)
    assert any(words.startswith("One comes to back room and loft only through front room") for words in done.then)
    behind = [shop.number_of("flatness-check", "back room"), shop.number_of("scrape-and-look", "loft")]
    with pytest.raises(OnHold, match="suspect asbestos found in front room"):
        office.tick(4, behind[:1])
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS, ("loft", "outside")))], replace=True)
    assert not set(behind) & set(shop.record().findings[0].holds)
    assert shop.number_of("flatness-check", "front room") in shop.record().findings[0].holds
    office.undo()
    assert set(behind) <= set(shop.record().findings[0].holds)
    office.way_on(4, "front room", SUSPECT, "float over", **FLOATED)
    [way] = shop.record().ways_taken
    assert shop.number_of("scrape-and-look", "loft") not in way.drops
    assert not set(way.keeps) & set(behind)
    assert shop.record().task(behind[1]).open
    assert not set(behind) & set(cannot_be_planned(shop.record(), shop.clock.at))


LIVE = "live wire or pipe"
CATALOGUE = read_catalogue()


def test_nobody_is_sent_over_a_live_line_to_the_rooms_behind_it(shop: Shop) -> None:
    """Nobody goes near it, so nothing goes through there, material as little; another way in, or a way on, opens it."""
    office = shop.office
    office.arrived(4, "gray plank", 18)
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS))], replace=True)
    done = office.found(4, "front room", LIVE)
    assert any(words.startswith("One comes to back room and loft only through front room") for words in done.then)
    behind = {shop.number_of("flatness-check", "back room"), shop.number_of("scrape-and-look", "loft")}
    carry = shop.number_of("carry-in")
    assert {carry, shop.number_of("room-reading"), *behind} <= {*shop.record().findings[0].holds}
    with pytest.raises(OnHold, match="live wire or pipe found in front room"):
        office.tick(4, [carry])
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS, ("loft", "outside")))], replace=True)
    assert not {carry, *behind} & {*shop.record().findings[0].holds}
    office.undo()
    office.way_on(4, "front room", LIVE, "made by the trade", by="Ohm")
    assert not {carry, *behind} & cannot_be_planned(shop.record(), shop.clock.at).keys()


def test_nothing_of_a_crew_goes_on_at_a_live_line(shop: Shop) -> None:
    """In the room it is in; material goes to the others as long as one is left, by whatever kind they are shut."""
    office = shop.office
    office.arrived(4, "gray plank", 18)
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS))], replace=True)
    there = {task.number for task in shop.record().tasks if task.open and "loft" in task.key.scope.name.split(" / ")}
    carry = shop.number_of("carry-in")
    office.found(4, "loft", LIVE)
    assert there <= {*shop.record().findings[0].holds}
    office.found(4, "back room", "rot")
    assert not [one for one in shop.record().findings if carry in one.holds]
    office.found(4, "front room", LIVE)
    assert all(carry in one.holds for one in shop.record().findings)
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS, ("loft", "outside")))], replace=True)
    office.way_on(4, "loft", LIVE, "made by the trade", by="Ohm")
    assert carry not in cannot_be_planned(shop.record(), shop.clock.at)


def test_whoever_carries_in_is_told_in_which_room_nobody_goes(shop: Shop) -> None:
    """The material is for all three rooms and goes to two of them; once it is settled nothing is said."""
    office = following(shop)
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS))], replace=True)
    office.arrived(4, "gray plank", 18)
    office.found(4, "loft", LIVE)
    carry, out = shop.number_of("carry-in"), f"not in loft: {NOBODY_GOES_IN}"
    [planned] = [place for place in placements(shop) if carry in place.tasks]
    day = to_wall("America/Chicago", planned.start).date()
    assert out in " ".join(office.day_plan_text(day, planned.crew).split())
    office.way_on(4, "loft", LIVE, "made by the trade", by="Ohm")
    assert out not in " ".join(office.day_plan_text(day, planned.crew).split())


def test_what_is_behind_soft_wood_comes_after_it_once_that_is_agreed(shop: Shop) -> None:
    """Nobody steps on it: the rooms behind wait, and after the customer's yes are planned after its own work."""
    office = following(shop)
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS))], replace=True)
    office.found(4, "back room", "rot", area="4 ft2")
    [finding] = shop.record().findings
    out = shop.number_of("vinyl-tile-out", "loft")
    assert out in finding.holds
    over = shop.number_of("vinyl-tile-out", "back room")
    assert over in finding.holds, "nobody steps on it before the yes"
    assert behind_shut(shop.record(), shop.clock.at) == {"loft"}
    assert out in cannot_be_planned(shop.record(), shop.clock.at)
    assert not [place for place in placements(shop) if out in place.tasks]
    office.agreed(4, finding.order, "300", by="Teo Halloran")
    assert nobody_in(shop.record(), shop.clock.at) == {"back room", "loft"}, "a yes repairs nothing yet"
    work = shop.number_of("extra-work")
    assert over not in shop.record().findings[0].holds
    assert over in before_its_work(shop.record(), shop.record().findings[0])
    [first] = [place for place in placements(shop) if work in place.tasks]
    [then] = [place for place in placements(shop) if out in place.tasks]
    assert (first.start, first.crew) <= (then.start, then.crew)
    assert first.end <= then.end
    office.tick(4, [work], because="Ines Varga: the tile was out there")
    assert not nobody_in(shop.record(), shop.clock.at)


def test_behind_soft_wood_nothing_goes_on_for_its_own_work_either(shop: Shop) -> None:
    """Nobody steps on it to get there: what that work comes after is done in its own place alone, and once the customer has said yes."""
    office = shop.office
    office.load([shop.file("house.toml", HOUSE + doorways(*WAYS))], replace=True)
    office.found(4, "back room", "rot", area="4 ft2")
    work, before = shop.number_of("extra-work"), shop.number_of("flatness-check", "loft")
    rot = next(kind for kind in CATALOGUE.findings if kind.key == "rot")
    for agreed in (False, True):
        record = shop.record()
        link = replace(record.links[0], before=before, after=work)
        held = held_there(replace(record, links=(*record.links, link)), CATALOGUE, rot, record.findings[0])
        assert {before, shop.number_of("vinyl-tile-out", "loft"), shop.number_of("lay-glued-vinyl", "loft")} <= {*held}
        if not agreed:
            office.agreed(4, record.findings[0].order, "300", by="Teo Halloran")


def test_what_lies_behind_two_shut_rooms_in_line_is_held_by_both(shop: Shop) -> None:
    """The loft is behind the back room, which is behind the front room: neither opens it alone."""
    office = shop.office
    ways = [("front room", "outside"), ("front room", "back room"), ("back room", "loft")]
    office.load([shop.file("house.toml", HOUSE + doorways(*ways))], replace=True)
    loft = shop.number_of("flatness-check", "loft")
    office.found(4, "front room", SUSPECT)
    office.found(4, "back room", SUSPECT)
    clear = {"laboratory": "Bay Analysis", "sampled": "2026-03-02", "sample": "K-1"}
    for place in ("front room", "back room"):
        record = shop.record()
        assert any(loft in held_by(record, one, shop.clock.at) for one in record.findings)
        office.way_on(4, place, SUSPECT, "proven clear", **clear)
    assert loft not in cannot_be_planned(shop.record(), shop.clock.at)


def test_a_dead_end_is_the_way_to_nowhere(shop: Shop) -> None:
    """The loft is behind the front room; the back room, found as well, is no way to it and says nothing of it."""
    office = shop.office
    ways = [("front room", "outside"), ("front room", "back room"), ("front room", "loft")]
    office.load([shop.file("house.toml", HOUSE + doorways(*ways))], replace=True)
    office.found(4, "front room", SUSPECT)
    said = office.found(4, "back room", SUSPECT).then
    assert not any(words.startswith("One comes to") for words in said)
    assert shop.number_of("flatness-check", "loft") not in shop.record().findings[1].holds


def test_a_way_on_from_one_shut_room_opens_what_two_of_them_cut_off(shop: Shop) -> None:
    """Two ways lead to the loft; with both shut it waits, with one of them open again it does not."""
    office = shop.office
    ways = [("front room", "outside"), ("back room", "outside"), ("front room", "loft"), ("back room", "loft")]
    office.load([shop.file("house.toml", HOUSE + doorways(*ways))], replace=True)
    loft = shop.number_of("flatness-check", "loft")
    office.found(4, "front room", SUSPECT)
    assert loft not in shop.record().findings[0].holds
    office.found(4, "back room", SUSPECT)
    assert all(loft in one.holds for one in shop.record().findings)
    office.way_on(
        4, "front room", SUSPECT, "proven clear", laboratory="Bay Analysis", sampled="2026-03-02", sample="K-1"
    )
    assert loft not in shop.record().findings[1].holds
    assert loft not in cannot_be_planned(shop.record(), shop.clock.at)


def pounds(shop: Shop, place: str) -> float:
    """Return what is still to be hauled out of a room."""
    return sum(
        task.quantity
        for task in shop.record().tasks
        if task.key.template == "haul-out" and task.key.scope.name == place and task.open
    )


def with_layers(shop: Shop, layers: str) -> None:
    """Load the house with other layers in its loft, whose room is the last of the file."""
    before, loft, after = HOUSE.rpartition('layers = ["vinyl tile"]')
    assert loft
    shop.office.load([shop.file("house.toml", before + layers + after)], replace=True)


FLOATED = {"by": "Ines Varga", "because": "heights checked, told in writing"}


def test_what_is_left_under_the_new_floor_is_not_hauled(shop: Shop) -> None:
    """Added to the layers as the way on asks for, it stays in the house: its weight is in no load and in no bag, whatever is loaded since."""
    office = shop.office
    with_layers(shop, 'layers = ["carpet"]')
    carpet, other, bags = pounds(shop, "loft"), pounds(shop, "back room"), bags_of(shop)
    assert carpet > 0
    office.found(4, "loft", SUSPECT)
    office.way_on(4, "loft", SUSPECT, "float over", **FLOATED)
    with_layers(shop, 'layers = ["carpet", "vinyl tile"]')
    assert (pounds(shop, "loft"), pounds(shop, "back room"), bags_of(shop)) == (carpet, other, bags)
    office.load([shop.file("shop.toml", SHOP)], replace=True)
    assert pounds(shop, "loft") == carpet


def test_a_layer_known_before_is_not_hauled_either_once_it_is_left(shop: Shop) -> None:
    """Carpet and tile were to come out: floated over, the carpet alone is hauled; taken back, both are again."""
    office = shop.office
    with_layers(shop, 'layers = ["carpet"]')
    carpet = pounds(shop, "loft")
    with_layers(shop, 'layers = ["carpet", "vinyl tile"]')
    both = pounds(shop, "loft")
    assert both > carpet
    office.found(4, "loft", SUSPECT)
    assert pounds(shop, "loft") == both
    office.way_on(4, "loft", SUSPECT, "float over", **FLOATED)
    assert pounds(shop, "loft") == carpet
    office.found(4, "loft", "rot", area="10 ft2")
    assert pounds(shop, "loft") == carpet
    office.undo()
    office.undo()
    assert pounds(shop, "loft") == both


def test_nothing_is_hauled_where_all_there_is_stays(shop: Shop) -> None:
    """Nothing was said to lie in the loft: the one layer added after the way on makes no hauling."""
    office = shop.office
    with_layers(shop, "layers = []")
    office.found(4, "loft", SUSPECT)
    office.way_on(4, "loft", SUSPECT, "float over", **FLOATED)
    with_layers(shop, 'layers = ["vinyl tile"]')
    assert pounds(shop, "loft") == 0
    assert pounds(shop, "back room") > 0


def bags_of(shop: Shop) -> int:
    """Return the bags for the old floor that the take-off asks for."""
    return next(row.count for row in supply_rows(shop.record(), "us") if row.name == "contractor bags")
