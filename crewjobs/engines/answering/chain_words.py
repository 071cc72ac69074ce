"""A chain told to people: the one sentence that the steps that matter most make."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final

from crewjobs.domain.units import span_words
from crewjobs.domain.wall import QUARTER, hour_words, to_wall
from crewjobs.domain.wording import day_words, moment_words
from crewjobs.engines.answering.chain import Chain
from crewjobs.engines.answering.chain_steps import SHORT_MIN, Step, StepKind, Teller
from crewjobs.engines.answering.later import Later
from crewjobs.engines.planning.jobwork import Floor

QUARTER_HOUR: Final = timedelta(minutes=QUARTER)
MOST_LINKS: Final = 4
"""A sentence names no more links than these."""
MOST_WORDS: Final = 40
"""Nor more words, beside its head; only the cause and the last work may need more."""
A_DAY: Final = timedelta(days=1)
A_DAY_MORE: Final = 8
"""What takes a day or more may need so many words more: a day of which nothing is said is not understood."""
LEAST_LINK: Final = timedelta(hours=1)
"""A link that costs less is not named."""
UNKNOWN: Final = timedelta(days=999)
"""What a link costs where that is not known: it is named first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A chain as told on a date of the shop. `end` is UTC; `steps` are all of it, `links` those that the sentence names."""

    job: int
    today: date
    end: datetime
    head: str
    steps: tuple[Step, ...]
    links: tuple[Step, ...]

    @property
    def because(self) -> str:
        """Return the links that matter most as one part of a sentence."""
        return "; ".join(step.words for step in self.links)

    @property
    def sentence(self) -> str:
        """Return the chain as one sentence."""
        return f"{self.head}: {self.because}."

    @property
    def waits_for(self) -> tuple[int, ...]:
        """Return the other jobs in the chain."""
        return tuple(dict.fromkeys(step.job for step in self.steps if step.job is not None))


def told(chain: Chain, floor: Floor, zone: str) -> Told:
    """Return a chain in words; `floor` is the one of the plan it was walked in, `zone` the site's."""
    wall = to_wall(zone, chain.end)
    today = floor.problem.today
    head = f"Job {chain.job} ends {moment_words(wall, today)}"
    steps = tuple(Teller(floor, zone, chain).steps())

    def tell(kept: Collection[int]) -> tuple[Step, ...]:
        links = list(_joined(list(Teller(floor, zone, chain).only(kept)), zone, today))
        if chain.shared and not chain.out and links[0].kind is not StepKind.WORK:
            links[0] = replace(links[0], words=f"among other things, {links[0].words}")
        if chain.hours_min and links[0].kind is not StepKind.WORK:
            at = next((i for i, link in enumerate(links) if link.kind is _named_last(chain)), 0)
            costs = f"which costs {span_words(chain.hours_min)} of the same day"
            links[at] = replace(links[at], words=f"{links[at].words}, {costs}")
        last = links[-1]
        if last.kind is StepKind.WORK and last.until is not None and chain.end - last.until >= QUARTER_HOUR:
            ends, until = to_wall(zone, chain.end), to_wall(zone, last.until)
            when = hour_words(ends) if ends.date() == until.date() else moment_words(ends, today)
            links[-1] = replace(last, words=f"{last.words}, the rest to {when}")
        return tuple(links)

    return Told(
        job=chain.job, today=today, end=chain.end, head=head, steps=steps, links=tell(_that_matter(steps, tell))
    )


def _named_last(chain: Chain) -> StepKind | None:
    """Return the kind of step that names the cause where other steps of its place go before it."""
    kinds = {Later.PEOPLE: StepKind.PEOPLE, Later.ELEVATOR: StepKind.ELEVATOR}
    later = chain.spots[0].later
    return kinds.get(later) if later is not None and not chain.out else None


