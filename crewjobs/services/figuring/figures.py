"""One question answered by the very function that planning and holds use: with unit, rule, source, and what to mind."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from crewjobs.domain.errors import Refused
from crewjobs.domain.metric_words import told_in
from crewjobs.domain.reading import DISH_HOURS
from crewjobs.domain.units import FOOT, INCH, UnitSystem, format_length, quoted
from crewjobs.domain.wording import listed
from crewjobs.engines.climate import dew_point as dew
from crewjobs.engines.climate import movement, slab_tests
from crewjobs.engines.climate.wood_moisture import equilibrium_moisture
from crewjobs.engines.estimating.quantities import cartons_needed, leveler_bags
from crewjobs.engines.heights.levels import Edge, level_change
from crewjobs.engines.safety.lifting import Grip, Lift, recommended_weight
from crewjobs.engines.safety.limits import grinder_airflow
from crewjobs.services.figuring.figure_keys import Given, Key, Kind, Value, read_given
from crewjobs.services.figuring.figure_units import EXAMPLES, in_metric

COMMON: Final = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureAnswer:
    """An answer: a number (or a word) with its unit, the rule in a sentence, where the rule is from, and what to mind."""

    name: str
    value: Value
    unit: str
    rule: str
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """A figure as it is listed: what it answers, its keys with what each holds, and an example."""

    name: str
    says: str
    keys: tuple[tuple[str, str], ...]
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A question that can be asked."""

    name: str
    says: str
    keys: tuple[Key, ...]
    example: str
    answer: Callable[[Given], FigureAnswer]


def figure_rows(units: UnitSystem = "us") -> tuple[FigureRow, ...]:
    """Return what can be asked, in the order of a job, with keys and examples in the units of a shop."""
    return tuple(
        FigureRow(
            name=one.name,
            says=one.says,
            keys=tuple((key.name, _key_words(key, units)) for key in one.keys),
            example=EXAMPLES.get(one.name, one.example) if units == "metric" else one.example,
        )
        for one in FIGURES
    )


def _key_words(key: Key, units: UnitSystem) -> str:
    usual = f" (usually {key.usual_in(units)})" if key.usual else ""
    expects = key.expects_in(units)
    return key.says + (f", {expects}" if expects else "") + usual


def find_figure(name: str) -> Figure:
    """Return a figure by its name.

    Raises:
        Refused: there is none.
    """
    plain = "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
    found = next((one for one in FIGURES if one.name == plain), None)
    if found is None:
        close = get_close_matches(plain[:40], [one.name for one in FIGURES], n=1)
        meant = f" (did you mean {close[0]}?)" if close else ""
        names = listed([one.name for one in FIGURES], most=len(FIGURES))
        raise Refused(f"there is no figure {quoted(name)}{meant}: there are {names}.")
    return found


def answer(name: str, words: Sequence[str], units: UnitSystem = "us") -> FigureAnswer:
    """Return the answer to a figure given ``key=value`` words.

    Raises:
        Refused: no such figure, or a value that cannot be.
    """
    figure = find_figure(name)
    try:
        found = figure.answer(read_given(figure.name, figure.keys, words, units))
    except Refused as refused:
        raise Refused([told_in(sentence, units) for sentence in refused.sentences]) from None
    return in_metric(found) if units == "metric" else found


def _emc(given: Given) -> FigureAnswer:
    temp, rh = given.number("temp"), given.number("rh")
    return FigureAnswer(
        name="emc",
        value=round(equilibrium_moisture(temp, rh), 2),
        unit="%",
        rule=f"wood that stays in air of {temp:g} °F and {rh:g} % RH comes to this moisture",
        source="USDA FPL Wood Handbook, Eq. 4-5 (in secondary texts)",
        note="what the room leads to, not what the boards have: a reading decides",
    )


def _dew_point(given: Given) -> FigureAnswer:
    temp, rh = given.number("temp"), given.number("rh")
    least = dew.LEAST_MARGIN_F
    return FigureAnswer(
        name="dew-point",
        value=round(dew.dew_point(temp, rh), 1),
        unit="°F",
        rule=f"water settles on what is colder than this in air of {temp:g} °F and {rh:g} % RH",
        source="Magnus form, Alduchov and Eskridge 1996 (in secondary texts)",
        note=f"a floor is at least {least:g} °F warmer before primer, leveler or adhesive ({COMMON})",
    )


