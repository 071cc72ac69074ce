"""The planned week of the invented shop, what is left out of it and which promises hold."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from crewjobs.domain.wording import moment_words
from crewjobs.services.answers.what_if_rows import WhatIfJob, WhatIfView, WhenAnswer, WhenView, WhenVisit
from crewjobs.services.answers.why_rows import ClashRow, SlipRow, WayOutRow, WhyJob, WhyView
from crewjobs.services.rows import (
    LeftOutRow,
    MoveRow,
    PromiseRow,
    ProposalView,
    SmallVisitRow,
    Visit,
    WaitSpan,
    WeekDay,
)
from tests.screens.fake_rows import AMES, CREWS, FERRIS, HOLLIS, MONDAY, TAMM, VOGEL, at


def visit(
    job: int,
    title: str,
    crew: str,
    start: datetime,
    end: datetime,
    what: str,
    numbers: tuple[int, ...],
    reason: str = "The earliest day its floor is ready and the crew is free.",
    *,
    pinned: bool = False,
    begun: bool = False,
) -> Visit:
    """A stretch of a crew."""
    return Visit(
        job=job,
        title=title,
        crew=crew,
        start=start,
        end=end,
        what=what,
        tasks=numbers,
        reason=reason,
        pinned=pinned,
        begun=begun,
    )


def days(monday: date = MONDAY) -> tuple[WeekDay, ...]:
    """The week of 2 March; other weeks are empty."""
    if monday != MONDAY:
        return tuple(WeekDay(day=monday + timedelta(days=step), off=(), visits=(), waits=()) for step in range(7))
    cure = WaitSpan(job=101, what="leveler, kitchen", start=at(1, 15), end=at(2, 15))
    oak = WaitSpan(job=104, what="oak plank acclimates", start=at(27, 14, month=2), end=at(4, 14))
    lam = WaitSpan(job=112, what="laminate acclimates", start=at(4, 13), end=at(6, 13))
    plan: tuple[tuple[tuple[Visit, ...], tuple[WaitSpan, ...], tuple[str, ...]], ...] = (
        (
            (
                visit(101, AMES, "Birch", at(2, 7), at(2, 11), "subfloor prep in dining", (4, 5), begun=True),
                visit(104, FERRIS, "Cedar", at(2, 7, 30), at(2, 16), "carpet, base and shoe off", (1, 2)),
                visit(107, TAMM, "Rowan", at(2, 8), at(2, 12), "toilet out, sheet floor up in bath", (1, 2, 3)),
                visit(109, HOLLIS, "Rowan", at(2, 13), at(2, 15, 30), "carpet off 14 steps", (1,)),
            ),
            (cure, oak),
            (),
        ),
        (
            (
                visit(
                    101,
                    AMES,
                    "Birch",
                    at(3, 7),
                    at(3, 15, 30),
                    "click rows in kitchen and hall",
                    (6, 7),
                    "The leveler is ready on Mon 2 Mar 15:00, after Birch has left; Tuesday is the first day.",
                ),
                visit(104, FERRIS, "Cedar", at(3, 7, 30), at(3, 16), "scrape, screw, patch", (3, 4)),
            ),
            (oak,),
            ("Rowan",),
        ),
        (
            (
                visit(101, AMES, "Birch", at(4, 7), at(4, 15, 30), "click rows in dining", (8,), pinned=True),
                visit(107, TAMM, "Cedar", at(4, 7, 30), at(4, 15), "underlayment in bath", (4, 5)),
                visit(112, VOGEL, "Rowan", at(4, 12), at(4, 13), "carry-in", (1,)),
            ),
            (oak, lam),
            (),
        ),
        (
            (
                visit(101, AMES, "Birch", at(5, 7), at(5, 15), "base, shoe, fixtures, walk-through", (9, 10)),
                visit(104, FERRIS, "Cedar", at(5, 7, 30), at(5, 16), "rows in living", (5, 6)),
            ),
            (lam,),
            (),
        ),
        (
            (
                visit(104, FERRIS, "Cedar", at(6, 7, 30), at(6, 14), "rows in hall", (7,)),
                visit(112, VOGEL, "Rowan", at(6, 13), at(6, 16), "rows in bedroom 1", (2,)),
            ),
            (lam,),
            ("Birch",),
        ),
        ((), (), CREWS),
        ((), (), CREWS),
    )
    nadia = SmallVisitRow(
        job=112, title=VOGEL, kind="measuring", who="Nadia Reyes", start=at(2, 9), end=at(2, 10), why="", done=False
    )
    reads = replace(nadia, job=104, title=FERRIS, kind="reading", start=at(2, 11), end=at(2, 11, 30))
    small: dict[int, tuple[SmallVisitRow, ...]] = {0: (nadia, reads)}
    return tuple(
        WeekDay(day=monday + timedelta(days=step), off=off, visits=visits, waits=spans, small=small.get(step, ()))
        for step, (visits, spans, off) in enumerate(plan)
    )


LEFT_OUT = (
    LeftOutRow(job=109, title=HOLLIS, why="The nose pieces are not ordered, so nobody knows when they can be laid."),
    LeftOutRow(job=107, title=TAMM, why="Rows in kitchen: 6 cartons are late and no new day is known."),
)
PROMISES = (
    PromiseRow(job=101, title=AMES, promised=date(2026, 3, 6), finish=at(5, 15), holds=True),
    PromiseRow(job=104, title=FERRIS, promised=date(2026, 3, 10), finish=at(9, 16), holds=True),
    PromiseRow(job=107, title=TAMM, promised=date(2026, 3, 6), finish=at(10, 12), holds=False),
)


def why(job: int | None) -> WhyView:
    """Return an answer of the length real ones have: one job's chain, or two promises that clash."""
    if job is not None:
        row = WhyJob(
            job=job,
            title=AMES,
            finish=at(9, 16, 30),
            promised=date(2026, 3, 6),
            holds=False,
            sentence=(
                f"Job {job} ends Mon 9 Mar 16:30: pale oak is due Fri 6 Mar 13:00; it acclimates 48 h until Sun 8 Mar "
                "14:00; from Mon 9 Mar 07:30 Birch works 8 h on the laying and the trim, to 16:30."
            ),
            steps=(),
            promise=(
                "Promised Fri 6 Mar: it is 3 days late, 8.0 working hours of Birch after the promise.",
                "Even with every crew free it ends no sooner, so the promise cannot be kept.",
            ),
            alone=at(9, 16, 30),
            possible=False,
            left_out=(),
            gives_a_date=(),
        )
        return WhyView(plan_number=3, stale="", job=row, late=(), clashes=(), order=None, note="")
    way = WayOutRow(
        kind="slip",
        name="slip-103",
        sentence="Keep job 102: then job 103 ends Wed 11 Mar 11:00, 1 day after its promise, and all other promises hold.",
        keeps=(102,),
        slips=(SlipRow(job=103, promised=date(2026, 3, 10), finish=at(11, 11)),),
    )
    clash = ClashRow(
        jobs=(102, 103),
        smallest=True,
        proved=False,
        sentence=(
            "No plan found keeps the promises of jobs 102 (Mon 9 Mar) and 103 (Tue 10 Mar) together; each without the "
            "other can be kept."
        ),
        ways=(way,),
    )
    return WhyView(plan_number=3, stale="", job=None, late=(), clashes=(clash,), order=None, note="")


