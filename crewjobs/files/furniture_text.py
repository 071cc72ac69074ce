"""A room's furniture in words, as a lead types it: ``usual bedroom, 2 bookcase, piano stays, sofa 90 in x 38 in in window half``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.furniture import Piece
from crewjobs.domain.units import quoted
from crewjobs.domain.wording import listed
from crewjobs.files.furniture_table import PieceTable, pieces_of
from crewjobs.files.usual_furniture import usual_furniture
from crewjobs.files.values import LINE, length_text, read_two_lengths

NOTHING: Final = frozenset({"none", "nothing", "empty"})
NEAR: Final = 0.85
"""How like two names are, of 1, for one to be a slip in the other (`difflib`'s ratio). Ours: ``bokcase`` is 0.93."""
_COUNT: Final = re.compile(r"(?:(\d+)\s*[x×]?\s+)?(.+)", re.DOTALL)
_HALF_A_SIZE: Final = re.compile(r"\d\s*(?:in|ft|cm|mm|m|'|\")?\s*(?:x|×|by)?$|(?<!\S)[x×](?!\S)")
_NAME: Final = re.compile(r"(?!stays\b)[^\W\d][\w .&/'’-]*(?<! stays)")
"""It begins with a letter, and has no sign that a size or a count would have."""
_STAYS: Final = re.compile(r"\s+stays$")
_SIZE: Final = re.compile(
    r"\s+(\d[\d\s./'\"-]*(?:in|ft|cm|mm|m|'|\")?\s*(?:x|×|by)\s*\d[\d\s./'\"-]*(?:in|ft|cm|mm|m|'|\")?)$"
)
_POINT: Final = re.compile(r"(\d),(\d{1,2})(?=\s*(?:(?:mm|cm|m|in|ft|x|by)\b|[×'\"]))", re.IGNORECASE)
"""A comma in a size where a point is meant: ``sofa 2,1 m x 90 cm``."""


def read_furniture(text: str, parts: Sequence[str]) -> tuple[Piece, ...]:
    """Return the pieces of a room in words; `parts` are its sections, which a piece may be ``in``.

    Raises:
        Refused: with a sentence for every entry that cannot be read.
    """
    entries = [" ".join(entry.split()) for entry in re.split(r"[,;\n]", _POINT.sub(r"\1.\2", text)) if entry.strip()]
    if [entry.casefold() for entry in entries] in ([word] for word in NOTHING):
        return ()
    if not entries:
        raise Refused('say what stands there, such as "usual bedroom, 2 bookcase, piano stays", or "none".')
    tables: list[PieceTable] = []
    faults: list[str] = []
    for entry in entries:
        try:
            tables.append(_entry(entry, parts))
            pieces_of(tables[-1:])
        except Refused as refused:
            faults += [f"{quoted(entry)}: {sentence}" for sentence in refused.sentences]
    if faults:
        raise Refused(faults)
    return pieces_of(tables)


def _entry(entry: str, parts: Sequence[str]) -> PieceTable:
    rest, section = entry, ""
    for part in sorted(parts, key=len, reverse=True):
        if rest.casefold().endswith(f" in {part.casefold()}"):
            rest, section = rest[: -len(part) - 4], part
            break
    if rest.casefold().startswith("usual "):
        return PieceTable(usual=rest[6:].strip(), section=section)
    stays = bool(_STAYS.search(rest))
    rest = _STAYS.sub("", rest)
    size = None
    sized = _SIZE.search(rest)
    if sized:
        size = read_two_lengths(
            _both_units(sized[1]), 'the floor a piece takes: write length x width, such as "84 in x 36 in"'
        )
        rest = rest[: sized.start()]
    found = _COUNT.fullmatch(rest.strip())
    if found is None or not found[2].strip() or len(found[2]) > LINE:
        raise Refused('write a count and a name, such as "2 bookcase".')
    if _HALF_A_SIZE.search(found[2]):
        raise Refused(
            'its size is length and width, such as "sofa 84 in x 36 in"; a count comes first, such as "2 bookcase".'
        )
    if not _NAME.fullmatch(found[2]):
        raise Refused(
            'a piece has a count and a name, such as "2 bookcase", then its size, "stays" or "in" and a section.'
        )
    if " in " in found[2]:
        where = found[2].rsplit(" in ", 1)[1]
        there = listed([quoted(part) for part in parts], most=9) if parts else "none: it is floored whole"
        raise Refused(f"the room has no section {quoted(where)}; it has {there}.")
    name = _single(found[2].strip())
    if size is None:
        _check_spelling(name)
    return PieceTable(name=name, count=int((found[1] or "1")[:9]), size=size, stays=stays, section=section)


def _check_spelling(name: str) -> None:
    """Refuse a piece not known by size that is spelled nearly as one that is.

    Raises:
        Refused: so it is; with its size stated it is taken as it is spelled.
    """
    usual = usual_furniture()
    if usual.piece(name) is not None:
        return
    known = [*(str(piece.name) for piece in usual.pieces), *(str(word) for word, _ in usual.words)]
    close = get_close_matches(name.casefold()[:LINE], known, n=1, cutoff=NEAR)
    if close:
        raise Refused(
            f"{quoted(name)} is not a piece known by size; did you mean {quoted(close[0])}? "
            f"Else give its size, such as {quoted(f'{name} 36 in x 12 in')}."
        )


def size_not_known(pieces: Sequence[Piece]) -> tuple[str, ...]:
    """Return the names of pieces that no size is known of, neither stated nor usual."""
    usual = usual_furniture()
    names = (str(piece.name) for piece in pieces if piece.length is None and usual.piece(piece.name) is None)
    return tuple(dict.fromkeys(names))


def _both_units(text: str) -> str:
    """Return ``84 x 36 in`` as ``84 in x 36 in``: a unit said once is meant for both.

    Raises:
        Refused: no unit is said: inches to one, centimetres to another.
    """
    one, other = re.split(r"\s*(?:x|×|by)\s*", text, maxsplit=1)
    unit = re.search(r"(in|ft|cm|mm|m)$", other)
    if unit and re.fullmatch(r"[\d./]+", one):
        one = f"{one} {unit[1]}"
    if re.fullmatch(r"[\d./]+", one) and re.fullmatch(r"[\d./]+", other):
        raise Refused(f'{quoted(text)} says no unit: write its length and width with theirs, such as "84 in x 36 in".')
    return f"{one} x {other}"


def _single(name: str) -> str:
    """Return the usual name for ``armchairs``, where only the singular is one."""
    usual = usual_furniture()
    if usual.piece(name) is None:
        for short in (name.removesuffix("es"), name.removesuffix("s")):
            if short != name and usual.piece(short) is not None:
                return short
    return name


def furniture_words(pieces: Sequence[Piece]) -> str:
    """Return pieces in words that `read_furniture` reads; what only a job file can say is left to it."""
    return ", ".join(_words(piece) for piece in pieces) or "none"


def _words(piece: Piece) -> str:
    words = f"{piece.count} {piece.name}" if piece.count != 1 else str(piece.name)
    if piece.length is not None and piece.width is not None:
        words += f" {length_text(piece.length)} x {length_text(piece.width)}"
    if piece.stays:
        words += " stays"
    return words + (f" in {piece.part}" if piece.part else "")
