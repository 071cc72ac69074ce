"""A chain told step by step: what binds each start and what work is in between, in words with times."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Final

from crewjobs.domain.units import span_words
from crewjobs.domain.wall import QUARTER, days_from, hour_words, to_wall
from crewjobs.domain.wording import day_words, listed, moment_words
from crewjobs.engines.answering.chain import Chain, Spot
from crewjobs.engines.answering.later import NO_CAUSE, Later
from crewjobs.engines.answering.planned_job import Binding
from crewjobs.engines.planning.jobwork import Floor
from crewjobs.engines.planning.problem import Earliest
from crewjobs.engines.planning.words import PHASE_WORDS
from crewjobs.engines.readiness.clocks import ACCLIMATING
from crewjobs.engines.readiness.holds import FactKind

SHORT_MIN: Final = 2 * 60
"""A rest up to this is told with the work around it."""
NIGHT: Final = timedelta(hours=24)
"""Work under way goes on the next day at the latest; where that is longer off it is told when."""
MANY_PHASES: Final = 4
"""Of so many phases in a row the first and the last are named."""


class StepKind(StrEnum):
    """What a step of a chain is about."""

    DELIVERY = "delivery"
    ACCLIMATION = "acclimation"
    CURE = "cure"
    PROMISE = "promise of others"
    HOUSE = "house"
    FACT = "fact"
    TOOL = "shared tool"
    CREW = "crew on another job"
    HOURS = "days without work"
    PIN = "pin"
    WISHED = "wished start"
    ELEVATOR = "elevator"
    PEOPLE = "people or cards missing"
    STRETCH = "no stretch long enough"
    AT_MOST = "longest wait"
    TOGETHER = "days kept together"
    BEGUN = "under way"
    WORK = "work"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One link of a chain. `since` and `until` are UTC, None where a step has no such end; `minutes` are work of a crew.

    `words` are its part of the sentence: times on the day the steps before it named last come without their day.
    """

    kind: StepKind
    words: str
    since: datetime | None = None
    until: datetime | None = None
    crew: str = ""
    job: int | None = None
    minutes: int = 0


FACTS = {
    FactKind.DUE: StepKind.DELIVERY,
    FactKind.ACCLIMATION: StepKind.ACCLIMATION,
    FactKind.CURE: StepKind.CURE,
    FactKind.PROMISE: StepKind.PROMISE,
    FactKind.HOUSE: StepKind.HOUSE,
    FactKind.OTHER: StepKind.FACT,
}


