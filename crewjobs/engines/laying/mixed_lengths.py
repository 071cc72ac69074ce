"""Wood of random lengths: rows racked from the lengths as they come, by the maker's shares, joints apart.

The shares are of running length. A row is filled from what is most behind its share; a piece is taken only if its joint keeps
away from those of the two rows before and leaves no short piece at the wall. What is left of the board that closes a row starts
one of the next, the last such rest first. Where neither a rest nor a whole board begins a row whose joints all keep apart, a board
is cut to begin it, with as little lost as goes; what is left of that one still has the end that closes a row.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import INCH, exact_length
from crewjobs.engines.laying.model import Run

MOST_LENGTHS: Final = 40
LOOKED_AT: Final = 3000
"""Boards tried for one row before another beginning is looked at."""
FEW_LOOKED_AT: Final = 300
"""The same after a beginning that was cut."""
CUT_EVERY: Final = INCH
CUTS_TRIED: Final = 60
"""Beginnings cut from a board that are tried before joints too near are put up with."""


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

    `running` is their total length, `floor` that of all runs (1/4064 inch). By run: `begins` is the run whose rest it starts with,
    `first` how long the board was that was cut to begin it (0: none was), `cut` how long the one was that its last piece is cut from
    (0: that piece is a whole one or a rest), `closes` the run whose first board left the piece that closes it. `near` are the runs with
    a joint too near, `left` the rests nothing is made of.
    """

    pieces: tuple[tuple[int, ...], ...]
    boards: Mapping[int, int]
    running: int
    floor: int
    too_near: int
    cut: tuple[int, ...] = ()
    begins: tuple[int | None, ...] = ()
    first: tuple[int, ...] = ()
    closes: tuple[int | None, ...] = ()
    near: tuple[int, ...] = ()
    left: tuple[int, ...] = ()

    @property
    def starts(self) -> Mapping[int, int]:
        """Return by run the run that its rest starts."""
        return {run: onward for onward, run in enumerate(self.begins) if run is not None}

    @property
    def ends(self) -> Mapping[int, int]:
        """Return by run the run that what is left of its first board closes."""
        return {run: onward for onward, run in enumerate(self.closes) if run is not None}

    @property
    def waste(self) -> float:
        """Return what is lost, as a share of the floor."""
        return self.running / self.floor - 1.0 if self.floor else 0.0


