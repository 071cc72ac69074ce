"""Readings as typed, what is refused of them, and what they change."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.reading import ReadingKind
from crewjobs.domain.units import MILLIMETRE
from crewjobs.engines.heights.flatness import RESILIENT, WOOD_FREE, gap_words, limit_words, within, worst
from crewjobs.services.typed_values import read_gap
from tests.builders import central
from tests.journeys import test_acclimation as friday
from tests.services.conftest import JOB, SHOP, Shop, kept

OAK = (
    JOB.replace('kind = "click vinyl"', 'kind = "engineered wood"')
    .replace('plank = "7 in x 48 in"', 'plank = "5 in x 48 in"')
    .replace("gray plank", "mill oak")
)
carried_in = kept(friday.make_shop)


def make_oak(shop: Shop) -> None:
    """A den that gets oak, its cartons come and in the rooms on Tuesday; Thursday morning."""
    shop.office.load([shop.file("shop.toml", SHOP), shop.file("den.toml", OAK)])
    shop.ready()
    shop.clock.set("2026-03-03", "10:00")
    shop.office.arrived(4, "mill oak", 9, in_rooms=True)
    shop.clock.set("2026-03-05", "08:00")


oak = kept(make_oak)


def logger(shop: Shop, cold: range, name: str = "den.csv"):
    """Write what a logger read every hour from Friday noon to Sunday midnight, by the wall, 58 °F in the cold hours of Saturday."""
    lines = ["Logger 7", "time,temperature °F,humidity %"]
    for hour in range(12, 60):
        day, clock = 6 + hour // 24, hour % 24
        if (day, clock) == (8, 2):
            continue  # the wall skips it
        cool = day == 7 and clock in cold
        lines.append(f"2026-03-{day:02} {clock:02}:00,{58 if cool else 70},41")
    return shop.file(name, "\n".join(lines))


@pytest.mark.parametrize(
    ("outside", "ready"), [("", ("2026-03-08", "21:00")), ("starts again", ("2026-03-09", "08:00"))]
)
def test_a_loggers_night_moves_the_clock_and_the_tick(carried_in: Shop, outside: str, ready: tuple[str, str]) -> None:
    """58 °F on Saturday from 01:00 to 07:00: "clock stops" gives Sunday 21:00, "starts again" Monday 08:00; no tick before."""
    shop = carried_in
    if outside:
        changed = friday.HOUSE.replace('carton = "23.8 ft2"', f'carton = "23.8 ft2"\noutside = "{outside}"')
        shop.office.load([shop.file("again.toml", changed)], replace=True)
    shop.clock.set("2026-03-08", "12:00")
    rest = shop.file("part.csv", logger(shop, range(1, 7)).read_text(encoding="utf-8").split("2026-03-08 12:00")[0])
    done = shop.office.read_logger(4, rest, room="den")
    assert "readings of the air of den from part.csv" in done.sentence
    when = central(*ready)
    assert any(ready[1] in words and "before it was Sun 8 Mar 15:00" in words for words in done.then), done.then
    lay = shop.number_of("lay-click-vinyl")
    shop.clock.at = when - timedelta(minutes=1)
    with pytest.raises(OnHold, match=ready[1]):
        shop.office.tick(4, [lay])
    shop.clock.at = when
    assert shop.office.tick(4, [lay]).change


def test_undo_takes_a_logger_back_and_twice_is_not_recorded_twice(carried_in: Shop) -> None:
    """The clock is where it was; the same file again is refused, a longer one adds what is new."""
    shop = carried_in
    shop.clock.set("2026-03-09", "06:00")
    before = shop.office.waiting()
    file = logger(shop, range(1, 7))
    shop.office.read_logger(4, file)
    assert shop.office.waiting() != before
    with pytest.raises(Refused, match="all its readings are recorded already"):
        shop.office.read_logger(4, file)
    with file.open("a", encoding="utf-8") as more:
        more.write("\n2026-03-09 00:00,71,41\n2026-03-09 00:00,71,41")
    said = shop.office.read_logger(4, file)
    assert "Recorded before and left out: 47 readings." in said.then
    assert "1 line was there twice and is left out." in said.then
    shop.office.undo()
    shop.office.undo()
    assert shop.office.waiting() == before


def read(kind: str, *values: str, **more: str) -> Callable[[Shop], object]:
    return lambda shop: shop.office.read_floor(4, kind, values, **more)


def read_air(*values: str, **more: str) -> Callable[[Shop], object]:
    return lambda shop: shop.office.read_air(4, values, **more)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (read_air("70", "40", at="2026-03-05 09:00"), "when: Thu 5 Mar 2026 09:00 is still to come"),
        (read_air("400F", "40"), "400 °F cannot be in a house"),
        (read_air("70", "0.4"), "write 40 for 40 %"),
        (read_air("21", "40"), "write 21F or 21C"),
        (read_air("21F", "40"), "'21F' would be frost in the house: is it °C"),
        (read_air("70C", "40"), "70 °C cannot be in a house: it is -40 to 54 °C"),
        (read_air("70", "40", room="attic"), r"there is no room 'attic' in job 4: there is 'den'"),
        (read_air(), "a temperature and a humidity"),
        (read_air("70", "40", "3"), "a temperature and a humidity"),
        (read_air("warm"), "'warm' is not a temperature"),
        (
            read("boards", "8", at="2026-03-03 09:00"),
            r"no board of mill oak could be read then: it came Tue 3 Mar 2026 10:00",
        ),
        (read("boards", "0.08"), "write 8 for 8 %"),
        (read("boards", "99"), "99 % moisture cannot be"),
        (read("boards"), "one value or more: give them one after the other, in %, such as 7.5 8"),
        (read("flatness"), "in inches, such as 1/8 3/16"),
        (read("boards", "8", material="elm"), "there is no wood 'elm' in job 4: there is 'mill oak'"),
        (read("slab-vapor", "3", hours="59"), "has no room of which slab vapor is read"),
        (read("slab-rh", "70", hours="24", room="den"), "the subfloor of 'den' is plywood"),
        (read("subfloor", "9", hours="24"), "has no hours before it"),
        (read("surface", "61", room="hall"), "there is no room 'hall'"),
        (read("fog", "3"), "'fog' is not read of a house"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_stored(oak: Shop, typed: Callable[[Shop], object], says: str) -> None:
    """In the future, before arrival, no such value, a fraction, another scale, another room: one sentence, nothing changed."""
    before = oak.record()
    with pytest.raises(Refused, match=says):
        typed(oak)
    assert oak.record() == before


def test_dishes_are_exposed_60_to_72_hours(oak: Shop) -> None:
    """59 h say nothing (ASTM F1869)."""
    slab = OAK.replace('layers = ["carpet"]', 'layers = ["carpet"]\nsubfloor = "slab"')
    oak.office.load([oak.file("slab.toml", slab)], replace=True)
    for hours in ("59", "59.9", "72.1"):
        with pytest.raises(Refused, match=f"dishes exposed for {hours} h say nothing: it is 60 to 72 h"):
            oak.office.read_floor(4, "slab-vapor", ["3"], hours=hours)
    with pytest.raises(Refused, match="the hours the dishes were exposed: give them"):
        oak.office.read_floor(4, "slab-vapor", ["3"])
    done = oak.office.read_floor(4, "slab-vapor", ["1.8", "1.7", "1.6"], hours="72")
    assert "Vapor emission 2.64 to 2.97 lb/1000 ft²/24 h (ASTM F1869)." in done.then


def test_each_reading_of_the_record_stands_beside_its_limit(oak: Shop) -> None:
    """Grams of a dish say nothing to who reads the record: the emission is told, what was typed besides."""
    slab = OAK.replace('layers = ["carpet"]', 'layers = ["carpet"]\nsubfloor = "slab"')
    oak.office.load([oak.file("slab.toml", slab)], replace=True)
    oak.office.read_floor(4, "slab-vapor", ["2", "3.04", "2.76"], hours="60", by="Ines Varga")
    oak.office.read_floor(4, "slab-rh", ["72"], hours="72")
    oak.office.read_floor(4, "slab-ph", ["8.5"])
    oak.office.read_floor(4, "flatness", ["1/8"])
    vapor, humid, acid, flat = [
        line for line in oak.office.job_record(4).readings if " slab " in line or "flatness" in line
    ]
    assert vapor.endswith(
        "slab vapor in den: 3.96 to 6.03 lb/1000 ft²/24 h (3 values, 2 to 3.04 g, 2.6 on average after 60 h); "
        "mill oak asks for 3 lb/1000 ft²/24 h at most (Ines Varga)"
    )
    assert humid.endswith("72 % RH after 72 h; mill oak asks for 75 % RH at most")
    assert acid.endswith("8.5 pH; mill oak asks for pH 9 at most")
    assert flat.endswith('1/8" under the straightedge; mill oak asks for 1/4" in 10\' at most')
    assert vapor in oak.office.job(4).readings


def test_boards_and_subfloor_say_what_keeps_the_floor(oak: Shop) -> None:
    """Wet boards in a wet room: each reason, no permission; the region's normal is the shop's, kept with the reading."""
    office = oak.office
    office.read_floor(4, "subfloor", ["10.1"] * 4)
    done = office.read_floor(4, "boards", ["11.2"] * 8, by="Ines Varga", meter="pin meter")
    assert (
        "mill oak: boards 11.2 %, subfloor 10.1 %; wanted is 8 % (what wood indoors has here over the year)."
        in done.then
    )
    assert any("On hold: boards 11.2 % are 3.2 points off the 8 %" in words for words in done.then)
    [kept_reading] = [one for one in oak.record().readings if one.kind is ReadingKind.BOARDS]
    assert (kept_reading.target, kept_reading.by, kept_reading.meter) == (8.0, "Ines Varga", "pin meter")
    told = office.read_air(4, ["76F", "62%"])
    assert any(
        "76 °F and 62 % RH in the house, and it asks for 60–80 °F and 30–50 % RH" in words for words in told.then
    )
    [row] = [row for row in office.waiting() if row.job == 4 and "mill oak" in row.what]
    assert "boards 11.2 % are 3.2 points off" in row.call


def test_a_reading_is_in_the_change_log_and_undone(oak: Shop) -> None:
    """Who read what where is told; undo takes it back."""
    oak.office.read_air(4, ["70F", "40%"], room="DEN")
    assert oak.office.changes()[0].what == "job 4: air of den read Thu 5 Mar 08:00: 70 °F and 40 % RH"
    with pytest.raises(Refused, match="is recorded already"):
        oak.office.read_air(4, ["70F", "40%"], room="den")
    oak.office.undo()
    assert oak.record().air == ()


def test_the_job_page_lists_what_was_read(oak: Shop) -> None:
    """How the floor stands by it first, then each reading, the latest first, with who read it and with what."""
    oak.office.read_air(4, ["70F", "42%"], at="wed 9:00")
    oak.office.read_floor(4, "boards", ["8.1"] * 8, by="Ines Varga", meter="pin meter")
    lines = oak.office.job(4).readings
    assert lines[0].startswith("mill oak: boards 8.1 %, the room leads to 8.0 %")
    assert lines[-2:] == (
        "Thu 5 Mar 08:00 boards of mill oak: 8 values of 8.1 % (Ines Varga, pin meter)",
        "Wed 4 Mar 09:00 air: 70 °F and 42 % RH in the house",
    )


def test_how_flat_a_subfloor_is_against_what_its_floor_wants(oak: Shop) -> None:
    """Engineered wood, floated, wants 1/4 in in 10 ft (guidelines, from memory); read again within it the job page says that alone."""
    first = oak.office.read_floor(4, "flatness", ["1/8", "5/16 in", "8 mm"], room="den")
    assert "3 places, 8 mm under the straightedge at most" in first.sentence
    assert "6 mm in 10' at most" in first.then[0]
    assert "read again before the first row" in first.then[0]
    oak.clock.set("2026-03-05", "12:00")
    oak.office.read_floor(4, "flatness", ["1/8", "3/16"])
    (stands, *read) = [line for line in oak.office.job(4).readings if "straightedge" in line]
    assert stands.startswith('Den: 3/16" under the straightedge at most')
    assert len(read) == 2
    with pytest.raises(Refused, match="8 in under a straightedge of 10 ft cannot be"):
        oak.office.read_floor(4, "flatness", ["8 in"])
    with pytest.raises(Refused, match="'3' without its unit may be inches, sixteenths or mm"):
        oak.office.read_floor(4, "flatness", ["3"])
    with pytest.raises(Refused, match="is not a length"):
        oak.office.read_floor(4, "flatness", ["flat"])


@pytest.mark.parametrize(
    ("typed", "units", "said", "holds"),
    [
        (0.2, "us", "0.2 in", False),
        (0.2, "metric", "5.08 mm", False),
        (3 / 16, "us", '3/16"', True),
        (0.19, "us", "0.19 in", False),
        (5 / 25.4, "metric", "5 mm", True),
        (6 / 25.4, "metric", "6 mm", False),
        (5 / 25.4, "us", "5 mm", True),
        (4.9 / 25.4, "us", "4.9 mm", True),
        (5.1 / 25.4, "us", "5.1 mm", False),
        (5.1 / 25.4, "metric", "5.1 mm", False),
    ],
)
def test_a_gap_is_held_to_its_limit_as_it_was_typed(typed: float, units: str, said: str, *, holds: bool) -> None:
    """0.2 in is over 3/16 in, which is shown as 3/16 on a rule; a whole millimetre is held to the limit's."""
    assert within(typed, RESILIENT) is holds
    assert gap_words(typed, units) == said


