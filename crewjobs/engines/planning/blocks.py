"""From open tasks to blocks: tasks of one job, phase and stage that one crew does in one go.

Two tasks share a block when they have the same phase (hauling out and cleaning up a section go with the work
they follow), stage and pause rule, no wait lies between them, some crew can do both, and no other block comes
between. What moves by a booked elevator stays apart, so does what only somebody with a card may do (others go on
without them) and what may be left for a second trip. What starts or ends a wait stays apart from what does not wait
for the same thing, so that a cure or a late lot holds back no more than it must. Two tasks between which there may be
no more than so long are blocks of their own: what a block's bounds say, then holds for the task.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Final, NamedTuple

from crewjobs.domain.crew import Crew, Shop, Skill, Worker
from crewjobs.domain.evening import latest
from crewjobs.domain.job import JobRecord
from crewjobs.domain.plan import BlockKey, WeekPlan
from crewjobs.domain.tasks import Link, Pause, Phase, ScopeKind, Task
from crewjobs.domain.wall import QUARTER
from crewjobs.engines.planning.critical_path import in_order, neighbors, reached
from crewjobs.engines.planning.links import open_links as open_links
from crewjobs.engines.planning.paces import BOOK, Paces
from crewjobs.engines.planning.problem import Block, BlockLink
from crewjobs.engines.planning.roster import Hands
from crewjobs.engines.planning.subs import labor_minutes as labor_minutes
from crewjobs.engines.planning.subs import labor_with, manned
from crewjobs.engines.planning.worked_since import at_work
from crewjobs.engines.readiness.found import free_spans
from crewjobs.engines.readiness.holds import is_carry_in

OPENING_PHASES = frozenset({Phase.DEMOLITION, Phase.INSTALL, Phase.TRIM, Phase.FIXTURES_RESET})

FLOOR_PHASES = frozenset({Phase.DEMOLITION, Phase.INSTALL})
"""Phases in whose blocks a section is hauled out or cleaned up."""

MINUTE: Final = timedelta(minutes=1)

LONG_WAIT_MIN: Final = 2 * 24 * 60
"""From here on a wait is begun as early as it can be, whatever else is packed together."""


def holds_cards(workers: Sequence[Worker], cards: frozenset[str]) -> bool:
    """Return whether every card is held by somebody of these people."""
    return cards <= {card for worker in workers for card in worker.cards}


def by_elevator(record: JobRecord, task: Task) -> bool:
    """Return whether a task can only be done while the house's elevator is booked for the crew."""
    return task.elevator and record.job.site.elevator is not None


def opened(record: JobRecord) -> bool:
    """Return whether the house is torn open: work on its floors has begun.

    Carrying in, protecting, samples and tests for the whole house (stage 0) open none. Preparing the subfloor
    does where nothing is left to be torn out.
    """
    touched = [task for task in record.tasks if task.stage > 0 and (task.started_at or task.done_at)]
    if any(task.phase in OPENING_PHASES for task in touched):
        return True
    to_tear = any(task.phase is Phase.DEMOLITION and task.open for task in record.tasks)
    return not to_tear and any(task.phase is Phase.SUBFLOOR_PREP for task in touched)


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A task under way: the crew that began it (empty where not known) and the labor minutes left."""

    crew: str
    labor: int


def begun_tasks(
    record: JobRecord, shop: Shop, at: datetime, previous: WeekPlan | None, paces: Paces = BOOK
) -> dict[int, Begun]:
    """Return the tasks under way at an instant, ticked since or not, with what was left of them then.

    Left is the estimate by the crew's pace, or the share of it that was said to be left, without what the crew's people can have
    done since, by the crew's calendar at the site and the hours it told (`at_work`) and while no finding held it, and a quarter
    hour of one person at least. The crew that goes on is the one recorded with the task, else the one the previous plan had there. Only the recorded one counts for what
    is left, so that a plan and its page reckon alike; where none is recorded, one person at the shop's hours is
    counted.
    """
    planned = {
        number: placement.crew
        for placement in (previous.placements if previous else ())
        if placement.key.job == record.job.number
        for number in placement.tasks
    }
    crews = _lasting(shop)
    under_way = [
        task
        for task in record.tasks
        if task.started_at is not None
        and task.started_at <= at
        and (task.done_at is None or task.done_at > at)
        and not task.not_needed
    ]
    sharing = [task.crew if task.crew in crews else "" for task in under_way]
    found = {}
    for task, recorded in zip(under_way, sharing, strict=True):
        crew = crews.get(recorded) or _nobody(shop)
        (as_manned,) = manned(crew, (task,))
        hands = max(task.least_people, min(as_manned.people, crew.people // sharing.count(recorded)))
        said = latest(record.how_far, task.number, at)
        full = labor_with(crew, record.job, task, paces)
        if said is not None:  # people have looked: only what is worked after that is reckoned
            full = round(full * (1 - said.share))
        worked = sum((end - start) // MINUTE for start, end in counted_since(record, shop, task, at))
        done = worked * min(hands, crew.people)
        goes_on = recorded or planned.get(task.number, "")
        left = max(QUARTER, full - done)
        found[task.number] = Begun(crew=goes_on if goes_on in crews else "", labor=left)
    return found


def counted_since(record: JobRecord, shop: Shop, task: Task, at: datetime) -> list[tuple[datetime, datetime]]:
    """Return when (UTC) a task under way counts as worked on up to an instant, since it was begun or said last how far it is.

    That is `begun_tasks`' reckoning: by the calendar of the crew recorded with it, or the shop's hours where none is, and the hours
    the crew told, while no finding held it. Nothing of a task that is not begun.
    """
    if task.started_at is None:
        return []
    said = latest(record.how_far, task.number, at)
    since = task.started_at if said is None else max(task.started_at, said.at)
    crew = _lasting(shop).get(task.crew) or _nobody(shop)
    return [
        worked
        for span in free_spans(record, task.number, since, at)
        for worked in at_work(shop, crew, record, span, at, said, elevator=by_elevator(record, task))
    ]


def _lasting(shop: Shop) -> dict[str, Crew]:
    """Return the shop's crews by name: a part is gone the day after."""
    return {crew.name: crew for crew in shop.crews if not crew.only}