PROPOSAL = ProposalView(
    number=8,
    made_at=at(2, 6, 30),
    in_force=7,
    saves=("Job 107: would end Fri 6 Mar instead of Tue 10 Mar; keeps its promise of Fri 6 Mar, unlike now.",),
    moves=(
        MoveRow(
            job=107,
            title=TAMM,
            what="install in bath",
            was_crew="Rowan",
            was=at(9, 8),
            crew="Cedar",
            now=at(5, 7, 30),
            told=True,
        ),
        MoveRow(
            job=109,
            title=HOLLIS,
            what="carpet off 14 steps",
            was_crew="Rowan",
            was=at(2, 13),
            crew="Rowan",
            now=at(4, 13),
            told=False,
        ),
    ),
    changed=1,
)
"""A better plan that waits to be accepted."""


def what_if() -> WhatIfView:
    """Return an answer of the length real ones have: one promise lost, one job sooner, four pieces of work that move."""
    return WhatIfView(
        sentence=(
            "With Birch off on Fri 6 Mar, job 101 ends Mon 9 Mar instead of Fri 6 Mar and breaks its promise of Fri 6 Mar; "
            "all other promises hold."
        ),
        supposed=("Birch off on Fri 6 Mar",),
        jobs=(
            WhatIfJob(
                job=101,
                title=AMES,
                finish=at(6, 15),
                then=at(9, 11, 15),
                promised=date(2026, 3, 6),
                promised_then=date(2026, 3, 6),
                holds=True,
                holds_then=False,
                crew_days=4,
                crew_days_then=5,
                why=(),
            ),
        ),
        won=(),
        lost=(101,),
        late_both=(),
        moves=(),
        soon="In the next two weeks 4 pieces of work move (job 101: 3 (a finish was told), job 104: 1).",
        crew_days=31,
        crew_days_then=32,
        rounds=0,
        note="",
    )


