"""Anything that may have been asked, said and seen around a job."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import strategies as st

from crewjobs.domain.agreed import (
    ChangeOrder,
    Damage,
    Money,
    MoneyFact,
    SmallVisit,
    Told,
    VisitKind,
    Walk,
    WalkThrough,
)
from crewjobs.domain.evening import CrewHours, Finding, HowFar
from crewjobs.domain.found import Photo, WayTaken
from crewjobs.domain.goods import GoodsCome, LotUse, NewDate, WentBack
from crewjobs.domain.house_ready import DryRun, Other, ReadyAnswer, ReadyAsked, ReadyItem, WaitingOn
from crewjobs.domain.reading import AirReadings, AirSample, Reading, ReadingKind
from tests.storage.basic import days, instants, names, optional, some, texts

cents = st.integers(0, 10**8)


@st.composite
def answers(draw):
    """Draw an answer to one item."""
    ready, at = draw(st.booleans()), draw(instants)
    return ReadyAnswer(
        item=draw(st.sampled_from(ReadyItem)),
        ready=ready,
        at=at,
        by=draw(texts),
        until=None if ready else draw(optional(instants)),
        since=draw(optional(st.integers(0, 10**6).map(lambda minutes: at - timedelta(minutes=minutes)))),
    )


@st.composite
def others(draw, numbers):
    """Draw something waited for, chased in order."""
    asked = draw(days)
    later = st.integers(0, 500).map(lambda days: asked + timedelta(days=days))
    promised = draw(optional(instants))
    return WaitingOn(
        who=draw(st.sampled_from(Other)),
        what=draw(names),
        asked=asked,
        promised=promised,
        usual=draw(st.booleans()),
        chased=tuple(sorted(draw(some(later)))),
        holds=tuple(draw(st.lists(st.sampled_from(numbers), max_size=3, unique=True))) if numbers else (),
        came_at=draw(optional(instants)),
        asked_at=draw(optional(instants)),
    )


@st.composite
def how_far(draw, numbers):
    """Draw how far a task is: between nothing and all of it."""
    whole = draw(st.floats(0.5, 5000))
    return HowFar(
        task=draw(st.sampled_from(numbers)),
        at=draw(instants),
        done=draw(st.floats(0, whole)),
        whole=whole,
        unit=draw(texts),
    )


@st.composite
def crew_hours(draw):
    """Draw a crew's hours at a house, with a break shorter than they are, and waiting in what is left."""
    start, minutes = draw(instants), draw(st.integers(1, 24 * 60))
    pause = draw(st.integers(0, minutes - 1))
    return CrewHours(
        crew=draw(texts),
        start=start,
        stop=start + timedelta(minutes=minutes),
        people=draw(st.integers(1, 8)),
        break_min=pause,
        wait_min=draw(st.integers(0, minutes - pause)),
        wait_why=draw(texts),
    )


@st.composite
def change_orders(draw):
    """Draw a change order, agreed or not yet."""
    asked = draw(days)
    later = st.integers(0, 500).map(lambda days: asked + timedelta(days=days))
    agreed = draw(optional(later))
    declined = draw(optional(later)) if agreed is None else None
    return ChangeOrder(
        what=draw(names),
        cents=draw(st.integers(-(10**8), 10**8)),
        asked=asked,
        agreed=agreed,
        by=draw(texts),
        minutes=draw(st.integers(0, 2400)),
        drafted=agreed is None and declined is None and draw(st.booleans()),
        declined=declined,
    )


walks = st.builds(
    WalkThrough,
    walk=st.sampled_from(Walk),
    at=instants,
    name=names,
    color=texts,
    direction=texts,
    lot=texts,
    damage=some(st.builds(Damage, place=texts, what=texts, photo=texts, sha256=texts)),
    punch=some(texts),
    carton_left=st.booleans(),
    care_sheet=st.booleans(),
)
small_visits = st.builds(
    SmallVisit,
    kind=st.sampled_from(VisitKind),
    who=names,
    start=instants,
    minutes=st.integers(15, 240),
    why=texts,
    done_at=optional(instants),
)
findings = st.builds(
    Finding,
    at=instants,
    place=texts,
    what=names,
    by=texts,
    kind=st.sampled_from(["", "mold"]),
    area_ft2=optional(st.just(12.5)),
    year=optional(st.integers(1900, 2026)),
    photos=some(st.builds(Photo, path=texts, sha256=texts)),
    holds=some(st.integers(1, 99)),
)


