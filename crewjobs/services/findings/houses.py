"""Which jobs go into one house: those that come back to each other, and those of one customer at one address."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from crewjobs.storage.jobs import Addressed, Callback
    from crewjobs.storage.unit_of_work import UnitOfWork


@dataclass(frozen=True, slots=True)
class Houses:
    """Of some jobs the others of their houses, and those of other customers at their addresses; all by number."""

    _house: Mapping[int, frozenset[int]]
    _address: Mapping[int, frozenset[int]]

    def of(self, job: int) -> tuple[int, ...]:
        """Return the other jobs that go into a job's house, ascending."""
        return tuple(sorted(self._house.get(job, frozenset()) - {job}))

    def beside(self, job: int) -> tuple[int, ...]:
        """Return the jobs at a job's address that are another customer's, ascending."""
        return tuple(sorted(self._address.get(job, frozenset()) - self._house.get(job, frozenset())))


def houses_of(uow: UnitOfWork, jobs: Collection[int]) -> Houses:
    """Return the houses of some jobs, as few queries for thirty as for one.

    Years of finished jobs may stand at an address: of them only those of which somebody going there is to know
    (`UnitOfWork.at_their_addresses`), and those that come back to each other.
    """
    if not jobs:
        return Houses({}, {})
    ties = uow.callbacks()
    known: dict[int, Addressed] = {}
    asked, numbers = set[int](), _tied(ties, set(jobs))
    # A callback whose customer or address was changed since goes into the same house all the same, and leads to others there.
    while numbers - asked:
        known |= {one.number: one for one in uow.at_their_addresses(numbers - asked)}
        asked |= numbers
        numbers = _tied(ties, set(known))
    by_customer = _grouped((one.number, (one.customer, one.address)) for one in known.values())
    by_address = _grouped((one.number, one.address) for one in known.values())
    pairs = [{tie.number, tie.of} for tie in ties if tie.number in known]
    house = _joined([*by_customer.values(), *pairs])
    address = {number: frozenset(group) for group in by_address.values() for number in group}
    return Houses(house, address)


def _tied(ties: Iterable[Callback], jobs: set[int]) -> set[int]:
    """Return some jobs with those they come back to, their callbacks, and theirs."""
    beside: dict[int, set[int]] = {}
    for tie in ties:
        beside.setdefault(tie.number, set()).add(tie.of)
        beside.setdefault(tie.of, set()).add(tie.number)
    found, look = set(jobs), list(jobs)
    while look:
        more = beside.get(look.pop(), set()) - found
        look += more
        found |= more
    return found


def _grouped(jobs: Iterable[tuple[int, object]]) -> dict[object, set[int]]:
    groups: dict[object, set[int]] = {}
    for number, by in jobs:
        groups.setdefault(by, set()).add(number)
    return groups


def _joined(groups: Iterable[set[int]]) -> dict[int, frozenset[int]]:
    """Return by job all jobs of the groups it is in, and of the groups those are in."""
    house: dict[int, set[int]] = {}
    for group in groups:
        whole = set(group).union(*(house[number] for number in group if number in house))
        for number in whole:
            house[number] = whole
    return {number: frozenset(whole) for number, whole in house.items()}
