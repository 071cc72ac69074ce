"""`crewjobs evening CREW [DAY]`: the printed sheet typed back, line by line at a terminal or from its text form."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, clean, emit, said, wrap
from crewjobs.domain.errors import Refused
from crewjobs.domain.wording import dated_words, day_words, typed, upper

if TYPE_CHECKING:
    from crewjobs.domain.evening import HouseEntry
    from crewjobs.services.office import Office
    from crewjobs.services.rows import Done, EveningHouse, EveningLine, EveningSheet

_BLANK = "____"
_FINISHED = ("done", "not needed")


def arguments(command: ArgumentParser) -> None:
    """Declare crew, day, and how it is typed."""
    command.add_argument("crew", metavar="CREW", help="whose sheet")
    command.add_argument(
        "day", nargs="?", default="", metavar="DAY", help="of which day: yesterday, fri, 2026-03-02 (default: today)"
    )
    how = command.add_mutually_exclusive_group()
    how.add_argument("--form", action="store_true", help="print the sheet's text form, to be filled in")
    how.add_argument("--from", dest="source", metavar="FILE", help="read the form as filled in; - is standard input")
    command.add_argument(
        "--again",
        action="store_true",
        help="times typed for a house stand in the place of those recorded for it that day",
    )
    add_json(command)


def run(args: Namespace) -> int:
    """Print the form, read it, or ask line by line."""
    office = open_office(args)
    day = office.read_past_day(args.day)
    if args.source is not None:
        from crewjobs.files.evening_text import read_form

        entry = read_form(_text_of(args.source), "standard input" if args.source == "-" else args.source)
        done = office.evening(args.crew, day, replace(entry, again=args.again))
        return emit(args, done, lambda: said(done.sentence, done.then))
    sheet = office.evening_sheet(args.crew, day)
    if args.form:
        return emit(args, sheet, lambda: form_text(sheet))
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        raise Refused("line by line needs a terminal: print the form with --form and hand it back with --from FILE.")
    answered = _ask_until_taken(office, sheet, again=args.again)
    return emit(args, answered, lambda: said(answered.sentence, answered.then))


def _text_of(source: str) -> str:
    from crewjobs.files.detect import read_text_file

    if source != "-":
        return read_text_file(Path(source))
    try:
        return sys.stdin.read()
    except UnicodeDecodeError:
        raise Refused("standard input is not text in UTF-8.") from None


# The form


def form_text(sheet: EveningSheet) -> str:
    """Return the sheet as a form to be filled in; read back as it is it says nothing."""
    lines = [
        f"# Evening of {sheet.crew}, {dated_words(sheet.day)}, plan {sheet.revision}.",
        f"# Fill in, then: crewjobs evening {typed(sheet.crew)} {sheet.day} --from FILE",
        "# In the brackets: x, done 14:20, or how far (9/19 rows, 90 of 215 ft2, 50 %); x because REASON where it was on",
        "# hold. Empty is not done. Times left blank are as planned; a house left all empty was not worked at.",
        "# Waited: for a delivery, another trade, a key, such as 45 min truck; it is kept apart from work.",
    ]
    lines += [f"# {sheet.break_rule}"] if sheet.break_rule else []
    for house in sheet.houses:
        lines += ["", *_house_form(house, sub=sheet.sub)]
    if not sheet.houses:
        lines += ["", f"# Nothing was planned for {sheet.crew} that day. A house all the same: House 1, job 9"]
    return "\n".join(clean(line, lines=False) for line in lines)


def _house_form(house: EveningHouse, *, sub: bool) -> Iterator[str]:
    yield f"House {house.house}, job {house.job}  {house.address}"
    yield from [f"# {upper(house.over)}"] if house.over else []
    for told in house.told:
        yield f"# recorded already: {told}"
    if not sub:
        yield (
            f"Started {_BLANK} ({house.start})  Stopped {_BLANK} ({house.stop})  People {_BLANK} ({house.people})  "
            f"Break {_BLANK} ({house.pause} min)  Waited {_BLANK}"
        )
    for line in house.lines:
        yield f"# {line.state}: {_line_words(line)}" if line.state in _FINISHED else f"[    ] {_line_words(line)}"
    if not house.over:
        yield f"found {_BLANK}"


def _line_words(line: EveningLine) -> str:
    notes = [note for note in (line.size, line.before and f"so far {line.before}") if note]
    notes += [f"{line.wait}: write when"] if line.wait else []
    notes += [f"not x alone: x because {line.words}"] if line.words else []
    return f"{line.task} {line.title}" + (f" ({'; '.join(notes)})" if notes else "")


# Line by line


class _Asker:
    """Asks at the terminal; what was typed before stands in brackets and Enter keeps it, - takes it back."""

    def __init__(self) -> None:
        self.typed: dict[tuple[int, str], str] = {}

    def ask(self, house: int, key: str, words: str, otherwise: str = "") -> str:
        """Return what was typed for one line of one house."""
        kept = self.typed.get((house, key), otherwise)
        sys.stderr.write(clean(f"  {words}{f' [{kept}]' if kept else ''}: ", lines=False))
        sys.stderr.flush()
        line = sys.stdin.readline()
        if not line:
            raise Refused("the sheet was not typed to its end: nothing was recorded.")
        answer = line.strip()
        answer = kept if not answer else "" if answer == "-" else answer
        self.typed[house, key] = answer
        return answer


def _ask_until_taken(office: Office, sheet: EveningSheet, *, again: bool) -> Done:
    from crewjobs.domain.evening import EveningEntry

    asker = _Asker()
    _tell(f"{sheet.crew}, {day_words(sheet.day)}, plan {sheet.revision}. Enter: as planned, or not done. Answers: done, done "
          "14:20, 9/19 rows, hold: REASON. - takes an answer back; - at the start of a house: not there.")  # fmt: skip
    if sheet.break_rule:
        _tell(sheet.break_rule)
    while True:
        houses = tuple(_ask_house(asker, house, sub=sheet.sub) for house in sheet.houses)
        entry = EveningEntry(houses=houses, again=again)
        try:
            return office.evening(sheet.crew, sheet.day, entry)
        except Refused as refused:
            for sentence in refused.sentences:
                _tell(f"crewjobs: {sentence}")
            _tell("Nothing was recorded. Once more, with what you typed in brackets (Ctrl-D ends it):")


def _tell(text: str) -> None:
    sys.stderr.write(f"{wrap(text)}\n")


def _ask_house(asker: _Asker, house: EveningHouse, *, sub: bool) -> HouseEntry:
    from crewjobs.domain.evening import HouseEntry

    number = house.house
    _tell(f"House {number}, job {house.job}: {house.title}, {house.address}")
    if house.over:
        _tell(f"  {upper(house.over)}")
    for told in house.told:
        _tell(f"  recorded already: {told}")
    times = {"start": "", "stop": "", "people": "", "pause": "", "wait": ""}
    if not sub:
        known = bool(house.told)
        times["start"] = asker.ask(number, "start", "Started", "" if known else house.start)
        if not times["start"] and not known:
            return HouseEntry(house=number)
        if times["start"]:
            times["stop"] = asker.ask(number, "stop", "Stopped, or hours such as 8.5 h", house.stop)
            times["people"] = asker.ask(number, "people", "People", str(house.people))
            times["pause"] = asker.ask(number, "pause", "Break, minutes")
            times["wait"] = asker.ask(number, "wait", "Waited for others, such as 45 min truck")
    tasks = [
        (line.task, asker.ask(number, f"task {line.task}", _line_words(line)))
        for line in house.lines
        if line.state not in _FINISHED
    ]
    found: list[str] = []
    while not house.over and (
        what := asker.ask(number, f"found {len(found)}", "Found (kitchen: what), Enter for nothing")
    ):
        found.append(what)
    return HouseEntry(house=number, job=house.job, tasks=tuple(tasks), found=tuple(found), **times)
