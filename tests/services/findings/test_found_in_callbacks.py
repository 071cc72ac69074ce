"""A callback goes into the house of a finished job: what was found there and is not settled comes along, and is settled once for both."""

from __future__ import annotations

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.waits import WaitState
from crewjobs.domain.wall import to_wall
from crewjobs.engines.readiness.holds import cannot_be_planned
from crewjobs.services.office import Office
from crewjobs.services.waiting.around_waits import STILL_THERE
from crewjobs.services.waiting.waits import waiting
from tests.services.conftest import Shop, kept
from tests.services.findings.test_found_holds import (
    FLOATED,
    HOUSE,
    SUSPECT,
    WAYS,
    doorways,
    following,
    make_house,
    placements,
)

CLEAR = {"laboratory": "Bay Analysis", "sampled": "2026-03-02", "sample": "K-1"}
WHAT = "swap the board that clicks"


def with_ways(shop: Shop) -> None:
    """One comes to the loft through the back room, and there through the front room."""
    shop.office.load([shop.file("house.toml", HOUSE + doorways(*WAYS))], replace=True)


def finish(shop: Shop) -> None:
    """Tick all that is open, whatever holds it."""
    if not shop.record().lots:
        shop.office.arrived(4, "gray plank", 18, in_rooms=True)
    shop.office.tick(4, [task.number for task in shop.record().tasks if task.open], because="done before it was seen")


unmapped = kept(make_house)
shop = kept(make_house, with_ways)


def ways_to_decide(office: Office) -> list[int]:
    """Return the jobs with which a way on from something found is to be decided."""
    return [row.job for row in office.waiting() if row.state is WaitState.TO_DECIDE and row.what.endswith("the way on")]


def on_hold(shop: Shop, number: int = 5) -> bool:
    return bool(cannot_be_planned(shop.record(number), shop.clock.at))


def test_what_is_found_on_the_only_way_to_a_callback_holds_it(shop: Shop) -> None:
    """Nobody walks through the front room: the loft waits, the notice and the crew are told, and a way on opens it."""
    shop.office.found(4, "front room", SUSPECT)
    finish(shop)
    said = shop.office.callback(4, WHAT, where="loft").then
    assert any(words.startswith("Front room: suspect asbestos, found") for words in said)
    assert any(words.startswith("One comes to back room and loft only through front room") for words in said)
    with pytest.raises(OnHold, match="suspect asbestos found in front room"):
        shop.office.tick(5, [1])
    notice = " ".join(shop.office.page_text(shop.office.notice(5)).split())
    assert "front room: shut until" in notice
    assert "loft: out of use until" in notice
    assert "Heat or air running" not in notice
    shop.office.way_on(5, "front room", SUSPECT, "float over", **FLOATED)
    assert not [held for held in shop.record(5).findings[0].holds if held in shop.record(5).ways_taken[0].keeps]


def test_another_way_in_opens_it_and_what_is_beside_the_way_does_not_come_along(shop: Shop) -> None:
    """What was found in the loft is on nobody's way to the front room; a door of the loft's own leads past the front room."""
    shop.office.found(4, "loft", SUSPECT)
    finish(shop)
    shop.office.callback(4, WHAT, where="front room")
    assert not shop.record(5).findings
    assert [room.name for room in shop.record(5).job.rooms] == ["front room"]
    shop.office.way_on(4, "loft", SUSPECT, "proven clear", **CLEAR)
    doors = doorways(*WAYS, ("loft", "outside"))
    shop.office.load([shop.file("house.toml", HOUSE + doors)], replace=True)
    shop.office.found(4, "front room", SUSPECT)
    finish(shop)
    shop.office.callback(4, WHAT, where="loft")
    assert not shop.record(6).findings


