"""A crew or a person whose name was corrected in the shop's form: the same one, so all that names them follows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from crewjobs.domain.crew import Away, Shop, Worker
    from crewjobs.services.forms.draft import Draft
    from crewjobs.storage.unit_of_work import UnitOfWork

Person = tuple[str, str]
"""A crew and the name of somebody in it; no crew for the shop's lead."""
_ALIKE: Final = 0.6
"""So far two names are alike that are one name corrected: half of the letters and more, no source."""


def crews_renamed(draft: Draft) -> dict[str, str]:
    """Return which crews of the shop have another name in its form, by the name they had.

    A page that took the name of a crew that was taken out is not that crew with another name, nor is the other one it.
    """
    pages = [(str(part.before["name"]), part.name) for part in draft.of("crew") if part.before.get("name")]
    names = {old: new for old, new in pages if new and old != new}
    standing = {str(one) for one in _opened_with(draft)}
    while taken := [old for old, new in names.items() if new in standing and new not in names]:
        for old in taken:
            del names[old]
    return names


def _opened_with(draft: Draft) -> Iterator[str]:
    import tomllib

    for crew in tomllib.loads(draft.seen).get("crew", ()):
        yield crew["name"]


def people_renamed(before: Shop, after: Shop, crews: Mapping[str, str]) -> dict[Person, Person]:
    """Return who has another name, by the crew and name they had, with the crew and name they have now.

    One name of a crew gone and one come in its place is the same person where the two have a word in common or are much
    alike; else one person has left and another came.
    """
    known = {worker.name for crew in before.crews for worker in crew.workers}
    there = {worker.name for crew in after.crews for worker in crew.workers}
    found: dict[Person, Person] = {}
    for crew in before.crews:
        name = crews.get(crew.name, crew.name)
        now = next((one for one in after.crews if one.name == name), None)
        if now is None:
            continue
        old, new = [worker.name for worker in crew.workers], [worker.name for worker in now.workers]
        for what, a, b, c, d in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
            if what != "replace" or b - a != d - c:
                continue
            for was, becomes in zip(old[a:b], new[c:d], strict=True):
                if was not in there and becomes not in known and _one_name(was, becomes):
                    found[crew.name, was] = (name, becomes)
    if before.lead is not None and after.lead is not None and before.lead.name != after.lead.name:
        was, becomes = before.lead.name, after.lead.name
        if was not in there and becomes not in known and _one_name(was, becomes):
            found["", was] = ("", becomes)
    return found


def _one_name(old: str, new: str) -> bool:
    a, b = old.casefold(), new.casefold()
    return bool(set(a.split()) & set(b.split())) or SequenceMatcher(None, a, b).ratio() >= _ALIKE


def rename_in_records(uow: UnitOfWork, draft: Draft, after: Shop, today: date) -> tuple[str, ...]:
    """Let the records follow the names of the shop's form, before it is stored; return what is told of it.

    Somebody who went to another crew is away from that one on days to come.
    """
    before = uow.shop()
    crews = crews_renamed(draft)
    people = people_renamed(before, after, crews)
    proposed = uow.proposed_number()
    followed = ((one, _followed(one, after, crews, people, today)) for one in uow.away())
    changed = [(old, new) for old, new in followed if old != new]
    for old, _ in changed:
        uow.drop_away(old)
    for _, new in changed:
        if new.crew != new.to:  # lent to the crew that they are in by now: they are at home there
            uow.save_away(new)
    uow.rename_crews(crews)
    uow.rename_people({old: new for (_, old), (_, new) in people.items()})
    names = [*crews.items(), *((old, new) for (_, old), (_, new) in people.items())]
    told = [f"{old} is now called {new} everywhere; what was printed keeps the old name." for old, new in names]
    if proposed and not uow.proposed_number():
        told.append(f"Plan {proposed}, which was proposed, did not know of this and is void.")
    return tuple(told)


def _followed(one: Away, after: Shop, crews: Mapping[str, str], people: Mapping[Person, Person], today: date) -> Away:
    crew, name = people.get((one.crew, one.worker), (crews.get(one.crew, one.crew), one.worker))
    now = replace(one, crew=crew, worker=name, to=crews.get(one.to, one.to))
    if not crew or one.day < today or any(worker.name == name for worker in _of(after, crew)):
        return now
    elsewhere = [other.name for other in after.crews if any(worker.name == name for worker in other.workers)]
    return replace(now, crew=elsewhere[0]) if len(elsewhere) == 1 else now


def _of(shop: Shop, crew: str) -> tuple[Worker, ...]:
    return next((one.workers for one in shop.crews if one.name == crew), ())
