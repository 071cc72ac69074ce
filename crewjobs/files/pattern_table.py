"""What a job file says of planks: their size, and the lengths of boards that come in random ones."""

from __future__ import annotations

from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.pattern import MOST_LENGTHS, WHOLE, Lengths, equal_shares
from crewjobs.domain.units import quoted
from crewjobs.files.values import length_text, read_length, read_number, read_text, read_two_lengths, shown

PLANK: Final = 'the size of a plank: write width x length, each with its unit, such as "7 in x 48 in"'
WIDTH_WRITTEN: Final = (
    'the width alone: of boards of random lengths write lengths = { "2\'" = 10, "4\'" = 40, "6\'" = 50 } beside it, of one length '
    'plank = "3 1/4 in x 48 in"'
)
WIDTH_ALONE: Final = -1
"""Stands for the length of a plank of which only the width was written."""
_RIGHT: Final = (
    'write them with percents of the running length, such as { "2\'" = 10, "4\'" = 40, "6\'" = 50 }, or as a list'
)


def read_plank(value: object, _: object) -> tuple[int, int]:
    """Return width and length of a plank from text such as ``7 in x 48 in``; of boards of random lengths the width may stand alone."""
    try:
        return read_two_lengths(value, PLANK)
    except Refused:
        try:
            return read_length(value), WIDTH_ALONE
        except Refused:
            pass
        raise


def read_lengths(value: object, _: object) -> Lengths:
    """Return the lengths of boards: a table with the percent of running length of each, or a list with equal shares.

    Raises:
        Refused: neither, something in it is no length or no percent, or there are too many.
    """
    if not isinstance(value, list | dict):
        raise Refused(f"{shown(value)} are no lengths of boards: {_RIGHT}.")
    if not value:
        raise Refused(f"there is no length in it: {_RIGHT}.")
    if len(value) > MOST_LENGTHS:
        raise Refused(f"{len(value)} lengths: {MOST_LENGTHS} are the most.")
    if isinstance(value, list):
        return equal_shares([read_length(item) for item in value])
    found, faults = [], list[str]()
    for text, share in value.items():
        try:
            found.append((read_length(read_text(text)), read_number(share, WHOLE)))
        except Refused as fault:
            faults += [one if text in one else f"{quoted(text)}: {one}" for one in fault.sentences]
    if faults:
        raise Refused(faults)
    return tuple(found)


def lengths_data(lengths: Lengths) -> object:
    """Return lengths as a job file spells them, None for none."""
    if not lengths:
        return None
    if lengths == equal_shares([length for length, _ in lengths]):
        return [length_text(length) for length, _ in lengths]
    return {length_text(length): round(share) if share == round(share) else share for length, share in lengths}
