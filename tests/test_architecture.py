"""The structure holds: what imports what, what is loaded when, what may never be said."""

from __future__ import annotations

import ast
import dataclasses
import importlib
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import crewjobs
import crewjobs.domain
import crewjobs.engines

ROOT = Path(crewjobs.__file__).parent
HEAVY = (
    "textual",
    "sqlalchemy",
    "alembic",
    "pendulum",
    "numpy",
    "ortools",
    "typst",
    "pandas",
    "scipy",
    "cattrs",
    "shapely",
    "icalendar",
    "argcomplete",
)


def loaded_by(code: str) -> set[str]:
    """Return the modules a fresh process has loaded after running some code, whole names and top-level ones."""
    names = "{part for name in sys.modules for part in (name, name.split('.')[0])}"
    ask = f"{code}\nimport sys; print(' '.join(sorted({names})))"
    done = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    return set(done.stdout.split("\n")[-2].split())


def modules_below(package) -> list[str]:
    return [info.name for info in pkgutil.walk_packages(package.__path__, package.__name__ + ".")]


def test_import_contracts_hold():
    """Imports point down only; the faces see neither storage nor engines (pyproject, tool.importlinter)."""
    command = [
        str(Path(sys.executable).parent / "lint-imports"),
        "--config",
        str(ROOT.parent / "pyproject.toml"),
        "--no-cache",
    ]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT.parent)
    assert done.returncode == 0, done.stdout


def test_importing_crewjobs_loads_nothing():
    """`import crewjobs` brings in no module of its own."""
    assert "argparse" not in loaded_by("import crewjobs")


def test_help_loads_nothing_heavy():
    """`crewjobs --help` and every command's own answer without screens, storage, solver or typesetting."""
    code = (
        "from argparse import ArgumentParser\n"
        "from crewjobs.cli.commands import COMMANDS, module_of\n"
        "from crewjobs.cli.main import build_parser\n"
        "build_parser().format_help()\n"
        "for name, _ in COMMANDS: module_of(name).arguments(ArgumentParser())"
    )
    loaded = loaded_by(code)
    assert loaded.isdisjoint(HEAVY)
    assert loaded.isdisjoint({"crewjobs.services.rows", "crewjobs.domain.material"})  # what commands print is theirs


def test_the_screens_load_no_storage_before_they_paint():
    """Importing the screens brings in Textual but no database, no calendar library, no typesetting."""
    loaded = loaded_by("import crewjobs.screens.app")
    assert "textual" in loaded
    assert loaded.isdisjoint(set(HEAVY) - {"textual"})
    assert "crewjobs.services.rows" not in loaded  # what is drawn comes with the first answer


@pytest.mark.parametrize("name", modules_below(crewjobs.domain))
def test_domain_values_are_frozen_slotted_and_named(name):
    """Every dataclass of the domain is immutable, has slots and takes keywords only."""
    module = importlib.import_module(name)
    for value in vars(module).values():
        if isinstance(value, type) and dataclasses.is_dataclass(value) and value.__module__ == name:
            params = value.__dataclass_params__
            assert params.frozen, value
            assert "__slots__" in value.__dict__, value
            assert all(field.kw_only for field in dataclasses.fields(value)), value


def test_only_one_place_commits():
    """A connection's commit is called in one function of the storage, the one that writes the change."""
    calls = []
    for path in (ROOT / "storage").glob("*.py"):
        for function in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(function, ast.FunctionDef):
                commits = [
                    n for n in ast.walk(function) if isinstance(n, ast.Call) and getattr(n.func, "attr", "") == "commit"
                ]
                calls += [f"{path.name}:{function.name}" for _ in commits if "_connection" in ast.dump(commits[0].func)]
    assert len(set(calls)) == 1, calls


def test_no_sentence_of_the_program_calls_anything_safe():
    """The program says what to check and who decides; no text of its own says that something is safe."""
    wrong = []
    for path in [*ROOT.rglob("*.toml"), *ROOT.rglob("*.py"), *ROOT.rglob("*.typ")]:
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            words = (
                line.lower().replace("never says that something is safe", "").replace("says that something is safe", "")
            )
            if " is safe" in words or " are safe" in words or "safe to " in words:
                wrong.append(f"{path.name}:{number}: {line.strip()}")
    assert wrong == []


def test_completing_a_line_opens_no_database():
    """A shell that completes waits for no database library: names are read from the file as it is."""
    loaded = loaded_by("import crewjobs.cli.completing")
    assert loaded.isdisjoint(set(HEAVY) - {"argcomplete"})
