"""What all tests share: databases that do not wait for the disk, and the demo made once."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Iterator
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from time import sleep
from typing import TYPE_CHECKING

import pytest

from tests import thorough

if TYPE_CHECKING:
    from crewjobs.domain.plan import WeekPlan
    from crewjobs.engines.answering.what_if import Effort, Looked
    from crewjobs.engines.planning.problem import PlanProblem
    from tests.judged import Judging


def pytest_configure(config: pytest.Config) -> None:
    """Name the marker by which a test says that its plans are not judged.

    A program that a test starts is compiled once, not each time. A busy machine fails no property: the clock judges nothing.
    """
    from hypothesis import HealthCheck, settings

    settings.register_profile(
        "any machine",
        deadline=None,
        max_examples=thorough.examples(100, 40),
        suppress_health_check=[HealthCheck.too_slow],
    )
    settings.load_profile("any machine")
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    # Several tests run at once: threads that each of them opens for matrices of forty rows only wait for each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    config.addinivalue_line("markers", "contradictory(why): its facts contradict each other, its plans are not judged")


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: it is not looked through for garbage again and again.

    New garbage is looked for as seldom as in the program.
    """
    from crewjobs.cli.main import GARBAGE

    gc.collect()
    gc.freeze()
    gc.set_threshold(*GARBAGE)


@pytest.fixture(scope="session", autouse=True)
def no_wait_for_the_disk() -> Iterator[None]:
    """In this process a commit is not held until the disk has it: no test here cuts the power.

    Tests that end a program in the middle start it as a process of its own, which waits as people's does.
    """
    from crewjobs.storage import database

    connect = database._connect

    def connect_at_once(path: Path):
        connection = connect(path)
        connection.execute("PRAGMA synchronous = OFF")
        return connection

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(database, "_connect", connect_at_once)
        yield


@pytest.fixture(autouse=True)
def work_and_not_the_clock_ends_a_why(monkeypatch: pytest.MonkeyPatch) -> None:
    """What `why` finds is bounded by what it may try; the clock, which ends it on a busy machine, does not here."""
    monkeypatch.setattr("crewjobs.services.answers.why_promises.SECONDS", 600.0)


@pytest.fixture(scope="session")
def judging() -> Iterator[Judging]:
    """The judge of all plans that are made in this process from now on."""
    from tests.judged import Judging

    judge = Judging()
    with judge.installed():
        yield judge


@pytest.fixture(autouse=True)
def every_plan_is_judged(request: pytest.FixtureRequest, judging: Judging) -> Iterator[None]:
    """Whatever plan a test makes, and however, the judge finds nothing in it; see `tests.judged`."""
    opted_out = request.node.get_closest_marker("contradictory")
    judging.begin(on=opted_out is None)
    yield
    assert not judging.faults, "\n".join(["the judge finds in a plan:", *judging.faults])


@pytest.fixture(scope="session", autouse=True)
def what_if_compares_with_one_plan(judging: Judging) -> Iterator[None]:
    """The plan that a `what-if` supposes nothing in is looked for once in a process for each problem and plan in force.

    Most such tests ask of the same week of the demo. Only plans that were judged are kept; until somebody stops it, or with
    facts that contradict each other, one is looked for as ever.
    """
    from crewjobs.engines.answering import what_if

    made, kept = what_if.without, []

    def without(before: PlanProblem, in_force: WeekPlan, effort: Effort) -> Looked:
        if effort.stop is not None or not judging.on:
            return made(before, in_force, effort)
        for asked, found in kept:
            if asked == (effort.rounds, in_force, before):
                return found
        found = made(before, in_force, effort)
        kept[4:] = []
        kept.insert(0, ((effort.rounds, in_force, before), found))
        return found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(what_if, "without", without)
        yield


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory: pytest.TempPathFactory, judging: Judging) -> Path:
    """The demo's database as `crewjobs demo` leaves it, with its pages and what it printed beside; tests only look at it.

    It is made by one process of a run: the others wait for it.
    """
    return _made_once(tmp_path_factory, "demo-made")


@pytest.fixture(scope="session")
def demo_by_book(tmp_path_factory: pytest.TempPathFactory, judging: Judging) -> Path:
    """The same demo without its jobs of the weeks before: crews planned nearly by the book, for tests that tell of one such plan."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("crewjobs.services.demonstration.demo_closed.enter_past", lambda *_asked: None)
        return _made_once(tmp_path_factory, "demo-by-book")


def _made_once(tmp_path_factory: pytest.TempPathFactory, name: str) -> Path:
    here = tmp_path_factory.getbasetemp()
    folder = (here.parent if "PYTEST_XDIST_WORKER" in os.environ else here) / name
    try:
        folder.mkdir()
    except FileExistsError:
        while not (folder / "made").exists():
            assert not (folder / "failed").exists(), "the demo could not be made: see the test that made it"
            sleep(0.1)
        return folder / "demo.sqlite3"
    try:
        _make_demo(folder)
    except BaseException:
        (folder / "failed").touch()
        raise
    (folder / "made").touch()
    return folder / "demo.sqlite3"


def _make_demo(folder: Path) -> None:
    from crewjobs.cli.main import main

    printed = StringIO()
    with redirect_stdout(printed):
        paths = ["--db", str(folder / "demo.sqlite3"), "--out", str(folder / "pages")]
        assert main(["demo", "--no-screens", "--json", *paths]) == 0
    (folder / "printed.json").write_text(printed.getvalue(), encoding="utf-8")


@pytest.fixture
def demo_file(demo_made: Path, tmp_path: Path) -> Path:
    """A copy of the demo's database for one test, to write to."""
    return Path(shutil.copy(demo_made, tmp_path / "demo.sqlite3"))


@pytest.fixture(scope="session")
def shops_kept(tmp_path_factory: pytest.TempPathFactory):
    """The small shops made once, from which the services' tests copy."""
    from tests.services.conftest import Kept

    return Kept(tmp_path_factory.mktemp)


@pytest.fixture(autouse=True)
def no_width_set(monkeypatch: pytest.MonkeyPatch) -> None:
    """Commands print as wide as into a file, however wide the terminal of who runs the tests is said to be."""
    monkeypatch.delenv("COLUMNS", raising=False)


@pytest.fixture(autouse=True)
def no_search_after_planning(monkeypatch: pytest.MonkeyPatch) -> None:
    """Screens and `plan` plan at once only, unless a test asks for more: a search takes the seconds it is given."""
    from crewjobs.cli import looking
    from crewjobs.screens.app import CrewApp

    monkeypatch.setattr(looking, "SECONDS", 0.0)
    monkeypatch.setattr(CrewApp, "LOOK_SECONDS", 0.0)
    monkeypatch.setattr(CrewApp, "LOOK_AFTER_SECONDS", 0.0)
