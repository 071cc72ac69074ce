"""What demolition uncovers: its kinds with their consequences, and the way on that was taken."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import Other, ReadyItem

SUSPECT: Final = "suspect asbestos"
"""The kind of what may hold asbestos."""
LIVE: Final = "live wire or pipe"
"""The kind of what carries current, water or gas."""
ROT: Final = "rot"
"""The kind of soft wood."""
NOBODY_IN: Final = frozenset({SUSPECT, ROT, LIVE})
"""Kinds of which the first thing said is that nobody goes where they are, so nobody goes through there; a test holds them to the catalogue."""
TURNED_OFF: Final = {
    SUSPECT: frozenset({ReadyItem.AIR}),
    LIVE: frozenset({ReadyItem.AIR, ReadyItem.POWER}),
}
"""What of a house is turned off as the first thing said of a kind; without power or gas no heat runs. A test holds them to the catalogue."""
ASKED_FOR: Final = {
    SUSPECT: frozenset({"sample of what was found", "answer on what was found"}),
    LIVE: frozenset({"wire or cable found in the floor", "pipe found in the floor"}),
    "mold": frozenset({"mold: looked at, and how it is removed"}),
    "pests": frozenset({"licensed pest control: what lives"}),
    "shutoff weeps": frozenset({"the shutoff that weeps"}),
}
"""What others are asked for because of a kind; of a kind that is missing here nobody is asked. A test holds them to the catalogue."""
NOT_LAID_OVER: Final = frozenset({ROT, "mold"})
"""Kinds over which no floor is laid as they are: nobody is told to tick work on them that is not done."""
WHOLE_HOUSE: Final = "house"
"""The place of what was found in the whole house."""
NOTHING_INTO: Final = "nothing into it"
"""The way after one that floats over it: the rest glued or laid on top. A test holds both to the catalogue."""
TAKEN_OUT: Final = frozenset({"licensed removal"})
"""Ways by which others take out what the crew does not: its tear-out is off the job, and nothing is left. A test holds them to the catalogue."""
GOES_WITHOUT: Final = frozenset(
    {"lay-glued-vinyl", "lay-glued-wood", "lay-sheet-glued", "set-strip", "set-threshold", "extra-work"}
)
"""Task templates that can be done without going into what is left there, where the lead says so."""
OTHER: Final = ""
"""The kind of what has none: told in words, it holds nothing by itself."""
NEEDS: Final = {
    "by": "who says so",
    "because": "why, or on what",
    "laboratory": "which laboratory",
    "sampled": "the day of the sample or of the clearance",
    "sample": "the sample's number",
}
"""What a way on may need before it opens anything."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way on from a finding. `needs` is what must be said with it, `asks_for` what exactly that is.

    `keeps` are task templates that stay on hold, `drops` those that are not done any more. With `under_ft2` it is a way only for what is smaller.
    One that `leaves` lays the new floor over it: what lies there counts in its height. One with `after` can be taken
    only once the way of that name was, and `lets` go on what there is of these templates then; said again, of what came up since.
    """

    key: str
    says: str
    needs: tuple[str, ...]
    asks_for: str = ""
    keeps: frozenset[str] = frozenset()
    drops: frozenset[str] = frozenset()
    under_ft2: float | None = None
    leaves: bool = False
    after: str = ""
    lets: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """Somebody who is asked because of a finding; `days` are working days until their answer is expected, None: nobody knows.

    With `from_ft2` only where so much is seen; with `words` only where people said one of them, or none of anybody's.
    """

    who: Other
    what: str
    days: int | None = None
    from_ft2: float | None = None
    words: tuple[str, ...] = ()

    def about(self, area_ft2: float | None) -> bool:
        """Return whether they are asked about so much of it."""
        return self.from_ft2 is None or (area_ft2 is not None and area_ft2 >= self.from_ft2)


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundWork:
    """What the crew does about a finding, once the customer has agreed: the way on named `way` is made by it.

    Labor minutes of one person, once (`fixed_min`) and for every ft² that is seen; `dry_min` are minutes by the clock until it is
    looked at or read again. Nothing is added where a task of one of the templates `instead_of` is open in its place: that is it.
    `under`: what lies there is taken out first.
    """

    what: str
    way: str
    fixed_min: float
    per_ft2_min: float = 0.0
    people: int = 1
    dry_min: int = 0
    instead_of: frozenset[str] = frozenset()
    under: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundKind:
    """A kind of finding. `words` are what people say for it, `first` what is done at once, `holds` task templates held in its place.

    `cautions` are keys of the catalogue's cautions; `work` is what it adds, where that is work of the crew. With one of the words
    `any_size` in what was said it is for others however little is seen, and what is for others holds `holds_large` too; `slab`: it is found on slabs only.
    Of what it holds, `elsewhere` goes on while another place of the task is left for it.
    """

    key: str
    words: tuple[str, ...]
    first: str
    holds: frozenset[str]
    ways: tuple[Way, ...]
    cautions: tuple[str, ...]
    source: str
    asks: tuple[Asking, ...] = ()
    work: FoundWork | None = None
    any_size: tuple[str, ...] = ()
    holds_large: frozenset[str] = frozenset()
    slab: bool = False
    elsewhere: frozenset[str] = frozenset()

    def way(self, key: str) -> Way | None:
        """Return a way on by its name, None if there is none of it."""
        return next((way for way in self.ways if way.key == key), None)

    def decided_anew(self, way: Way, taken: str) -> bool:
        """Return whether a way on can be taken after another one, `taken` by its name: what that left there is gone then.

        Not one that is made by work of the crew, which the first one took off the job.
        """
        before = self.way(taken)
        made = self.work is not None and way.key == self.work.way
        return before is not None and before.leaves and not way.leaves and not way.after and not made


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photo's path, and the SHA-256 of its bytes when it was recorded."""

    path: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WayTaken:
    """The way on from a finding (its instant, place and kind), with what was said for it.

    `keeps` are tasks that stay on hold, `drops` those it takes off the job.
    """

    found_at: datetime
    place: str
    kind: str
    way: str
    at: datetime
    by: str = ""
    because: str = ""
    laboratory: str = ""
    sampled: date | None = None
    sample: str = ""
    keeps: tuple[int, ...] = ()
    drops: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        if self.at < self.found_at:
            raise Refused("a way on from a finding comes after it was found.")
