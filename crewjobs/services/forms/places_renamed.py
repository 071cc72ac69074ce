"""A room, one of its sections or stairs that has another name in a job's form: the same place, so all recorded of it follows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Final

from crewjobs.domain.moves import Belongs
from crewjobs.domain.tasks import Scope, ScopeKind
from crewjobs.domain.units import quoted
from crewjobs.engines.stages.basis import basis_of as basis_of_moves
from crewjobs.engines.take_off.floors import basis_of as basis_of_layout
from crewjobs.services.findings.found_asked import because_of
from crewjobs.services.forms.draft import sections_of

if TYPE_CHECKING:
    from crewjobs.domain.house_ready import WaitingOn
    from crewjobs.domain.job import Job, JobRecord
    from crewjobs.domain.moves import MovedPiece, MovesPlan, MoveStage, Spot
    from crewjobs.domain.tasks import Task
    from crewjobs.services.forms.draft import Draft

_DOOR: Final = "door "
"""How a door that is off is named among what is carried, before its doorway."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """Which places of a job have another name, by the one they had; sections by room and name as they were."""

    rooms: Mapping[str, str] = field(default_factory=dict)
    stairs: Mapping[str, str] = field(default_factory=dict)
    parts: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def __bool__(self) -> bool:
        """Return whether any has."""
        return bool(self.rooms or self.stairs or self.parts)

    def taken_over(self) -> Iterator[tuple[str, str]]:
        """Yield each room and flight that is to be called as another one was, with that name: stored rows hold one of a name."""
        for names in (self.rooms, self.stairs):
            yield from ((old, new) for old, new in names.items() if new in names)

    def spot(self, spot: Spot) -> Spot:
        """Return room and section as they are called now."""
        room, part = spot
        return self.rooms.get(room, room), self.parts.get((room, part), part)

    def told(self) -> Iterator[str]:
        """Yield a sentence for each."""
        for old, new in (*self.rooms.items(), *self.stairs.items()):
            yield f"{quoted(old)} is now called {quoted(new)} in this job: its tasks and what was recorded of it go with it."
        for (room, old), new in self.parts.items():
            yield f"{quoted(old)} of {quoted(self.rooms.get(room, room))} is now called {quoted(new)}: its tasks go with it."


def names_in(draft: Draft) -> Names:
    """Return which places have another name in a form than in the job it was opened on."""
    parts: dict[tuple[str, str], str] = {}
    for page in draft.of("room"):
        old = [str(one["name"]) for one in page.before.get("sections", ())]
        new = sections_of(page.texts)
        if len(old) == len(new) == len({*new}):
            for was, name in zip(old, new, strict=True):
                if was != name and was not in new and name not in old:
                    parts[str(page.before["name"]), was] = name
    return Names(rooms=_of(draft, "room"), stairs=_of(draft, "stairs"), parts=parts)


def _of(draft: Draft, kind: str) -> dict[str, str]:
    """Return the names of a kind of page; one that another page had, which is gone, may be either and is none."""
    pages = [(str(page.before["name"]), page.name) for page in draft.of(kind) if page.before.get("name")]
    had = {str(one["name"]) for one in draft.opened.get(kind, ())}
    names = {old: new for old, new in pages if new and old != new}
    while taken := [old for old, new in names.items() if new in had and new not in names]:
        for old in taken:
            del names[old]
    return names


def renamed(record: JobRecord, names: Names) -> JobRecord | None:
    """Return a job with other names of its places: its definition, tasks, readings, findings, lots, stages and layouts.

    None where a place of the new name was there before and its tasks are still kept: whose they are could not be told.
    What somebody signed, said or was told stays in the words it was said in, but for what a finding calls its own by its place:
    the change order of its work, and who was asked because of it.
    """
    job = _job(record.job, names)
    openings = {was.name: now.name for was, now in zip(record.job.openings, job.openings, strict=True)}
    goods = {was.name: now.name for was, now in zip(record.job.goods, job.goods, strict=True)}
    places = {**openings, **names.stairs, **names.rooms}
    orders = {
        order.what: order.what.removesuffix(one.order) + replace(one, place=places[one.place]).order
        for one in record.findings
        if one.work and one.place in places
        for order in record.change_orders
        if one.about_its_work(order.what)
    }
    stages = {
        _stage(one.worked): _stage([*map(names.spot, one.worked)]) for plan in record.moves for one in plan.stages
    }
    tasks = tuple(_task(task, names, openings, stages) for task in record.tasks)
    if len({task.key for task in tasks}) < len(tasks):
        return None
    return replace(
        record,
        job=job,
        tasks=tasks,
        air=tuple(replace(one, room=names.rooms.get(one.room, one.room)) for one in record.air),
        readings=tuple(replace(one, room=names.rooms.get(one.room, one.room)) for one in record.readings),
        lot_uses=tuple(
            replace(one, rooms=tuple(places.get(name, name) for name in one.rooms)) for one in record.lot_uses
        ),
        findings=tuple(replace(one, place=places.get(one.place, one.place)) for one in record.findings),
        ways_taken=tuple(replace(one, place=places.get(one.place, one.place)) for one in record.ways_taken),
        change_orders=tuple(replace(one, what=orders.get(one.what, one.what)) for one in record.change_orders),
        waiting_on=tuple(_asked(record, one, places) for one in record.waiting_on),
        goods_come=tuple(replace(one, line=goods.get(one.line, one.line)) for one in record.goods_come),
        new_dates=tuple(replace(one, line=goods.get(one.line, one.line)) for one in record.new_dates),
        moves=tuple(_moves(plan, names, record.job, job) for plan in record.moves),
        layouts=tuple(
            replace(one, basis=basis_of_layout(job, job.material(one.material)))
            if one.basis == basis_of_layout(record.job, record.job.material(one.material))
            else one
            for one in record.layouts
        ),
    )


def _asked(record: JobRecord, waits: WaitingOn, places: Mapping[str, str]) -> WaitingOn:
    """Return what somebody was asked because of a finding with the place's name of now, by which it is known as the finding's."""
    for finding in record.findings:
        new = places.get(finding.place)
        if new is not None and because_of(finding, waits):
            before, _, after = waits.what.rpartition(f" in {finding.place}")
            return replace(waits, what=f"{before} in {new}{after}")
    return waits


def _job(job: Job, names: Names) -> Job:
    def place(name: str) -> str:
        return {**openings, **names.stairs, **names.rooms}.get(name, name)

    doors = tuple(
        replace(
            one,
            between=(names.spot((one.between[0], ""))[0], names.spot((one.between[1], ""))[0]),
            parts=(names.spot((one.between[0], one.parts[0]))[1], names.spot((one.between[1], one.parts[1]))[1]),
        )
        for one in job.openings
    )
    openings = {was.name: now.name for was, now in zip(job.openings, doors, strict=True)}
    return replace(
        job,
        rooms=tuple(
            replace(
                room,
                name=names.rooms.get(room.name, room.name),
                cuts=tuple((names.parts.get((room.name, part), part), length) for part, length in room.cuts),
                furniture=tuple(
                    replace(piece, part=names.parts.get((room.name, piece.part), piece.part))
                    for piece in room.furniture
                ),
            )
            for room in job.rooms
        ),
        openings=doors,
        stairs=tuple(
            replace(
                one,
                name=names.stairs.get(one.name, one.name),
                between=tuple(names.rooms.get(room, room) for room in one.between),
            )
            for one in job.stairs
        ),
        goods=tuple(replace(one, place=place(one.place)) for one in job.goods),
        work=tuple(replace(one, place=place(one.place)) for one in job.work),
        stages=tuple(tuple(map(names.spot, stage)) for stage in job.stages),
        starts=tuple(map(names.spot, job.starts)),
    )


def _task(task: Task, names: Names, openings: Mapping[str, str], stages: Mapping[str, str]) -> Task:
    scope = task.key.scope
    match scope.kind:
        case ScopeKind.ROOM | ScopeKind.SECTION:
            name, part = names.spot((scope.name, scope.part))
            now = Scope(kind=scope.kind, name=name, part=part)
        case ScopeKind.OPENING:
            now = replace(scope, name=openings.get(scope.name, scope.name))
        case ScopeKind.STAIRS:
            now = replace(scope, name=names.stairs.get(scope.name, scope.name))
        case ScopeKind.STAGE:
            now = replace(scope, name=stages.get(scope.name, scope.name))
        case _:
            return task
    return task if now == scope else replace(task, key=replace(task.key, scope=now))


def _stage(worked: Sequence[Spot]) -> str:
    """Return how a task of a furniture stage is named by the sections worked in it."""
    return " + ".join(", ".join(filter(None, spot)) for spot in worked)


def _moves(plan: MovesPlan, names: Names, before: Job, after: Job) -> MovesPlan:
    doors = {was.name: now.name for was, now in zip(before.openings, after.openings, strict=True)}

    def piece(one: MovedPiece) -> MovedPiece:
        home, name = names.spot(one.home), one.name
        if one.belongs is Belongs.CARTONS:  # named by the place they are for
            name = name.replace(f" for {_stage([one.home])}", f" for {_stage([home])}")
        elif one.belongs is Belongs.DOOR and name.startswith(_DOOR):
            name = _DOOR + doors.get(name.removeprefix(_DOOR), name.removeprefix(_DOOR))
        return replace(one, home=home, name=name)

    def stage(one: MoveStage) -> MoveStage:
        return replace(
            one,
            worked=tuple(map(names.spot, one.worked)),
            carried=tuple(replace(c, start=names.spot(c.start), to=names.spot(c.to)) for c in one.carried),
            standing=tuple(replace(s, spot=names.spot(s.spot)) for s in one.standing),
            free=tuple((names.spot(spot), rects) for spot, rects in one.free),
        )

    return replace(
        plan,
        pieces=tuple(map(piece, plan.pieces)),
        stages=tuple(map(stage, plan.stages)),
        basis=basis_of_moves(after) if plan.basis == basis_of_moves(before) else plan.basis,
    )
