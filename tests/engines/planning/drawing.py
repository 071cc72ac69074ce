"""A week drawn as plain lines, to look at a plan as a lead would: days down, crews across the lines."""

from __future__ import annotations

from datetime import timedelta

from crewjobs.domain.plan import WeekPlan
from crewjobs.domain.wall import to_wall
from crewjobs.engines.planning.layout import day_pieces
from crewjobs.engines.planning.problem import PlanProblem


def week_lines(problem: PlanProblem, plan: WeekPlan, days: int) -> list[str]:
    """Return one line a crew and day with its visits, then what is left out."""
    zone, lines = problem.shop.zone, []
    first = to_wall(zone, problem.now).date()
    phases = {(p.key.job, number): p.phase for p in plan.placements for number in p.tasks}
    for day in (first + timedelta(days=n) for n in range(days)):
        for crew in problem.shop.crews:
            pieces = day_pieces(plan, problem.shop, problem.jobs, crew.name, day)
            visits: list[list[object]] = []
            for piece in pieces:
                start, end = (to_wall(zone, moment) for moment in (piece.start, piece.end))
                phase = phases[piece.job, piece.task].value[:4]
                if visits and visits[-1][0] == piece.job and visits[-1][3] == phase:
                    visits[-1][2] = max(end, visits[-1][2])  # type: ignore[type-var]
                else:
                    visits.append([piece.job, start, end, phase])
            words = [f"#{job} {phase} {start:%H:%M}-{end:%H:%M}" for job, start, end, phase in visits]
            if words:
                lines.append(f"{day:%a %d %b} {crew.name:6} {' | '.join(words)}")
    lines += [f"left out: job {left.job} {left.tasks}: {left.why}" for left in plan.left_out]
    return lines
