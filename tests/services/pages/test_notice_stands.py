"""Where furniture and cartons stand meanwhile, on the notice of a house with furniture stages."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.moves import Belongs, MovedPiece, StageKind
from crewjobs.services.jobs.catalogues import catalogue_of
from crewjobs.services.pages.notice_rooms import LAID, Minutes, out_of_use
from crewjobs.services.pages.notice_stands import UNTIL_LAID, stage_tasks, stands_meanwhile, stands_on
from crewjobs.services.weeks.visits import planned
from crewjobs.storage.database import open_database
from tests.builders import central
from tests.services.conftest import Shop, kept, load_den

TWO_ROOMS = """
number = 7
title = "Two rooms, furniture in the first"

[customer]
name = "Tamsin Rook"

[site]
address = "3 Weir Street, Marrow Bend"
year_built = 1994

[[room]]
name = "living"
length = "14 ft"
width = "12 ft"
layers = ["carpet"]
floor = "slate plank"
furniture = [{ name = "sofa", people = 2, size = "84 in x 36 in" }, "desk"]

[[room]]
name = "bedroom"
length = "10 ft"
width = "9 ft"
layers = ["carpet"]
floor = "slate plank"

[[opening]]
between = ["living", "bedroom"]
width = "36 in"

[[opening]]
between = ["living", "outside"]
width = "36 in"

[[material]]
name = "slate plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.8 ft2"

[[order]]
material = "slate plank"
cartons = 14
supplier = "north yard"
ordered = 2026-02-16
due = "2026-03-03 10:00"
"""


ROOMS = ("bedroom", "living")


def load_rooms(shop: Shop) -> None:
    """Two rooms, found to be worked one after the other, and planned."""
    shop.office.load([shop.file("rooms.toml", TWO_ROOMS)])
    shop.office.moves(7)
    shop.office.plan()


rooms = kept(load_den, load_rooms)


def test_the_notice_says_where_the_furniture_stands_and_when_it_is_back(rooms: Shop) -> None:
    """The sofa waits in the bedroom from the first move to the second, which is its way home: no task of its own brings it back."""
    record, notice = rooms.record(7), rooms.office.notice(7)
    plan = record.moves_in_force
    assert plan is not None
    first, second = (stage_tasks(record, plan)[n] for n, one in enumerate(plan.stages) if one.kind is StageKind.WORK)
    assert [task.key.template for task in (*first, *second)] == ["move-furniture", "move-furniture"]
    stands = {one.place: one.lines for one in notice.stands}
    (furniture,) = [line for line in stands["bedroom"] if line.startswith("sofa and desk, from about ")]
    there, to = furniture.removeprefix("sofa and desk, from about ").split(" to about ")
    assert there != to
    (living,) = [one for one in notice.out if one.room == "living"]
    assert living.furnish.startswith("Furniture: we put it back, planned for ")
    assert " ".join(to.split()[:3]) in living.furnish, "the day of the second move"
    assert not any("sofa" in line for line in stands.get("living", ())), "at home nothing is told of it"


def test_cartons_are_told_of_where_they_lie_until_they_are_laid(rooms: Shop) -> None:
    """What is laid from where it lies is not carried on: no instant of a next carry is made up."""
    lines = [line for one in rooms.office.notice(7).stands for line in one.lines]
    assert any("cartons for living" in line and line.endswith(UNTIL_LAID) for line in lines)
    assert not any("door" in line for line in lines)


def test_what_was_carried_is_there_now_and_what_was_carried_on_is_told_no_more(rooms: Shop) -> None:
    """Ticks of the two moves: first the furniture is in the bedroom, then it is at home."""
    record = rooms.record(7)
    plan = record.moves_in_force
    assert plan is not None
    moves = [task.number for n, tasks in stage_tasks(record, plan).items() if n for task in tasks]
    for done, said in ((1, ["sofa and desk, there now; when it is carried on is not planned yet"]), (2, [])):
        over = moves[:done]
        tasks = tuple(
            replace(one, done_at=central("2026-03-04", "10:00")) if one.number in over else one for one in record.tasks
        )
        found = stands_meanwhile(replace(record, tasks=tasks), {})
        assert [line for one in found for line in one.lines if "sofa" in line] == said


@pytest.mark.parametrize("state", ["no stages", "stages"])
def test_without_stages_in_force_nothing_is_told(rooms: Shop, state: str) -> None:
    """A house worked in another order than was found has no stages: where its things stand nobody knows."""
    record = rooms.record(7)
    plan = record.moves_in_force
    assert plan is not None
    assert {piece.belongs for piece in plan.pieces} >= {Belongs.FURNITURE, Belongs.CARTONS}
    moves = record.moves if state == "stages" else ()
    assert bool([*stands_meanwhile(replace(record, moves=moves), {})]) is (state == "stages")


def test_a_room_that_only_keeps_what_others_own_gets_no_furniture_back(rooms: Shop) -> None:
    """The bedroom has nothing of its own: what the living room's furniture does there is told where it stands."""
    bedroom, living = (next(one for one in rooms.office.notice(7).out if one.room == name) for name in ROOMS)
    assert "we put it back" not in bedroom.furnish
    assert "we put it back" in living.furnish