def _nobody(shop: Shop) -> Crew:
    """Return who counts for a task of which no crew is recorded: one person at the shop's hours."""
    return Crew(name="-", workers=(Worker(name="-", lead=True),), hours=shop.hours, skills=frozenset())


Gate = tuple[datetime | None, tuple[tuple[int, int], ...]]
"""What a task waits for by the clock: an instant known from facts, and waits (group that starts it, minutes)."""
NO_GATE: Gate = (None, ())


class _Kind(NamedTuple):
    """What all tasks of a group have in common."""

    phase: Phase
    stage: int
    pause: Pause
    impossible: str
    begun_by: str | None
    early: bool
    elevator: bool
    one_day: bool
    second: bool
    card: str
    behind_card: bool
    fewer: bool
    alone: int
    tools: frozenset[str]
    was: int


@dataclass(slots=True, kw_only=True)
class _Group:
    kind: _Kind
    gate: Gate = NO_GATE
    tasks: list[Task] = field(default_factory=list)
    skills: frozenset[Skill] = frozenset()
    cards: frozenset[str] = frozenset()
    least: int = 1
    ahead: int = 0  # bits of the groups that come before it, through any others


def blocks_of(
    record: JobRecord,
    crews: Sequence[Crew | Hands],
    *,
    begun: Mapping[int, Begun],
    earliest: Mapping[int, datetime],
    impossible: Mapping[int, str],
    same_day: Sequence[tuple[int, int]] = (),
    second: frozenset[int] = frozenset(),
    scarce: frozenset[str] = frozenset(),
    fewer: frozenset[int] = frozenset(),
    urgent: Collection[int] = (),
    tools: Mapping[int, frozenset[str]] = MappingProxyType({}),
    was: Mapping[int, tuple[int, datetime]] = MappingProxyType({}),
) -> tuple[tuple[Block, ...], tuple[BlockLink, ...]]:
    """Return the blocks of a job's open tasks, in an order that keeps the links, and what waits between them.

    `begun` is work under way, `earliest` the instants of tasks fixed by facts that lie ahead, `impossible`
    the tasks that cannot be planned: those stay in blocks of their own, as does all that lies between the two
    tasks of a `same_day`. What may be left for a `second` trip stays apart from the rest, and what comes after a task
    whose card is `scarce` (a holder is out some day) from what does not, so that other rooms go on without it. So do tasks
    that `fewer` people can do than the rest of their visit needs, where no more are there that day. What is
    `urgent` must start by some instant, and is a block of its own as everything is that waits at most so long. What
    needs the same of the shop's shared `tools` stays apart from the rest, which would keep them longer. `was` names the
    block of the plan before that holds a task, and its start. A block in which nothing waits longer than that stays what
    it was: facts that come in one by one neither part one visit nor make one of two, which would move what could stay.

    Raises:
        Refused: the links go in a circle.
    """
    links = open_links(record, begun)
    tasks = {task.number: task for task in record.tasks if task.open}
    order = in_order(tuple(sorted(tasks)), [(link.before, link.after, link.wait_min) for link in links])
    maker = _Maker(crews, links, tasks, order, record)
    into, out = neighbors(links)
    known = _held_until(order, into, {n: at for n, at in earliest.items() if n not in begun})
    stays = {n: key for n, (key, start) in was.items() if n not in known or known[n] <= start}
    behind = reached([n for n, task in tasks.items() if task.card in scarce and n not in begun], out)
    apart = frozenset(
        number
        for first, last in same_day  # the two themselves, and all that comes after the first and before the last
        for number in (first, last, *(reached([first], out) & reached([last], into)))
    )
    tied = {number for link in links if link.most_min is not None for number in (link.before, link.after)}
    tied |= set(urgent) - set(begun)
    for number in order:
        task, work = tasks[number], begun.get(number)
        kind = _Kind(
            phase=maker.phase(task),
            stage=task.stage,
            pause=task.pause,
            impossible="" if work else impossible.get(number, ""),
            begun_by=work.crew if work else None,
            early=number in maker.early and not work,
            elevator=by_elevator(record, task),
            one_day=number in apart,
            second=number in second and not work,
            card=task.card,
            behind_card=number in behind and not work,
            fewer=number in fewer and not work,
            alone=number if number in tied else 0,
            tools=tools.get(number, frozenset()),
            was=0 if work else stays.get(number, 0),
        )
        maker.put(task, kind, None if number in stays else known.get(number))
    return maker.blocks(record.job.number, begun), maker.block_links(record.job.number)


