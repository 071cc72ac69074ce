"""The published network of fourteen activities, for tests and for ``tests.benchmarks.odds``.

Source: Hillier and Lieberman, Introduction to Operations Research, "Reliable Construction" (MEMORY; the data agree with what is
printed of them): weeks low, likely, high, and what comes before; what is printed of the whole.
"""

from __future__ import annotations

from crewjobs.domain.tasks import ThreePoint

RELIABLE = {
    "A": (1, 2, 3, ""), "B": (2, 3.5, 8, "A"), "C": (6, 9, 18, "B"), "D": (4, 5.5, 10, "C"), "E": (1, 4.5, 5, "C"),
    "F": (4, 4, 10, "E"), "G": (5, 6.5, 11, "D"), "H": (5, 8, 17, "EG"), "I": (3, 7.5, 9, "C"), "J": (3, 9, 9, "FI"),
    "K": (4, 4, 4, "J"), "L": (1, 5.5, 7, "J"), "M": (1, 2, 3, "H"), "N": (5, 5.5, 9, "KL"),
}  # fmt: skip
MEANS = dict(zip(RELIABLE, (2, 4, 10, 6, 4, 5, 7, 9, 7, 8, 4, 5, 2, 6), strict=True))
SLACK = {"D": 4, "G": 4, "H": 4, "M": 4, "I": 2, "K": 1}
CRITICAL = "ABCEFJLN"
WEEKS, VARIANCE, BY, CHANCE = 44, 9, 47, 0.841
ESTIMATES = {ord(name): ThreePoint(low=a, likely=m, high=b) for name, (a, m, b, _) in RELIABLE.items()}
ARCS = [(ord(before), ord(name), 0) for name, (*_, all_before) in RELIABLE.items() for before in all_before]
