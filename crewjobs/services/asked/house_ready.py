"""Whether a house is ready: asked, answered item by item, and crews sent there for nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import NOT_READY_WORDS, READY_WORDS, DryRun, ReadyAnswer, ReadyAsked, ReadyItem
from crewjobs.domain.job import JobRecord
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import to_wall
from crewjobs.domain.wording import day_words, listed, upper
from crewjobs.engines.readiness.house import House, HouseState, house, items_of, not_ready_words
from crewjobs.services.clock import read_ahead, read_moment
from crewjobs.services.rows import Done
from crewjobs.services.ticking import moment_of
from crewjobs.services.wording import at_site, no_crew, read_line

if TYPE_CHECKING:
    from crewjobs.domain.crew import Shop
    from crewjobs.domain.tasks import Catalogue
    from crewjobs.storage.unit_of_work import UnitOfWork

PLAN_AGAIN: Final = "Plan again to use it: `crewjobs plan`."

TELLING: Final = {
    ReadyItem.AIR: ("heat", "furnace", "air", "cold"),
    ReadyItem.PAINT: ("paint", "wet", "plaster", "drywall", "mud"),
    ReadyItem.EMPTIED: ("furniture", "boxes", "emptied", "closet", "closets", "shelves"),
    ReadyItem.POWER: ("power", "electricity", "water"),
    ReadyItem.KEY: ("key", "nobody", "locked", "lockbox"),
}
"""Words of a reason that tell which item was missing, where it was not said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """Answers as they were given: items ready and items not, by whom, until and since when (moments as typed)."""

    ready: tuple[ReadyItem, ...] = ()
    not_ready: tuple[ReadyItem, ...] = ()
    by: str = ""
    until: str = ""
    since: str = ""


def ask_ready(uow: UnitOfWork, now: datetime, job: int, of: str, *, at: str = "") -> Done:
    """Record that somebody was asked whether the house will be ready.

    Raises:
        Refused: unknown job, nobody named, or a moment that has not come.
    """
    return record_ready(uow, now, job, asked=of, at=at)


def answer_ready(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    items: Sequence[str] = (),
    *,
    ready: bool = True,
    by: str = "",
    until: str = "",
    since: str = "",
    at: str = "",
) -> Done:
    """Record the answer to some items of the question (none named: all), ready or not.

    `until` is when it will be ready, `since` since when it is so, as typed in the site's time.

    Raises:
        Refused: unknown job or item, never asked, answered before it was asked, or a moment that cannot be.
    """
    found = uow.job(job)
    named = read_items(items) or items_of(found.job)
    answers = Answers(ready=named if ready else (), not_ready=() if ready else named, by=by, until=until, since=since)
    return record_ready(uow, now, job, answers=answers, at=at)


def record_ready(
    uow: UnitOfWork, now: datetime, job: int, *, asked: str = "", answers: Answers | None = None, at: str = ""
) -> Done:
    """Record asking, answering, or both at once, as one change.

    Raises:
        Refused: as `ask_ready` and `answer_ready`, or nothing is said.
    """
    before = uow.job(job)
    moment, zone = moment_of(before, at, now), before.job.site.zone
    after, said = before, []
    name = read_line(asked, "who was asked")
    if name:
        kept = tuple(one for one in after.asked if one.at != moment)
        after = replace(after, asked=(*kept, ReadyAsked(at=moment, of=name)))
        said.append(f"{name} asked whether the house is ready")
    if answers is not None:
        after = _answered(after, answers, moment, now)
        said += _answer_words(answers, zone, now)
    if not said:
        raise Refused("say who was asked (--asked NAME) or what was answered (--all, --item, --not-ready).")
    uow.save_job(before, after)
    what = f"job {job}: {'; '.join(said)} ({at_site(zone, moment)})"
    return Done(sentence=f"{upper(what)}.", change=uow.commit(what, at=now, job=job), then=_then(after, now))


