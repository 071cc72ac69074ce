"""A better plan after planning: looked for while the week can be read, shown with what it moves, and accepted."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from crewjobs.screens.app import CrewApp
from crewjobs.screens.proposal import draw_proposal
from tests.screens import fake_week
from tests.screens.conftest import press, said
from tests.screens.fake_office import FakeOffice

MakeApp = Callable[[FakeOffice], CrewApp]


async def test_planning_looks_for_a_better_plan_and_says_so(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """p plans, then the search runs for the app's seconds; the status line ends with what it proposes."""
    monkeypatch.setattr(CrewApp, "LOOK_SECONDS", 4.0)
    office.gate.set()
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "2", "p")
        assert ("plan",) in office.calls
        assert ("improve", 4.0) in office.calls
        assert "Plan 8 is proposed" in said(app)


async def test_after_a_record_a_better_plan_is_looked_for_by_itself(
    office: FakeOffice, make_app: MakeApp, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tick is told first, the proposal below it when it is found; it came after that change; undo looks for nothing."""
    monkeypatch.setattr(CrewApp, "LOOK_AFTER_SECONDS", 3.0)
    monkeypatch.setattr(CrewApp, "LOOK_AFTER_PAUSE", 0.0)
    app = make_app(office)
    async with app.run_test(size=(120, 36)) as pilot:
        await press(pilot, "4", "space")
        looked = [call for call in office.calls if call[0] == "improve"]
        [(_, seconds, after)] = looked
        assert seconds == 3.0
        assert isinstance(after, int)
        words = said(app)
        assert words.index("Ticked") < words.index("A better plan is proposed (Week, x): Job 104 would end Tue 10 Mar")
        await press(pilot, "u")
        assert [call for call in office.calls if call[0] == "improve"] == looked


async def test_a_proposal_is_accepted_by_its_button(office: FakeOffice, make_app: MakeApp) -> None:
    """x shows what it saves and moves; Accept takes it and the status line says so; Leave takes nothing."""
    app = make_app(office)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "2", "x", "escape")
        assert ("accept",) not in office.calls
        await press(pilot, "x")
        await pilot.click("#buttons Button")
        await press(pilot)
        assert ("accept",) in office.calls
        assert "Plan 9" in said(app)


@pytest.mark.parametrize("width", [40, 66, 100])
def test_every_move_is_told_from_where_to_where(width: int) -> None:
    """Each job once, each move with crew and time before and after, within the width."""
    lines = ["".join(piece.text for piece in line) for line in draw_proposal(fake_week.PROPOSAL, width)]
    assert all(len(line) <= width for line in lines)
    text = " ".join(" ".join(lines).split())
    assert "Rowan Mon 9 Mar 08:00 → Cedar Thu 5 Mar 07:30: install in bath" in text
    assert "Rowan Mon 2 Mar 13:00 → Wed 4 Mar 13:00: carpet off 14 steps" in text
    assert "1 change since it was made" in text
    assert "The customer was told a finish" in text
