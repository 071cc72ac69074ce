"""What if a crew is off, a truck late, a job more: the plan with and without, side by side; nothing is ever kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Final, NamedTuple

from crewjobs.domain.crew import Crew, Shop
from crewjobs.domain.errors import Refused
from crewjobs.domain.job import JobRecord, JobState, early_promise
from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.units import quoted
from crewjobs.domain.wall import spans_words, to_wall
from crewjobs.domain.wording import counted, day_words, listed, upper
from crewjobs.engines.answering import what_if as engine
from crewjobs.engines.answering.what_if import Compared, Effort, JobChange, Suppose
from crewjobs.engines.planning.compare import Move
from crewjobs.engines.planning.problem import PlanProblem, Stop
from crewjobs.services.answers import recorded_in_turn
from crewjobs.services.answers.recorded_in_turn import OnACopy, Recording, in_turn
from crewjobs.services.answers.what_if_rows import WhatIfAsked, WhatIfJob, WhatIfView
from crewjobs.services.asked.telling import moved_words
from crewjobs.services.clock import read_day
from crewjobs.services.findings.hanging import ONLY_IF, finish_hangs
from crewjobs.services.jobs import loading
from crewjobs.services.materials.ordered import find_ordered, with_new_date
from crewjobs.services.people.away import find_worker
from crewjobs.services.people.day_hours import check_works, read_day_hours
from crewjobs.services.rows import MoveRow
from crewjobs.services.weeks import following
from crewjobs.services.weeks.pins import unkept_words, wanted_pins
from crewjobs.services.weeks.plan_problem import problem_of
from crewjobs.services.weeks.proposals import move_row
from crewjobs.services.wording import at_site, no_crew, read_line

if TYPE_CHECKING:
    from crewjobs.services.weeks.following import Followed
    from crewjobs.storage.database import Database
    from crewjobs.storage.unit_of_work import UnitOfWork

MOST_ROUNDS: Final = 1000
MOST_NAMED: Final = 3
"""So many jobs are named one by one in the sentence."""
NOTHING: Final = "say what is to be supposed, such as `crewjobs what-if --off Birch fri`; `--help` lists all."
NO_PLAN: Final = "nothing is planned yet: `crewjobs plan` does it."


AGAIN: Final = (
    "What ends without it is told as it would be planned again today by the same means, not the plan in force."
)
BY_NOW: Final = "What ends without it is told as the plan in force is by now anyway"
ANEW: Final = "Both are planned anew; a pin alone has the plan in force follow: `--visit` with nothing else tells that."
"""What is said where a visit is moved and no command records the rest: recording the pin alone does something else."""
BEST: Final = "What is told is the best plan that was found, with it and without. Recorded, the plan in force only follows at first"
AT_FIRST: Final = f"{BEST}; against that plan as it stands"
"""How the sentence begins that says what recording does at first."""
AT_ANOTHER_HOUR: Final = f"{BEST}, on the same days but at other hours:"
"""How it begins where only hours differ."""
OTHER_MOVES: Final = f"{BEST}, with the same finishes and other moves:"
"""How it begins where every job ends as told and work on the way there lies elsewhere."""
AGAINST: Final = "Against a plan made anew, not the one in force: "
"""How the first sentence begins where what ends without it is not what the week shows."""

BY_HAND: Final = (
    "A crew is added in the shop file: `crewjobs dump shop --out shop.toml`, add it, `crewjobs load shop.toml`."
)


def what_if(
    database: Database,
    now: datetime,
    asked: WhatIfAsked,
    *,
    rounds: int = 0,
    stop: Callable[[], Stop] | None = None,
    on_a_copy: OnACopy | None = None,
) -> WhatIfView:
    """Return the plan with and without what is supposed, both planned at once, in `rounds`, or until `stop` says so.

    `on_a_copy` is given where the plan in force follows what is recorded. Where only visits are moved, the plan with it is
    then what following makes of the plan in force as they are pinned one after the other, so that what is told is what then
    happens; unless it is looked for longer. Of anything else it is said where recording leads elsewhere.

    Raises:
        Refused: nothing is supposed or planned yet, a name, day or file that cannot be, one that changes nothing, or a
            visit that cannot be pinned once those before it are.
    """
    if asked == WhatIfAsked():
        raise Refused(NOTHING)
    if not 0 <= rounds <= MOST_ROUNDS:
        raise Refused(f"{rounds} rounds: look 0 to {MOST_ROUNDS}.")
    files = [file.resolve() for file in asked.files]
    for place, file in enumerate(files):
        if file in files[:place]:
            raise Refused(f"{asked.files[place]} is given twice: two jobs that are alike need a file each.")
    if twice := _supposed_twice(asked):
        raise Refused(_twice_words(twice))
    with database.reading() as uow:
        in_force = uow.latest_plan()
        if in_force is None:
            raise Refused(NO_PLAN)
        before = problem_of(uow, now)
        words, records, recordings = _supposed_jobs(uow, now, asked)
        after = before if records is None else problem_of(uow, now, records)
        moved_to = [wanted_pins(uow, now, *visit, visit=True) for visit in asked.visits]
    for wanted in moved_to:
        words.append(wanted.words)
        recordings.append(recorded_in_turn.pinned(wanted.pins))
        after = engine.pinned(after, wanted.pins)
    if on_a_copy is not None and asked.only_visits and not rounds and stop is None:
        pins = moved_to[0].pins if len(moved_to) == 1 else ()
        followed = following.supposed(database, now, pins) if pins else in_turn(on_a_copy, now, recordings, in_force)
        if followed is None:
            raise Refused(NO_PLAN)
        return _as_followed(database, now, before, followed, words, recordings)
    told: set[str] = set()
    for one in _supposed(before, after, asked):
        if one.about and one.about in told:
            raise Refused(_twice_words(one.about))
        told.add(one.about)
        words.append(one.said)
        recordings += [one.recording] if one.recording else []
        after = one.suppose(after)
    effort = Effort(rounds=rounds, stop=stop)
    plan, then = engine.both(before, after, in_force, effort)
    found = engine.compared(before, plan, after, then)
    records_by_number = {record.job.number: record for record in (*after.jobs, *before.jobs)}
    moved = tuple(move_row(move, records_by_number) for move in found.moves)
    at_first = ""
    if on_a_copy is not None and recordings and recordings[-1].follows and not asked.crews:
        at_first = _at_first(database, on_a_copy, now, before, in_force, recordings, found, by_hour=bool(asked.visits))
    anew = _is_other(before, in_force, plan)
    note = AGAIN if anew else ""
    if on_a_copy is not None and asked.visits and asked.crews:
        note = f"{note} {ANEW}".strip()
    return _view(
        found,
        words,
        records_by_number,
        before,
        moves=moved,
        soon=_soon(moved, anew=anew),
        rounds=rounds if stop is None else None,
        note=note,
        recordings=recordings,
        by_hand=BY_HAND if asked.crews else "",
        at_first=at_first,
        anew=anew,
        unkept=_unkept(before, after, then),
    )


def _unkept(before: PlanProblem, after: PlanProblem, then: WeekPlan) -> tuple[str, ...]:
    """Return which of the pins that are supposed a plan does not keep, and why."""
    pins = engine.supposed_pins(before, after)
    of_these = replace(then, unkept=tuple(one for one in then.unkept if one.pin in pins))
    return tuple(f"{said}." for said in unkept_words(of_these, after.jobs))


def _view(
    found: Compared,
    words: Sequence[str],
    records: dict[int, JobRecord],
    before: PlanProblem,
    *,
    moves: tuple[MoveRow, ...],
    soon: str,
    rounds: int | None,
    note: str,
    recordings: Sequence[Recording],
    by_hand: str = "",
    unkept: tuple[str, ...] = (),
    at_first: str = "",
    anew: bool = False,
) -> WhatIfView:
    """Return two plans side by side in rows and words."""
    return WhatIfView(
        sentence=_sentence(words, found, records, before.today, anew=anew),
        supposed=tuple(words),
        jobs=tuple(_row(one, records[one.job]) for one in found.changed),
        won=tuple(one.job for one in found.jobs if one.won),
        lost=tuple(one.job for one in found.jobs if one.lost),
        late_both=tuple(one.job for one in found.jobs if one.was.holds is False and one.now.holds is False),
        moves=moves,
        soon=soon,
        crew_days=sum(one.was.crew_days for one in found.jobs),
        crew_days_then=sum(one.now.crew_days for one in found.jobs),
        rounds=rounds,
        note=f"{_hanging(found, records, before.now)} {note}".strip(),
        commands=tuple(one.command for one in recordings),
        by_hand=by_hand,
        unkept=unkept,
        at_first=at_first,
    )


def _hanging(found: Compared, records: dict[int, JobRecord], now: datetime) -> str:
    """Return which of the jobs that end on another day hang on something found there; empty where none does."""
    jobs = [str(one.job) for one in found.changed if one.now.end is not None and finish_hangs(records[one.job], now)]
    if not jobs:
        return ""
    which, hold = ("Jobs", "the days told hold") if len(jobs) > 1 else ("Job", "the day told holds")
    return f"{which} {listed(jobs, most=9)}: {hold} {ONLY_IF}."


def _at_first(
    database: Database,
    on_a_copy: OnACopy,
    now: datetime,
    before: PlanProblem,
    in_force: WeekPlan,
    recordings: Sequence[Recording],
    told: Compared,
    *,
    by_hour: bool,
) -> str:
    """Return what recording does to the finishes of the plan in force, where that is not what is told; empty where it is.

    What is told is the best that was found; recording has the plan in force follow, which leaves work where it can stay.
    Of finishes that are told on the right day the hour is told where it is another one; `by_hour` those of jobs too of which
    nothing is told. Where all finishes are as told and other work moves, how much of it does is told.
    """
    try:
        followed = in_turn(on_a_copy, now, recordings, in_force)
    except Refused as refused:
        return upper(str(refused))
    records = {record.job.number: record for record in (*followed.problem.jobs, *before.jobs)}
    by_now = following.without_it(database, now) or in_force
    does_then = engine.compared(before, by_now, followed.problem, followed.made)
    keeps = frozenset(one.job for one in told.jobs if one.now.holds)
    other = [
        *_not_kept(keeps, does_then, records, before.today),
        *_told_of(does_then.changed, records, before.today, keeps),
    ]
    if set(other) == set(_told_of(told.changed, records, before.today)):
        hours = list(_other_hours(told.jobs if by_hour else told.changed, does_then, records))
        if hours:
            return f"{AT_ANOTHER_HOUR} {listed(hours, most=MOST_NAMED, of='finishes')}."
        if _work(does_then.moves) == _work(told.moves):
            return ""
        return f"{OTHER_MOVES} {following.pieces_words(followed.moved)}."
    does = listed(other, most=MOST_NAMED, of="finishes") if other else "no job ends on another day"
    hours = list(_other_hours(told.changed, does_then, records, same_day=True))
    at = f"; at another hour than told, {listed(hours, most=MOST_NAMED, of='finishes')}" if hours else ""
    return f"{AT_FIRST} {does}{at}; `crewjobs proposal` then looks for a plan such as the one told here."


def _work(moves: Sequence[Move]) -> set[tuple[int, int, str, datetime | None]]:
    """Return with whom and from when the work that moves is, task by task: what moves together in one plan may not in another."""
    return {(move.job, task, move.crew, move.now) for move in moves for task in move.tasks}


def _not_kept(keeps: frozenset[int], then: Compared, records: Mapping[int, JobRecord], today: date) -> Iterator[str]:
    """Yield the jobs told to keep a promise (`keeps`) that recording alone leaves where they are, which does not keep it."""
    for one in then.jobs:
        if one.job not in keeps or one.now.holds is not False or _job_words(one, records[one.job], today):
            continue
        end = to_wall(records[one.job].job.site.zone, one.now.end).date() if one.now.end else None
        stays = f"ends {day_words(end, today)} as before" if end else "is not planned to its end"
        yield f"job {one.job} {stays}{_broken_words(one, today)}"


def _other_hours(
    told: Sequence[JobChange], then: Compared, records: Mapping[int, JobRecord], *, same_day: bool = False
) -> Iterator[str]:
    """Yield the jobs of which something is told that end at another minute, and when; those on the `same_day` alone if asked."""
    ends = {one.job: one.now.end for one in told}
    for one in then.jobs:
        if one.now.end is None or one.job not in ends or one.now.end == ends[one.job]:
            continue
        zone, end = records[one.job].job.site.zone, ends[one.job]
        if not same_day or (end is not None and to_wall(zone, end).date() == to_wall(zone, one.now.end).date()):
            yield f"job {one.job} ends {at_site(zone, one.now.end)}"


def _told_of(
    changes: Sequence[JobChange], records: Mapping[int, JobRecord], today: date, keeps: frozenset[int] = frozenset()
) -> list[str]:
    """Return what is told of the jobs that end on another day, or whose promise stands otherwise; lost promises first.

    Of those that were told to keep their promise (`keeps`) it is said where they do not.
    """
    told = [(one, said) for one in changes if (said := _job_words(one, records[one.job], today, one.job in keeps))]
    told.sort(key=lambda pair: (not pair[0].lost, not pair[0].won, pair[0].was.there and pair[0].now.there))
    return [said for _, said in told]


def _as_followed(
    database: Database,
    now: datetime,
    before: PlanProblem,
    followed: Followed,
    words: Sequence[str],
    recordings: Sequence[Recording],
) -> WhatIfView:
    """Return the plan in force beside what it is once some work is pinned: the same following makes both, told and done."""
    anyway = following.without_it(database, now)
    then = followed.in_force if followed.stays and not followed.unkept else followed.made
    found = engine.compared(before, anyway or followed.in_force, followed.problem, then)
    records = {record.job.number: record for record in before.jobs}
    moved = () if followed.stays else tuple(move_row(move, records) for move in followed.moved)
    soon = following.STAYS
    if not followed.stays:
        slips = following.slips_words(following.slipping(followed, anyway), followed.moved)
        pieces = following.pieces_words(followed.moved) if moved else "no work moves by more than an hour"
        soon = f"The plan follows: {pieces}{f' ({_by_job(moved)})' if moved else ''}{slips}."
    return _view(
        found,
        words,
        records,
        before,
        moves=moved,
        soon=soon,
        rounds=0,
        note=_by_now(before, followed.in_force, anyway) if anyway is not None else "",
        recordings=recordings,
        unkept=tuple(f"{said}." for said in followed.unkept),
    )


def _by_now(problem: PlanProblem, in_force: WeekPlan, anyway: WeekPlan) -> str:
    """Return that the plan in force is another one by now, and which finishes that alone moves."""
    alone = moved_words(problem.shop, problem.away, problem.jobs, in_force, anyway)
    said = "; ".join(f"{one[:1].lower()}{one[1:].rstrip('.')}" for one in alone)
    return f"{BY_NOW}, {following.NOT_TICKED}. By that alone: {said}."


def _is_other(problem: PlanProblem, in_force: WeekPlan, plan: WeekPlan) -> bool:
    """Return whether a plan made anew ends a job otherwise than the plan in force, or has work of the next weeks elsewhere."""
    old = engine.compared(problem, in_force, problem, plan)
    return bool(old.moves) or any(one.was.end != one.now.end for one in old.jobs)


# -- what is supposed


class _Supposed(NamedTuple):
    """One thing supposed: in words, what makes a problem of it, and how it is recorded (None: by no command, or it is so).

    Of two that are `about` the same only one can hold; empty where that was looked at before.
    """

    said: str
    suppose: Suppose
    recording: Recording | None
    about: str = ""


def _twice_words(about: str) -> str:
    return f"{about} is supposed twice: only one of them can hold."


def _supposed_twice(asked: WhatIfAsked) -> str:
    """Return what is supposed of one and the same promise, job or visit more than once; empty where nothing is."""
    for what, numbers in (
        ("the promise of job", [number for number, _ in asked.promises]),
        ("calling off job", asked.without),
        ("booking job", asked.book),
    ):
        if again := [number for number in numbers if list(numbers).count(number) > 1]:
            return f"{what} {again[0]}"
    for place, (number, tasks, *_) in enumerate(asked.visits):
        if any(job == number and set(tasks) & set(others) for job, others, *_ in asked.visits[:place]):
            return f"moving a visit of job {number}"
    return ""


def _supposed_jobs(
    uow: UnitOfWork, now: datetime, asked: WhatIfAsked
) -> tuple[list[str], list[JobRecord] | None, list[Recording]]:
    """Return words, all jobs with new dates of material and jobs booked among them, and how these are recorded.

    None for the jobs where none differs so.
    """
    if not asked.late and not asked.files and not asked.book:
        return [], None, []
    records = {record.job.number: record for record in uow.live_jobs()}
    words: list[str] = []
    recordings: list[Recording] = []
    dated: set[tuple[int, str]] = set()
    for number, name, day in asked.late:
        record = records.get(number) or uow.job(number)
        ordered = find_ordered(record, name, now)
        if (number, ordered.name) in dated:
            raise Refused(_twice_words(f"the date of {ordered.name} of job {number}"))
        dated.add((number, ordered.name))
        after = with_new_date(record, name, day, "", now)
        records[number] = after
        due, zone = after.new_dates[-1].due, record.job.site.zone
        if due == ordered.due:
            stands = f"is due {at_site(zone, due, to_wall(zone, now))}" if due else "has no date"
            raise Refused(f"{ordered.name} of job {number} {stands} already: suppose another day.")
        words.append(
            f"{ordered.name} of job {number} "
            + (f"due {at_site(zone, due, to_wall(zone, now))}" if due else "without a date")
        )
        due_typed = f"{to_wall(zone, due):%Y-%m-%d %H:%M}" if due else "none"
        recordings.append(recorded_in_turn.due(number, ordered.name, due_typed))
    for number in asked.book:
        record = records.get(number) or uow.job(number)
        if record.job.state not in (JobState.ASKED, JobState.QUOTED):
            raise Refused(f"job {number} is {record.job.state.value} already: only one asked or quoted can be booked.")
        records[number] = _booked(record)
        words.append(f"job {number} booked")
        recordings.append(recorded_in_turn.amended(number, "state", "booked"))
    if asked.files:
        loaded = loading.read(asked.files, loading.shop_zone(uow))
        recordings += [recorded_in_turn.loaded(file) for file in asked.files]
        for record in loading.supposed_records(uow, now, loaded):
            number = record.job.number
            records[number] = _booked(record)
            words.append(f"job {number} ({record.job.title}) booked")
            if record.job.state is not JobState.BOOKED:
                recordings.append(recorded_in_turn.amended(number, "state", "booked"))
    return words, list(records.values()), recordings


def _booked(record: JobRecord) -> JobRecord:
    return replace(record, job=replace(record.job, state=JobState.BOOKED))


def _supposed(problem: PlanProblem, booked: PlanProblem, asked: WhatIfAsked) -> Iterator[_Supposed]:
    """Yield what else is supposed; jobs that are only supposed to be `booked` can be promised too."""
    shop, today = problem.shop, to_wall(problem.shop.zone, problem.now).date()
    last = to_wall(shop.zone, problem.now + timedelta(days=problem.days)).date()
    off = {(who.strip().casefold(), _ahead(text, today, last)) for who, text in asked.off}
    for name, text, _ in asked.works:
        if (name.strip().casefold(), day := _ahead(text, today, last)) in off:
            raise Refused(_twice_words(_day_of(_find_crew(shop, name), day, today)))
    for who, text in asked.off:
        yield _off(problem, who, _ahead(text, today, last))
    for name, text, hours in asked.works:
        yield _works(shop, name, _ahead(text, today, last), hours, today)
    for name, like, text in asked.crews:
        yield _hired(shop, name, like, _ahead(text, today, last) if text.strip() else None, today)
    for number, text in asked.promises:
        record = _open_job(booked, number)
        day = read_day(text, today)
        if day < today:
            raise Refused(f"{day_words(day, today)} has gone by: suppose a promise for a day to come.")
        if day == record.job.promised:
            raise Refused(f"job {number} is promised {day_words(day, today)} already: suppose another day.")
        for fault in early_promise(record.job.wished, day):
            raise Refused(f"job {number}: {fault}")
        recording = recorded_in_turn.amended(number, "promised", day.isoformat())
        yield _Supposed(f"job {number} promised {day_words(day, today)}", _promise(number, day), recording)
    for number in asked.without:
        _open_job(problem, number)
        recording = recorded_in_turn.amended(number, "state", "called off")
        yield _Supposed(f"job {number} called off", _without(number), recording)


def _promise(number: int, day: date) -> Suppose:
    return lambda problem: engine.promise_moved(problem, number, day)


def _without(number: int) -> Suppose:
    return lambda problem: engine.called_off(problem, number)


def _ahead(text: str, today: date, last: date) -> date:
    """Return a day as typed that the plan reaches.

    Raises:
        Refused: not a day, one gone by, or one after the plan's end.
    """
    day = read_day(text, today)
    if day < today:
        raise Refused(f"{day_words(day, today)} has gone by: suppose a day to come.")
    if day > last:
        raise Refused(
            f"{day_words(day, today)} is after the plan's end, {day_words(last, today)}: suppose a day before it."
        )
    return day


def _find_crew(shop: Shop, name: str) -> Crew:
    wanted = read_line(name, "the crew").casefold()
    found = next((crew for crew in shop.crews if crew.name.casefold() == wanted), None)
    if found is None:
        raise Refused(no_crew(name, shop))
    return found


def _off(problem: PlanProblem, who: str, day: date) -> _Supposed:
    """Return a crew's or a person's day off."""
    shop, wanted = problem.shop, read_line(who, "the name").casefold()
    names = [worker.name.casefold() for crew in shop.crews for worker in crew.workers]
    if not any(crew.name.casefold() == wanted for crew in shop.crews):
        if not any(wanted in (name, name.split()[0]) for name in names):
            raise Refused(no_crew(who, shop).removesuffix(".") + ", and nobody in them has that name.")
        crew, worker = find_worker(shop, who)
        engine.check_off(crew, day, shop.holidays)
        if any((one.worker, one.day, one.to) == (worker.name, day, "") for one in problem.away):
            raise Refused(f"{worker.name} is out on {day_words(day, problem.today)} already.")
        said = f"{worker.name} of {crew.name} out on {day_words(day, problem.today)}"
        lent = any((one.worker, one.day) == (worker.name, day) for one in problem.away)
        recording = recorded_in_turn.out(worker.name, day, again=lent)
        off = f"that {worker.name} is out on {day_words(day, problem.today)}"
        return _Supposed(said, lambda problem: engine.worker_off(problem, crew.name, worker.name, day), recording, off)
    whole = _find_crew(shop, who)
    engine.check_off(whole, day, shop.holidays)
    said = f"{whole.name} off on {day_words(day, problem.today)}"
    recording = recorded_in_turn.works(whole.name, day, ())
    about = _day_of(whole, day, problem.today)
    return _Supposed(said, lambda problem: engine.crew_off(problem, whole.name, day), recording, about)


def _day_of(crew: Crew, day: date, today: date) -> str:
    return f"what {crew.name} does on {day_words(day, today)}"


def _works(shop: Shop, name: str, day: date, hours: str, today: date) -> _Supposed:
    crew = _find_crew(shop, name)
    check_works(crew, day, shop.holidays, hours=bool(hours.strip()))
    spans = read_day_hours(hours) if hours.strip() else engine.usual_spans(crew, day)
    if not spans:
        raise Refused(f"{crew.name} has no usual hours: give some with the day, such as 8:00-12:00.")
    said = f"{crew.name} working on {day_words(day, today)} {spans_words(spans)}"
    anyhow = crew.comes(day) and crew.hours.on(day) == spans
    recording = None if anyhow else recorded_in_turn.works(crew.name, day, spans, usual=spans == crew.usual(day))
    about = _day_of(crew, day, today)
    return _Supposed(said, lambda problem: engine.crew_works(problem, crew.name, day, spans), recording, about)


def _hired(shop: Shop, name: str, like: str, since: date | None, today: date) -> _Supposed:
    called, crew = read_line(name, "the crew's name"), _find_crew(shop, like)
    if not called:
        raise Refused("the crew needs a name, such as `--crew Elm like Birch`.")
    if any(one.name.casefold() == called.casefold() for one in shop.crews):
        raise Refused(f"there is a crew {quoted(called)} already: give the one more another name.")
    said = f"a crew more, {called}, like {crew.name}" + (f" from {day_words(since, today)}" if since else "")
    about = f"a crew {quoted(called)}"
    return _Supposed(said, lambda problem: engine.extra_crew(problem, called, crew.name, since), None, about)


def _open_job(problem: PlanProblem, number: int) -> JobRecord:
    """Return a booked job with work left.

    Raises:
        Refused: there is none of that number.
    """
    record = next((record for record in problem.jobs if record.job.number == number), None)
    if record is None or record.job.state is not JobState.BOOKED or not record.to_do:
        raise Refused(f"job {number} is not among the booked jobs with work left: `crewjobs jobs` lists them.")
    return record


# -- in words


def _row(one: JobChange, record: JobRecord) -> WhatIfJob:
    zone = record.job.site.zone
    return WhatIfJob(
        job=one.job,
        title=record.job.title,
        finish=to_wall(zone, one.was.end) if one.was.end else None,
        then=to_wall(zone, one.now.end) if one.now.end else None,
        promised=one.was.promised,
        promised_then=one.now.promised,
        holds=one.was.holds,
        holds_then=one.now.holds,
        crew_days=one.was.crew_days,
        crew_days_then=one.now.crew_days,
        why=tuple(why for why in one.now.why if why not in one.was.why),
    )


def _soon(rows: Sequence[MoveRow], *, anew: bool) -> str:
    """Return how much work moves in the next two weeks, and of which jobs; against a plan made `anew` says so."""
    against = " against that plan" if anew else ""
    if not rows:
        return f"In the next two weeks no work moves{against}."
    verb = "moves" if len(rows) == 1 else "move"
    return f"In the next two weeks {counted(len(rows), 'piece')} of work {verb}{against} ({_by_job(rows)})."


def _by_job(rows: Sequence[MoveRow]) -> str:
    """Return how many of the moves are of which jobs, and which of these were told a finish."""
    told = {row.job for row in rows if row.told}
    count = {row.job: sum(other.job == row.job for other in rows) for row in rows}
    return ", ".join(f"job {n}: {c}{' (a finish was told)' if n in told else ''}" for n, c in sorted(count.items()))


def _sentence(words: Sequence[str], found: Compared, records: dict[int, JobRecord], today: date, *, anew: bool) -> str:
    """Return all of it in one sentence: the jobs that end on another day, lost promises first, and how the others stand."""
    told = _told_of(found.changed, records, today)
    parts = told[:MOST_NAMED]
    if len(told) > MOST_NAMED:
        rest = len(told) - MOST_NAMED
        parts.append(f"{counted(rest, 'more job')} {'ends' if rest == 1 else 'end'} on another day")
    body = listed(parts, most=MOST_NAMED + 1) if parts else "no job ends on another day"
    return f"{f'{AGAINST}with' if anew else 'With'} {listed(words, most=9)}, {body}; {_others(found)}."


def _job_words(one: JobChange, record: JobRecord, today: date, kept: bool = False) -> str:
    """Return what becomes of a job, empty where it ends on the same day and its promise stands as before.

    Where it was told to be `kept`, a promise that is broken before and after is named as well.
    """
    zone, job = record.job.site.zone, f"job {one.job}"
    if not one.now.there:
        return ""
    was, now = (to_wall(zone, end).date() if end else None for end in (one.was.end, one.now.end))
    if not one.was.there:
        ends = f"{job} ends {day_words(now, today)}" if now else f"{job} is not planned to its end"
        return ends + _promise_words(one, today)
    if was == now and one.was.holds == one.now.holds:
        return ""
    if now is None:
        moved = f"{job} is no longer planned to its end"
    elif was is None:
        promise = _promise_words(one, today) or (_broken_words(one, today) if one.now.holds is False else "")
        return f"{job} has a finish, {day_words(now, today)}{',' if promise else ''}{promise}"
    elif was == now:
        moved = f"{job} ends {day_words(now, today)} as before"
    else:
        moved = f"{job} ends {day_words(now, today)} instead of {day_words(was, today)}"
    broken = _broken_words(one, today) if kept and one.now.holds is False else ""
    return moved + (_promise_words(one, today) or broken)


def _broken_words(one: JobChange, today: date) -> str:
    day = f" of {day_words(one.now.promised, today)}" if one.now.promised else ""
    return f" and does not keep its promise{day}"


def _promise_words(one: JobChange, today: date) -> str:
    day = f" of {day_words(one.now.promised, today)}" if one.now.promised else ""
    if one.lost or (not one.was.there and one.now.holds is False):
        return f" and breaks its promise{day}"
    if one.won or (not one.was.there and one.now.holds):
        return f" and keeps its promise{day}"
    return ""


def _others(found: Compared) -> str:
    """Return how all promises stand that were not told yet."""
    lost = any(one.lost or (not one.was.there and one.now.holds is False) for one in found.jobs)
    late = [one.job for one in found.jobs if one.was.holds is False and one.now.holds is False]
    if not late:
        return "all other promises hold" if lost else "all promises hold"
    either = f"{'that' if len(late) == 1 else 'those'} of job{'' if len(late) == 1 else 's'} {listed([str(n) for n in late])}"
    verb = "is" if len(late) == 1 else "are"
    return f"no {'other ' if lost else ''}promise is lost, {either} {verb} broken either way"