def _held_until(
    order: Sequence[int], into: Mapping[int, Sequence[int]], earliest: Mapping[int, datetime]
) -> dict[int, datetime]:
    """Return the instants that facts hold tasks until, themselves or through what comes before them (`into`).

    Treads are glued after their nose is fitted: in one block with the rooms' rows they would hold these back, too.
    """
    held: dict[int, datetime] = {}
    for number in order:
        known = [held[before] for before in into.get(number, ()) if before in held]
        known += [earliest[number]] if number in earliest else []
        if known:
            held[number] = max(known)
    return held


class _Maker:
    """Puts tasks into groups one after the other, each after all it waits for."""

    def __init__(
        self,
        crews: Sequence[Crew | Hands],
        links: Sequence[Link],
        tasks: Mapping[int, Task],
        order: Sequence[int],
        record: JobRecord,
    ) -> None:
        self._crews = crews
        self._follows = _follows(record)
        self._waited_for = frozenset(link.before for link in record.links if link.wait_min)
        self._links = links
        self._tasks = tasks
        self._into: dict[int, list[Link]] = {number: [] for number in order}
        self._out: dict[int, list[int]] = {number: [] for number in order}
        for link in links:
            self._into[link.after].append(link)
            self._out[link.before].append(link.after)
        self._groups: list[_Group] = []
        self._of: dict[int, int] = {}
        self._carry_in = frozenset(
            number for number in order if is_carry_in(tasks[number]) or _sends_away(tasks[number], links)
        )
        early = set(self._carry_in)
        for number in reversed(order):
            if any(after in early for after in self._out[number]):
                early.add(number)
        self.early = frozenset(early)
        """Carrying in and sending to a laboratory, and what these wait for."""

    def phase(self, task: Task) -> Phase:
        """Return the phase a task is planned with: hauling and cleaning up a section go with the work they follow.

        They do so where that work has one phase and starts no wait, which would count from the block's end. What is done
        of it counts too: a block does not come apart while it is worked on.
        """
        before = self._follows.get(task.number, [])
        phases = {other.phase for other in before}
        goes_on = (
            task.phase is Phase.HOUSE
            and task.key.scope.kind is ScopeKind.SECTION
            and len(phases) == 1
            and phases <= FLOOR_PHASES
            and all(other.stage == task.stage for other in before)
            and not any(other.number in self._waited_for for other in before)
        )
        return phases.pop() if goes_on else task.phase

    def put(self, task: Task, kind: _Kind, known: datetime | None) -> None:
        """Put a task into the nearest group that takes it, else into a new one."""
        into = self._into[task.number]
        gate = (known, tuple(sorted({(self._of[link.before], link.wait_min) for link in into if link.wait_min})))
        before = sorted({self._of[link.before] for link in into})
        same = [i for i in reversed(range(len(self._groups))) if self._groups[i].kind == kind]
        near = [i for i in same if i in before] + [i for i in same if i not in before]
        chosen = next((i for i in near if self._fits(i, task, gate, before)), len(self._groups))
        if chosen == len(self._groups):
            self._groups.append(_Group(kind=kind))
        self._join(chosen, task, gate, before)

    def _fits(self, i: int, task: Task, gate: Gate, before: Sequence[int]) -> bool:
        group = self._groups[i]
        if any(link.wait_min and self._of[link.before] == i for link in self._into[task.number]):
            return False
        if any(other != i and self._groups[other].ahead >> i & 1 for other in before):
            return False
        return self._same_gate(group, gate) and self._someone_can(group, task)

    def _same_gate(self, group: _Group, gate: Gate) -> bool:
        if group.gate == gate:
            return True
        if not group.kind.early:
            return NO_GATE in (group.gate, gate)
        # A lot that comes later draws along only what serves nothing but carrying in.
        return group.gate == NO_GATE and all(
            other.number not in self._carry_in and all(after in self.early for after in self._out[other.number])
            for other in group.tasks
        )

    def _someone_can(self, group: _Group, task: Task) -> bool:
        if group.kind.begun_by is not None:
            return True
        skills, least = group.skills | _skills(task), max(group.least, task.least_people)
        cards = group.cards | _cards(task)
        able = [crew for crew in self._crews if skills <= crew.skills and least <= crew.people]
        return any(holds_cards(crew.workers, cards) for crew in able)

    def _join(self, i: int, task: Task, gate: Gate, before: Sequence[int]) -> None:
        group = self._groups[i]
        group.tasks.append(task)
        group.skills |= _skills(task)
        group.cards |= _cards(task)
        group.least = max(group.least, task.least_people)
        if group.gate == NO_GATE:
            group.gate = gate
        self._of[task.number] = i
        for other in before:
            if other != i:
                group.ahead |= self._groups[other].ahead | 1 << other
        for later in self._groups:
            if later.ahead >> i & 1:
                later.ahead |= group.ahead

    def _key(self, i: int, job: int) -> BlockKey:
        return BlockKey(job=job, task=min(task.number for task in self._groups[i].tasks))

    def blocks(self, job: int, begun: Mapping[int, Begun]) -> tuple[Block, ...]:
        """Return the groups as blocks, in an order that keeps the links."""
        arcs = [(self._of[link.before], self._of[link.after], 0) for link in self._links]
        order = in_order(range(len(self._groups)), [arc for arc in arcs if arc[0] != arc[1]])
        return tuple(self._block(i, job, begun) for i in order)

    def _block(self, i: int, job: int, begun: Mapping[int, Begun]) -> Block:
        group = self._groups[i]
        started = [task.started_at for task in group.tasks if task.number in begun and task.started_at is not None]
        return Block(
            key=self._key(i, job),
            phase=group.kind.phase,
            stage=group.kind.stage,
            tasks=tuple(group.tasks),
            labor=tuple(
                begun[task.number].labor if task.number in begun else labor_minutes(task) for task in group.tasks
            ),
            inner=tuple(
                (link.before, link.after) for link in self._links if self._of[link.before] == i == self._of[link.after]
            ),
            skills=group.skills,
            cards=group.cards,
            pause=group.kind.pause,
            least_people=group.least,
            begun=min(started, default=None),
            crew=group.kind.begun_by or "",
            carry_in=any(task.number in self._carry_in for task in group.tasks),
            elevator=group.kind.elevator,
            second=group.kind.second,
            tools=group.kind.tools,
        )

    def block_links(self, job: int) -> tuple[BlockLink, ...]:
        """Return the links between groups: of several the longest wait, and the shortest at most."""
        most: dict[tuple[int, int], int] = {}
        longest: dict[tuple[int, int], Link] = {}
        for link in self._links:
            pair = (self._of[link.before], self._of[link.after])
            if pair[0] != pair[1] and (pair not in longest or longest[pair].wait_min < link.wait_min):
                longest[pair] = link
            if link.most_min is not None:
                most[pair] = min(most.get(pair, link.most_min), link.most_min)
        return tuple(
            BlockLink(
                before=self._key(a, job),
                after=self._key(b, job),
                wait_min=link.wait_min,
                name=link.name,
                most_min=most.get((a, b)),
            )
            for (a, b), link in sorted(longest.items())
        )


def _follows(record: JobRecord) -> dict[int, list[Task]]:
    """Return what each task comes right after, done or not, through what is not needed."""
    tasks = {task.number: task for task in record.tasks}
    into: dict[int, list[int]] = {}
    for link in record.links:
        into.setdefault(link.after, []).append(link.before)
    found: dict[int, list[Task]] = {}
    for number in tasks:
        look, seen = list(into.get(number, ())), {number}
        while look:
            before = look.pop()
            if before not in seen:
                seen.add(before)
                if tasks[before].not_needed:
                    look += into.get(before, ())
                else:
                    found.setdefault(number, []).append(tasks[before])
    return found


def _sends_away(task: Task, links: Sequence[Link]) -> bool:
    """Return whether a task of the whole house starts days of waiting without opening it: a sample for a laboratory."""
    whole_house = task.key.scope.kind is ScopeKind.JOB
    return whole_house and any(link.before == task.number and link.wait_min >= LONG_WAIT_MIN for link in links)


def _cards(task: Task) -> frozenset[str]:
    return frozenset({task.card}) if task.card else frozenset()


def _skills(task: Task) -> frozenset[Skill]:
    return frozenset() if task.skill is None else frozenset({task.skill})
