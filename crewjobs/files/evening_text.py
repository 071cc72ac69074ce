"""What people write in the evening, read: how far a task is, answers on the sheet's lines, and the sheet's text form."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.evening import EveningEntry, HouseEntry
from crewjobs.domain.units import quoted

_UNITS: Final[dict[str, str]] = {
    "row": "rows", "rows": "rows", "r": "rows",
    "ft²": "ft²", "ft2": "ft²", "sqft": "ft²", "sq ft": "ft²", "sf": "ft²", "square feet": "ft²",
    "m²": "m²", "m2": "m²", "sqm": "m²",
    "ft": "ft", "feet": "ft", "foot": "ft", "m": "m",
    "step": "steps", "steps": "steps", "door": "doors", "doors": "doors", "opening": "openings", "openings": "openings",
    "jamb": "jambs", "jambs": "jambs", "carton": "cartons", "cartons": "cartons", "piece": "pieces", "pieces": "pieces",
    "running ft": "running ft", "running feet": "running ft", "running foot": "running ft",
    "seam ft": "seam ft", "seam feet": "seam ft", "ft of seam": "seam ft",
    "room": "rooms", "rooms": "rooms", "each": "each", "%": "%", "percent": "%",
}  # fmt: skip
_UNIT: Final = "|".join(re.escape(unit) for unit in sorted(_UNITS, key=len, reverse=True))
_NUMBER: Final = r"\d{1,6}(?:[.,]\d{1,2})?"
_HOW_FAR: Final = re.compile(
    rf"(?:(?P<ahead>{_UNIT})\s+)?(?:(?P<first>{_NUMBER})\s*(?:-|–|to)\s*)?(?P<done>{_NUMBER})\s*(?P<mid>{_UNIT})?\s*"
    rf"(?:(?:of|/|out of)\s*(?P<whole>{_NUMBER})\s*(?P<behind>{_UNIT})?)?",
    re.IGNORECASE,
)
HOW_FAR_RIGHT: Final = "write 9/19 rows, rows 1-9 of 19, 90 of 185 ft2, 12 of 19 steps or 50 %"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """How far, as typed: `done` of `whole` in a unit; `first` where a range was written (rows 10-14 of 19).

    `whole` is None and `unit` empty where they were left to what is known of the task.
    """

    done: float
    whole: float | None = None
    unit: str = ""
    first: float | None = None


def read_how_far(text: str) -> Measure:
    """Return how far as people write it: ``9/19 rows``, ``9 of 19``, ``rows 1–9 of 19``, ``90 of 185 ft2``, ``50 %``.

    Raises:
        Refused: it is none of these, or names two units.
    """
    plain = " ".join(text.split())
    if plain.casefold() in ("half", "1/2", "½"):
        return Measure(done=50, whole=100, unit="%")
    found = _HOW_FAR.fullmatch(plain)
    if found is None:
        raise Refused(f"{quoted(text)} does not say how far: {HOW_FAR_RIGHT}.")
    units = {_UNITS[unit.lower()] for unit in (found["ahead"], found["mid"], found["behind"]) if unit}
    if len(units) > 1:
        raise Refused(f"{quoted(text)} counts in {' and in '.join(sorted(units))}: {HOW_FAR_RIGHT}.")
    unit = next(iter(units), "")
    whole = _number(found["whole"])
    if unit == "%" and whole not in (None, 100):
        raise Refused(f"{quoted(text)}: a share is of 100 %: {HOW_FAR_RIGHT}.")
    done = _number(found["done"])
    assert done is not None
    return Measure(done=done, whole=100 if unit == "%" else whole, unit=unit, first=_number(found["first"]))


def _number(text: str | None) -> float | None:
    return None if text is None else float(text.replace(",", "."))


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was typed on a task's line: done (at a time, where one was given), how far, or neither.

    `because` is the reason for work that was done although on hold. `at` is wall minutes after midnight.
    """

    done: bool = False
    at: int | None = None
    far: Measure | None = None
    because: str = ""


