"""Furniture stages found for a job, taken as its order of work, and found again from here."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.moves import Belongs, StageKind
from crewjobs.domain.tasks import Scope, ScopeKind
from crewjobs.engines.stages.cures import furniture_waits
from crewjobs.engines.stages.progress import nights
from crewjobs.files.catalogue import read_catalogue
from tests import thorough
from tests.engines.stages.judged_stages import faults_of
from tests.services.conftest import JOB, Shop, kept, load_den

FLAT = """
number = 7
title = "Weir Street, lived in"

[customer]
name = "Tamsin Rook"

[site]
address = "3 Weir Street, Marrow Bend"
year_built = 1994

[[room]]
name = "living"
length = "18 ft"
width = "13 ft"
sections = [{ name = "window half", length = "9 ft" }, { name = "door half" }]
layers = ["carpet"]
floor = "slate plank"
furniture = [{ usual = "living room" }]

[[room]]
name = "bedroom"
length = "13 ft"
width = "12 ft"
layers = ["carpet"]
floor = "slate plank"
furniture = [{ usual = "bedroom" }]

[[room]]
name = "hall"
length = "12 ft"
width = "4 ft"

[[room]]
name = "garage"
length = "14 ft"
width = "11 ft"
keeps = "furniture"
power = false

[[opening]]
between = ["hall", "outside"]
width = "36 in"

[[opening]]
between = ["living: door half", "hall"]
width = "36 in"

[[opening]]
between = ["hall", "bedroom"]
width = "30 in"

[[opening]]
between = ["hall", "garage"]
width = "32 in"
steps = 2

[[material]]
name = "slate plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"
carton_lb = 34

[[order]]
material = "slate plank"
cartons = 18
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""


def load_flat(shop: Shop) -> None:
    """A furnished flat: two halves of a living room, a bedroom, a hall and a garage."""
    shop.office.load([shop.file("flat.toml", FLAT)])


flat = kept(load_den, load_flat)


def open_move_tasks(shop: Shop) -> list[str]:
    """The moves still to be made, by what they are for."""
    return [task.where for task in shop.record(7).tasks if task.key.scope.kind is ScopeKind.STAGE and task.open]


def section_tasks(shop: Shop, room: str, part: str = "") -> list[int]:
    """The tasks of a section in working order."""
    return [
        task.number
        for task in shop.record(7).tasks
        if not task.not_needed and task.key.scope == Scope(kind=ScopeKind.SECTION, name=room, part=part)
    ]


def test_load_names_the_command_that_finds_them(shop: Shop) -> None:
    """A new house people live in, furnished, without an order of work: what finds its stages is said."""
    done = shop.office.load([shop.file("flat.toml", FLAT)])
    assert any("`crewjobs moves 7`" in sentence for sentence in done.then)
    empty = FLAT.replace("number = 7", "number = 8").replace("year_built = 1994", "year_built = 1994\noccupied = false")
    assert not any("moves" in one for one in shop.office.load([shop.file("empty.toml", empty)]).then)


def test_stages_found_are_the_order_of_work_and_can_be_done(flat: Shop) -> None:
    """What is found keeps every rule of the house, and the job is worked in its order from then on."""
    done = flat.office.moves(7)
    record = flat.record(7)
    plan = record.moves_in_force
    assert plan is not None
    assert done.sentence.startswith("Job 7: ")
    cures = {spot: nights(wait) for spot, wait in furniture_waits(record.job, read_catalogue()).items()}
    assert [*faults_of(record.job, plan, cures)] == []
    assert record.job.stages == plan.order
    assert plan.proved
    assert plan.bound == pytest.approx(plan.cost)