@pytest.mark.parametrize("limit", [RESILIENT, WOOD_FREE])
@pytest.mark.parametrize("units", ["us", "metric"])
def test_millimetres_are_held_to_whole_ones_and_the_larger_gap_is_never_the_better(limit, units) -> None:
    """Each tenth up to 8 mm: within up to the limit in whole millimetres, over it from there on, and told as it was typed."""
    typed = [f"{tenths / 10:g} mm" for tenths in range(1, 81)]
    read = [read_gap(one, units) for one in typed]
    most = round(limit.gap / MILLIMETRE)
    assert [within(one, limit) for one in read] == [float(one.removesuffix(" mm")) <= most for one in typed]
    assert [gap_words(one, units) for one in read] == typed
    assert {limit_words(one, limit, units) for one in read} == {f"{most} mm"}


def test_inches_are_held_to_inches_to_the_last_digit() -> None:
    """A gap in inches over the limit passes in no other unit; of several places the one over it counts."""
    assert [within(read_gap(one), RESILIENT) for one in ('3/16"', "0.188 in", "0.189 in", "0.19", "1/4")] == [
        True,
        *[False] * 4,
    ]
    assert worst([read_gap("0.189 in"), read_gap("4.9 mm")], RESILIENT) == read_gap("0.189 in")
    assert worst([read_gap("1/8"), read_gap("4.9 mm")], RESILIENT) == read_gap("4.9 mm")
    with pytest.raises(Refused, match=r"finer than a straightedge is read: write tenths of a mm, such as 6\.4 mm"):
        read_gap("6.35 mm")