class Teller:
    """Tells a chain step by step; a day that was just named is not named again."""

    def __init__(self, floor: Floor, zone: str, chain: Chain) -> None:
        self._floor = floor
        self._zone = zone
        self._chain = chain
        self._today = floor.problem.today
        self._day: date | None = None
        self._done = floor.problem.now  # when the plan ends the work before
        self._record = next(r for r in floor.problem.jobs if r.job.number == chain.job)
        mine = [b.start for line in floor.timelines.values() for b in line.bookings if b.key.job == chain.job]
        self._first = min(mine, default=0)

    def when(self, instant: datetime) -> str:
        """Return an instant at the site, its day only where it is another than the one named last."""
        wall = to_wall(self._zone, instant)
        if wall.date() == self._day:
            return hour_words(wall)
        self._day = wall.date()
        return moment_words(wall, self._today)

    def _at(self, slot: int) -> datetime:
        return self._floor.axis.at(slot)

    def only(self, kept: Collection[int]) -> Iterator[Step]:
        """Yield some of the steps: the days that only the others name are not named."""
        steps = self.steps()
        for i in range(max(kept) + 1):
            day = self._day
            step = next(steps)
            if i in kept:
                yield step
            else:
                self._day = day

    def steps(self) -> Iterator[Step]:
        """Yield the steps in the order of time; work of one crew in a row is one step."""
        if self._chain.out:
            yield self._out()
        run: list[Spot] = []
        for spot in self._chain.spots:
            if run and not self._joins(run, spot):
                yield self._work(run)
                self._done, run = run[-1].placement.end, []
            if not run:
                yield from self._bound(spot)
            run.append(spot)
        yield self._work(run, self._chain.end)

    def _joins(self, run: Sequence[Spot], spot: Spot) -> bool:
        """Return whether work goes on with the same crew, nothing but a rest of up to two hours between.

        Where the crew has longer than that between, the two are two visits.
        """
        if spot.placement.crew != run[-1].placement.crew or spot.later is not None or spot.apart:
            return False
        calendar = self._floor.calendar(self._record, spot.placement.crew)
        ends, begins = (self._floor.axis.up(at) for at in (run[-1].placement.end, spot.placement.start))
        if (calendar.count(begins) - calendar.count(ends)) * QUARTER > SHORT_MIN:
            return False
        link = spot.bound.link
        rests = spot.bound.binding is Binding.WAIT and link is not None and link.wait_min <= SHORT_MIN
        return rests or spot.bound.binding is Binding.FOLLOWS

    def _out(self) -> Step:
        """Return who is out, where that is why the job does not end sooner."""
        whys: dict[str, list[date]] = {}
        for day in sorted({one.day for one in self._chain.out}):
            for crew in dict.fromkeys(one.crew for one in self._chain.out if one.day == day):
                away = [one for one in self._chain.out if (one.crew, one.day) == (crew, day)]
                whole = len(self._floor.crews[crew].workers) if crew in self._floor.crews else 0
                names = list(dict.fromkeys(one.worker for one in away))
                lent = [one.to for one in away if one.to in self._floor.crews]
                who = f"nobody of {crew} is there" if len(names) >= whole else listed(names)
                if len(names) < whole:
                    verb = "is" if len(names) == 1 else "are"
                    who += (
                        f" {verb} with {listed(list(dict.fromkeys(lent)))}"
                        if len(lent) == len(away)
                        else f" {verb} out"
                    )
                whys.setdefault(who, []).append(day)
        words = " and ".join(f"{who} {_span(days, self._today)}" for who, days in whys.items())
        return Step(kind=StepKind.PEOPLE, words=words, crew=self._chain.out[0].crew)

    # -- what binds a start

    def _bound(self, spot: Spot) -> Iterator[Step]:
        bound, crew = spot.bound, spot.placement.crew
        until = self._at(bound.slot)
        if bound.binding is Binding.FACT:
            yield from self._fact(bound.facts)
        elif bound.binding is Binding.WAIT:
            yield self._wait(spot)
        elif bound.binding is Binding.CREW:
            end = self._at(bound.done)
            jobs = [str(job) for job in (*bound.also[::-1], bound.job)]
            words = f"{crew} is on {'job' if len(jobs) == 1 else 'jobs'} {listed(jobs)} until {self.when(end)}"
            yield Step(kind=StepKind.CREW, words=words, until=end, crew=crew, job=bound.job)
        elif bound.binding is Binding.TOOL:
            where = f"job {bound.job}" if bound.job is not None else "other work of this house"
            until = self._at(bound.done) if bound.job is not None else self._done
            words = f"the {bound.tool} is at {where} until {self.when(until)}"
            yield Step(kind=StepKind.TOOL, words=words, until=until, job=bound.job)
        elif bound.binding is Binding.PIN:
            words = f"pinned to {crew} on {self._named_day(spot.placement.start)}"
            yield Step(kind=StepKind.PIN, words=words, since=until, crew=crew)
        elif bound.binding is Binding.WISHED:
            words = f"the start is wished for {self._named_day(until)}"
            yield Step(kind=StepKind.WISHED, words=words, since=until)
        elif bound.binding is Binding.BEGUN and spot.block.begun is not None:
            words, goes_on = f"it is under way since {self.when(spot.block.begun)}", spot.placement.start
            later = goes_on - self._floor.problem.now > NIGHT
            words += f" and {crew} goes on with it {self.when(goes_on)}" if later else ""
            yield Step(
                kind=StepKind.BEGUN, words=words, since=spot.block.begun, until=goes_on if later else None, crew=crew
            )
        free = spot.later in NO_CAUSE or spot.later is Later.AT_MOST or bound.binding in (Binding.PIN, Binding.BEGUN)
        if spot.work and not free:
            yield from self._days_lost(spot)
        if spot.then is not None and spot.then.job is not None:
            end = self._at(spot.then.done)
            words = f"{crew} is on job {spot.then.job} until {self.when(end)}"
            yield Step(kind=StepKind.CREW, words=words, until=end, crew=crew, job=spot.then.job)
        yield from self._later(spot)

    def _named_day(self, instant: datetime) -> str:
        self._day = to_wall(self._zone, instant).date()
        return day_words(self._day, self._today)

    def _fact(self, facts: Sequence[Earliest]) -> Iterator[Step]:
        fact = facts[0]
        if fact.of and fact.since is not None:
            due = max((f for f in facts if f.kind is FactKind.DUE), key=lambda f: f.at, default=None)
            if due is not None:
                yield self._one_fact(due)
            start = f"can be carried in {self.when(fact.since)} and " if due is None or due.at != fact.since else ""
            hours = span_words((fact.at - fact.since) // timedelta(minutes=1))
            words = f"{'it' if due else fact.of} {start}acclimates {hours} until {self.when(fact.at)}"
            yield Step(kind=StepKind.ACCLIMATION, words=words, since=fact.since, until=fact.at)
            return
        yield self._one_fact(fact)

    def _one_fact(self, fact: Earliest) -> Step:
        wall = to_wall(self._zone, fact.at)
        if f"{wall:%a %H:%M}" in fact.reason or f"{wall.day} {wall:%b %H:%M}" in fact.reason:
            words = fact.reason
        else:
            head, bracket, rest = fact.reason.partition(" (")
            words = f"{head} {self.when(fact.at)}{bracket}{rest}"
        return Step(kind=FACTS[fact.kind], words=words, until=fact.at)

    def _wait(self, spot: Spot) -> Step:
        link = spot.bound.link
        assert link is not None
        before = self._record.task(link.before)
        since, lasts = self._done, timedelta(minutes=link.wait_min)
        until = self._at(self._floor.axis.up(since + lasts))
        hours = span_words(link.wait_min)
        if link.name == ACCLIMATING:
            thing = before.where if before.key.scope.name else "the material"
            words = f"{thing} acclimates {hours} until {self.when(until)}"
            return Step(kind=StepKind.ACCLIMATION, words=words, since=until - lasts, until=until)
        name = link.name.partition(" (")[0] or f"a wait of {hours} after '{before.title}' lasts"
        words = f"{name}{f' {hours}' if link.name else ''} until {self.when(until)}"
        return Step(kind=StepKind.CURE, words=words, since=until - lasts, until=until)

    def _later(self, spot: Spot) -> Iterator[Step]:
        start, crew = self._at(spot.start), spot.placement.crew
        until = spot.placement.start
        if spot.later is Later.PEOPLE:
            words = f"{self._what([spot])} {spot.lacks}" if spot.lacks.startswith("takes ") else spot.lacks
            yield Step(kind=StepKind.PEOPLE, words=words, until=until, crew=crew)
        elif spot.later is Later.ELEVATOR:
            words = f"the elevator is booked from {self.when(start)}"
            yield Step(kind=StepKind.ELEVATOR, words=words, until=until, crew=crew)
        elif spot.later is Later.STRETCH:
            hours = span_words(spot.work * QUARTER)
            words = f"{self._what([spot])} takes {hours} on one day, and {self.when(start)} is the first time it fits"
            yield Step(kind=StepKind.STRETCH, words=words, until=until, crew=crew)
        elif spot.later is Later.AT_MOST and spot.soon is not None:
            after = self._record.task(spot.soon.after)
            most = span_words(spot.soon.most_min or 0)
            words = f"{self._what([spot])} waits until {self.when(start)}, so that '{_short(after.title)}' starts at most {most} after it"
            yield Step(kind=StepKind.AT_MOST, words=words, until=until, crew=crew)
        elif spot.later in NO_CAUSE:
            yield from self._left(spot)

    def _left(self, spot: Spot) -> Iterator[Step]:
        """Yield why the plan has work later than it could be, where that can be said."""
        start = spot.placement.start
        first = spot is self._chain.spots[0] and self._floor.axis.down(start) == self._first
        what, crew = "it" if first else self._what([spot]), spot.placement.crew
        if spot.later is Later.KEPT:
            words = f"{what} stays on {self._named_day(start)} as in the plan before"
        elif spot.later is Later.ONE_DAY:
            why = next((p.why for p in self._floor.problem.same_day if p.job == self._chain.job), "")
            words = f"{what} waits for {self._named_day(start)}, to be begun and ended on one day: else {why}"
        elif spot.later is Later.TOGETHER:
            words = f"{what} begins no sooner than {self._named_day(start)} so that the house is open fewer days"
        else:
            return
        yield Step(kind=StepKind.TOGETHER, words=words, until=start, crew=crew)

    # -- hours

    def _days_lost(self, spot: Spot) -> Iterator[Step]:
        until, start = self._at(spot.bound.slot), self._at(spot.start)
        words = self._off(spot.placement.crew, until, start)
        if words:
            yield Step(
                kind=StepKind.HOURS, words=words, since=until, until=spot.placement.start, crew=spot.placement.crew
            )

    def _off(self, crew: str, since: datetime, until: datetime) -> str:
        """Return the days between two instants on which a crew that usually works then does not, and why."""
        first, last = to_wall(self._zone, since).date(), to_wall(self._zone, until).date()
        whys: dict[str, list[date]] = {}
        for day in days_from(first, (last - first).days):
            why = self._why_off(crew, day)
            if why:
                whys.setdefault(why, []).append(day)
        return " and ".join(why.format(_span(days, self._today)) for why, days in whys.items())

    def _why_off(self, crew: str, day: date) -> str:
        found, shop, job = self._floor.crews.get(crew), self._floor.problem.shop, self._record.job
        if found is None:
            return ""
        weekend = day.weekday() >= 5
        if day in shop.holidays:
            return "" if weekend and not found.hours.usual(day) else "the shop is closed {}"
        if not found.comes(day):
            everybody = {one.worker for one in self._floor.problem.away if (one.crew, one.day) == (crew, day)}
            if everybody and everybody >= {worker.name for worker in found.workers}:
                if self._chain.out:
                    return ""  # told first of all
                return f"nobody of {crew} is there {{}}"
            return "" if weekend and not found.hours.usual(day) else f"{crew} is off {{}}"
        if day in job.blocked:
            return "the customer has blocked {}"
        if job.site.hours is not None and not job.site.hours.on(day):
            return "the site is closed {}"
        return ""

    # -- work

    def _work(self, run: Sequence[Spot], end: datetime | None = None) -> Step:
        crew = run[0].placement.crew
        start = run[0].placement.start
        end = end or run[-1].placement.end
        minutes = sum(spot.work for spot in run) * QUARTER
        people = self._fewer(run)
        since = "" if run[0].bound.binding is Binding.BEGUN else f"from {self.when(start)} "
        hours = f" {span_words(minutes)}" if minutes else ""
        words = f"{since}{crew}{people} works{hours} on {self._what(run)}"
        notes = [*self._rests(run), *filter(None, [self._off(crew, start, end)])]
        words += f", to {self.when(end)}" + (f" ({', '.join(notes)})" if notes else "")
        return Step(kind=StepKind.WORK, words=words, since=start, until=end, crew=crew, minutes=minutes)

    def _fewer(self, run: Sequence[Spot]) -> str:
        """Return who of the crew is missing in a run and when, in brackets; empty where nobody is."""
        crew = run[0].placement.crew
        whole = self._floor.crews[crew].people if crew in self._floor.crews else 0
        short = [spot.placement for spot in run if 0 < spot.placement.people < whole]
        if not short or self._chain.out:  # these are told first of all
            return ""
        spans = [(to_wall(self._zone, placed.start), to_wall(self._zone, placed.end)) for placed in short]
        days = {day for a, b in spans for day in days_from(a.date(), (b.date() - a.date()).days + 1)}
        out: dict[tuple[str, ...], list[date]] = {}
        for day in sorted(days):
            names = tuple(dict.fromkeys(a.worker for a in self._floor.problem.away if (a.crew, a.day) == (crew, day)))
            if names:
                out.setdefault(names, []).append(day)
        if not out:
            return f" ({min(placed.people for placed in short)} of {whole} people)"
        return f" (without {' and '.join(f'{listed(list(names))} on {_span(on, self._today)}' for names, on in out.items())})"

    def _rests(self, run: Sequence[Spot]) -> Iterator[str]:
        """Yield the short rests inside a run, each name once."""
        names: dict[str, int] = {}
        for spot in run[1:]:
            link = spot.bound.link
            if spot.bound.binding is Binding.WAIT and link is not None:
                name = f"{link.name.partition(' (')[0] or 'a rest of'} {span_words(link.wait_min)}"
                names[name] = names.get(name, 0) + 1
        for name, times in names.items():
            yield f"{name}{'' if times == 1 else ' twice' if times == 2 else f' {times} times'} between"

    def _what(self, run: Sequence[Spot]) -> str:
        """Return what a run of work is: its phases, or where there are none the house's tasks by name."""
        carried = [f"carrying in {task.where}" for spot in run if spot.block.carry_in for task in spot.block.tasks[-1:]]
        phases = [PHASE_WORDS[spot.block.phase] for spot in run if spot.block.phase in PHASE_WORDS] or carried
        titles = [f"'{_short(task.title)}'" for spot in run for task in spot.block.tasks[-1:]]
        if len(set(phases)) >= MANY_PHASES:
            return (
                f"all from {phases[0]} to {phases[-1]}" if phases[0] != phases[-1] else f"{phases[0]} and all between"
            )
        if phases:
            return listed(list(dict.fromkeys(phases)), most=3)
        if len(set(titles)) == 1:
            return titles[0]
        return f"{titles[0]} to {titles[-1]}" if titles[0] != titles[-1] else f"{titles[0]} and all between"


def _short(title: str) -> str:
    """Return a title up to its first comma, colon or bracket, which says enough in a sentence."""
    return title.replace(":", ",").partition(",")[0].partition(" (")[0]


def _span(days: Sequence[date], today: date) -> str:
    """Return days as ``Tue 3 Mar``, ``Tue 3 to Thu 5 Mar`` or ``Tue 3 Mar, Fri 6 Mar and Tue 10 Mar``."""
    if len(days) > 2 and (days[-1] - days[0]).days == len(days) - 1:
        return f"{day_words(days[0], today)} to {day_words(days[-1], today)}"
    return listed([day_words(day, today) for day in days], most=4)
