"""What forms say of a finding is in the words of their lines, in what they list, say and refuse."""

from __future__ import annotations

import re

import pytest

from crewjobs.domain.found import NEEDS
from crewjobs.files.catalogue import read_catalogue
from crewjobs.screens.in_keys import in_keys
from crewjobs.services.findings.found_form import LINES
from tests.services.findings.test_found_holds import HOUSE, SUSPECT, Shop, shop

__all__ = ["shop"]


def test_every_need_has_its_line() -> None:
    """Whatever a way on needs is a line of its form."""
    assert set(NEEDS) <= set(LINES)


@pytest.mark.parametrize("kind", [kind.key for kind in read_catalogue().findings])
def test_no_option_is_left_in_what_the_screens_say(shop: Shop, kind: str) -> None:
    """Recorded, listed as ways on and told of the job: no option and none of its bare names in brackets."""
    shop.office.load([shop.file("house.toml", HOUSE.replace("year_built = 1985", "year_built = 1960"))], replace=True)
    done = shop.office.found(4, "front room", kind, year=1960 if kind == SUSPECT else None, words="layer of plywood")
    said = [in_keys(words) for words in (*done.then, *shop.office.job(4).findings)]
    assert not [words for words in said if re.search(r"--[a-z]", words)]
    for pick in shop.office.places(4).ways:
        assert not re.search(r"\((?:by|because|laboratory|sampled|sample)\b", pick.words)
