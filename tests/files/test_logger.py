"""Loggers' files, as different loggers write them."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.errors import Refused
from crewjobs.domain.reading import AirSample
from crewjobs.files.logger import gaps, read_logger
from tests import thorough
from tests.builders import central

CENTRAL = "America/Chicago"
AT_TWO = central("2026-03-06", "14:00")
SAMPLE = AirSample(at=AT_TWO, temp_f=68.0, rh=41.5)


@pytest.mark.parametrize(
    "text",
    [
        "time,temperature °F,humidity %\n2026-03-06 14:00,68,41.5\n",
        "Timestamp,Temp (F),RH\r\n2026-03-06T14:00:00-06:00,68.0,41.5\r\n",
        "Timestamp,Temp (F),RH\n2026-03-06T20:00:00Z,68.0,41.5\n",
        '"Date","Time","Temp, °F","RH, %"\n"03/06/2026","02:00:00 PM","68.0","41.5"\n',
        "Logger 7\nserial 3\n\nDate/Time;Temperatur °C;Humidity\n06.03.2026 14:00;20,0;41,5\n",
        "time\ttemperature_f\thumidity\n3/6/26 14:00\t68 °F\t41.5 %\n\n",
    ],
)
def test_one_reading_however_it_is_written(text: str) -> None:
    """Delimiter, heading, preamble, °F or °C, decimal comma, wall time or instant: it is the same reading."""
    assert read_logger(text, "l.csv", CENTRAL).samples == {"": (SAMPLE,)}


def test_what_the_heading_does_not_say_is_asked() -> None:
    """Neither °F nor °C: asked; said beside it, it is read."""
    text = "time,temp\n2026-03-06 14:00,20\n"
    with pytest.raises(Refused, match="does not say whether it is °F or °C"):
        read_logger(text, "l.csv", CENTRAL)
    [sample] = read_logger(text, "l.csv", CENTRAL, "C").samples[""]
    assert (sample.temp_f, sample.rh) == (68.0, None)


def test_lines_twice_out_of_order_and_by_room() -> None:
    """A line that is there twice counts once, lines are put in the order of time, each room has its own."""
    text = "time,temp F,room\n2026-03-06 15:00,68,den\n2026-03-06 14:00,67,den\n2026-03-06 15:00,68,den\n2026-03-06 15:00,60,hall\n"
    logged = read_logger(text, "l.csv", CENTRAL)
    assert [one.temp_f for one in logged.samples["den"]] == [67, 68]
    assert (len(logged.samples["hall"]), logged.twice) == (1, 1)


def test_the_hour_that_is_there_twice() -> None:
    """Every half hour over the night of 1 November 2026 by the wall: each line half an hour after the one before.

    Source: Uniform Time Act (15 U.S.C. 260a): US clocks go back on the first Sunday of November, at 2:00.
    """
    walls = ["00:30", "01:00", "01:30", "01:00", "01:30", "02:00"]
    text = "time,temp F\n" + "".join(f"2026-11-01 {wall},70\n" for wall in walls)
    taken = read_logger(text, "l.csv", CENTRAL).samples[""]
    assert [after.at - before.at for before, after in pairwise(taken)] == [timedelta(minutes=30)] * 5


def test_the_hour_that_is_skipped() -> None:
    """A wall time the clocks skip is no time there; with the logger's own zone it is read."""
    text = "time,temp F\n2026-03-08 02:30,70\n"
    with pytest.raises(Refused, match=r"line 2: '2026-03-08 02:30' does not exist in America/Chicago"):
        read_logger(text, "l.csv", CENTRAL)
    [sample] = read_logger(text, "l.csv", "Etc/GMT+6").samples[""]
    assert sample.at == datetime(2026, 3, 8, 8, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("nothing here\n", "no line in it names its columns"),
        ("time,temp F\n", "no reading under its heading"),
        ("time,temp F\nnoon,70\n", "line 2: 'noon' is no time of a reading"),
        ("time,temp F\n2026-02-30 14:00,70\n", "there is no such time"),
        ("time,temp F\n2026-03-06 13:00 PM,70\n", "is no time of a reading"),
        ("time,temp F\n2026-03-06 14:00,warm\n", "line 2: 'warm' is no temperature"),
        ("time,temp F\n2026-03-06 14:00,400\n", "line 2: 400 °F cannot be in a house"),
        ("time,temp F,rh\n2026-03-06 14:00,70,0.4\n", "looks like a fraction"),
        ("time,temp F,rh\n2026-03-06 14:00,70,140\n", "140 % RH cannot be"),
    ],
)
def test_what_cannot_be_read_is_named_with_its_line(text: str, says: str) -> None:
    """One sentence, with the line."""
    with pytest.raises(Refused, match=says):
        read_logger(text, "l.csv", CENTRAL)


def test_gaps() -> None:
    """Nothing read for longer than a span, from when to when."""
    times = [AT_TWO + timedelta(hours=hour) for hour in (0, 1, 30, 31)]
    samples = [AirSample(at=at, temp_f=70) for at in times]
    assert [*gaps(samples, timedelta(hours=24))] == [(times[1], times[2])]


@settings(max_examples=thorough.examples(60, 20))
@given(st.text(alphabet='time,temp F rh\n0123456789-/:;."apm°CTZ+', max_size=200))
def test_no_text_breaks_the_reader(noise: str) -> None:
    """Whatever a file holds, it is read or refused in a sentence."""
    for text in (noise, "time,temp F,rh\n" + noise):
        with suppress(Refused):
            assert read_logger(text, "l.csv", CENTRAL).samples


def test_lines_of_one_time_that_say_otherwise_are_named() -> None:
    """58 °F and 70 °F in one minute cannot both be: both lines are named."""
    text = "time,temperature °F,humidity %\n2026-03-07 01:00,70,45\n2026-03-07 02:00,70,45\n2026-03-07 01:00,58,45\n"
    with pytest.raises(Refused, match="line 4: it is of the same time as line 2 and says otherwise"):
        read_logger(text, "l.csv", CENTRAL)


def test_a_unit_given_goes_before_the_heading() -> None:
    """A logger set to °C under a heading of °F."""
    text = "time,temperature (F),humidity\n2026-03-06 14:00,20,41.5\n"
    assert read_logger(text, "l.csv", CENTRAL, "C").samples == {"": (SAMPLE,)}
    assert not read_logger(text, "l.csv", CENTRAL).celsius