def test_a_logger_in_celsius_under_a_heading_of_fahrenheit_is_asked_about(carried_in: Shop) -> None:
    """21 °F all day would be frost: nothing is stored until somebody says which it is."""
    shop = carried_in
    shop.clock.set("2026-03-07", "18:00")
    before = shop.record()
    file = shop.file("den.csv", "time,Temperature (F),RH\n2026-03-07 12:00,21,45\n2026-03-07 13:00,21.4,45\n")
    with pytest.raises(Refused, match=r"21.4 °F would be frost in the house: is it °C\? Give --unit C"):
        shop.office.read_logger(4, file)
    assert shop.record() == before
    shop.office.read_logger(4, file, unit="C")
    assert shop.record().air[-1].samples[0].temp_f == pytest.approx(69.8)


def test_it_really_froze(carried_in: Shop) -> None:
    """Said so, frost is recorded: then no hours count."""
    carried_in.office.read_air(4, ("21F!", "45"))
    assert carried_in.record().air[-1].samples[0].temp_f == 21


@pytest.mark.parametrize(
    ("units", "typed", "says"),
    [("metric", "1/4", "'1/4' without its unit may be inches: write '1/4 in'"), ("us", "3", "sixteenths or mm")],
)
def test_a_gap_without_its_unit_is_asked_about(oak: Shop, units: str, typed: str, says: str) -> None:
    """A quarter of a millimetre and three inches are both a slip."""
    if units == "metric":
        text = SHOP.replace("[shop]", '[shop]\nunits = "metric"')
        oak.office.load([oak.file("shop.toml", text)], replace=True)
    with pytest.raises(Refused, match=says):
        oak.office.read_floor(4, "flatness", [typed], room="den")