def test_where_no_way_in_is_known_the_shut_room_next_to_it_holds_until_one_is(unmapped: Shop) -> None:
    """The doorway between two rooms is all the job knows: through the shut one nobody is sent; a doorway outside opens it."""
    unmapped.office.load([unmapped.file("house.toml", HOUSE + doorways(("front room", "loft")))], replace=True)
    unmapped.office.found(4, "front room", SUSPECT)
    finish(unmapped)
    unmapped.office.callback(4, WHAT, where="loft")
    with pytest.raises(OnHold, match="suspect asbestos found in front room"):
        unmapped.office.tick(5, [1])
    text = unmapped.office.dump(5) + doorways(("loft", "outside"))
    unmapped.office.load([unmapped.file("five.toml", text)], replace=True)
    assert not unmapped.record(5).findings[0].holds


@pytest.mark.parametrize(
    ("kind", "area", "words"),
    [("mold", "40 ft2", ""), ("mold", "", "sewage came up"), ("pests", "", ""), ("rot", "", "")],
)
@pytest.mark.parametrize("place", ["loft", "house"])
def test_every_kind_that_is_not_settled_comes_along(shop: Shop, kind: str, area: str, words: str, place: str) -> None:
    """In its room or the whole house; it is told, and holds the callback's work."""
    shop.office.found(4, place, kind, area=area, words=words)
    finish(shop)
    said = shop.office.callback(4, WHAT, where="loft").then
    assert any(f"{kind}, found" in words for words in said)
    [finding] = shop.record(5).findings
    assert (finding.kind, finding.place, finding.holds) == (kind, place, (1,))


ROT = "rot in loft: cut out and replace soft wood"


def test_nobody_works_on_soft_wood_before_it_is_cut_out(shop: Shop) -> None:
    """Found in a callback's room it holds the callback's work: somebody decides, and it comes after the repair, not beside it."""
    finish(shop)
    shop.office.callback(4, WHAT, where="loft", wished="2026-03-05")
    shop.ready(5)
    office = following(shop)
    assert office.job(5).tasks[0].planned
    office.found(5, "loft", "rot")
    assert ways_to_decide(office) == [5]
    assert not any(row.planned for row in office.job(5).tasks), "the customer was not asked"
    office.agreed(5, ROT, "300", by="Teo Halloran")
    assert ways_to_decide(office) == [], "it is repaired, as agreed"
    assert [row.job for row in office.waiting() if row.what.startswith("rot in loft: agreed")] == [5]
    record = shop.record(5)
    repair = next(task.number for task in record.tasks if task.title == "cut out and replace soft wood")
    (first,) = [place for place in placements(shop) if repair in place.tasks and place.key.job == 5]
    page = " ".join(office.day_plan_text(to_wall(record.job.site.zone, first.start).date(), first.crew).split())
    _, _, then = page.partition("] Loft: cut out and replace soft wood")
    assert WHAT in then, "the repair is first on the page"
    assert "Side by side" not in page
    assert "ON HOLD: Rot found in loft" in then
    with pytest.raises(OnHold, match="rot found in loft"):
        office.tick(5, [1])
    office.tick(5, [repair])
    office.way_on(5, "loft", "rot", "replaced", by="Ines Varga", because="valve mended, 11 % by the meter")
    office.tick(5, [1])


def test_soft_wood_of_the_whole_house_and_of_a_room_do_not_wait_for_each_other(shop: Shop) -> None:
    """Else neither could be cut out."""
    finish(shop)
    shop.office.callback(4, WHAT, where="loft")
    shop.office.found(5, "loft", "rot")
    shop.office.found(5, "house", "rot")
    assert [one.holds for one in shop.record(5).findings] == [(1,), (1,)]


@pytest.mark.parametrize(("told", "other"), [(4, 5), (5, 4)])
def test_one_word_settles_it_in_a_job_and_its_callbacks(shop: Shop, told: int, other: int) -> None:
    """Said of either; the answer names the others, and one undo takes all of it back."""
    shop.office.found(4, "loft", SUSPECT)
    finish(shop)
    for _ in range(2):
        shop.office.callback(4, WHAT, where="loft")
    said = shop.office.way_on(told, "loft", SUSPECT, "proven clear", **CLEAR).then
    assert {f"Job {number}: the same is settled there too." for number in (other, 6)} <= {*said}
    assert [len(shop.record(number).ways_taken) for number in (4, 5, 6)] == [1, 1, 1]
    assert not [waits for waits in shop.record().waiting_on if waits.came_at is None]
    assert "no way on" not in str(cannot_be_planned(shop.record(6), shop.clock.at))
    shop.office.undo()
    assert not [way for number in (4, 5, 6) for way in shop.record(number).ways_taken]