def test_moves_are_tasks_before_what_they_empty(flat: Shop) -> None:
    """Each stage with something to carry has its task, before all that needs its sections empty, with its people and minutes."""
    flat.office.moves(7)
    record = flat.record(7)
    plan = record.moves_in_force
    assert plan is not None
    tasks = {task.number: task for task in record.tasks if not task.not_needed}
    before: dict[int, set[int]] = {}
    for link in record.links:
        before.setdefault(link.after, set()).add(link.before)

    def comes_after(number: int) -> set[int]:
        seen, todo = set[int](), [number]
        while todo:
            for earlier in before.get(todo.pop(), ()):
                if earlier not in seen:
                    seen.add(earlier)
                    todo.append(earlier)
        return seen

    moves = {task.key.scope.name: task for task in tasks.values() if task.key.scope.kind is ScopeKind.STAGE}
    carried = [stage for stage in plan.stages if stage.carried and stage.kind is not StageKind.CARRY_IN]
    assert len(moves) == len(carried)
    for stage in carried:
        name = " + ".join(", ".join(filter(None, spot)) for spot in stage.worked) or "all back"
        move = moves[name]
        assert move.estimate.likely == pytest.approx(stage.minutes + 5, abs=1)
        assert move.least_people == max(plan.pieces[carry.piece].people for carry in stage.carried)
        for task in tasks.values():
            scope = task.key.scope
            if scope.kind is ScopeKind.SECTION and (scope.name, scope.part) in stage.worked:
                assert move.number in comes_after(task.number), task.title
    assert not any(
        task.key.template in ("move-furniture-out", "move-furniture-over", "furniture-back") for task in tasks.values()
    )


def test_furniture_comes_back_onto_a_floor_only_when_its_trim_is_done(flat: Shop) -> None:
    """Whoever carries something back into a room that is finished finds its base on and its floor cleaned up."""
    flat.office.moves(7)
    record = flat.record(7)
    last = next(task for task in record.tasks if task.key.scope.name == "all back")
    before = {link.before for link in record.links if link.after == last.number}
    titles = {record.task(number).key.template for number in before}
    assert titles & {"base-back", "shoe-on", "caulk", "daily-clean-up"}


def test_another_order_given_puts_the_stages_out_of_force(flat: Shop) -> None:
    """The lead's own order counts: with another one the old tasks of furniture are there again."""
    flat.office.moves(7)
    text = FLAT.replace(
        'title = "Weir', 'stages = [["bedroom"], ["living: door half", "living: window half"]]\ntitle = "Weir'
    )
    if flat.record(7).job.stages == ((("bedroom", ""),), (("living", "door half"), ("living", "window half"))):
        text = text.replace('[["bedroom"], [', "[[").replace("]]\ntitle", '], ["bedroom"]]\ntitle')
    said = flat.office.load([flat.file("again.toml", text)], replace=True).then
    assert any("its furniture stages are no longer in force" in one for one in said)
    record = flat.record(7)
    assert record.moves_in_force is None
    assert any(task.key.template.startswith("move-furniture-") and task.open for task in record.tasks)
    assert not open_move_tasks(flat)


def test_undo_takes_them_back(flat: Shop) -> None:
    """One undo, and the job is as it was before."""
    before = flat.record(7)
    flat.office.moves(7)
    flat.office.undo()
    after = flat.record(7)
    assert (after.job, after.moves) == (before.job, ())
    assert [(t.key, t.not_needed) for t in after.tasks] == [(t.key, t.not_needed) for t in before.tasks]


def test_the_order_a_job_gives_is_kept_until_another_is_asked_for(shop: Shop) -> None:
    """Stages in the job's file are the lead's word: only the furniture is looked at, unless any order is asked for."""
    given = '[["living: window half"], ["bedroom"], ["living: door half"]]'
    shop.office.load([shop.file("flat.toml", FLAT.replace('title = "Weir', f'stages = {given}\ntitle = "Weir'))])
    shop.office.moves(7)
    plan = shop.record(7).moves_in_force
    assert plan is not None
    assert plan.order == ((("living", "window half"),), (("bedroom", ""),), (("living", "door half"),))
    assert "the order of work is the one the job gives" in plan.taken_as
    shop.office.moves(7, again=True)
    anew = shop.record(7).moves_in_force
    assert anew is not None
    assert anew.cost < plan.cost


def test_from_here_begins_with_what_is_laid_and_where_things_stand(flat: Shop) -> None:
    """Once the first stage is worked, what is left is found from there: nothing laid is worked again, nothing is carried twice."""
    flat.office.moves(7)
    first = flat.record(7).moves_in_force
    assert first is not None
    stage = next(one for one in first.stages if one.kind is StageKind.WORK)
    flat.office.arrived(7, "slate plank", 18, in_rooms=True)
    move = [t.number for t in flat.record(7).tasks if t.key.scope.kind is ScopeKind.STAGE][:1]
    numbers = [number for spot in stage.worked for number in section_tasks(flat, *spot)]
    flat.office.tick(7, sorted({*move, *numbers}), because="seen")
    flat.office.furnish(7, "hall", "bench")
    flat.office.moves(7)
    after = flat.record(7)
    plan = after.moves_in_force
    assert plan is not None
    worked = [spot for one in plan.stages for spot in one.worked]
    assert len(worked) == len(set(worked)) == 3
    assert next(one for one in plan.stages if one.kind is StageKind.WORK) == replace(
        stage, carried=plan.stages[1].carried, standing=plan.stages[1].standing, aside=plan.stages[1].aside
    )
    positions = dict.fromkeys(range(len(plan.pieces)))
    for one in plan.stages:
        for carry in one.carried:
            known = positions[carry.piece]
            assert known is None or known == carry.start
            positions[carry.piece] = carry.to
    assert all(t.done_at is not None for t in after.tasks if t.number in numbers)