def dry_run(
    uow: UnitOfWork,
    now: datetime,
    job: int,
    crew: str,
    because: str,
    *,
    item: str = "",
    until: str = "",
    at: str = "",
    catalogue: Catalogue | None = None,
) -> Done:
    """Record a crew sent to a house that was not ready, with the item's answer, as one change.

    Without `item` the reason tells which it is. With the `catalogue` the answer names the best three pieces of ready
    work for the crew from there.

    Raises:
        Refused: unknown job, crew or item, no reason, no telling which item, or a moment that cannot be.
    """
    before, shop = uow.job(job), uow.shop()
    known = {one.name.casefold(): one.name for one in shop.crews}.get(crew.strip().casefold())
    if known is None:
        raise Refused(no_crew(crew, shop))
    moment, reason = moment_of(before, at, now), read_line(because, "the reason")
    if not reason:
        raise Refused('a dry run is recorded with its reason: --because "paint is wet".')
    missing = read_items([item])[0] if item.strip() else _told_by(reason)
    _check_dry_run(before, known, missing, moment)
    answers = Answers(not_ready=(missing,), by=known, until=until)
    after = _with_answers(before, _as_answers(before, answers, moment, now))
    after = replace(after, dry_runs=(*after.dry_runs, DryRun(at=moment, crew=known, because=reason, item=missing)))
    uow.save_job(before, after)
    zone = before.job.site.zone
    words = "; ".join(_answer_words(answers, zone, now))
    what = f"job {job}: dry run of {known} {at_site(zone, moment)}, because {reason}: {words}"
    change = uow.commit(what, at=now, job=job)
    then = (
        *_day_off(shop, known, moment),
        *_then(after, now),
        *_instead(uow, now, catalogue, known, moment, job),
        PLAN_AGAIN,
    )
    return Done(sentence=f"{upper(what)}.", change=change, then=then)


def _day_off(shop: Shop, crew: str, moment: datetime) -> tuple[str, ...]:
    """Say that a crew does not work on the day it is said to have been sent; it may have gone all the same."""
    day = to_wall(shop.zone, moment).date()
    if day in shop.holidays or any(one.name == crew and not one.comes(day) for one in shop.crews):
        return (
            f"{crew} does not work on {day_words(day)}: recorded all the same; `crewjobs undo` if the day is wrong.",
        )
    return ()


def _check_dry_run(record: JobRecord, crew: str, missing: ReadyItem, moment: datetime) -> None:
    """A crew turns back from a house once a day for one thing; typed again it is the same dry run. After the work is done none goes."""
    zone = record.job.site.zone
    last = max((task.done_at for task in record.tasks if task.done_at is not None), default=moment)
    if record.finished and moment > last:
        raise Refused(
            f"job {record.job.number} was finished {at_site(zone, last)}; say which job {crew} was sent to, or when, before that."
        )
    day = to_wall(zone, moment).date()
    for run in record.dry_runs:
        same_day = to_wall(zone, run.at).date() == day and run.item in (missing, None)
        if run.crew == crew and (run.at == moment or same_day):
            raise Refused(
                f"a dry run of {crew} to job {record.job.number} {at_site(zone, run.at)} is recorded already, "
                f"because {run.because}."
            )


def _instead(
    uow: UnitOfWork, now: datetime, catalogue: Catalogue | None, crew: str, moment: datetime, job: int
) -> tuple[str, ...]:
    """Return what the crew can do instead that day; a dry run told later than its day offers nothing."""
    if catalogue is None or to_day(uow, moment) != to_day(uow, now):
        return ()
    from crewjobs.services.answers import offer_words

    return offer_words.best_words(uow, catalogue, moment, crew, not_at=job)


def to_day(uow: UnitOfWork, instant: datetime) -> object:
    """Return the shop's date of an instant."""
    return to_wall(uow.shop().zone, instant).date()


def read_items(names: Iterable[str]) -> tuple[ReadyItem, ...]:
    """Return the items as typed, each once, in the order they are asked.

    Raises:
        Refused: one is not an item.
    """
    found = set()
    for name in names:
        try:
            found.add(ReadyItem(name.strip().casefold()))
        except ValueError:
            raise Refused(f"{quoted(name)} is not asked of a house: it is one of {_all_items()}.") from None
    return tuple(item for item in ReadyItem if item in found)


