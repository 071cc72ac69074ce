"""Prints the tasks of a realistic job as a lead reads them: ``python -m tests.engines.estimating.show``."""

from __future__ import annotations

from crewjobs.domain.house import (
    Covering,
    Fixture,
    FixtureKind,
    Layer,
    Opening,
    Piece,
    Room,
    Site,
    Stairs,
    Subfloor,
    Transition,
    Trim,
)
from crewjobs.domain.job import Customer, Job, JobRecord
from crewjobs.domain.material import SHEET_GOODS, FloorKind, Material, Method
from crewjobs.domain.outline import Outline
from crewjobs.domain.tasks import Driver
from crewjobs.domain.units import FOOT, INCH
from crewjobs.engines.estimating.estimate import job_totals
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.files.catalogue import read_catalogue


def plank(name: str, kind: FloorKind, method: Method, hours: int) -> Material:
    """A 7 × 48 in plank, 23.8 ft² a carton; sheet goods off a roll of 12 ft."""
    if kind in SHEET_GOODS:
        return Material.sheet(name=name, kind=kind, method=method, roll_width=12 * FOOT, acclimation_min=hours * 60)
    return Material(
        name=name,
        kind=kind,
        method=method,
        plank_width=7 * INCH,
        plank_length=48 * INCH,
        carton_ft2=23.8,
        acclimation_min=hours * 60,
    )


def one_room(furnished: bool = False) -> Job:
    """250 ft² of click vinyl over carpet in one plain room."""
    pieces = (Piece(name="sofa", people=2), Piece(name="chair", count=4), Piece(name="shelf", count=3))
    room = Room(
        name="den",
        outline=Outline.rectangle(20 * FOOT, 12 * FOOT + 6 * INCH),
        layers=(Layer(covering=Covering.CARPET),),
        floor="harbor plank",
        pad=True,
        furniture=pieces if furnished else (),
    )
    return Job(
        number=1,
        title="Den",
        customer=Customer(name="R. Alder"),
        site=Site(address="4 Mill Lane", zone="America/Chicago", year_built=1994, occupied=furnished),
        rooms=(room,),
        openings=(
            Opening(between=("den", "outside"), width=3 * FOOT),
            Opening(between=("outside", "den"), width=3 * FOOT),
        ),
        materials=(plank("harbor plank", FloorKind.CLICK_VINYL, Method.FLOATING, 48),),
    )


def in_halves() -> Job:
    """A lived-in house of 1966 floored in halves: glue-down over an old sheet floor, wood with leveler, stairs."""
    living = Room(
        name="living",
        outline=Outline.rectangle(20 * FOOT, 14 * FOOT),
        layers=(Layer(covering=Covering.CARPET, year=2004),),
        floor="oak plank",
        level_ft2=80,
        furniture=(
            Piece(name="sofa", people=2),
            Piece(name="chair", count=4),
            Piece(name="piano", people=4, stays=True),
        ),
        cuts=(("street half", 10 * FOOT), ("garden half", 10 * FOOT)),
    )
    kitchen = Room(
        name="kitchen",
        outline=Outline.rectangle(12 * FOOT, 10 * FOOT),
        layers=(
            Layer(covering=Covering.SHEET_VINYL, year=1999),
            Layer(covering=Covering.PLYWOOD, year=1999),
            Layer(covering=Covering.SHEET_VINYL),
        ),
        floor="slate tile",
        patch_ft2=30,
        add_plywood=True,
        trim=Trim.NEW_BASE,
        fixtures=(
            Fixture(kind=FixtureKind.GAS_RANGE),
            Fixture(kind=FixtureKind.REFRIGERATOR),
            Fixture(kind=FixtureKind.FLOOR_VENT, count=2),
        ),
    )
    bath = Room(
        name="bath",
        outline=Outline.rectangle(8 * FOOT, 5 * FOOT),
        layers=(Layer(covering=Covering.CERAMIC_TILE, year=1988),),
        subfloor=Subfloor.OSB,
        floor="slate tile",
        fixtures=(Fixture(kind=FixtureKind.TOILET), Fixture(kind=FixtureKind.PEDESTAL_SINK)),
    )
    return Job(
        number=2,
        title="House in halves",
        customer=Customer(name="M. Rowan"),
        site=Site(address="9 Ferry Road", zone="America/Chicago", year_built=1966),
        rooms=(living, kitchen, bath),
        openings=(
            Opening(between=("living", "kitchen"), width=3 * FOOT, door=False, transition=Transition.REDUCER),
            Opening(between=("kitchen", "bath"), width=30 * INCH, transition=Transition.THRESHOLD),
            Opening(between=("living", "outside"), width=3 * FOOT, transition=Transition.END_CAP),
        ),
        stairs=(Stairs(name="front stairs", steps=13, layers=(Layer(covering=Covering.CARPET),), floor="oak plank"),),
        materials=(
            plank("oak plank", FloorKind.ENGINEERED_WOOD, Method.FLOATING, 72),
            plank("slate tile", FloorKind.GLUED_VINYL, Method.GLUED, 48),
        ),
    )


def table(job: Job) -> str:
    """Return every task with its size, hours, people and what it waits for."""
    record = reconcile(JobRecord(job=job), expand(job, read_catalogue()))
    lines = []
    for task in record.tasks:
        waits = [
            f"{link.before}" + (f" +{link.wait_min / 60:g}h {link.name}" if link.wait_min else "")
            for link in record.links
            if link.after == task.number
        ]
        size = "" if task.unit is Driver.ONCE else f"{task.quantity:g} {task.unit}"
        hours = f"{task.estimate.expected / 60:5.1f}h ±{task.estimate.spread / 60:.1f}"
        lines.append(
            f"{task.number:3} {task.phase:14} {task.stage} {task.where:22.22} {task.title:58.58} {size:12} {hours} "
            f"{task.least_people}-{task.people}  after {', '.join(waits) or '-'}"
        )
    totals = job_totals(record.tasks)
    lines += [f"{phase:16}{labor.hours:6.1f} h" for phase, labor in totals.phases]
    lines.append(f"all {totals.all.hours:.1f} h ±{totals.all.spread / 60:.1f}; two people {totals.all.days(2)} days")
    return "\n".join(lines)


if __name__ == "__main__":
    for shown in (one_room(), one_room(furnished=True), in_halves()):
        print(shown.title, table(shown), sep="\n", end="\n\n")
