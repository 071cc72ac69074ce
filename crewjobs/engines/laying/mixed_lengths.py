"""Wood of random lengths: rows racked from the lengths as they come, by the maker's shares, joints apart.

The shares are of running length. A row is filled from what is most behind its share; a piece is taken only if its joint keeps
away from those of the two rows before and leaves no short piece at the wall. The last piece is cut from the shortest board that
does; its rest starts the next row if it is long enough.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import exact_length
from crewjobs.engines.laying.model import Run

MOST_LENGTHS: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class MixedBoards:
    """Boards of mixed lengths (1/4064 inch): the share of running length each has, and the rules they are racked by.

    Raises:
        Refused: no lengths, shares that are none, or rules that no board keeps.
    """

    shares: Mapping[int, float]
    width: int
    kerf: int
    min_piece: int
    stagger: int
    second_row: int = 0

    def __post_init__(self) -> None:
        if not 0 < len(self.shares) <= MOST_LENGTHS or min(self.shares) <= 0:
            raise Refused(f"boards come in 1 to {MOST_LENGTHS} lengths above zero.")
        if not all(share >= 0 for share in self.shares.values()) or not 0.99 <= sum(self.shares.values()) <= 1.01:
            raise Refused("the shares of all lengths are zero or more and sum to 100 %.")
        if self.min_piece > max(self.shares):
            raise Refused(
                f"no piece under {exact_length(self.min_piece)} can be kept: the longest board is {exact_length(max(self.shares))}."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class MixedLayout:
    """Pieces row by row (lengths from the left, by run), boards taken of each length, and how many joints lie too near.

    `running` is their total length, `floor` that of all runs (1/4064 inch).
    """

    pieces: tuple[tuple[int, ...], ...]
    boards: Mapping[int, int]
    running: int
    floor: int
    too_near: int

    @property
    def waste(self) -> float:
        """Return what is lost, as a share of the floor."""
        return self.running / self.floor - 1.0 if self.floor else 0.0


class _Racking:
    def __init__(self, boards: MixedBoards, runs: Sequence[Run]) -> None:
        self.boards = boards
        self.runs = runs
        self.taken = dict.fromkeys(sorted(boards.shares, reverse=True), 0)
        self.joints: dict[tuple[int, int], list[int]] = {}
        self.rest = 0
        self.too_near = 0

    def behind(self, length: int) -> float:
        """Return how far a length is behind its share, in boards."""
        running = sum(n * one for one, n in self.taken.items()) + length
        return self.boards.shares[length] * running / length - self.taken[length]

    def apart(self, run: Run, x: int) -> int:
        """Return by how much a joint is too near to one of the two rows before."""
        short = 0
        for beyond, least in ((1, self.boards.stagger), (2, self.boards.second_row)):
            for other in self.joints.get((run.field, run.row - beyond), ()):
                short = max(short, least - abs(other - x))
        return max(0, short)

    def row(self, run: Run) -> list[int]:
        """Fill a run and return its pieces."""
        pieces: list[int] = []
        x, first = run.left, self.rest if self.rest >= self.boards.min_piece else 0
        if first and first < run.length and (self.apart(run, x + first) or self._stub(run.right - x - first)):
            first = 0
        while x < run.right:
            left = run.right - x
            piece = first if first and not pieces else 0
            if piece:
                self.rest = 0
            if not piece and (closing := self._closing(left)) is not None:
                self.taken[closing] += 1
                self.rest = closing - left - self.boards.kerf if closing > left else self.rest
                piece = left
            elif not piece:
                piece = self._next(run, x, left)
                self.taken[piece] += 1
                if piece >= left:
                    self.rest, piece = piece - left - self.boards.kerf, left
            piece = min(piece, left)
            pieces.append(piece)
            x += piece
            if x < run.right:
                self.too_near += self.apart(run, x) > 0
                self.joints.setdefault((run.field, run.row), []).append(x)
        return pieces

    def _stub(self, left: int) -> bool:
        """Return whether so much would be left at the wall and could not be filled."""
        return 0 < left < self.boards.min_piece

    def _closing(self, left: int) -> int | None:
        """Return the shortest board that closes a row, if its rest is of use or small."""
        fits = [one for one in self.taken if one >= left]
        return min(fits) if fits else None

    def _next(self, run: Run, x: int, left: int) -> int:
        """Return the board to lay next: joints apart and no stub first, then what is most behind its share."""
        return min(
            self.taken, key=lambda one: (self._stub(left - one), self.apart(run, x + one), -self.behind(one), -one)
        )


def rack(boards: MixedBoards, runs: Sequence[Run]) -> MixedLayout:
    """Return rows racked from boards of mixed lengths; runs come in laying order."""
    racking = _Racking(boards, runs)
    pieces = tuple(tuple(racking.row(run)) for run in runs)
    return MixedLayout(
        pieces=pieces,
        boards={length: number for length, number in racking.taken.items() if number},
        running=sum(length * number for length, number in racking.taken.items()),
        floor=sum(run.length for run in runs),
        too_near=racking.too_near,
    )