_NOT_DONE: Final = frozenset({"", "no", "not", "n", "not done", "-", "0"})
_DONE: Final = re.compile(r"(?:done|x|yes|y|ok|✓)?\s*(?:at\s*)?(?P<at>\d{1,2}[:.]\d{2})?", re.IGNORECASE)
_REASON: Final = re.compile(r"[,;]?\s*\b(?:hold\s*:|because\b:?)\s*", re.IGNORECASE)
ANSWER_RIGHT: Final = "write done, done 14:20, how far it got (9/19 rows), or done because REASON where it was on hold"


def read_answer(text: str) -> Answer:
    """Return an answer on a task's line: ``done``, ``x``, ``14:20``, ``9/19 rows``, ``hold: reason``, or nothing.

    Raises:
        Refused: it is none of these, a reason is missing, or a time does not exist.
    """
    what, *rest = _REASON.split(text.strip(), maxsplit=1)
    because = rest[0].strip() if rest else ""
    if rest and not because:
        raise Refused(f"{quoted(text)} has no reason: {ANSWER_RIGHT}.")
    what = what.strip()
    if what.casefold() in _NOT_DONE and not because:
        return Answer()
    found = _DONE.fullmatch(what)
    if found is not None:
        return Answer(done=True, at=read_clock(found["at"]) if found["at"] else None, because=because)
    try:
        far = read_how_far(what)
    except Refused as fault:
        if re.search(r"\d", what):
            raise
        raise Refused(f"{quoted(text)} is no answer: {ANSWER_RIGHT}.") from fault
    return Answer(far=far, because=because) if far.done > 0 else Answer()


_CLOCK: Final = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?")


def read_clock(text: str) -> int:
    """Return a time of day (``7:15``, ``07:15``, ``7``) in minutes after midnight.

    Raises:
        Refused: it is none.
    """
    found = _CLOCK.fullmatch(text.strip())
    if found is None or int(found[1]) > 23 or int(found[2] or 0) > 59:
        raise Refused(f"{quoted(text)} is not a time of day: write 7:15 or 15:30.")
    return int(found[1]) * 60 + int(found[2] or 0)


_HOURS: Final = re.compile(r"(\d{1,3}(?:[.,]\d{1,2})?)\s*(?:h|hours?|hrs?)", re.IGNORECASE)
_PAUSE: Final = re.compile(r"(\d{1,3})\s*(?:min|minutes?|m)?", re.IGNORECASE)
_WAIT: Final = re.compile(
    r"(?P<amount>\d{1,4}(?:[.,]\d{1,2})?)\s*(?:(?P<unit>min(?:utes?)?|m|h|hours?|hrs?)\b)?(?P<why>[\s,;:(](?!\s*(?:days?|weeks?|sec)).*)?",
    re.IGNORECASE,
)
_PEOPLE: Final = re.compile(r"(\d{1,2})\s*(?:people|persons?)?", re.IGNORECASE)


def read_hours(text: str) -> int | None:
    """Return hours worked (``8.5 h``) in minutes, None where the text is no such thing.

    Raises:
        Refused: they are more than a day has, or none.
    """
    found = _HOURS.fullmatch(text.strip())
    if found is None:
        return None
    minutes = round(float(found[1].replace(",", ".")) * 60)
    if not 0 < minutes <= 24 * 60:
        raise Refused(f"{quoted(text)}: a day has 24 hours, and work takes more than none.")
    return minutes


def read_pause(text: str) -> int:
    """Return a break (``30``, ``30 min``) in minutes.

    Raises:
        Refused: it is none.
    """
    found = _PAUSE.fullmatch(text.strip())
    if found is None:
        raise Refused(f"{quoted(text)} is not a break: write its minutes, such as 30.")
    return int(found[1])