def cedar(start: datetime, end: datetime, what: str) -> WhenVisit:
    """Return a day of Cedar at the house that was asked about."""
    words = f"{moment_words(start)}-{end:%H:%M} Cedar: {what}"
    return WhenVisit(crew="Cedar", start=start, end=end, what=what, words=words)


def when() -> WhenView:
    """Return both answers on a floor somebody asks for."""
    sentence = (
        "400 ft² of click vinyl: Cedar could start {0} and be done {1}; the material must lie in the rooms by {2}."
    )
    soonest = WhenAnswer(
        start=at(5, 8),
        finish=at(6, 14, 28),
        crews=("Cedar",),
        carry_in=at(3, 8, 30),
        in_rooms_by=at(3, 9),
        visits=(
            cedar(at(3, 7, 45), at(3, 8, 41), "carry in click vinyl"),
            cedar(at(5, 8), at(5, 15, 30), "demolition and install (room)"),
            cedar(at(6, 8), at(6, 14, 28), "install and trim (room)"),
        ),
        sentence=sentence.format("Thu 5 Mar 08:00", "Fri 6 Mar 14:28", "Tue 3 Mar 09:00"),
        because="It ends Fri 6 Mar 14:28: click vinyl is due Tue 3 Mar 07:00; it acclimates 48 h until Thu 5 Mar 09:00.",
        others="It only fits so soon if job 104 (done Tue 10 Mar instead of Mon 9 Mar) moves; it has no promise.",
        moves=(104,),
    )
    undisturbed = replace(
        soonest,
        start=at(10, 8),
        finish=at(11, 14, 28),
        visits=(
            cedar(at(10, 8), at(10, 15, 30), "demolition and install (room)"),
            cedar(at(11, 8), at(11, 14, 28), "install and trim (room)"),
        ),
        sentence=sentence.format("Tue 10 Mar 08:00", "Wed 11 Mar 14:28", "Sun 8 Mar 09:00"),
        because="It ends Wed 11 Mar 14:28: Cedar is on job 104 until Mon 9 Mar 16:00.",
        others="No promise is touched: nothing that is planned moves.",
        moves=(),
    )
    assumed = ("one square room, 20' a side, one door", "10 pieces of furniture, people live there")
    return WhenView(
        asked="400 ft² of click vinyl", assumed=assumed, soonest=soonest, undisturbed=undisturbed, why_not=""
    )