def _all_items() -> str:
    return ", ".join(f"{item.value} ({READY_WORDS[item]})" for item in ReadyItem)


def _told_by(reason: str) -> ReadyItem:
    words = {word.strip(".,;:!'\"").casefold() for word in reason.split()}
    told = [item for item, telling in TELLING.items() if words & set(telling)]
    if len(told) != 1:
        raise Refused(f"say with --item what of the house was not ready: one of {_all_items()}.")
    return told[0]


def _answered(record: JobRecord, answers: Answers, moment: datetime, now: datetime) -> JobRecord:
    job, zone = record.job.number, record.job.site.zone
    if not record.asked:
        raise Refused(
            f"nobody was asked whether the house of job {job} is ready: say who was with --asked NAME, "
            "in the same command or before."
        )
    first = min(asked.at for asked in record.asked)
    if moment < first:
        raise Refused(
            f"job {job} was asked {at_site(zone, first)}: an answer {at_site(zone, moment, to_wall(zone, first).date())} would come before the question."
        )
    both = [item.value for item in answers.ready if item in answers.not_ready]
    if both:
        raise Refused(f"house ready, {both[0]}: it is ready or it is not.")
    return _with_answers(record, _as_answers(record, answers, moment, now))


def _as_answers(record: JobRecord, answers: Answers, moment: datetime, now: datetime) -> tuple[ReadyAnswer, ...]:
    zone = record.job.site.zone
    until = read_ahead(answers.until, zone, now) if answers.until.strip() else None
    if until is not None and not answers.not_ready:
        raise Refused("--until is the day something will be ready: say with --not-ready what is not.")
    if until is not None and until <= moment:
        said = at_site(zone, until, to_wall(zone, moment).date())
        raise Refused(f"not ready until {said}: that is not after the answer, {at_site(zone, moment)}.")
    since = read_moment(answers.since, zone, now) if answers.since.strip() else None
    by = read_line(answers.by, "who answered") or (
        max(reversed(record.asked), key=lambda a: a.at).of if record.asked else ""
    )
    return tuple(
        ReadyAnswer(
            item=item,
            ready=item in answers.ready,
            at=moment,
            by=by,
            until=until if item in answers.not_ready else None,
            since=since,
        )
        for item in (*answers.ready, *answers.not_ready)
    )


def _with_answers(record: JobRecord, answers: Sequence[ReadyAnswer]) -> JobRecord:
    """Return the record with the answers; one of the same item and instant is put right by them."""
    new = {(answer.item, answer.at) for answer in answers}
    kept = tuple(answer for answer in record.answers if (answer.item, answer.at) not in new)
    return replace(record, answers=(*kept, *answers))


def _answer_words(answers: Answers, zone: str, now: datetime) -> list[str]:
    said = []
    if answers.ready:
        said.append(f"ready: {listed([READY_WORDS[item] for item in answers.ready], most=6)}")
    if answers.not_ready:
        until = f", until {at_site(zone, read_ahead(answers.until, zone, now))}" if answers.until.strip() else ""
        said.append(f"not ready: {listed([NOT_READY_WORDS[item] for item in answers.not_ready], most=6)}{until}")
    return said


def _then(record: JobRecord, now: datetime) -> tuple[str, ...]:
    """Say how the house is after what was recorded."""
    found = house(record, now)
    return (f"{upper(state_words(found, record.job.site.zone))}.",)


def state_words(found: House, zone: str, *, by: datetime | None = None) -> str:
    """Return how a house is, in words without a stop at the end; `by` an instant gone by, how it was as far as was known then."""
    if found.state is HouseState.READY:
        return "by all answers the house is ready for cartons and crew"
    if found.state is HouseState.NOT_READY:
        until = f", until {at_site(zone, found.until)}; then it is asked again" if found.until else ": get a day"
        return not_ready_words(found) + until
    if found.asked is None:
        return (
            f"nobody had asked by {at_site(zone, by)} whether the house is ready"
            if by
            else "nobody has asked whether the house is ready"
        )
    still = listed([READY_WORDS[item] for item in found.unanswered], most=6)
    return f"{found.asked.of} was asked {at_site(zone, found.asked.at)}; still open: {still}"
