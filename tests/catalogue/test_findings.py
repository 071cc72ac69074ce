"""The kinds of findings: every name in them is there, and none of their words is a permission."""

from __future__ import annotations

import re

import pytest

from crewjobs.domain.found import NEEDS
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


def test_nothing_is_called_safe_or_permitted() -> None:
    """Neither findings nor cautions nor notes of tasks."""
    texts = [kind.first for kind in KINDS.values()]
    texts += [text for kind in KINDS.values() for way in kind.ways for text in (way.says, way.asks_for)]
    texts += [caution.text for caution in CATALOGUE.cautions]
    texts += [note for template in CATALOGUE.templates for note in template.notes]
    for text in texts:
        assert not re.search(r"\bsafe(?:ly)?\b|\byou may\b|\bis allowed\b|\bno danger\b", text, re.IGNORECASE), text