def test_a_door_that_is_off_leans_somewhere_until_it_hangs_again(flat: Shop) -> None:
    """Found again after the bedroom is laid: its door stands where it was put, in every stage; once it is rehung it is gone."""
    text = flat.office.dump(7)
    flat.office.load(
        [flat.file("first.toml", f'stages = [["bedroom"], ["living: door half"], ["living: window half"]]\n{text}')],
        replace=True,
    )
    flat.office.moves(7)
    plan = flat.record(7).moves_in_force
    assert plan is not None
    flat.office.arrived(7, "slate plank", 18, in_rooms=True)
    stages = [stage for stage in plan.stages if stage.kind is StageKind.WORK]
    upto = next(number for number, stage in enumerate(stages) if ("bedroom", "") in stage.worked)
    for number, stage in enumerate(stages[: upto + 1]):
        move = [t.number for t in flat.record(7).tasks if t.key.scope.kind is ScopeKind.STAGE and t.open][:1]
        tasks = [one for spot in stage.worked for one in section_tasks(flat, *spot)]
        flat.office.tick(7, [*move, *tasks], because=f"seen {number}")
    flat.office.furnish(7, "hall", "bench")

    def stands() -> list[bool]:
        flat.office.moves(7)
        found = flat.record(7).moves_in_force
        assert found is not None
        doors = {number for number, piece in enumerate(found.pieces) if piece.name == "door hall / bedroom"}
        last = [stage for stage in found.stages if stage.kind is StageKind.WORK][-1]
        return [one.piece in doors for one in last.standing]

    assert any(stands())
    hang = [t.number for t in flat.record(7).tasks if t.key.template == "hang-doors" and "bedroom" in t.key.scope.name]
    flat.office.tick(7, hang, because="seen")
    flat.office.furnish(7, "hall", "bench, stool")
    assert not any(stands())


def test_floors_are_packed_full_only_where_there_is_no_other_way(shop: Shop) -> None:
    """Two crates that cover nine tenths of a shed, and nothing else there is: they stand there, and the shed is named."""
    crates = '{ name = "crate", size = "58 in x 58 in", lb = 90 }, { name = "chest", size = "58 in x 50 in", lb = 90 }'
    garage = '[[room]]\nname = "shed"\nlength = "10 ft"\nwidth = "5 ft"\nkeeps = "furniture"\n\n'
    way = '[[opening]]\nbetween = ["shed", "outside"]\nwidth = "60 in"\n\n'
    text = JOB.replace("[[opening]]", garage + way + "[[opening]]", 1)
    text = text.replace('{ name = "sofa", people = 2 }, "desk"', crates).replace('width = "36 in"', 'width = "60 in"')
    shop.office.load([shop.file("den.toml", text)], replace=True)
    shop.office.moves(4)
    plan = shop.record(4).moves_in_force
    assert plan is not None
    assert any("packed closer: shed to 87%" in one for one in plan.taken_as)


