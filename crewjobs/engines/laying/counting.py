"""Layouts as counts: how many runs of each length start with which piece, and what that does to the pairing.

Pieces from wall to wall are starts or ends as suits the pairing; one so short that a start and an end still fit beside it may
go along with a start instead. Those of which two could come from one plank with a third piece are counted by material alone.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.engines.laying.model import Problem, Product, Run
from crewjobs.engines.laying.options import options

LEAST_BLOCK: Final = 2
"""Rows alike, one above the other, from which on it is counted apart how close together their first pieces lie."""
LEAST_OF_MANY: Final = 4
"""The same where there are many runs: small stacks are counted together then."""
MANY: Final = 100


@dataclass(frozen=True, slots=True)
class Way:
    """A first piece: its step, where its start and its end lie on the axis of lengths, the planks it takes besides the pair."""

    step: int
    s: int
    t: int
    planks: int
    pieces: int


@dataclass(frozen=True, slots=True)
class Block:
    """Runs of one length; `stacked`: they lie one above the other in neighbouring rows, ends flush."""

    length: int
    runs: tuple[int, ...]
    stacked: bool

    @property
    def number(self) -> int:
        """Return how many runs there are."""
        return len(self.runs)


@dataclass(frozen=True, slots=True)
class Single:
    """Pieces from wall to wall of one length: where they lie as a start and as an end, how far they move a start they go with."""

    length: int
    runs: tuple[int, ...]
    s: int
    t: int
    along: int | None

    @property
    def number(self) -> int:
        """Return how many there are."""
        return len(self.runs)


class Counted:
    """A problem as counts. Positions on the axis are steps plus one; 0 is an end that leaves nothing.

    Offcuts at hand that start a row are ends that open no plank (`held`), those that end one are starts (`ending`). That one
    of each could be paired leaves bounds valid.
    """

    def __init__(self, problem: Problem) -> None:
        product = problem.product
        self.problem = problem
        self.size = product.steps + 2
        open_ = [i for i, run in enumerate(problem.runs) if run.laid is None]
        lengths = Counter(problem.runs[i].length for i in open_)
        self.whole = lengths.pop(product.length, 0)
        self.blocks = blocks(problem.runs, [i for i in open_ if problem.runs[i].length > product.length])
        self.ways = {n: ways(product, n) for n in lengths if n > product.length}
        self.runs = sum(lengths.values())
        short = [n for n in lengths if n < product.length]
        self.singles: list[Single] = []
        self.loose: list[int] = []
        for length in short:
            if self._simple(length, min(short)):
                runs = tuple(i for i in open_ if problem.runs[i].length == length)
                self.singles.append(self._single(length, runs))
            else:
                self.loose += [length] * lengths[length]
        self.held = [min(one.length // product.step + 1, self.size - 1) for one in problem.offcuts if one.starts]
        self.ending = [
            max(1, -(-(product.length - product.kerf - one.length) // product.step) + 1)
            for one in problem.offcuts
            if not one.starts
        ]

    def _simple(self, length: int, shortest: int) -> bool:
        """Return whether no plank holds another piece from wall to wall and a third piece beside this one."""
        product = self.problem.product
        third = min(product.min_piece, shortest)
        at_hand = max((one.length for one in self.problem.offcuts), default=0)
        return length + shortest + third + 2 * product.kerf > product.length and length + third + product.kerf > at_hand

    def _single(self, length: int, runs: tuple[int, ...]) -> Single:
        product = self.problem.product
        left = product.length - product.kerf - length
        beside = length + 2 * product.min_piece + 2 * product.kerf <= product.length
        return Single(
            length=length,
            runs=runs,
            s=-(-length // product.step) + 1,
            t=0 if left < 0 else left // product.step + 1,
            along=(length + product.kerf) // product.step if beside else None,
        )


def ways(product: Product, length: int) -> list[Way]:
    """Return all first pieces of a run so long, on the axis."""
    found = []
    for one in options(product, length):
        left = product.length - product.kerf - one.end
        found.append(
            Way(
                step=one.step,
                s=min(one.step, product.steps) + 1,
                t=0 if left < 0 else left // product.step + 1,
                planks=one.full + 1,
                pieces=one.full + 2,
            )
        )
    return found


def blocks(runs: Sequence[Run], members: Sequence[int]) -> list[Block]:
    """Return the runs in blocks: stacks of some rows apart, the others by their length."""
    least = LEAST_BLOCK if len(members) <= MANY else LEAST_OF_MANY
    alike: dict[tuple[int, int, int], list[int]] = {}
    for i in members:
        alike.setdefault((runs[i].length, runs[i].field, runs[i].left), []).append(i)
    rest: dict[int, list[int]] = {}
    found = []
    for (length, _, _), of in alike.items():
        stack: list[int] = []
        for i in [*sorted(of, key=lambda i: runs[i].row), -1]:
            if stack and (i < 0 or runs[i].row != runs[stack[-1]].row + 1):
                if len(stack) >= least:
                    found.append(Block(length, tuple(stack), True))
                else:
                    rest.setdefault(length, []).extend(stack)
                stack = []
            stack.append(i)
    return found + [Block(length, tuple(of), False) for length, of in rest.items()]
