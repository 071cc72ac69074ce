"""Rates set by hand: said, taken into account, undone, refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.errors import Refused
from crewjobs.domain.pace import DoneTask, RatePin
from crewjobs.engines.learning.predicting import predict
from crewjobs.services.rates.learned import learned
from tests.services.conftest import SHOP, Shop, kept
from tests.services.evenings.test_evening import SUB
from tests.services.rates.test_rates import make_worked

worked = kept(make_worked)


def rows(shop: Shop, crew: str = "Birch"):
    """Return a crew's rates by template."""
    return {row.template: row for row in shop.office.rates(crew).crews[0].rows}


def of_area(shop: Shop):
    """Return a rate in ft² that Birch has."""
    return next(row for row in rows(shop).values() if row.unit == "ft²")


def pins(shop: Shop) -> tuple[RatePin, ...]:
    """Return what is pinned."""
    with shop.office._database.reading() as uow:
        return uow.rate_pins()


def test_a_rate_set_by_hand_outranks_what_was_learned(worked):
    """It is said with what the hours tell beside it, shown as pinned, and its pace is what work is predicted with."""
    before = of_area(worked)
    done = worked.office.pin_rate("birch", before.template, f"{before.book * 2:.0f} ft2")
    assert "0.50 × the book's time" in done.sentence
    assert f"its hours tell {before.own_words} ft² a man-day (80 %: {before.band_words}, 1 job)" in done.sentence
    after = rows(worked)[before.template]
    assert after.pinned
    assert after.factor == pytest.approx(0.5, rel=0.02)  # the book's amount is typed in whole feet
    (sentence,) = worked.office.rates("Birch").crews[0].pinned
    assert f"{before.title} pinned to".casefold() in sentence.casefold()
    with worked.office._database.reading() as uow:
        pace = learned(uow, worked.clock.now())
    work = [DoneTask(number=1, template=before.template, book_min=600)]
    assert predict(pace, "Birch", work).median < predict(pace.pinned(()), "Birch", work).median


def test_what_nobody_has_hours_of_can_be_pinned(worked):
    """A rate of a template without hours is shown once it is pinned; the book stands beside it."""
    done = worked.office.pin_rate("Cedar", "haul-out", "1.2x")
    assert "its own hours tell nothing of it yet, the book says" in done.sentence
    assert rows(worked, "Cedar")["haul-out"].factor == pytest.approx(1.2)


@pytest.mark.parametrize(("typed", "factor"), [("1.2x", 1.2), ("x 0.8", 0.8), ("1,5 ×", 1.5)])
def test_times_the_book(worked, typed, factor):
    """Whatever the work is counted in."""
    worked.office.pin_rate("Birch", "haul-out", typed)
    assert pins(worked) == (RatePin(crew="Birch", template="haul-out", factor=factor),)


def test_feet_and_metres_are_the_same_rate(worked):
    """260 ft² are 24.15 m² (1 ft = 0.3048 m, exact since 1959), typed in either shop."""
    template = of_area(worked).template
    worked.office.pin_rate("Birch", template, "260 sq ft per man-day")
    (feet,) = pins(worked)
    worked.office.pin_rate("Birch", template, "24.155 m2")
    (metres,) = pins(worked)
    assert metres.factor == pytest.approx(feet.factor, rel=1e-4)
    with worked.office._database.unit_of_work(who="tester") as uow:
        uow.save_shop(replace(uow.shop(), units="metric"))
        uow.commit("metric", at=worked.clock.now())
    worked.office.pin_rate("Birch", template, "24.1")
    assert pins(worked)[0].factor == pytest.approx(feet.factor, rel=3e-3)
    assert rows(worked)[template].own_words == "24"


def test_unpinned_it_is_as_learned_again(worked):
    """Taken away by its title, too, and the rate is what it was."""
    before = of_area(worked)
    worked.office.pin_rate("Birch", before.template, "2x")
    done = worked.office.unpin_rate("Birch", before.template)
    assert "no longer pinned; its hours tell" in done.sentence
    assert rows(worked)[before.template] == before
    assert pins(worked) == ()


def test_undo_takes_a_pin_back(worked):
    """And the one before it stands again."""
    template = of_area(worked).template
    worked.office.pin_rate("Birch", template, "2x")
    worked.office.pin_rate("Birch", template, "1.5x")
    worked.office.undo()
    assert pins(worked) == (RatePin(crew="Birch", template=template, factor=2.0),)
    worked.office.undo()
    assert pins(worked) == ()


def test_pins_outlive_the_shop_file(worked):
    """Loaded again, the shop keeps what was pinned by hand."""
    worked.office.pin_rate("Birch", "haul-out", "2x")
    worked.office.load(
        [worked.file("shop.toml", (SHOP + SUB).replace("Linden Floor Crew", "Linden Floors"))], replace=True
    )
    assert [pin.template for pin in pins(worked)] == ["haul-out"]


@pytest.mark.parametrize(
    ("crew", "template", "typed", "sentence"),
    [
        ("Hazel", "haul-out", "2x", "Hazel is a sub: it has a capacity (400 ft² in a full day), not rates"),
        ("Willow", "haul-out", "2x", "there is no crew 'Willow'"),
        ("Birch", "singing", "2x", "there is no task template 'singing': `crewjobs templates` lists them"),
        ("Birch", "haul-out", "fast", "'fast' is no rate: write such as"),
        ("Birch", "haul-out", "-2x", "'-2x' is no rate"),
        ("Birch", "haul-out", "nan", "'nan' is no rate"),
        ("Birch", "haul-out", "1e9", "or 1.2x"),
        ("Birch", "haul-out", "0x", "a rate is more than 0"),
        ("Birch", "haul-out", "90x", "90 times the book's time; it is from 0.05 to 20"),
        ("Birch", "haul-out", "12 miles", "is not counted in 'miles'"),
    ],
)
def test_bad_input_is_one_sentence_and_changes_nothing(worked, crew, template, typed, sentence):
    """What, where, and what would be right."""
    before = worked.path.read_bytes()
    with pytest.raises(Refused) as refused:
        worked.office.pin_rate(crew, template, typed)
    assert sentence in str(refused.value)
    assert worked.path.read_bytes() == before


def test_what_is_not_pinned_cannot_be_let_go(worked):
    """It says what is."""
    with pytest.raises(Refused, match="'haul-out' of 'Birch' is not pinned; none of its rates is"):
        worked.office.unpin_rate("Birch", "haul-out")
