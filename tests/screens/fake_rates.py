"""What the hours of the invented shop tell: rates, estimates against hours, odds."""

from __future__ import annotations

from datetime import date, timedelta

from crewjobs.services.odds.odds_rows import DriverRow, OddsRow, OddsView, PromiseView
from crewjobs.services.rates.rates_rows import (
    AgainstView,
    AskRow,
    CrewRates,
    LatelyView,
    PhaseHours,
    RateRow,
    RatesView,
)
from tests.screens.fake_rows import AMES, CREWS, FERRIS, TAMM

SATURDAY = date(2026, 2, 28)


def rate_row(
    template: str,
    phase: str,
    title: str,
    book: float,
    factor: float,
    *,
    sure: float = 1.5,
    jobs: int = 3,
    pinned: bool = False,
) -> RateRow:
    """A rate in ft² a man-day; the band lies `sure` times to both sides."""
    own, low, high = book / factor, book / factor / sure, book / factor * sure
    return RateRow(
        template=template,
        phase=phase,
        title=title,
        unit="ft²",
        book=book,
        own=own,
        low=low,
        high=high,
        factor=factor,
        pace=1 / factor,
        slow=1 / factor / sure,
        quick=sure / factor,
        jobs=jobs,
        pinned=pinned,
        book_words=f"{book:,.0f} ft²",
        own_words=f"{own:,.0f}",
        band_words=f"{low:,.0f}–{high:,.0f}",
    )


def rates() -> RatesView:
    """Birch has hours of four jobs, Cedar none, Rowan is a sub; a record of Birch is odd."""
    rows = (
        rate_row("lay-planks", "install", "Lay floating planks", 320, 1.1, sure=1.2, jobs=4),
        rate_row(
            "carpet-out", "demolition", "Carpet, pad and tack strip out, cut small and carried to the truck", 900, 0.7
        ),
        rate_row("base", "trim", "Base back on", 400, 2.4, sure=1.9, jobs=1),
        rate_row("leveler", "subfloor prep", "Mix and pour leveler", 500, 1.25, sure=1.0, pinned=True),
    )
    birch, cedar, rowan = CREWS
    return RatesView(
        jobs=4,
        days=9,
        note="Learned from 96.0 h of one person at 4 jobs. The band holds a crew's mean pace with a chance of 80 %.",
        crews=(
            CrewRates(crew=birch, people=2, jobs=4, rows=rows, sub=False, note=""),
            CrewRates(
                crew=cedar,
                people=2,
                jobs=0,
                rows=(),
                sub=False,
                note=f"{cedar} has no hours at work that was ticked: it is planned by what other crews' hours tell of the shop, else by the book.",
            ),
            CrewRates(
                crew=rowan, people=1, jobs=0, rows=(), sub=True, note=f"{rowan} is a sub: it has a capacity, not rates."
            ),
        ),
        ask=(
            AskRow(
                job=104, crew=birch, sentence="Job 104, Fri 27 Feb: 16.0 h for what takes about 4.0 h. Is that right?"
            ),
        ),
        conditions=("Upstairs: 12 % longer than the book's factor says (80 %: +2 % to +23 %).",),
        apart=("Dry run: 1.5 h of one person, kept apart.",),
    )


def no_rates() -> RatesView:
    """No hours yet."""
    return RatesView(
        jobs=0,
        days=0,
        note="No hours of a crew at work are recorded yet, so the book's rates stand.",
        crews=(),
        ask=(),
        conditions=(),
        apart=(),
    )


def phase_hours(phase: str, estimated: float, likely: float, *, sure: bool) -> PhaseHours:
    """Hours of a phase."""
    way = "longer" if likely > estimated else "less"
    return PhaseHours(
        phase=phase,
        estimated_min=estimated * 60,
        likely_min=likely * 60,
        low_min=likely * 50,
        high_min=likely * 70,
        sure=sure,
        sentence=f"{phase[:1].upper()}{phase[1:]} took {way}: about {likely:.1f} h of one person where {estimated:.1f} h were estimated.",
    )


