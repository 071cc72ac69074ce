"""What a coming is about, in words for the customer: the work and where, never a list of tasks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from crewjobs.domain.tasks import Phase, ScopeKind, Task
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.found import EXTRA_WORK
from crewjobs.engines.readiness.holds import is_carry_in
from crewjobs.paper.notice import NoticeDay
from crewjobs.services.findings.hanging import PART_HANGS
from crewjobs.services.jobs.known import HAND_OVER, WALK_BEFORE
from crewjobs.services.weeks.untold import DAYS_COUNT
from crewjobs.services.weeks.visits import place_words

LYING: Final = "the material read where it lies to get used to the rooms"
"""What is done while wood acclimates, to its customer."""
BEFORE_LAID: Final = {
    "room-reading": "temperature and humidity of the rooms read",
    "count-lot-check": "material counted and checked",
    "roll-check": "roll measured and checked",
    "wood-reading": LYING,
    "counter-height-check": "height under the counter measured",
}
"""Tasks of the acclimate phase as their customer is told them: only what was carried in lies there; a test holds them to the catalogue."""
OLD_OUT: Final = "old floor hauled out"
HOUSE_WORDS: Final = {
    WALK_BEFORE: "walk-through before the work",
    HAND_OVER: "walk-through after the work",
    "protect-house": "protection laid",
    "uncover-house": "protection taken up",
    "returns": "what is left counted",
    "roll-ends": "what is left put away",
    "lead-papers": "papers on lead paint",
    "lead-clean-check": "cleaning, checked by the certified renovator",
    "lead-close-off": "work area closed off for lead paint",
    "sampling": "old floor sampled by an accredited inspector",
    "slab-test-set": "slab tested for moisture",
    "slab-test-read": "slab moisture read",
    "carry-in-plywood": "plywood carried in",
    "dust-wall": "dust wall put up",
    "dust-wall-down": "dust wall taken down",
    "move-furniture-out": "furniture moved",
    "move-furniture-over": "furniture moved",
    "move-furniture": "furniture moved",
    "furniture-home": "furniture back in its place",
    "furniture-back": "furniture back in its place",
    "haul-out": OLD_OUT,
    "haul-wood-out": OLD_OUT,
    "haul-tile-out": OLD_OUT,
    "haul-stairs-out": OLD_OUT,
    "daily-clean-up": "cleaned up",
}
"""Tasks beside the phases as their customer is told them, where nothing else is done; a test holds them to the catalogue."""
_WHOLE: Final = frozenset({ScopeKind.JOB, ScopeKind.MATERIAL})
_ALL: Final = 99


def coming_words(tasks: Sequence[Task]) -> str:
    """Return what one coming is about: what is carried in, the phases of the work and its rooms, else what is done in the house."""
    carried = list(dict.fromkeys(f"carry in {task.where}" for task in tasks if is_carry_in(task)))
    phases = list(dict.fromkeys(_phase_words(task, carried=bool(carried)) for task in tasks))
    phases = [words for words in phases if words]
    if not phases or all(task.key.scope.kind in _WHOLE for task in tasks):
        told = dict.fromkeys(
            (*carried, *_house_words(tasks), *(words for words in phases if words in BEFORE_LAID.values()))
        )
        return listed(list(told) or phases or list(dict.fromkeys(task.title for task in tasks)), most=_ALL)
    extra = list(dict.fromkeys(task.title for task in tasks if task.key.template == EXTRA_WORK))
    said = listed([*carried, *phases], most=_ALL) + place_words(tasks, of="rooms")
    return "; ".join(filter(None, (said, listed(extra, most=_ALL))))


def _phase_words(task: Task, *, carried: bool) -> str:
    """Return the phase of a task as it is told; what is counted of what is carried in is no work of its own."""
    if task.phase is Phase.HOUSE or (carried and task.phase is Phase.ACCLIMATE):
        return ""
    if task.phase is Phase.ACCLIMATE:
        return BEFORE_LAID.get(task.key.template, task.title)
    return task.phase.value


def _house_words(tasks: Sequence[Task]) -> Iterator[str]:
    for task in tasks:
        if task.key.template in HOUSE_WORDS:
            yield HOUSE_WORDS[task.key.template]
        elif task.key.template == EXTRA_WORK:
            yield task.title


def together(days: Sequence[NoticeDay]) -> list[NoticeDay]:
    """Return comings by day and hour, one that begins while another is there told with it: a second crew that helps."""
    found = list[NoticeDay]()
    for one in sorted(days, key=lambda day: (day.day, day.start, -day.end.hour * 60 - day.end.minute, day.what)):
        around = found[-1] if found else None
        if around is not None and around.day == one.day and one.start < around.end:
            found[-1] = _with(around, one)
        else:
            found.append(one)
    return found


def with_words(around: str, also: str) -> str:
    """Return what is done in a coming, with what else is done in it."""
    more = also[:1].lower() + also[1:]
    return around if more in around.lower() else f"{around}; {more}"


def _with(around: NoticeDay, other: NoticeDay) -> NoticeDay:
    return NoticeDay(
        day=around.day,
        start=around.start,
        end=max(around.end, other.end),
        what=with_words(around.what, other.what),
        with_you=around.with_you or other.with_you,
        looks=around.looks,
        hangs=_hangs(around.hangs, other.hangs),
    )


def _hangs(around: str, other: str) -> str:
    """Return on what two comings told as one hang: where only one of them does, part of it."""
    found = [one.removesuffix(DAYS_COUNT).rstrip() for one in (around, other)]
    counts = DAYS_COUNT if any(one.endswith(DAYS_COUNT) for one in (around, other)) else ""
    return " ".join(filter(None, (found[0] if found[0] == found[1] else PART_HANGS, counts)))
