"""Why a house has no furniture stages, and what little change would open it, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import singledispatch
from math import ceil

from crewjobs.domain.furniture import ANOTHER_PLACE
from crewjobs.domain.moves import Belongs
from crewjobs.domain.wording import counted, listed, upper
from crewjobs.engines.moving.changes import (
    Change,
    FewerBeds,
    InDust,
    KeptElsewhere,
    MoreFloor,
    MustMove,
    NightsAway,
    Opened,
    OtherStart,
    ShorterCure,
    StepOver,
    WithoutPower,
    WithoutToilet,
)
from crewjobs.engines.moving.model import Status
from crewjobs.engines.moving.no_way import what_would_open
from crewjobs.engines.moving.relaxed import kept_elsewhere
from crewjobs.engines.scheduling.solver import available
from crewjobs.engines.stages.house import PACKED, House
from crewjobs.engines.stages.things import Thing
from crewjobs.engines.stages.unfit import places_words, spot_words

MOST_STAGES = 3
"""Stages named of those that need a change."""
HALF_A_FOOT = 6
FT2_A_STORE = 5
"""A place asked for is as large as what stands there close together needs, rounded up to so many square feet."""


def no_way_words(house: House, status: Status, stop: Callable[[], bool], *, however_close: bool = False) -> list[str]:
    """Return that there is no way through, and for each rule the least that would open one.

    Where a way is found after all, one sentence says so. `however_close`: there is none either where floors are packed full.
    """
    opened = what_would_open(house.problem, outside=house.outside, stop=stop)
    if opened.open:
        return ["no stages were found in this time, but there is a way: give it more time (--seconds)."]
    nothing = not opened.changes and not opened.together
    if status is Status.UNKNOWN and nothing:
        unsolved = "" if available() else " The solver (ortools) is not installed: with it, more houses are found."
        return [
            "no stages were found in this time, and it is not known whether there are any: give it more time "
            f"(--seconds).{unsolved}"
        ]
    share = f"with {PACKED:.0%} of a floor covered at most"
    packed = "however close things stand" if however_close else share
    first = f"there is no way through, {packed}: in whatever order it is worked, something has nowhere to stand or a way is shut."
    if not _stores(house):
        first += (
            " The job names no other place: add the rooms where things may stand meanwhile, such as a garage or a container "
            f"{ANOTHER_PLACE}."
        )
    first += "".join(_too_narrow(house))
    ways = [*_ways(opened, house)]
    cartons = [i for i, thing in enumerate(house.things) if thing.belongs is Belongs.CARTONS]
    if not ways and cartons and not stop():
        without = what_would_open(kept_elsewhere(house.problem, cartons), outside=house.outside, stop=stop)
        also = "the cartons kept in another heated place until they are laid"
        ways = [f"{also}, and {words}" for words in _ways(without, house)]
    if not ways:
        return [first + _nothing_found(opened)]
    if however_close:
        first += f" What follows reckons {share}."
    return [first, *(f"it would work with {words}." for words in ways)]


def _ways(opened: Opened, house: House) -> Iterator[str]:
    yield from (_words(change, house) for change in opened.changes)
    yield from (f"{_words(floor, house)}, and {_words(change, house)}" for change, floor in opened.together)


def _too_narrow(house: House) -> Iterator[str]:
    """Say of what is too wide for an opening where it does not get."""
    said = set[str]()
    for i, thing in enumerate(house.things):
        shut, name = house.problem.pieces[i].shut, _thing(thing)
        if (
            not shut
            or thing.stays
            or thing.belongs is not Belongs.FURNITURE
            or name in said
            or len(said) == MOST_STAGES
        ):
            continue
        said.add(name)
        out = "" if i in house.gets_out else " or outside"
        yield (
            f" {upper(name)} needs openings of about {thing.needs_in} in: it gets not into {_places(house, shut)}{out}, unless it "
            "is taken apart (set_down = 15)."
        )


def _nothing_found(opened: Opened) -> str:
    if not available():
        return " What would open it needs the solver (ortools), which is not installed."
    return " What would open it was not found in this time." if opened.undecided else " No single change opens it."


def _stores(house: House) -> bool:
    """Return whether there is a place that is not worked where something of other rooms may stand."""
    places = house.problem.places
    return any(
        not places[at].worked and at not in (piece.home, house.problem.nowhere)
        for piece in house.problem.pieces
        for at in piece.allowed
    )


def _thing(thing: Thing) -> str:
    """Return a thing with the room it belongs to, where its name does not say it."""
    if thing.belongs in (Belongs.DOOR, Belongs.CARTONS):
        return thing.name
    return f"{thing.name} of {spot_words(thing.home)}"


def _while(change: Change, house: House) -> str:
    """Return in which stages it is needed; a wait among them is not said."""
    worked = list(dict.fromkeys(one for one in (change.worked, *change.also) if one))
    if not worked:
        return ""
    stages = [f"{_places(house, one)} {'is' if len(one) == 1 else 'are'} worked" for one in worked[:MOST_STAGES]]
    more = len(worked) - len(stages)
    also = f", and while {', and while '.join(stages[1:])}" if len(stages) > 1 else ""
    return f" while {stages[0]}{also}{f' (and in {more} more stages)' if more else ''}"


def _places(house: House, places: Iterable[int]) -> str:
    return places_words(house.spots[i] for i in sorted(places))


def _things(house: House, pieces: Iterable[int]) -> str:
    named = Counter(_thing(house.things[i]) for i in sorted(pieces))
    return listed([f"{many} x {name}" if many > 1 else name for name, many in named.items()], most=4)


@singledispatch
def _words(change: Change, house: House) -> str:
    raise NotImplementedError(type(change))


@_words.register
def _(change: MoreFloor, house: House) -> str:
    pieces = f" ({_things(house, change.pieces)})" if change.pieces else ""
    wide, length = change.box
    feet = ceil(change.floor / 10 / PACKED / FT2_A_STORE) * FT2_A_STORE
    size = ""
    if wide:
        length = max(length, ceil(change.floor * 14.4 / PACKED / wide / HALF_A_FOOT) * HALF_A_FOOT)
        size, feet = f" of {wide / 12:g} ft x {length / 12:g} ft", ceil(wide * length / 144)
    return f"{feet} ft² more to store furniture{pieces}, for instance a container{size} in the drive{_while(change, house)}"


@_words.register
def _(change: StepOver, house: House) -> str:
    pieces = f", where {_things(house, change.pieces)} would stand" if change.pieces else ""
    return f"another way in than through {_places(house, [change.place])}{pieces}{_while(change, house)}"


@_words.register
def _(change: FewerBeds, house: House) -> str:
    nights = "one night" if change.stages == 1 else f"{change.stages} nights"
    return f"{counted(change.fewer, 'bed')} fewer for {nights}{_while(change, house) if change.stages == 1 else ''}"


@_words.register
def _(change: WithoutPower, house: House) -> str:
    nights = "one night" if change.stages <= 1 else f"{change.stages} nights"
    return f"{_things(house, change.pieces)} emptied and without power for {nights}"


@_words.register
def _(change: KeptElsewhere, house: House) -> str:
    names = listed(list(dict.fromkeys(house.things[i].name for i in change.pieces)), most=4)
    return (
        f"{names} kept in another heated place until that floor is laid, or brought in a later delivery (which then acclimates "
        "in the house before it is laid)"
    )


@_words.register
def _(change: InDust, house: House) -> str:
    return (
        "furniture left in the room, wrapped and covered to the floor, while "
        f"{_places(house, change.sections)} {'is' if len(change.sections) == 1 else 'are'} ground, primed or poured"
    )


@_words.register
def _(change: ShorterCure, house: House) -> str:
    days = counted(change.earlier, "day")
    return (
        f"{_places(house, change.places)} walked on and stood on {days} earlier: a floor that clicks, or a glue whose pail "
        "allows it"
    )


@_words.register
def _(change: OtherStart, house: House) -> str:
    return f"rows that begin in {_places(house, change.starts[:1])} instead"


@_words.register
def _(change: MustMove, house: House) -> str:
    return f"{_things(house, change.pieces)} carried out of the way"


@_words.register
def _(change: NightsAway, house: House) -> str:
    nights = "a night" if change.stages <= 1 else f"{change.stages} nights"
    return f"{nights} in which nobody sleeps in the house, agreed with the customer{_while(change, house)} (beds = 0, toilet_meanwhile)"


@_words.register
def _(change: WithoutToilet, _house: House) -> str:
    nights = "one night" if change.stages <= 1 else f"{change.stages} nights"
    return f"a rented toilet or {nights} away, agreed with the customer (toilet_meanwhile)"