@pytest.mark.parametrize(("width", "wide"), [("20 in", False), ("32 in", True)])
def test_a_piece_goes_only_through_openings_it_fits(shop: Shop, width: str, wide: bool) -> None:
    """Through a garage door 20 in wide goes no sofa, armchair or bed; through the usual one some do, and every carry is one."""
    old = 'between = ["hall", "garage"]\nwidth = "32 in"'
    shop.office.load([shop.file("flat.toml", FLAT.replace(old, old.replace("32 in", width)))])
    shop.office.moves(7)
    plan = shop.record(7).moves_in_force
    assert plan is not None
    kept = {plan.pieces[one.piece].name for stage in plan.stages for one in stage.standing if one.spot[0] == "garage"}
    assert bool(kept & {"sofa", "armchair", "queen bed", "dresser"}) == wide
    assert all(carry.minutes < 60 for stage in plan.stages for carry in stage.carried)


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_what_is_too_wide_is_said_with_its_opening(shop: Shop) -> None:
    """Nowhere but a garage behind a narrow door: the sofa is named, what it needs, and where it does not get."""
    text = FLAT.replace('length = "12 ft"\nwidth = "4 ft"', 'length = "4 ft"\nwidth = "4 ft"')
    text = text.replace(
        'between = ["hall", "garage"]\nwidth = "32 in"', 'between = ["hall", "garage"]\nwidth = "20 in"'
    )
    text = text.replace(
        '{ usual = "living room" }',
        '{ usual = "living room" }, { name = "sofa", count = 5 }',
    )
    shop.office.load([shop.file("flat.toml", text)])
    with pytest.raises(Refused) as refused:
        shop.office.moves(7, seconds=5)
    sentence = refused.value.sentences[0]
    assert "Sofa of living, " in sentence
    assert "needs openings of about 28 in: it gets not into garage, unless it is taken apart" in sentence


def test_a_file_without_an_order_keeps_the_one_found(flat: Shop) -> None:
    """The flat's own file, which names no stages, loaded again: the stages found stay in force."""
    flat.office.moves(7)
    before = flat.record(7).moves_in_force
    flat.office.load([flat.file("again.toml", FLAT.replace("Weir Street, lived in", "Weir Street"))], replace=True)
    assert before is not None
    assert flat.record(7).moves_in_force == before


def test_what_is_laid_is_never_worked_again(flat: Shop) -> None:
    """Work that began without stages, or stages found anew halfway: what is laid stays laid, and comes first in the order."""
    flat.office.arrived(7, "slate plank", 18, in_rooms=True)
    before = [t.number for t in flat.record(7).tasks if t.key.template in ("walk-through-before", "protect-house")]
    flat.office.tick(7, [*before, *section_tasks(flat, "bedroom")], because="seen")
    for again in (False, True):
        flat.office.moves(7, again=again)
        record = flat.record(7)
        plan = record.moves_in_force
        assert plan is not None
        assert plan.order[0] == (("bedroom", ""),)
        assert sorted(spot for stage in plan.order for spot in stage) == [
            ("bedroom", ""), ("living", "door half"), ("living", "window half"),
        ]  # fmt: skip
        assert not next(stage for stage in plan.stages if stage.worked == plan.order[0]).carried
        assert again or any("taken as standing at home" in one for one in plan.taken_as)
        assert all(record.task(number).done_at is not None for number in section_tasks(flat, "bedroom"))


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('{ usual = "bedroom" }', '{ usual = "bedroom" }, { name = "piano", stays = true }', "stays in bedroom"),
        ('{ usual = "bedroom" }', '{ name = "sofa", count = 9 }', "over-full before anything is moved"),
        ('{ usual = "bedroom" }', '{ name = "raft", size = "19 ft x 19 ft" }', "larger than every place"),
        ("year_built = 1994", "year_built = 1994\nbeds = 3", "3 beds must be there every night, and the house has 1"),
        (
            'between = ["hall", "bedroom"]',
            'between = ["hall", "living"]',
            "no doorway and no stairs lead to bedroom: add",
        ),
        ('between = ["hall", "outside"]', 'between = ["garage", "bedroom"]', "no doorway leads outside: add"),
    ],
)
def test_what_no_order_can_help_is_said_in_a_sentence(shop: Shop, old: str, new: str, sentence: str) -> None:
    """Bad input has its sentence, and changes nothing."""
    text = FLAT.replace(old, new)
    if '"living"]' in new:
        text = text.replace('between = ["living: door half", "hall"]', 'between = ["living: door half", "garage"]')
    shop.office.load([shop.file("flat.toml", text)])
    before = shop.record(7)
    with pytest.raises(Refused) as refused:
        shop.office.moves(7)
    assert any(sentence in one for one in refused.value.sentences), refused.value.sentences
    assert shop.record(7) == before


