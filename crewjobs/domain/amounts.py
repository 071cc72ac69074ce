"""Money as people write it, exact to the cent."""

from __future__ import annotations

import re
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted

MOST_CENTS: Final = 1_000_000_000
"""Ten million dollars: no floor costs more; a longer number is a slip of the finger."""
_AMOUNT: Final = re.compile(r"\$?\s*(\d{1,3}(?:,\d{3})+|\d+)(?:\.(\d{2}))?")


def read_amount(text: str) -> int:
    """Return an amount such as ``1,250.00``, ``$1250`` or ``1250`` in cents.

    Raises:
        Refused: not an amount, negative, parts of a cent, or beyond ten million.
    """
    plain = text.strip()
    found = _AMOUNT.fullmatch(plain) if plain.isascii() else None
    if found is None:
        if re.match(r"\$?\s*[-−]|\(", plain):
            raise Refused(f"{quoted(text)} is less than nothing: an amount is zero or more.")
        raise Refused(f"{quoted(text)} is not an amount: write 1250, 1,250.00 or $1,250.")
    digits = found[1].replace(",", "")
    if len(digits) > 10 or int(digits) * 100 > MOST_CENTS:
        raise Refused(f"{quoted(text)} is more than {money_words(MOST_CENTS)}: look at the digits again.")
    return int(digits) * 100 + int(found[2] or 0)


_CREDIT: Final = re.compile(r"\((?P<inside>.+)\)|(?P<dollar>\$?)\s*[-−]\s*(?P<behind>.+)")


def read_credit(text: str) -> int:
    """Return an amount in cents, below zero where it is a credit: ``-120``, ``-$120.00``, ``($120)``.

    Raises:
        Refused: not an amount, parts of a cent, or beyond ten million either way.
    """
    found = _CREDIT.fullmatch(text.strip())
    if found is None:
        return read_amount(text)
    return -read_amount(found["inside"] or f"{found['dollar']}{found['behind']}")


def money_words(cents: int) -> str:
    """Return cents as ``$1,250.00``, below zero as ``-$120.00``."""
    if cents < 0:
        return f"-{money_words(-cents)}"
    return f"${cents // 100:,}.{cents % 100:02d}"
