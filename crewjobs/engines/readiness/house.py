"""Whether a house is ready for cartons and crew at an instant, and what it holds as long as it is not.

What the trade expects, and what follows here (common practice, no source):

- The items are asked of whoever answers for the house before cartons or a crew are sent. An answer stands until a
  later one. "Not ready until Thursday" does not make the house ready on Thursday: it is asked again.
- A house nobody lives in is asked all the same, and with more reason: its air is off, its key is somewhere else.
  Only where no room has furniture is there nothing to be emptied, and that item is not asked.
- Somebody may always go there to look: the walk-through before, readings and counting, papers, a laboratory's
  sample. Looking is not the start, and neither is carrying in: a house that took its cartons last week is asked for
  the start unless its answers already say yes.
- Once work in the house has begun, the crew sees it for itself and nothing is asked for the start any more. An item
  answered no since then (a dry run) still holds everything that has not begun.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final

from crewjobs.domain.house_ready import NOT_READY_WORDS, READY_WORDS, ReadyAnswer, ReadyAsked, ReadyItem
from crewjobs.domain.job import Job, JobRecord
from crewjobs.domain.tasks import Phase, Task
from crewjobs.domain.wording import listed
from crewjobs.engines.readiness.hold import FactKind, Hold, HoldKind, Known
from crewjobs.engines.readiness.lots import is_carry_in

LOOKING: Final = frozenset({"walk-through-before", "lead-papers", "sampling", "laboratory-answer", "stairs-measure"})
"""Task templates in which somebody looks, writes or waits for an answer: a house need not be ready for them."""

BEFORE_WORDS: Final = {
    ReadyItem.AIR: "heat or air not running before",
    ReadyItem.PAINT: "paint not done before",
    ReadyItem.EMPTIED: "rooms not emptied before",
    ReadyItem.POWER: "no power or water before",
    ReadyItem.KEY: "nobody and no key there before",
}
"""The items in a plan's reasons; the instant follows."""


class HouseState(StrEnum):
    """How far the question is."""

    NOT_ASKED = "not asked"
    ASKED = "asked"
    NOT_READY = "not ready"
    READY = "ready"


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """A house at an instant. Instants are UTC.

    `asked` is the last asking, `unanswered` the items without an answer, `missing` the answers that say no.
    `until` is when the last of what is missing was said to be done, None where nothing is missing or one has no day.
    """

    state: HouseState
    asked: ReadyAsked | None
    unanswered: tuple[ReadyItem, ...]
    missing: tuple[ReadyAnswer, ...]

    @property
    def until(self) -> datetime | None:
        """Return the instant for which all that is missing was said to be done."""
        said = [answer.until for answer in self.missing if answer.until is not None]
        return max(said) if said and len(said) == len(self.missing) else None

    def ask_again(self, at: datetime) -> bool:
        """Return whether all that was missing should be done by an instant, so that it is asked again."""
        return self.until is not None and self.until <= at


def items_of(job: Job) -> tuple[ReadyItem, ...]:
    """Return what is asked of a house."""
    furnished = job.site.occupied or any(room.furniture for room in job.rooms)
    return tuple(item for item in ReadyItem if furnished or item is not ReadyItem.EMPTIED)


def house(record: JobRecord, at: datetime) -> House:
    """Return how a house is at an instant, by what had been asked and answered by then."""
    asked = max((a for a in reversed(record.asked) if a.at <= at), key=lambda a: a.at, default=None)
    latest: dict[ReadyItem, ReadyAnswer] = {}
    for answer in sorted((a for a in record.answers if a.at <= at), key=lambda a: a.at):
        latest[answer.item] = answer
    missing = tuple(latest[item] for item in ReadyItem if item in latest and not latest[item].ready)
    unanswered = tuple(item for item in items_of(record.job) if item not in latest)
    if missing:
        state = HouseState.NOT_READY
    elif not unanswered:
        state = HouseState.READY
    else:
        state = HouseState.NOT_ASKED if asked is None else HouseState.ASKED
    return House(state=state, asked=asked, unanswered=unanswered, missing=missing)


def is_looking(task: Task) -> bool:
    """Return whether somebody only looks, reads, counts or writes: what a house need not be ready for."""
    return task.phase is Phase.ACCLIMATE or task.key.template in LOOKING


def work_begun(record: JobRecord, at: datetime) -> bool:
    """Return whether work in the house has begun by an instant; looking and carrying in are not its start."""
    for task in record.tasks:
        since = task.started_at or task.done_at
        if since is not None and since <= at and not is_looking(task) and not is_carry_in(task):
            return True
    return False


def held_by_house(record: JobRecord, task: Task, at: datetime) -> House | None:
    """Return the house if it keeps a task from starting at an instant, else None."""
    if is_looking(task) or (task.started_at is not None and task.started_at <= at):
        return None
    found = house(record, at)
    if found.state is HouseState.READY:
        return None
    if found.state is not HouseState.NOT_READY and work_begun(record, at):
        return None
    return found


def house_holds(record: JobRecord, task: Task, at: datetime) -> Iterator[Hold]:
    """Yield the hold of a house that is not ready for a task. It has no end by itself: somebody must answer."""
    found = held_by_house(record, task, at)
    if found is not None:
        yield Hold(kind=HoldKind.HOUSE, what=house_hold_words(found, record.job.number))


def house_hold_words(found: House, job: int) -> str:
    """Return why a house holds, with the command that answers it."""
    command = f"`crewjobs ready {job}"
    if found.state is HouseState.NOT_READY:
        items = " ".join(answer.item.value for answer in found.missing)
        return f"{not_ready_words(found)} ({command} --item {items}` when it is)"
    if found.state is HouseState.ASKED:
        what = listed([READY_WORDS[item] for item in found.unanswered], most=6)
        return f"the house was asked but there is no answer yet: {what} ({command} --all` when all are so)"
    return f"nobody has asked whether the house is ready ({command} --asked NAME --all` when it is)"


def not_ready_words(found: House) -> str:
    """Return what is missing: ``the house is not ready: wet work or paint is not done``."""
    missing = [NOT_READY_WORDS[answer.item] for answer in found.missing]
    return f"the house is not ready: {listed(missing, most=6)}"


def house_known(record: JobRecord, task: Task, now: datetime) -> Iterator[Known]:
    """Yield the instants before which a house that is not ready was said not to be.

    A house not asked, or asked without an answer, is planned as if it will be ready; so is one whose instant has
    gone by, since it is asked again. The hold stays until somebody answers. Only tasks that wait for no other held
    task get the instant: the rest follows them.
    """
    found = held_by_house(record, task, now)
    if found is None or found.until is None or found.until <= now or _follows(record, task):
        return
    for answer in found.missing:
        if answer.until is not None and answer.until > now:
            yield Known(at=answer.until, reason=BEFORE_WORDS[answer.item], kind=FactKind.HOUSE)


def _follows(record: JobRecord, task: Task) -> bool:
    before = {link.before for link in record.links if link.after == task.number}
    held = (other for other in record.tasks if other.open and other.started_at is None and not is_looking(other))
    return any(other.number in before for other in held)


def house_no_date(record: JobRecord, task: Task, now: datetime) -> str:
    """Return in words why a task cannot be planned, where something was answered no without a day; empty if it can."""
    found = held_by_house(record, task, now)
    if found is None or found.state is not HouseState.NOT_READY or found.until is not None:
        return ""
    return f"{not_ready_words(found)}; get a day"