def test_a_cold_floor_is_on_the_waiting_list_until_both_are_read_again(oak: Shop) -> None:
    """Who is to do what stands there with what waits for it; read again with enough between, it is gone."""
    oak.office.read_floor(4, "surface", ["61F"], room="den")
    oak.office.read_air(4, ("72F", "60"), room="den")
    [row] = [row for row in oak.office.waiting() if "dew point" in row.what]
    assert row.what.startswith("den: floor 61 °F, air 72 °F and 60 % RH: 3.6 °F above the dew point")
    assert "patch" in row.holds.casefold()
    oak.clock.set("2026-03-05", "12:00")
    oak.office.read_air(4, ("64F", "55"), room="den")
    assert [row for row in oak.office.waiting() if "dew point" in row.what]
    oak.office.read_floor(4, "surface", ["64F"], room="den")
    assert not [row for row in oak.office.waiting() if "dew point" in row.what]


def test_a_room_that_has_to_be_named_is_asked_for_at_its_line(oak: Shop) -> None:
    """Of two rooms one is chosen: the sentence begins with the line it is said at, and names both."""
    hall = """
[[room]]
name = "hall"
length = "9 ft"
width = "4 ft"
floor = "mill oak"

[[opening]]
between = ["den", "hall"]
width = "32 in"

[[order]]"""
    oak.office.load([oak.file("two.toml", OAK.replace("[[order]]", hall, 1))], replace=True)
    with pytest.raises(Refused, match=r"^room: choose 'den' or 'hall'\.$"):
        oak.office.read_floor(4, "flatness", ["1/8"])