class _Racking:
    def __init__(self, boards: MixedBoards, runs: Sequence[Run]) -> None:
        self.boards = boards
        self.runs = runs
        self.taken = dict.fromkeys(sorted(boards.shares, reverse=True), 0)
        self.running = 0
        self.joints: dict[tuple[int, int], list[int]] = {}
        self.rests: list[tuple[int, int]] = []
        """What is left of boards that closed a row: how long, and which run it was."""
        self.too_near = 0
        self.pieces: list[tuple[int, ...]] = []
        self.cut: list[int] = []
        self.begins: list[int | None] = []
        self.first: list[int] = []
        self.closers: list[tuple[int, int]] = []
        """What is left of boards that were cut to begin a row: it can close one."""
        self.closes: list[int | None] = []
        self.near: list[int] = []

    def behind(self, length: int) -> float:
        """Return by how much running length a board is behind its share, were it taken next."""
        return self.boards.shares[length] * (self.running + length) - self.taken[length] * length

    def apart(self, run: Run, x: int) -> int:
        """Return by how much a joint is too near to one of the two rows before."""
        if x >= run.right:
            return 0
        short = 0
        for beyond, least in ((1, self.boards.stagger), (2, self.boards.second_row)):
            for other in self.joints.get((run.field, run.row - beyond), ()):
                short = max(short, least - abs(other - x))
        return max(0, short)

    def row(self, run: Run) -> None:
        """Fill a run: all joints apart if there is a way, else as many as go one by one."""
        for place in (*reversed(range(len(self.rests))), None):
            rest = 0 if place is None else self.rests[place][0]
            if rest > run.length or self._stub(run.length - rest) or (rest and self.apart(run, run.left + rest)):
                continue
            boards = self._way(run, run.left + rest, [LOOKED_AT])
            if boards is not None:
                self.begins.append(None if place is None else self.rests.pop(place)[1])
                self.first.append(0)
                self._lay(run, rest, boards)
                return
        self.begins.append(None)
        for begun, board in self._cut_to_begin(run):
            boards = self._way(run, run.left + begun, [FEW_LOOKED_AT])
            if boards is not None:
                self.first.append(board)
                self.taken[board] += 1
                self.running += board
                self._lay(run, begun, boards)
                if board - begun - self.boards.kerf >= self.boards.min_piece:
                    self.closers.append((board - begun - self.boards.kerf, len(self.pieces) - 1))
                return
        self.first.append(0)
        self._lay(run, 0, None)

    def _cut_to_begin(self, run: Run) -> list[tuple[int, int]]:
        """Return lengths to cut a board to that begins a run, with the board, the least lost first."""
        found = [
            (board - begun, begun, board)
            for board in self.taken
            for begun in range(self.boards.min_piece, min(board, run.length), CUT_EVERY)
            if not self._stub(run.length - begun) and not self.apart(run, run.left + begun)
        ]
        return [(begun, board) for _, begun, board in sorted(found)[:CUTS_TRIED]]

    def _lay(self, run: Run, rest: int, boards: Sequence[int] | None) -> None:
        """Lay a rest and these boards, or without any what comes nearest one by one."""
        pieces = [rest] if rest else []
        x = run.left + rest
        joints = [x] if rest and x < run.right else []
        following, cut, near = iter(boards or ()), 0, self.too_near
        closes: int | None = None
        while x < run.right:
            left = run.right - x
            board = next(following) if boards is not None else self._next(run, x, left)
            if left <= board:
                fits = [one for one in self.closers if one[0] >= left]
                if fits:
                    self.closers.remove(min(fits))
                    closes = min(fits)[1]
                    pieces.append(left)
                    break
            self.taken[board] += 1
            self.running += board
            if board > left:
                cut = board
            if board - left - self.boards.kerf >= self.boards.min_piece:
                self.rests.append((board - left - self.boards.kerf, len(self.pieces)))
            pieces.append(min(board, left))
            x += pieces[-1]
            if x < run.right:
                self.too_near += self.apart(run, x) > 0
                joints.append(x)
        self.joints[run.field, run.row] = [*self.joints.get((run.field, run.row), ()), *joints]
        self.near += [len(self.pieces)] * (self.too_near > near)
        self.closes.append(closes)
        self.pieces.append(tuple(pieces))
        self.cut.append(cut)

    def _way(self, run: Run, x: int, budget: list[int]) -> list[int] | None:
        """Return boards from x on that keep all joints apart, what is most behind its share first; None: none was found."""
        if x >= run.right:
            return []
        for one in sorted(self.taken, key=lambda one: (-self.behind(one), -one)):
            if self._stub(run.right - x - one) or self.apart(run, x + one):
                continue
            budget[0] -= 1
            if budget[0] < 0:
                return None
            self.taken[one] += 1
            self.running += one
            onward = self._way(run, x + one, budget)
            self.taken[one] -= 1
            self.running -= one
            if onward is not None:
                return [one, *onward]
        return None

    def _stub(self, left: int) -> bool:
        """Return whether so much would be left at the wall and could not be filled."""
        return 0 < left < self.boards.min_piece

    def _next(self, run: Run, x: int, left: int) -> int:
        """Return the board to lay next: no stub, then joints as far apart as they go, then what is most behind its share."""
        return min(
            self.taken, key=lambda one: (self._stub(left - one), self.apart(run, x + one), -self.behind(one), -one)
        )


def rack(boards: MixedBoards, runs: Sequence[Run]) -> MixedLayout:
    """Return rows racked from boards of mixed lengths; runs come in laying order."""
    racking = _Racking(boards, runs)
    for run in runs:
        racking.row(run)
    return MixedLayout(
        pieces=tuple(racking.pieces),
        boards={length: number for length, number in racking.taken.items() if number},
        running=sum(length * number for length, number in racking.taken.items()),
        floor=sum(run.length for run in runs),
        too_near=racking.too_near,
        cut=tuple(racking.cut),
        begins=tuple(racking.begins),
        first=tuple(racking.first),
        closes=tuple(racking.closes),
        near=tuple(racking.near),
        left=tuple(sorted((rest for rest, _ in (*racking.rests, *racking.closers)), reverse=True)),
    )