def against(job: int, title: str, days_ago: int, *phases: PhaseHours, still: int = 0) -> AgainstView:
    """One job's estimate against its hours."""
    estimated, taken = sum(one.estimated_min for one in phases), sum(one.likely_min for one in phases)
    return AgainstView(
        job=job,
        title=title,
        last=SATURDAY - timedelta(days=days_ago),
        estimated_min=estimated,
        taken_min=taken,
        sentence=f"The job took {taken / 60:.1f} h of one person where {estimated / 60:.1f} h were estimated.",
        phases=phases,
        apart=("Dry run: 1.5 h of one person, kept apart.",) if still else (),
        open=still,
        note="Hours are known a day at a time; how they part into phases is inferred.",
    )


def lately() -> LatelyView:
    """Two jobs, one of them still open."""
    return LatelyView(
        jobs=(
            against(
                104,
                FERRIS,
                0,
                phase_hours("subfloor prep", 3.5, 6.9, sure=True),
                phase_hours("demolition", 6.0, 5.1, sure=False),
                still=24,
            ),
            against(
                101, AMES, 3, phase_hours("demolition", 5.0, 8.2, sure=True), phase_hours("house", 2.0, 2.0, sure=False)
            ),
        ),
        more=False,
        note="Hours are known a day at a time.",
    )


def odds_row(job: int, title: str, promised: date | None, chance: float | None, note: str = "") -> OddsRow:
    """The odds of one job."""
    known = not note
    return OddsRow(
        job=job,
        title=title,
        promised=promised,
        planned=date(2026, 3, 5) if known else None,
        chance=chance,
        error=0.005 if chance is not None else None,
        likely=date(2026, 3, 6) if known else None,
        by_80=date(2026, 3, 9) if known else None,
        by_95=date(2026, 3, 11) if known else None,
        drivers=(DriverRow(words="how quick Birch is, known from 4 jobs", correlation=0.7),) if known else (),
        note=note,
        sentence=f"job {job} {title}: " + (f"it {note}" if note else f"holds with a chance of {chance or 0:.0%}"),
        days="planned Thu 5 Mar; likely done Fri 6 Mar, with 80 % by Mon 9 Mar, with 95 % by Wed 11 Mar"
        if known
        else "",
    )


UNTICKED = "has work that was planned to be done by now and is not ticked: tick what is done, or `crewjobs plan`."


def odds(job: int | None = None) -> OddsView:
    """Three promises: one likely, one not, one with work that is not ticked."""
    rows = (
        odds_row(101, AMES, date(2026, 3, 6), 0.58),
        odds_row(104, FERRIS, date(2026, 3, 10), 0.995),
        odds_row(107, TAMM, date(2026, 3, 6), None, UNTICKED),
    )
    return OddsView(
        plan_number=3,
        stale="",
        samples=10000,
        error=0.005,
        rows=tuple(row for row in rows if job in (None, row.job)),
        taken=("Times are by each crew's own pace as far as hours are known.",),
    )


def promise(job: int, percent: float, *, booked: bool = True) -> PromiseView:
    """The day that would hold; of a job that is not booked as if it were."""
    day = date(2026, 3, 10)
    return PromiseView(
        job=job,
        title=AMES,
        odds=percent,
        day=day,
        chance=percent / 100 + 0.01,
        error=0.003,
        before=percent / 100 - 0.02,
        planned=date(2026, 3, 5),
        promised=date(2026, 3, 6) if booked else None,
        promised_chance=0.58 if booked else None,
        not_booked=not booked,
        supposed="" if booked else "were booked",
        stale="",
        samples=10000,
        sentences=(
            f"Job {job} {AMES}: Tue 10 Mar is the first day that holds with {percent:g} %, given everything planned.",
            "The plan has it done Thu 5 Mar.",
            f"`crewjobs amend {job} --promised {day.isoformat()}` promises that day; nothing was kept.",
        ),
        drivers=(),
        taken=(),
    )