@st.composite
def ways_taken(draw):
    """Draw a way on from a finding, taken some time after it."""
    found = draw(instants)
    return WayTaken(
        found_at=found,
        place=draw(texts),
        kind="mold",
        way=draw(texts),
        at=found + timedelta(minutes=draw(st.integers(0, 10**5))),
        by=draw(texts),
        because=draw(texts),
        laboratory=draw(texts),
        sampled=draw(optional(days)),
        sample=draw(texts),
        keeps=draw(some(st.integers(1, 99))),
        drops=draw(some(st.integers(1, 99))),
    )


samples = st.builds(AirSample, at=instants, temp_f=st.floats(-40, 130), rh=optional(st.integers(0, 100).map(float)))
air_readings = st.builds(
    AirReadings,
    room=texts,
    samples=st.lists(samples, min_size=1, max_size=3).map(lambda taken: tuple(sorted(taken, key=lambda one: one.at))),
    by=texts,
    meter=texts,
)


@st.composite
def readings(draw):
    """Draw a reading of any kind, its values as whole numbers that every kind can have."""
    kind = draw(st.sampled_from(ReadingKind))
    return Reading(
        kind=kind,
        at=draw(instants),
        room=draw(texts),
        values=tuple(map(float, draw(st.lists(st.integers(1, 6), min_size=1, max_size=4)))),
        material=draw(names) if kind is ReadingKind.BOARDS else "",
        hours={ReadingKind.SLAB_VAPOR: 66.5, ReadingKind.SLAB_RH: 24.0}.get(kind),
        by=draw(texts),
        meter=draw(texts),
        target=draw(optional(st.just(8.0))) if kind is ReadingKind.BOARDS else None,
    )


@st.composite
def happenings(draw, numbers, materials):
    """Draw every fact of a job record beside its tasks, lots and passed holds, by the record's fields."""
    lot_uses = st.builds(
        LotUse,
        material=st.sampled_from(materials) if materials else st.nothing(),
        lot=texts,
        rooms=some(names),
        because=texts,
    )
    return {
        "asked": draw(some(st.builds(ReadyAsked, at=instants, of=texts))),
        "answers": draw(some(answers())),
        "dry_runs": draw(
            some(st.builds(DryRun, at=instants, crew=texts, because=names, item=optional(st.sampled_from(ReadyItem))))
        ),
        "waiting_on": draw(some(others(numbers), unique_by=lambda other: (other.who, other.what))),
        "goods_come": draw(some(st.builds(GoodsCome, line=texts, count=st.integers(1, 500), at=instants))),
        "new_dates": draw(some(st.builds(NewDate, line=texts, at=instants, due=optional(instants), because=texts))),
        "went_back": draw(some(st.builds(WentBack, material=texts, count=st.integers(1, 500), at=instants))),
        "lot_uses": draw(some(lot_uses, unique_by=lambda use: (use.material, use.lot))) if materials else (),
        "how_far": draw(some(how_far(numbers))) if numbers else (),
        "crew_hours": draw(some(crew_hours(), unique_by=lambda hours: (hours.crew, hours.start))),
        "findings": draw(some(findings)),
        "ways_taken": draw(some(ways_taken())),
        "walks": draw(some(walks)),
        "change_orders": draw(some(change_orders(), unique_by=lambda order: order.what)),
        "money": draw(some(st.builds(MoneyFact, fact=st.sampled_from(Money), day=days, cents=cents))),
        "told": draw(some(st.builds(Told, at=instants, finish=days))),
        "air": draw(some(air_readings)),
        "readings": draw(some(readings())),
        "small_visits": draw(some(small_visits, unique_by=lambda visit: (visit.kind, visit.start))),
    }
