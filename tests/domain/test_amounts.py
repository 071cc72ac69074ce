"""Money as typed, exact to the cent."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewjobs.domain.amounts import MOST_CENTS, money_words, read_amount, read_credit
from crewjobs.domain.errors import Refused


@given(st.integers(0, MOST_CENTS - 1))
def test_an_amount_reads_back_exactly(cents):
    """What the program writes, it reads as the same number of cents."""
    assert read_amount(money_words(cents)) == cents


@given(st.integers(0, 9_999_999), st.integers(0, 99))
def test_every_spelling_is_the_same_amount(dollars, cents):
    """With and without sign, commas and cents, an amount is one amount."""
    spellings = [f"{dollars}.{cents:02d}", f"${dollars:,}.{cents:02d}", f" $ {dollars}.{cents:02d} "]
    assert {read_amount(text) for text in spellings} == {dollars * 100 + cents}
    assert read_amount(f"{dollars}") == read_amount(f"${dollars:,}") == dollars * 100


@pytest.mark.parametrize("text", ["", "1,25", "12,50.00", "1250.5", "1.250", "a lot", "1e3", "٣", "nan", "1 250", "$"])
def test_what_is_no_amount_is_refused(text):
    """Half cents, misplaced commas, other digits: one sentence that says how it is written."""
    with pytest.raises(Refused, match="is not an amount: write"):
        read_amount(text)


@pytest.mark.parametrize("text", ["-5", "$-5", "- 5", "(5.00)"])
def test_less_than_nothing_is_refused(text):
    """No amount is negative."""
    with pytest.raises(Refused, match="less than nothing"):
        read_amount(text)


@given(st.integers(1, MOST_CENTS - 1))
def test_a_credit_reads_back_below_zero(cents):
    """With a minus or in brackets, as the program writes it and as bookkeepers do, it is the same amount below zero."""
    spellings = [
        money_words(-cents),
        f"({money_words(cents)})",
        f"$-{money_words(cents)[1:]}",
        f"- {money_words(cents)}",
    ]
    assert {read_credit(text) for text in spellings} == {-cents}
    assert read_credit(money_words(cents)) == cents


@pytest.mark.parametrize("text", ["--5", "(-5)", "-", "()", "-1,25", "5-"])
def test_what_is_no_credit_is_refused(text):
    """Two signs, none of a number, misplaced commas: one sentence."""
    with pytest.raises(Refused):
        read_credit(text)


def test_a_slip_of_the_finger_is_refused():
    """More than ten million dollars is not what a floor costs."""
    with pytest.raises(Refused, match="look at the digits"):
        read_amount("9" * 30)