def test_a_room_without_an_opening_is_not_asked_for_a_wider_one(shop: Shop) -> None:
    """No doorway leads to the bedroom: that is said, and nothing of how wide one would have to be."""
    text = FLAT.replace('[[opening]]\nbetween = ["hall", "bedroom"]\nwidth = "30 in"\n', "")
    assert text != FLAT
    done = shop.office.load([shop.file("flat.toml", text)])
    assert any("no doorway and no stairs lead to bedroom" in sentence for sentence in done.then)
    with pytest.raises(Refused) as refused:
        shop.office.moves(7)
    assert any("no doorway and no stairs lead to bedroom" in one for one in refused.value.sentences)
    assert not any("goes through no opening" in one for one in refused.value.sentences), refused.value.sentences


def test_one_room_and_no_other_heated_place_leaves_the_cartons_aside(shop: Shop) -> None:
    """The den with a garage: planks may not lie there, so only the furniture is looked at, and that is said."""
    garage = '[[room]]\nname = "garage"\nlength = "12 ft"\nwidth = "10 ft"\nkeeps = "furniture"\n\n'
    way = '[[opening]]\nbetween = ["garage", "den"]\nwidth = "32 in"\n\n'
    text = JOB.replace("[[opening]]", garage + way + "[[opening]]", 1)
    shop.office.load([shop.file("den.toml", text)], replace=True)
    shop.office.moves(4)
    plan = shop.record(4).moves_in_force
    assert plan is not None
    assert not any(piece.belongs is Belongs.CARTONS for piece in plan.pieces)
    assert any("no heated place beside the one that is worked" in one for one in plan.taken_as)


def test_a_hall_that_cures_before_the_only_toilet_asks_for_a_night_away(shop: Shop) -> None:
    """Nobody walks over glue that sets: where beds and the toilet lie behind it, a night elsewhere is named, and with it there is a way."""
    text = FLAT.replace('width = "4 ft"\n', 'width = "4 ft"\nfloor = "slate plank"\n', 1)
    text = text.replace('kind = "click vinyl"', 'kind = "glue-down vinyl"')
    bath = '[[room]]\nname = "bath"\nlength = "8 ft"\nwidth = "5 ft"\nfixtures = { toilet = 1 }\n\n'
    door = '[[opening]]\nbetween = ["hall", "bath"]\nwidth = "28 in"\n\n'
    text = text.replace("[[opening]]", bath + door + "[[opening]]", 1)
    shop.office.load([shop.file("flat.toml", text)])
    with pytest.raises(Refused) as refused:
        shop.office.moves(7, seconds=5)
    assert any("in which nobody sleeps in the house" in one for one in refused.value.sentences), refused.value.sentences
    away = text.replace(
        "year_built = 1994", 'year_built = 1994\nbeds = 0\ntoilet_meanwhile = "a night at the sister\'s"'
    )
    shop.office.load([shop.file("away.toml", away)], replace=True)
    shop.office.moves(7, seconds=5)
    assert shop.record(7).moves_in_force is not None


@pytest.mark.skipif(not thorough.THOROUGH, reason="long: with CREWJOBS_THOROUGH")
def test_a_house_without_a_way_names_what_would_open_it(shop: Shop) -> None:
    """One furnished room and nowhere to go: how much floor more is named, and with a container of that much there is a way."""
    text = FLAT.replace('keeps = "furniture"', 'keeps = "nothing"').replace(
        'length = "12 ft"\nwidth = "4 ft"', 'length = "4 ft"\nwidth = "4 ft"'
    )
    text = text.replace(
        '{ usual = "living room" }',
        '{ usual = "living room" }, { name = "sofa", count = 2 }, { name = "dresser", count = 3 }',
    )
    shop.office.load([shop.file("flat.toml", text)])
    with pytest.raises(Refused) as refused:
        shop.office.moves(7, seconds=8)
    sentences = refused.value.sentences
    assert "there is no way through" in sentences[0]
    more = next(
        one for one in sentences[1:] if "ft² more to store furniture" in one and "for instance a container" in one
    )
    feet = int(more.split(" ft²")[0].split()[-1])
    container = f'[[room]]\nname = "container"\nlength = "{feet / 8:.2f} ft"\nwidth = "8 ft"\nkeeps = "furniture"\npower = false\n\n'
    way = '[[opening]]\nbetween = ["container", "outside"]\nwidth = "84 in"\ndoor = false\n\n'
    shop.office.load(
        [shop.file("more.toml", text.replace("[[opening]]", container + way + "[[opening]]", 1))], replace=True
    )
    shop.office.moves(7, seconds=8)
    assert shop.record(7).moves_in_force is not None