def _slab_holes(given: Given) -> FigureAnswer:
    hours = slab_tests.PROBE_HOURS
    return FigureAnswer(
        name="slab-holes",
        value=slab_tests.probe_count(given.number("area")),
        unit="holes",
        rule="three for the first 1000 ft², one more for each further 1000 ft² begun",
        source="ASTM F2170 sec. 10.1 (in secondary texts)",
        note=(
            f"a hole counts from {hours:g} h after it was drilled and lined (sec. 10.3.4, current editions); slab and air at service "
            f"conditions {slab_tests.SERVICE_HOURS} h before; drilling concrete makes silica dust"
        ),
    )


def _slab_depth(given: Given) -> FigureAnswer:
    sides = int(given.word("sides"))
    share = slab_tests.ONE_SIDE if sides == 1 else slab_tests.BOTH_SIDES
    return FigureAnswer(
        name="slab-depth",
        value=round(slab_tests.probe_depth(given.number("thickness"), sides), 3),
        unit="in",
        rule=f"{share:.0%} of the slab's thickness where it dries from {'one side' if sides == 1 else 'both sides'}",
        source="ASTM F2170 sec. 10.2 (in secondary texts)",
        note="pipes, cables and heating in the slab are found before anything is drilled; who knows the slab decides",
    )


def _vapor(given: Given) -> FigureAnswer:
    area = slab_tests.NET_DISH_FT2 if given.word("dome") == "net" else slab_tests.DOME_FT2
    return FigureAnswer(
        name="vapor",
        value=round(slab_tests.vapor_emission(given.number("grams"), given.number("hours"), area), 3),
        unit="lb/1000 ft²/24 h",
        rule=f"what a dish gained, over {area:.3f} ft² under its dome",
        source="ASTM F1869, worked text of F1869-16a (in secondary texts)",
        note="not on lightweight or gypsum concrete, nor over coatings, patch or leveler; the floor's and the adhesive's maker give the limit",
    )


def _wood_movement(given: Given) -> FigureAnswer:
    species, cut = given.word("species"), movement.Cut(given.word("cut"))
    per = movement.coefficient(species, cut)
    if per is None:
        raise Refused(f"wood-movement: no table gives {species} sawn {cut}: only flat is listed.")
    before, after = given.number("from"), given.number("to")
    change = movement.wood_movement(given.number("width"), per, before, after)
    verb = "widens" if change > 0 else "shrinks" if change < 0 else "stays as it is"
    return FigureAnswer(
        name="wood-movement",
        value=round(change, 4),
        unit="in",
        rule=f"a board {verb}: width × {per:g} for each % from {before:g} to {after:g} %",
        source=movement.SPECIES[species].source,
        note="at most: boards of a laid floor restrain one another",
    )


def _vinyl_movement(given: Given) -> FigureAnswer:
    before, after = given.number("from"), given.number("to")
    change = movement.vinyl_movement(given.number("length"), before, after)
    return FigureAnswer(
        name="vinyl-movement",
        value=round(change, 3),
        unit="in",
        rule=f"length × {movement.PVC_PER_F:g} for each °F from {before:g} to {after:g} °F",
        source="rigid PVC in engineering handbook tables (in secondary texts)",
        note="a mineral-filled core moves less: its maker says how much, and how long a run may be",
    )


def _level_change(given: Given) -> FigureAnswer:
    found = level_change(given.number("height"))
    run = _inches(found.run) if round(found.run * 32) else f"less than {_inches(1 / 32)}"
    how = {
        Edge.LEVEL: "nothing to be made",
        Edge.PLAIN: f"up to {_inches(0.25)} may stand vertical",
        Edge.BEVEL: f"{_inches(found.vertical)} may stand vertical, the rest is beveled no steeper than 1:2, over {run}",
        Edge.RAMP: f"more than {_inches(0.5)}: a ramp no steeper than 1:12, over {run}",
    }[found.edge]
    return FigureAnswer(
        name="level-change",
        value=found.edge.value,
        unit="",
        rule=how,
        source="2010 ADA Standards 303, 405",
        note="private houses are not bound by it: it is the usual rule against tripping, and local code decides",
    )


def _lift(given: Given) -> FigureAnswer:
    lift = Lift(
        reach=given.number("h"),
        height=given.number("v"),
        travel=given.number("d"),
        turn=given.number("angle"),
        per_min=given.number("per-min"),
        hours=given.number("hours"),
        grip=Grip(given.word("grip")),
    )
    found, load = recommended_weight(lift), given.number("weight")
    if found is None:
        raise Refused(
            f"lift: per-min={lift.per_min:g} over hours={lift.hours:g} is beyond what could be read of the table: fewer lifts a minute, or fewer hours."
        )
    if found == 0:
        rule = "the equation goes no farther than 25 in out, 70 in up, 70 in of travel and 135° of turn: nothing is recommended"
    else:
        rule = f"{round(load, 1):g} lb is {load / found:.2f} times the recommended weight"
    return FigureAnswer(
        name="lift",
        value=round(found, 1),
        unit="lb",
        rule=rule,
        source="revised NIOSH lifting equation, DHHS/NIOSH 94-110 (in secondary texts; grip=poor from memory)",
        note="one two-handed lift only: not carrying, carts, stairs, kneeling, one hand or two people",
    )