def test_a_way_that_cannot_be_taken_there_is_named(shop: Shop) -> None:
    """What the crew cleaned at the first job is still to dry: it stays open there, and the answer says why."""
    shop.office.found(4, "loft", "mold", area="5 ft2")
    finish(shop)
    shop.office.callback(4, WHAT, where="loft")
    said = shop.office.way_on(5, "loft", "mold", "treated", by="Ines Varga", because="dry").then
    [left] = [words for words in said if words.startswith("Job 4: mold in loft is the same, and not settled there")]
    assert "it dries until" in left


def test_what_is_found_at_a_callback_is_known_to_the_next(shop: Shop) -> None:
    """Booked on the same old job, in the same room."""
    finish(shop)
    shop.office.callback(4, WHAT, where="loft")
    shop.office.found(5, "loft", SUSPECT)
    shop.office.callback(4, WHAT, where="loft")
    assert [one.holds for one in shop.record(6).findings] == [(1,)]


def test_what_is_found_later_holds_callbacks_that_are_booked(shop: Shop) -> None:
    """In the same room it holds; more of it seen counts there too; one that does not go there is named; one undo takes it back."""
    finish(shop)
    shop.office.callback(4, WHAT, where="loft")
    shop.office.callback(4, WHAT, where="back room")
    said = shop.office.found(4, "loft", "mold", area="5 ft2").then
    assert "Job 5: it is known there too." in said
    assert not any(words.startswith("Job 6") for words in said)
    said = shop.office.found(4, "loft", "mold", area="40 ft2").then
    assert any(words.startswith("Job 5: it is known there too, and holds task 1") for words in said)
    assert [(one.area_ft2, one.holds) for one in shop.record(5).findings] == [(40.0, (1,))]
    shop.office.undo()
    assert [(one.area_ft2, one.holds) for one in shop.record(5).findings] == [(5.0, ())]
    said = shop.office.found(5, "loft", SUSPECT).then
    assert any(words.startswith("Job 6 goes into the same house and knows nothing of loft") for words in said)


LIVE = "live wire or pipe"
BY = {"by": "Ohm Electric"}


def held(shop: Shop, number: int) -> list[tuple[str, tuple[int, ...]]]:
    return [(one.place, one.holds) for one in shop.record(number).findings]


def test_what_is_found_later_on_the_only_way_holds_callbacks_that_are_booked(shop: Shop) -> None:
    """As it holds one that is booked then: the ways of the house come along, and a way on opens both; one undo takes it back."""
    finish(shop)
    shop.office.callback(4, WHAT, where="loft")
    shop.office.callback(4, WHAT, where="front room")
    shop.office.found(6, "front room", "mold", area="5 ft2")
    assert [room.name for room in shop.record(5).job.rooms] == ["loft"], "through mold one may go"
    said = shop.office.found(6, "front room", LIVE).then
    assert f"Job 5: it is known there too, and holds task 1 '{WHAT}' (loft)." in said
    assert any(words.startswith("Job 5: One comes to back room and loft only through front room") for words in said)
    assert held(shop, 5) == [("front room", (1,))]
    assert [task.number for task in shop.record(5).tasks] == [1]
    with pytest.raises(OnHold, match="live wire or pipe found in front room"):
        shop.office.tick(5, [1])
    assert "loft: out of use until" in " ".join(shop.office.page_text(shop.office.notice(5)).split())
    shop.office.undo()
    assert [room.name for room in shop.record(5).job.rooms] == ["loft"]
    shop.office.found(6, "front room", LIVE)
    shop.office.edit(6, shop.office.job(6).version, {"state": "called off"})
    assert on_hold(shop), "it is there still"
    assert ways_to_decide(shop.office) == [5]
    shop.office.way_on(6, "front room", LIVE, "made by the trade", **BY)
    assert not on_hold(shop)


