"""Which floors a lot of planks carries: all, the most of them together, or every floor from one lot each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from typing import Final

from crewjobs.domain.job import JobRecord
from crewjobs.domain.material import Material
from crewjobs.domain.wording import counted, listed
from crewjobs.engines.take_off.planks import Cartons
from crewjobs.services.laying.layouts import LaidOut

MOST_TRIED: Final = 4096
"""Ways to share floors out to lots that are all tried; of more of them only each lot alone is told."""
STAIRS: Final = "the stairs"


def lot_words(record: JobRecord, material: Material, found: LaidOut, cartons: Cartons) -> Iterator[str]:
    """Yield what each lot of planks laid in rows carries, and how all lots can be shared out."""
    return carried_words(_lots(record, material, cartons.per_carton), _planks(found, cartons), "plank")


def piece_lot_words(
    record: JobRecord, material: Material, fields: Mapping[str, int], cartons: Cartons, one: str
) -> Iterator[str]:
    """Yield what each lot carries of fields that share no pieces (how many each takes), called `one`, and how lots are shared out."""
    pieces, at = dict[str, frozenset[int]](), 0
    for name, count in (*fields.items(), *([(STAIRS, cartons.stairs)] if cartons.stairs else [])):
        pieces[name] = frozenset(range(at, at + count))
        at += count
    return carried_words(_lots(record, material, cartons.per_carton), pieces, one)


def carried_words(lots: Mapping[str, int], planks: Mapping[str, frozenset[int]], one: str) -> Iterator[str]:
    """Yield of each lot whether it alone carries all floors, else which it carries together, then how all lots can be shared out.

    `lots` are pieces by lot, `planks` which pieces each floor takes, `one` what a piece is called.
    """
    need = _count(planks, [*planks])
    for name, there in lots.items():
        if there >= need:
            yield f"lot {name} alone carries all of it: {counted(there, one)}, {there - need} more than are laid"
            continue
        most = most_carried(planks, there)
        together = (
            f"; of the floors it carries {listed(most, most=6)} ({counted(_count(planks, most), one)})"
            if most
            else "; no floor of them whole"
        )
        some = together if len(planks) > 1 else ""
        yield f"lot {name} alone does not carry it: {counted(there, one)} of {need}{some}"
    if len(lots) > 1 and len(planks) > 1 and all(there < need for there in lots.values()):
        shared = shared_out(planks, lots)
        if shared is not None:
            parts = [f"lot {name} into {listed(floors, most=6)}" for name, floors in shared.items() if floors]
            yield f"no floor needs two lots: {listed(parts, most=6)}"
        else:
            yield f"no way to give every floor one lot of the {counted(len(lots), 'lot')} was found: ask before two are mixed in a room"


def most_carried(planks: Mapping[str, frozenset[int]], there: int) -> tuple[str, ...]:
    """Return the floors a lot of so many planks carries together that take the most planks; none where it carries none."""
    names = [*planks]
    if 1 << len(names) > MOST_TRIED:
        found: list[str] = []
        for name in sorted(names, key=lambda name: -len(planks[name])):
            if _count(planks, [*found, name]) <= there:
                found.append(name)
        return tuple(name for name in names if name in found)
    choices = [some for size in range(len(names) + 1) for some in combinations(names, size)]
    return max((some for some in choices if _count(planks, some) <= there), key=lambda some: _count(planks, some))


def shared_out(planks: Mapping[str, frozenset[int]], lots: Mapping[str, int]) -> dict[str, tuple[str, ...]] | None:
    """Return floors by the lot each can be laid from so that none needs two; None where no such way was found."""
    names = [*planks]
    if len(lots) ** len(names) > MOST_TRIED:
        return None
    for choice in product(lots, repeat=len(names)):
        given = {lot: tuple(n for n, to in zip(names, choice, strict=True) if to == lot) for lot in lots}
        if all(_count(planks, given[lot]) <= there for lot, there in lots.items()):
            return given
    return None


def _count(planks: Mapping[str, frozenset[int]], names: Sequence[str]) -> int:
    """Return how many planks some floors take: one cut for two of them counts once."""
    return len(frozenset().union(*(planks[name] for name in names)))


def _lots(record: JobRecord, material: Material, per_carton: int) -> dict[str, int]:
    """Return the pieces that can be laid of each lot."""
    lots = dict[str, int]()
    for lot in record.lots:
        if lot.material == material.name:
            lots[lot.name] = lots.get(lot.name, 0) + lot.usable * per_carton
    return lots


def _planks(found: LaidOut, cartons: Cartons) -> dict[str, frozenset[int]]:
    runs = found.house.floor.problem.runs
    planks: dict[str, set[int]] = {}
    for piece in found.layout.pieces:
        planks.setdefault(found.house.fields[runs[piece.run].field].field.name, set()).add(piece.plank)
    if cartons.stairs:
        planks[STAIRS] = {-number for number in range(1, cartons.stairs + 1)}
    return {name: frozenset(those) for name, those in planks.items()}
