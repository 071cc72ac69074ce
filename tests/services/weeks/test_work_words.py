"""What a stretch of work is about, in a few words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crewjobs.domain.tasks import Phase, Scope, ScopeKind, Task
from crewjobs.engines.readiness.found import EXTRA_WORK
from crewjobs.services.pages.notice_work import coming_words
from crewjobs.services.weeks.visits import short, work_words
from tests.engines.planning.networks import Network, job


@pytest.mark.parametrize(
    ("title", "said"),
    [
        ("Clean up the laid floor: vacuum, scrap out", "Clean up the laid floor"),
        ("Swap a board (with the carton kept, lot D)", "Swap a board (with the carton kept, lot D)"),
        ("Swap a board (with the carton kept, lot D), then clean", "Swap a board (with the carton kept, lot D)"),
        ("Swap a board (lot D (row 2, left), new), then clean", "Swap a board (lot D (row 2, left), new)"),
        ("Swap a board, with the carton (lot D, kept)", "Swap a board"),
        ("Swap a board (lot D, kept", "Swap a board (lot D"),
        ("Swap a board 1), then clean", "Swap a board 1)"),
    ],
)
def test_a_bracket_is_kept_whole_or_left_out(title: str, said: str) -> None:
    """A comma or colon in a bracket cuts nothing; one that nobody has closed is no bracket."""
    assert short(title) == said


def _house_tasks(*named: tuple[str, str]) -> list[Task]:
    """Tasks of no phase, each with its title and room."""
    net = Network(job=job(1))
    for title, _ in named:
        net.add(title, Phase.HOUSE, 10)
    return [
        replace(task, key=replace(task.key, scope=Scope(kind=ScopeKind.ROOM, name=room)))
        for task, (_, room) in zip(net.tasks, named, strict=True)
    ]


@pytest.mark.parametrize(
    ("rooms", "said"),
    [
        (("hall",), "Clean up the laid floor"),
        (("hall", "den"), "Clean up the laid floor (hall and den)"),
        (("hall", "den", "bath"), "Clean up the laid floor in 3 rooms"),
        (("hall", "hall"), "Clean up the laid floor (2 times)"),
    ],
)
def test_tasks_of_one_name_are_told_apart_by_room_or_counted(rooms: tuple[str, ...], said: str) -> None:
    """No sentence names one title twice: two rooms are named, more are counted, so is what comes twice in one room."""
    tasks = _house_tasks(*(("Clean up the laid floor: vacuum", room) for room in rooms))
    assert work_words(tasks) == said
    assert work_words([*tasks, *_house_tasks(("Walk through", "house"))]) == f"{said} and Walk through"


def test_work_agreed_in_words_is_told_beside_what_the_house_gets() -> None:
    """Neither what is carried in nor a third task of the house keeps a repair from being named."""
    *house, repair = _house_tasks(
        ("Papers", "house"), ("Walk through", "house"), ("Key", "house"), ("cut out rot", "house")
    )
    repair = replace(repair, key=replace(repair.key, template=EXTRA_WORK))
    assert work_words([*house, repair]) == "Papers and 2 more; cut out rot"
    assert work_words([repair]) == "cut out rot"


def test_work_agreed_in_words_is_told_beside_the_phases() -> None:
    """A repair of half a day is no part of the demolition around it: to the crew as to the customer."""
    net = Network(job=job(1))
    net.add("Base off", Phase.DEMOLITION, 10)
    net.add("cut out and replace soft wood", Phase.HOUSE, 240)
    base, repair = (
        replace(task, key=replace(task.key, scope=Scope(kind=ScopeKind.ROOM, name="hall"))) for task in net.tasks
    )
    agreed = replace(repair, key=replace(repair.key, template=EXTRA_WORK))
    assert work_words([base, agreed]) == "demolition (hall); cut out and replace soft wood"
    assert coming_words([base, agreed]) == "demolition (hall); cut out and replace soft wood"
    assert work_words([agreed]) == coming_words([agreed]) == "cut out and replace soft wood"
    assert work_words([base, repair]) == "demolition (hall)", "what goes with the phases is not named"


def test_work_at_openings_alone_says_at_which_rooms() -> None:
    """A short visit for the jambs is no bare ``install``."""
    net = Network(job=job(1))
    net.add("Undercut jambs and casing", Phase.INSTALL, 10)
    (task,) = net.tasks
    task = replace(task, key=replace(task.key, scope=Scope(kind=ScopeKind.OPENING, name="hall / outside")))
    assert work_words([task]) == "install (doorways of hall)"