def test_rooms_that_are_shut_later_hold_only_together_what_has_a_way_through_each(shop: Shop) -> None:
    """The loft has a doorway from both other rooms: with the first one shut the other leads there."""
    ways = [("front room", "outside"), ("back room", "outside"), ("front room", "loft"), ("back room", "loft")]
    shop.office.load([shop.file("house.toml", HOUSE + doorways(*ways))], replace=True)
    finish(shop)
    for place in ("loft", "front room", "back room"):
        shop.office.callback(4, WHAT, where=place)
    said = shop.office.found(6, "front room", LIVE).then
    command = f'`crewjobs found 5 house "{LIVE}"`'
    assert any(words.startswith("Job 5 goes into the same house") and command in words for words in said)
    assert held(shop, 5) == []
    shop.office.found(7, "back room", LIVE)
    assert {place for place, holds in held(shop, 5) if holds == (1,)} >= {"back room"}
    assert {place for place, _ in held(shop, 5)} == {"front room", "back room"}
    shop.office.way_on(6, "front room", LIVE, "made by the trade", **BY)
    assert cannot_be_planned(shop.record(5), shop.clock.at) == {}, "nor does it wait for whoever is asked of the other"


def test_what_another_way_may_lead_past_holds_once_it_is_said_of_the_whole_house(shop: Shop) -> None:
    """By the doorways the loft is on nobody's way to the front room; who knows better says so, as the answer tells."""
    finish(shop)
    shop.office.callback(4, WHAT, where="front room")
    shop.office.callback(4, WHAT, where="loft")
    shop.office.found(6, "loft", LIVE)
    assert held(shop, 5) == []
    shop.office.found(5, "house", LIVE)
    assert held(shop, 5) == [("house", (1,))]


def test_a_callback_of_a_callback_knows_the_ways_of_the_house_too(shop: Shop) -> None:
    """Its own old job knows the loft alone; what is found in another callback, before or after, holds it."""
    finish(shop)
    shop.office.callback(4, WHAT, where="loft")
    shop.office.tick(5, [1], because="done before it was seen")
    shop.office.callback(5, "and again", where="loft")
    shop.office.callback(4, WHAT, where="front room")
    shop.office.found(7, "front room", LIVE)
    shop.office.callback(5, "once more", where="loft")
    for number in (6, 8):
        assert held(shop, number) == [("front room", (1,))]
        with pytest.raises(OnHold, match="live wire or pipe found in front room"):
            shop.office.tick(number, [1])


def refused(shop: Shop, number: int, place: str) -> str:
    with pytest.raises(Refused) as said:
        shop.office.found(number, place, "live wire")
    [sentence] = said.value.sentences
    return sentence


def test_a_callback_says_where_what_lies_on_the_way_is_recorded(shop: Shop) -> None:
    """It knows its own room: another job that goes there, a callback to be booked, or the whole house."""
    finish(shop)
    shop.office.edit(4, shop.office.job(4).version, {"state": "done"})
    shop.office.callback(4, WHAT, where="loft")
    booked = '`crewjobs callback 4 WHAT --where "front room"`'
    whole = '`crewjobs found 5 house "live wire"`'
    said = refused(shop, 5, "Front room")
    assert said.startswith("there is no place 'Front room' in job 5: there are 'loft' and 'house'; ")
    assert booked in said
    assert whole in said
    said = refused(shop, 5, "cellar")
    assert whole in said
    assert "callback" not in said
    shop.office.callback(4, WHAT, where="front room")
    said = refused(shop, 5, "front room")
    assert '`crewjobs found 6 "front room" "live wire"`' in said
    assert "callback" not in said
    shop.office.found(6, "front room", "live wire")
    assert held(shop, 5) == [("front room", (1,))]