def read_wait(text: str) -> tuple[int, str]:
    """Return a wait (``45``, ``45 min``, ``45 min truck``, ``1.5 h, no key``) in minutes, and what for where that was said.

    Raises:
        Refused: it is none.
    """
    found = _WAIT.fullmatch(text.strip())
    hours = found is not None and (found["unit"] or "").lower().startswith("h")
    if found is None or (not hours and not found["amount"].isdecimal()):
        raise Refused(f"{quoted(text)} is not a wait: write its minutes and what for, such as 45 min truck.")
    minutes = round(float(found["amount"].replace(",", ".")) * (60 if hours else 1))
    return minutes, (found["why"] or "").strip(" \t,;:()").removeprefix("for ")


def read_people(text: str) -> int:
    """Return how many people.

    Raises:
        Refused: it is no whole number.
    """
    found = _PEOPLE.fullmatch(text.strip())
    if found is None:
        raise Refused(f"{quoted(text)} is not how many people: write a whole number, such as 3.")
    return int(found[1])


_HOUSE: Final = re.compile(r"house\s+(\d{1,3})\b(?:[\s,:·]*job\s+(\d{1,9})\b)?.*", re.IGNORECASE)
_TIMES: Final = re.compile(r"\b(started|stopped|people|break|waited)\b", re.IGNORECASE)
_WAITED: Final = re.compile(r"\bwaited\b", re.IGNORECASE)
_LINE: Final = re.compile(r"\[(?P<answer>.*?)\]\s*(?P<task>\d{1,9})\b.*")
_FOUND: Final = re.compile(r"found\b\s*:?\s*(.*)", re.IGNORECASE)
_FIELD: Final = {"started": "start", "stopped": "stop", "people": "people", "break": "pause", "waited": "wait"}


def read_form(text: str, source: str) -> EveningEntry:
    """Return the sheet as typed into its text form; `source` names it in sentences. Lines with ``#`` are for people.

    Raises:
        Refused: a line is none of the form's, named with its number; all such lines at once.
    """
    faults: list[str] = []
    houses: list[HouseEntry] = []
    fields: dict[str, str] = {}
    tasks: list[tuple[int, str]] = []
    found: list[str] = []
    heading: tuple[int, int | None] | None = None

    def close() -> None:
        if heading is not None:
            entry = HouseEntry(house=heading[0], job=heading[1], tasks=tuple(tasks), found=tuple(found), **fields)
            houses.append(entry)
        fields.clear()
        tasks.clear()
        found.clear()

    for number, line in _lines(text):
        where = f"{source}, line {number}"
        house, answer, finding = _HOUSE.fullmatch(line), _LINE.fullmatch(line), _FOUND.fullmatch(line)
        if house is not None:
            close()
            heading = (int(house[1]), int(house[2]) if house[2] else None)
        elif heading is None:
            faults.append(f"{where}: {quoted(line)} stands before any house: begin with House 1.")
        elif answer is not None:
            tasks.append((int(answer["task"]), _typed(answer["answer"])))
        elif finding is not None:
            if _typed(finding[1]):
                found.append(_typed(finding[1]))
        elif _TIMES.match(line):
            fields |= _times(line)
        else:
            faults.append(
                f"{where}: {quoted(line)} is no line of the form: House 1, Started 7:15 Stopped 15:30 People 3, "
                "[done] 14, or found kitchen: what."
            )
    close()
    if faults:
        raise Refused(faults)
    return EveningEntry(houses=tuple(houses))


def _lines(text: str) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        if line.strip() and not line.lstrip().startswith("#"):
            yield number, line.strip()


def _times(line: str) -> dict[str, str]:
    """Read ``Started 7:15 (07:15)  Stopped ____ (13:53)``: what stands in brackets is only what was planned."""
    ahead, *waited = _WAITED.split(line, maxsplit=1)  # what was waited for is text, which may hold any word
    parts = [*_TIMES.split(ahead)[1:], *(("waited", waited[0]) if waited else ())]
    return {
        _FIELD[name.lower()]: typed
        for name, value in zip(parts[::2], parts[1::2], strict=True)
        if (typed := _typed(re.sub(r"\([^)]*\)", "", value)))
    }


def _typed(text: str) -> str:
    """Return what was typed over or beside the blank."""
    return text.replace("_", " ").strip(" \t:") if "_" in text else text.strip()