def _grinder_airflow(given: Given) -> FigureAnswer:
    return FigureAnswer(
        name="grinder-airflow",
        value=round(grinder_airflow(given.number("wheel")), 1),
        unit="cfm",
        rule="at least 25 cfm for each inch of the wheel, through a shroud, with a filter of 99 % or better",
        source="29 CFR 1926.1153 Table 1 (xii) (in secondary texts)",
        note="indoors over 4 h a shift a respirator too (APF 10); local code decides; old layers and glue are not ground before they are proven clear",
    )


def _first_row(given: Given) -> FigureAnswer:
    from crewjobs.engines.laying.model import Product
    from crewjobs.engines.laying.rows import RipReason, choose_rips

    gap, plank = round(given.number("gap") * INCH), round(given.number("plank") * INCH)
    depth = round(given.number("width") * INCH) - 2 * gap
    if depth <= 0:
        raise Refused(f"first-row: a room {_inches(given.number('width'))} wide leaves nothing between its gaps.")
    rips = choose_rips(Product(length=max(4 * FOOT, plank), width=plank, gap=gap), depth)
    whole = sum(width == plank for width in rips.widths)
    why = (
        "a full plank first leaves too narrow a last row"
        if rips.reason is RipReason.LAST_TOO_NARROW
        else rips.reason.value
    )
    return FigureAnswer(
        name="first-row",
        value=round(rips.first / INCH, 4),
        unit="in",
        rule=f"{why}: {len(rips.widths)} rows, {whole} of them whole, the last {format_length(rips.last)} wide",
        source=f"{COMMON}: no first or last row under a third of a plank or 2 in",
        note="a square room; `crewjobs layout` knows the walls as they are",
    )


def _cartons(given: Given) -> FigureAnswer:
    area, waste, cover = given.number("area"), given.number("waste"), given.number("cover")
    return FigureAnswer(
        name="cartons",
        value=cartons_needed(area, cover, waste=waste / 100),
        unit="cartons",
        rule=f"{area:g} ft² and {waste:g} % of it, {cover:g} ft² a carton, rounded up once at the end",
        source=f"retail measuring guide (in secondary texts); the share of waste: {COMMON}",
        note="one carton more stays in the house; `crewjobs take-off` counts the planks row by row",
    )


def _leveler(given: Given) -> FigureAnswer:
    area, depth = given.number("area"), given.number("depth")
    return FigureAnswer(
        name="leveler",
        value=leveler_bags(area, depth),
        unit="bags of 50 lb",
        rule=f"{area:g} ft² at {_inches(depth)}, 0.45 ft³ a bag",
        source=f"{COMMON}; the bag's label rules",
        note="emptying bags makes silica dust; floor at least 5 °F above the dew point; primer dry first",
    )


def _inches(value: float) -> str:
    return format_length(round(value * INCH))


def _temp(name: str = "temp", says: str = "of the air") -> Key:
    return Key(name=name, kind=Kind.TEMPERATURE, says=says, least=-200)