def test_a_job_that_is_over_says_where_what_is_found_is_recorded(shop: Shop) -> None:
    """In a callback that goes there, else in one to be booked; what no job of the house knows, for the house."""
    finish(shop)
    shop.office.edit(4, shop.office.job(4).version, {"state": "done"})
    start = "job 4 is done: nothing is found in it any more; "
    assert refused(shop, 4, "loft").startswith(start)
    assert "`crewjobs callback 4 WHAT --where loft`" in refused(shop, 4, "loft")
    assert "`crewjobs callback 4 WHAT`" in refused(shop, 4, "cellar")
    shop.office.callback(4, WHAT, where="loft")
    assert refused(shop, 4, "loft") == (
        f'{start}what is found in loft is recorded in job 5 (`crewjobs found 5 loft "live wire"`).'
    )
    assert '`crewjobs found 5 house "live wire"`' in refused(shop, 4, "cellar")
    shop.office.edit(5, shop.office.job(5).version, {"state": "called off"})
    assert "`crewjobs callback 4 WHAT --where loft`" in refused(shop, 5, "loft")


def asked_of(shop: Shop, who: str) -> list[tuple[int, str]]:
    return [(row.job, row.holds) for row in shop.office.waiting() if row.what.startswith(who)]


@pytest.mark.parametrize("state", ["called off", "done"])
def test_whoever_decides_is_asked_as_long_as_another_job_of_the_house_is_held(shop: Shop, state: str) -> None:
    """The callback in which it was found is over; another one waits for the same answer, and it stands with that one."""
    finish(shop)
    for _ in range(2):
        shop.office.callback(4, WHAT, where="front room")
    shop.office.found(5, "front room", SUSPECT)
    said = shop.office.edit(5, shop.office.job(5).version, {"state": state}).then
    assert said[0].endswith("The customer is told, whoever decides is still asked, it holds job 6.")
    assert asked_of(shop, "inspector") == [(6, f"{WHAT} (front room)")]
    shop.office.way_on(6, "front room", SUSPECT, "proven clear", **CLEAR)
    assert asked_of(shop, "inspector") == []


def test_of_a_job_called_off_alone_nobody_is_asked_and_that_is_said(shop: Shop) -> None:
    """No other job waits for it: who decides is for the customer to ask."""
    shop.office.found(4, "front room", SUSPECT)
    said = shop.office.edit(4, shop.office.job(4).version, {"state": "called off"}).then
    assert said[0].endswith("for them to ask, no longer for the shop.")
    assert asked_of(shop, "inspector") == []


def test_what_is_for_a_specialist_is_asked_once_the_job_is_done(shop: Shop) -> None:
    """As suspect asbestos is: mold of that size is there still, and nobody has answered."""
    shop.office.found(4, "front room", "mold", area="12 ft2")
    finish(shop)
    said = shop.office.edit(4, shop.office.job(4).version, {"state": "done"}).then
    assert any(words.startswith("Front room: mold, found") and "is not settled" in words for words in said)
    assert asked_of(shop, "specialist") == [(4, STILL_THERE)]


def test_the_way_on_for_several_jobs_of_a_house_is_decided_once(shop: Shop) -> None:
    """One row of the list with all jobs it holds; one way on settles them."""
    finish(shop)
    for _ in range(3):
        shop.office.callback(4, WHAT, where="front room")
    shop.office.found(6, "front room", SUSPECT)
    shop.office.edit(7, shop.office.job(7).version, {"state": "quoted"})

    def decided(of: int | None = None) -> list[tuple[int, str]]:
        with shop.office._database.reading() as uow:
            rows = waiting(uow, shop.clock.at, of)
        return [(row.job, row.holds) for row in rows if row.state is WaitState.TO_DECIDE and row.holds]

    assert decided() == [(5, f"task 1 '{WHAT}' (front room) and job 6")]
    assert decided(of=6) == [(6, f"task 1 '{WHAT}' (front room) and job 5")]
    shop.office.way_on(5, "front room", SUSPECT, "proven clear", **CLEAR)
    assert decided() == []
