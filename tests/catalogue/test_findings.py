"""The kinds of findings: every name in them is there, and none of their words is a permission."""

from __future__ import annotations

import re

import pytest

from crewjobs.domain.found import GOES_WITHOUT, NEEDS, NOBODY_IN, NOT_LAID_OVER, NOTHING_INTO, SUSPECT, TAKEN_OUT
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.findings.found_kinds import read_found

CATALOGUE = read_catalogue()
KINDS = {kind.key: kind for kind in CATALOGUE.findings}


@pytest.mark.parametrize("key", KINDS)
def test_every_name_is_there(key: str) -> None:
    """Templates it holds, cautions it shows, what its ways need and keep; and it holds something and has a way on."""
    kind = KINDS[key]
    templates = {template.key for template in CATALOGUE.templates}
    assert kind.holds
    assert kind.holds <= templates
    assert kind.elsewhere <= kind.holds
    assert set(kind.cautions) <= {caution.key for caution in CATALOGUE.cautions}
    assert kind.ways
    for way in kind.ways:
        assert way.needs
        assert set(way.needs) <= NEEDS.keys()
        assert way.keeps < kind.holds
        assert way.drops < kind.holds
        assert not way.keeps & way.drops


@pytest.mark.parametrize("key", KINDS)
def test_people_find_it_by_its_words(key: str) -> None:
    """Its own name and each of its words mean this kind and no other."""
    assert read_found(CATALOGUE, key).key == key
    for word in KINDS[key].words:
        assert read_found(CATALOGUE, word).key == key


def test_what_waits_for_the_laboratory_is_held_by_what_is_found_on_the_way() -> None:
    """A suspect layer that shows only when the floor is open stops what one known from the start does."""
    waits = {template.key for template in CATALOGUE.templates if "laboratory-answer" in template.after}
    assert "slab-test-set" in waits
    assert waits <= KINDS["suspect asbestos"].holds


def test_nothing_is_drilled_or_nailed_where_a_wire_was_found() -> None:
    """Whatever says to ask about lines before a nail, screw or drill goes in."""
    into = {template.key for template in CATALOGUE.templates if "hidden-lines" in template.cautions}
    assert "slab-test-set" in into
    assert into <= KINDS["live wire or pipe"].holds


@pytest.mark.parametrize("tool", ["shop vacuum with fine filter", "broom", "dust collector"])
@pytest.mark.parametrize("key", ["suspect asbestos", "pests"])
def test_nothing_is_swept_where_it_is_not_to_be(key: str, tool: str) -> None:
    """Neither what may hold asbestos nor droppings; the protection goes down all the same: it shuts the door and the grille."""
    sweeps = {template.key for template in CATALOGUE.templates if tool in template.load} - {"protect-house"}
    assert sweeps <= KINDS[key].holds


GOES_ON = {"sampling", "laboratory-answer", "lead-papers"}
OF_THE_HOUSE = {"walk-through-before", "walk-through-after", "protect-house"}


def test_people_are_told_and_asked_whatever_was_found() -> None:
    """No kind holds the sample, the laboratory or the papers; walk-throughs and protection only where no place is left for them."""
    for kind in KINDS.values():
        assert not (kind.holds | kind.holds_large) & GOES_ON
        assert (kind.holds | kind.holds_large) & OF_THE_HOUSE <= kind.elsewhere


@pytest.mark.parametrize("key", sorted(NOBODY_IN - {"rot"}))
def test_where_nobody_goes_what_is_of_the_whole_house_waits_too(key: str) -> None:
    """In a house of which all is shut; soft wood is reached over that protection, so by itself it does not hold it."""
    assert KINDS[key].elsewhere >= OF_THE_HOUSE


@pytest.mark.parametrize("key", sorted(NOBODY_IN - {"rot"}))
def test_a_room_that_is_shut_holds_whatever_a_crew_does_in_it(key: str) -> None:
    """All templates, also those to come, but what must go on, and what is counted and measured before it is carried in.

    Soft wood is opened up and cut out by the crew itself.
    """
    outside = {"count-lot-check", "roll-check"}
    templates = {template.key for template in CATALOGUE.templates}
    assert KINDS[key].holds == templates - GOES_ON - outside


@pytest.mark.parametrize("key", sorted(NOBODY_IN))
def test_no_material_goes_where_nobody_goes(key: str) -> None:
    """Whichever kind it is, whatever is carried in."""
    carried = {template.key for template in CATALOGUE.templates if template.key.startswith("carry-in")}
    assert len(carried) == 4
    assert carried <= KINDS[key].holds


def test_nothing_goes_into_what_is_left_and_floated_over() -> None:
    """What takes a nailer, stapler, drill or grinder along, and agreed work, stays on hold there or comes off the job.

    Base and shoe go on: they are nailed to the wall, not into the floor.
    """
    kind = KINDS["suspect asbestos"]
    way = kind.way("float over")
    assert way is not None
    tools = re.compile(r"nailer|stapler|drill|grinder")
    into = {one.key for one in CATALOGUE.templates if any(tools.search(tool) for tool in one.load)} & kind.holds
    assert into >= {"lay-stairs", "glue-treads-first", "glue-treads-between", "set-strip", "nail-last-rows"}
    assert into - {"base-back", "base-new", "shoe-on"} <= way.keeps | way.drops
    assert "extra-work" in way.keeps


def test_what_comes_after_a_way_opens_what_can_be_done_without_going_into_it() -> None:
    """The way the engine names is the one that opens strips and agreed work, and nothing but those."""
    after = {(kind.key, way.key): way for kind in KINDS.values() for way in kind.ways if way.after}
    assert list(after) == [(SUSPECT, NOTHING_INTO)]
    for (key, _), way in after.items():
        first = KINDS[key].way(way.after)
        assert first is not None
        assert first.leaves
        assert way.leaves
        assert way.lets == GOES_WITHOUT
        assert way.lets < way.keeps == first.keeps
        assert not way.drops


def test_nothing_is_called_safe_or_permitted() -> None:
    """Neither findings nor cautions nor notes of tasks."""
    texts = [kind.first for kind in KINDS.values()]
    texts += [text for kind in KINDS.values() for way in kind.ways for text in (way.says, way.asks_for)]
    texts += [caution.text for caution in CATALOGUE.cautions]
    texts += [note for template in CATALOGUE.templates for note in template.notes]
    for text in texts:
        assert not re.search(r"\bsafe(?:ly)?\b|\byou may\b|\bis allowed\b|\bno danger\b", text, re.IGNORECASE), text


def test_what_others_take_out_is_not_left_under_the_new_floor() -> None:
    """Heights count what a way on leaves, not what a firm removed; and what no floor is laid over has work of the crew and no such way."""
    out = {way.key for kind in CATALOGUE.findings for way in kind.ways if way.drops and not way.leaves}
    assert out == TAKEN_OUT
    over = [kind for kind in CATALOGUE.findings if kind.key in NOT_LAID_OVER]
    assert len(over) == len(NOT_LAID_OVER)
    assert all(kind.work is not None and not any(way.leaves for way in kind.ways) for kind in over)
