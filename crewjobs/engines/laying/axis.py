"""First pieces as arrays on the axis of lengths, and by how much joints of two runs are too near for each pair of them.

A position on the axis is a number of steps plus one; 0 is an end that leaves nothing of its plank.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from crewjobs.engines.laying.model import Product, Run
from crewjobs.engines.laying.options import options

Floats = npt.NDArray[np.float64]
Table = npt.NDArray[np.float32]
"""Costs for two runs' first pieces; kept by the hundred, so not longer than needed."""


class Cuts:
    """All first pieces of runs so long: steps, lengths, where s and t lie on the axis, and the full planks less the fewest."""

    def __init__(self, product: Product, length: int, spare: int) -> None:
        found = options(product, length)
        last = product.steps + 1
        self.start = np.array([one.start for one in found], dtype=np.int64)
        self.step = np.array([one.step for one in found], dtype=np.intp)
        full = np.array([one.full for one in found], dtype=np.intp)
        end = np.array([one.end for one in found], dtype=np.int64)
        self.fewest = int(full.min())
        self.more = full - self.fewest
        self.joints = full + 1
        self.s = np.where(self.start >= product.length, last, self.step + 1)
        left = product.length - product.kerf - spare - end
        self.t = np.where(left < 0, 0, left // product.step + 1)
        self.at = {int(start): number for number, start in enumerate(self.start)}
        self._indexes(last + 1)

    def _indexes(self, size: int) -> None:
        """Where in the running sums the change of each first piece is read; rows are levels -1 to 2."""
        wide = size + 1
        forward = self.s < self.t
        low, high = np.minimum(self.s, self.t), np.maximum(self.s, self.t)
        level = self.more + 1
        other = np.where(forward, level - 1, level + 1)
        self.level = level
        self.read = np.stack([level * wide + high, level * wide + low, other * wide + high, other * wide + low])


def too_near(product: Product, left: int, mine: Cuts, other: Run, starts: npt.NDArray[np.int64], least: int) -> Table:
    """Return by how many steps joints are too near, for the other run's first pieces (rows) and those of the run at `left`."""
    there = -(-(other.length - starts) // product.length)
    apart = (other.left + starts)[:, None] - (left + mine.start)[None, :]
    turns = (-2 * apart + product.length) // (2 * product.length)
    turns = np.clip(turns, -(mine.joints - 1)[None, :], (there - 1)[:, None])
    gap = np.abs(apart + turns * product.length)
    short: Table = (np.maximum(0, least - gap) / product.step).astype(np.float32)
    return short
