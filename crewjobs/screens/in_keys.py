"""Sentences of the office name commands; on a screen a hand has keys. Here each command that has a key is told as one.

A command that has none (it prints something, or reads files) stays as it is.
"""

from __future__ import annotations

import re
from types import MappingProxyType
from typing import Final

from crewjobs.domain.furniture import ANOTHER_PLACE
from crewjobs.domain.goods import ORDERED_IN_THE_FILE
from crewjobs.domain.house import MEANWHILE_IN_THE_FILE
from crewjobs.domain.wording import listed
from crewjobs.services.findings.found_form import in_the_forms_words

KEYS: Final = MappingProxyType(
    {
        "accept": "x in Week",
        "agreed": "r (change order)",
        "amend": "e on the job",
        "arrived": "a on the job",
        "ask": "r (ask somebody else)",
        "away": "r (somebody out, lent)",
        "calendar": "^p (calendar)",
        "callback": "r (callback)",
        "came": "r (asked before)",
        "chased": "r (asked before)",
        "day-plan": "d in Week",
        "dry-run": "r (dry run)",
        "evening": "h in On site",
        "figure": "r (work out a figure)",
        "found": "r (a finding, the way on)",
        "furniture": "e in Rooms",
        "hours": "r (a crew's hours)",
        "how-far": "f on the task",
        "job": "Enter on the job",
        "jobs": "3 (Jobs)",
        "layout": "L in Rooms",
        "lots": "l on the job",
        "money": "r (money)",
        "moves": "p in Rooms",
        "odds": "c in Week",
        "offers": "r (what a crew could do now)",
        "pin": "Enter on the visit in Week",
        "plan": "p in Week",
        "promise": "c on the job",
        "promised": "r (asked before)",
        "proposal": "x in Week",
        "rates": "6 (Rates)",
        "reading": "r (a reading)",
        "ready": "r (house ready)",
        "returned": "r (went back)",
        "tick": "Enter on the task",
        "told": "r (customer told)",
        "undo": "u",
        "unpin": "Enter on the visit in Week",
        "visit": "r (small visit)",
        "waiting": "1 (Waiting)",
        "walk": "r (walk-through)",
        "week": "2 (Week)",
        "what-if": "i in Week",
        "when": "i in Week",
        "why": "y on the job, or in Week",
    }
)
"""What a hand does on the screens for a command."""

_MEANWHILE: Final = "(e on the job, Whole job: page House, below More, Toilet out: rented toilet)"

OF_THE_FORM: Final = (
    (ANOTHER_PLACE, "(e on the job, Whole job: a page Room, New floor none, below More May keep: furniture)"),
    ("say --dates serial if it is", "go back and pick a spreadsheet's numbers for how days are written if it is"),
    (MEANWHILE_IN_THE_FILE, _MEANWHILE),
    ("(toilet_meanwhile)", _MEANWHILE),
    ("with `--by NAME` in the place of --asked when they agree", "with Answered by and Agreed when they agree"),
    (ORDERED_IN_THE_FILE, "into its order (e on the job, Whole job: page Order, Ordered)"),
    ("(beds = 0, toilet_meanwhile)", f"{_MEANWHILE[:-1]}, and Beds a night: 0)"),
)
"""What a job file is told to hold, or a command to say, and where a form has it."""

_LOADED_BACK: Final = re.compile(
    r"`crewjobs dump (\d+) --out [^`]*` writes the file to add rooms and material to, `crewjobs load [^`]*` brings it back"
)
_OF_A_FINDING: Final = re.compile(r"^(?:A way on|Way on|How much of it|Where it is of)\b|opens nothing without|--way\b")
"""What sentences about a finding have in them: their options are lines of its forms."""
_FURNITURE: Final = re.compile(r"say what stands there, such as `crewjobs furniture \d+ [^`]*'([^'`]*)'`")
_STATE: Final = re.compile(r' \d+ --state (?:"([^"]+)"|(\w+))')
_COMMAND: Final = re.compile(r"`crewjobs ([a-z-]+)([^`]*)`")


def in_keys(sentence: str) -> str:
    """Return a sentence with its commands told as keys: ``settle it, then plan again: p in Week``."""
    for of_file, of_form in OF_THE_FORM:
        sentence = sentence.replace(of_file, of_form)
    sentence = _LOADED_BACK.sub(r"e on job \1 adds rooms and material", sentence)
    sentence = _FURNITURE.sub(r"e in Rooms says what stands there, such as \1", sentence)
    of_a_finding = _OF_A_FINDING.search(sentence) is not None
    sentence = _COMMAND.sub(_key, sentence) if "`crewjobs " in sentence else sentence
    return in_the_forms_words(sentence) if of_a_finding else sentence


def _key(found: re.Match[str]) -> str:
    name, rest = found[1], found[2]
    if name == "moves" and "--from-here" in rest:
        return "m in Rooms"
    if name == "moves" and found.string.startswith(" shows", found.end()):
        return "Enter in Rooms"
    if name == "found" and "--way" in rest:
        return "r (the way on from a finding)"
    if name == "amend" and (state := _STATE.fullmatch(rest)):
        return f"e on the job (State: {state[1] or state[2]})"
    key = KEYS.get(name)
    if key is None:
        return found[0]
    if name == "tick" and (numbers := re.findall(r"\d+", rest)[1:]):
        return f"Enter on task{'s' if len(numbers) > 1 else ''} {listed(numbers)}"
    return key