def test_of_two_pieces_of_one_name_it_is_said_whose_they_are(rooms: Shop) -> None:
    """A desk of each room: which one stands in the bedroom is told; of the sofa, which is one, nothing is added."""
    record = rooms.record(7)
    plan = record.moves_in_force
    assert plan is not None
    other = MovedPiece(letter="Z", name="desk", belongs=Belongs.FURNITURE, home=("bedroom", ""))
    two = replace(record, moves=(replace(plan, pieces=(*plan.pieces, other)),))
    said = [line for one in stands_meanwhile(two, {}) for line in one.lines if "desk" in line]
    assert len(said) == 1
    assert said[0].startswith("sofa, desk of living, ")


WINDOW, DOOR = "living, window half", "living, door half"


def test_a_half_that_is_laid_stays_until_its_room_is_done(demo_made) -> None:
    """Job 1 as it is planned, step by step: the laid half is walked on, takes the room's furniture, gets its base, and is told to the end."""
    with open_database(demo_made, create=False).reading() as uow:
        found, catalogue = planned(uow), catalogue_of(uow)
    assert found is not None
    times = found.task_minutes(found.records[1])

    def rows(day: str, hour: str) -> dict[str, tuple[str, str, str]]:
        now = central(f"2026-03-{day}", hour)
        over = {number: end for number, (_, end) in times.items() if end <= now}
        tasks = [replace(one, done_at=over.get(one.number, one.done_at)) for one in found.records[1].tasks]
        record = replace(found.records[1], tasks=tuple(tasks))
        out = out_of_use(found, record, Minutes(plan=times, ahead=times), now, {}, catalogue)
        return {one.room: (one.out, one.walk, one.furnish) for one in out}

    now, later = "By the clock it may be walked on now; the crew says so. ", ", planned for Thu 5 Mar 09:00."
    back, base = (
        "Furniture: we put it back, planned for Thu 5 Mar 11:45.",
        "We come back to it for base, trim or fixtures",
    )
    stands = "The room's furniture stands on it"
    laid = rows("03", "15:30")
    assert laid[WINDOW] == (LAID, f"{now}{base}{later}", f"{stands} from about Wed 4 Mar 07:45. {back}")
    assert laid[DOOR][2] == f"{stands} now to about Wed 4 Mar 07:45. {back}"
    both = rows("04", "15:45")
    assert both[WINDOW] == (LAID, f"{now}{base}{later}", f"{stands} now. {back}")
    assert both[DOOR] == (LAID, f"{now}{base}{later}", back)
    vents = rows("05", "12:15")
    assert vents[WINDOW][2] == vents[DOOR][2] == ""
    assert vents[WINDOW][1].startswith(f"{now}{base}")
    assert not rows("05", "13:45")


def test_of_three_parts_it_is_not_known_on_which_the_furniture_stands(demo_made) -> None:
    """A middle part has it until its own turn, and again once the last one's has come."""
    with open_database(demo_made, create=False).reading() as uow:
        record = uow.job(1)
    first, last = (one for one in record.tasks if one.key.template == "move-furniture-over")
    part = replace(first.key.scope, part="middle")
    middle = replace(first, number=first.number + 1, key=replace(first.key, scope=part))
    rest = [one for one in record.tasks if one.key.template == "furniture-back" and one.where == "living"]

    starts = [central("2026-03-03", "8:00"), central("2026-03-03", "12:00"), central("2026-03-04", "9:00")]
    parts = (first, middle, last)
    times = {one.number: (start, start) for one, start in zip(parts, starts, strict=True)}

    def said(done: int) -> str:
        over = [replace(one, done_at=start) for one, start in zip(parts[:done], starts, strict=False)]
        return stands_on(replace(record, tasks=(*over, *parts[done:], *rest)), times, "living, middle", rest)

    stands = "The room's furniture may stand on it"
    assert said(0) == f"{stands} from about Tue 3 Mar 08:00 to about Tue 3 Mar 12:00."
    assert said(1) == f"{stands} now to about Tue 3 Mar 12:00."
    assert said(2) == f"{stands} from about Wed 4 Mar 09:00."
    assert said(3) == f"{stands} now."