def _that_matter(steps: Sequence[Step], tell: Callable[[Collection[int]], Sequence[Step]]) -> frozenset[int]:
    """Return which steps a sentence names: the cause, the last work, and what takes longest, as long as it is short.

    So what fills a day or more is dropped last, and no more is told than people read at once.
    """
    last = _last_long(steps)
    begins = steps[0].kind not in (StepKind.WORK, StepKind.TOGETHER)
    kept = {last, *([0] if begins else [])}
    matter = [i for i, step in enumerate(steps[:last]) if _length(step) >= LEAST_LINK]
    if steps[0].kind is StepKind.DELIVERY:  # told with the hours of what came
        kept |= {next((i for i in matter if steps[i].kind is StepKind.ACCLIMATION), 0)}
    for i in sorted(matter, key=lambda i: (-_length(steps[i]), i)):
        links, most = tell(kept | {i}), MOST_WORDS + (A_DAY_MORE if _length(steps[i]) >= A_DAY else 0)
        if len(links) <= MOST_LINKS and sum(len(link.words.split()) for link in links) <= most:
            kept.add(i)
    return frozenset(kept if len(kept) > 1 or not matter else {*kept, matter[0]})


def _last_long(steps: Sequence[Step]) -> int:
    """Return the last work a sentence names: not an hour or two in which it ends, where more of it is right before."""
    end = steps[-1].until
    for i in range(len(steps) - 1, -1, -1):
        until, minutes = steps[i].until, steps[i].minutes
        if until is None or end is None or end - until >= A_DAY:
            break
        if steps[i].kind is StepKind.WORK and minutes > SHORT_MIN:
            return i
    return len(steps) - 1


def _joined(steps: Sequence[Step], zone: str, today: date) -> Iterator[Step]:
    """Yield the links of a sentence: a delivery and the hours of what came are one, and days off of one kind."""
    held: Step | None = None
    for step in steps:
        if held is None:
            held = step
        elif held.kind is StepKind.DELIVERY and step.kind is StepKind.ACCLIMATION:
            held = _acclimated(held, step, zone, today)
        elif held.kind is StepKind.DELIVERY and step.kind is StepKind.HOURS and _acclimates_next(steps, step):
            continue  # the days off lie before the hours, which say themselves when they begin
        elif held.kind is step.kind is StepKind.HOURS and _kind_of_day(held) == _kind_of_day(step):
            more = step.words.removeprefix(_kind_of_day(step))
            held = replace(
                held, words=held.words if more in held.words else f"{held.words} and{more}", until=step.until
            )
        else:
            yield held
            held = step
    if held is not None:
        yield held


def _acclimates_next(steps: Sequence[Step], step: Step) -> bool:
    rest = [other for other in steps[steps.index(step) :] if other.kind is not StepKind.HOURS]
    return bool(rest) and rest[0].kind is StepKind.ACCLIMATION


def _kind_of_day(step: Step) -> str:
    """Return the words before the first day of a link that names days."""
    return re.split(r" (?=(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) )", step.words)[0]


def _acclimated(due: Step, step: Step, zone: str, today: date) -> Step:
    """Return a delivery and its hours as one link; carrying in that ends an hour or more after it is named."""
    name = due.words.partition(" is due")[0].partition(" are due")[0]
    hours = step.words.removeprefix(f"{name} ").removeprefix("it ")
    carried = ""
    said = hours.startswith("can be carried in")
    if not said and due.until is not None and step.since is not None and step.since - due.until >= LEAST_LINK:
        wall = to_wall(zone, step.since)
        day = "" if wall.date() == to_wall(zone, due.until).date() else f"{day_words(wall.date(), today)} "
        carried = f", carried in by {day}{hour_words(wall)}"
    return replace(step, words=f"{due.words}{carried} and {hours}", since=due.until or step.since)


def _length(step: Step) -> timedelta:
    """Return how long a step takes; longer than any other where that is not known, such as for who is missing.

    Work of less than an hour takes none, and that the plan has work beside other work is named last.
    """
    if step.kind is StepKind.TOGETHER:
        return LEAST_LINK
    if step.kind is StepKind.WORK and step.minutes < LEAST_LINK // timedelta(minutes=1):
        return timedelta(0)
    return step.until - step.since if step.since and step.until else UNKNOWN