_RH: Final = Key(name="rh", kind=Kind.HUMIDITY, says="relative humidity", most=100)
_AREA: Final = Key(name="area", kind=Kind.AREA, says="of the floor", above=True)
FIGURES: Final[tuple[Figure, ...]] = (
    Figure(
        name="emc", says="what moisture wood comes to in a room's air", keys=(_temp(), _RH), example="emc temp=70 rh=40", answer=_emc,
    ),
    Figure(
        name="dew-point", says="below which temperature water settles on a floor",
        keys=(_temp(), Key(name="rh", kind=Kind.HUMIDITY, says="relative humidity", most=100, above=True)),
        example="dew-point temp=70 rh=50", answer=_dew_point,
    ),
    Figure(
        name="slab-holes", says="how many holes a slab's humidity is read in", keys=(_AREA,), example="slab-holes area=2500",
        answer=_slab_holes,
    ),
    Figure(
        name="slab-depth", says="how deep those holes go",
        keys=(
            Key(name="thickness", kind=Kind.INCHES, says="of the slab", above=True, most=60),
            Key(name="sides", kind=Kind.WORD, says="from how many it dries", words=("1", "2")),
        ),
        example="slab-depth thickness=4 sides=1", answer=_slab_depth,
    ),
    Figure(
        name="vapor", says="a slab's vapor emission by a calcium chloride dish",
        keys=(
            Key(name="grams", kind=Kind.NUMBER, says="the dish gained", most=20, unit="g"),
            Key(name="hours", kind=Kind.NUMBER, says="it was exposed", least=DISH_HOURS[0], most=DISH_HOURS[1], unit="h"),
            Key(name="dome", kind=Kind.WORD, says="which area under it counts", words=("net", "whole"), usual="net"),
        ),
        example="vapor grams=3.0 hours=72", answer=_vapor,
    ),
    Figure(
        name="wood-movement", says="how much a board widens or shrinks",
        keys=(
            Key(name="width", kind=Kind.INCHES, says="of the board", above=True, most=24),
            Key(name="species", kind=Kind.WORD, says="of the wood", words=tuple(movement.SPECIES)),
            Key(name="cut", kind=Kind.WORD, says="how it was sawn", words=tuple(movement.Cut), usual="flat"),
            Key(name="from", kind=Kind.MOISTURE, says="its moisture", least=6, most=14, unit="%"),
            Key(name="to", kind=Kind.MOISTURE, says="what it comes to", least=6, most=14, unit="%"),
        ),
        example='wood-movement width=5 species="red oak" cut=flat from=6 to=10', answer=_wood_movement,
    ),
    Figure(
        name="vinyl-movement", says="how much a run of vinyl grows or shrinks",
        keys=(
            Key(name="length", kind=Kind.FEET, says="of the run", above=True, most=12000),
            _temp("from", "its temperature"), _temp("to", "what it comes to"),
        ),
        example="vinyl-movement length=40 from=60 to=80", answer=_vinyl_movement,
    ),
    Figure(
        name="level-change", says="how a change of level is made",
        keys=(Key(name="height", kind=Kind.INCHES, says="of the change", most=48),), example="level-change height=3/8",
        answer=_level_change,
    ),
    Figure(
        name="lift", says="the recommended weight of one two-handed lift",
        keys=(
            Key(name="weight", kind=Kind.NUMBER, says="of the load", above=True, most=1000, unit="lb"),
            Key(name="h", kind=Kind.INCHES, says="from the ankles out to the hands", most=100),
            Key(name="v", kind=Kind.INCHES, says="from the floor up to the hands", most=100),
            Key(name="d", kind=Kind.INCHES, says="how far up or down it goes", most=100),
            Key(name="angle", kind=Kind.NUMBER, says="of the body's turn", most=180, usual="0", unit="degrees"),
            Key(name="per-min", kind=Kind.NUMBER, says="lifts a minute", above=True, most=20, usual="0.2"),
            Key(name="hours", kind=Kind.NUMBER, says="of lifting", above=True, most=8, usual="1", unit="h"),
            Key(name="grip", kind=Kind.WORD, says="how well the hands hold it", words=tuple(Grip), usual="fair"),
        ),
        example="lift weight=44 h=23 v=15 d=49 angle=0 per-min=0.2 hours=1 grip=fair", answer=_lift,
    ),
    Figure(
        name="grinder-airflow", says="the least airflow at a grinder's shroud",
        keys=(Key(name="wheel", kind=Kind.INCHES, says="diameter of the wheel", above=True, most=24),),
        example="grinder-airflow wheel=5", answer=_grinder_airflow,
    ),
    Figure(
        name="first-row", says="how wide the first row is ripped in a square room",
        keys=(
            Key(name="width", kind=Kind.INCHES, says="of the room across the rows", above=True, most=4000),
            Key(name="plank", kind=Kind.INCHES, says="width of a plank", above=True, most=48),
            Key(name="gap", kind=Kind.INCHES, says="left at each wall", most=2, usual="1/4"),
        ),
        example="first-row width=127 plank=6 gap=1/4", answer=_first_row,
    ),
    Figure(
        name="cartons", says="how many cartons an area takes by the rule of thumb",
        keys=(
            _AREA,
            Key(name="waste", kind=Kind.PERCENT, says="over it", most=100, usual="10", unit="%"),
            Key(name="cover", kind=Kind.AREA, says="of a carton", above=True),
        ),
        example="cartons area=120 waste=10 cover=24", answer=_cartons,
    ),
    Figure(
        name="leveler", says="how many bags a pour takes",
        keys=(_AREA, Key(name="depth", kind=Kind.INCHES, says="mean depth of the pour", above=True, most=12)),
        example="leveler area=60 depth=1/4", answer=_leveler,
    ),
)  # fmt: skip
BY_NAME: Final[Mapping[str, Figure]] = {one.name: one for one in FIGURES}
