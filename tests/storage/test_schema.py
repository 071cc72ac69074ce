"""The revisions: the newest one made directly equals the one migrated to, and old databases grow without losing a row."""

from __future__ import annotations

import ast
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine

from crewjobs.domain.crew import DayHours
from crewjobs.domain.errors import Refused
from crewjobs.domain.plan import Pin
from crewjobs.domain.wall import Span
from crewjobs.storage import columns, open_database, records, schema
from crewjobs.storage import database as database_module
from tests import thorough
from tests.storage.actions import NOW, add, house, job, log, planned, shop

EXTRA = """
import sqlalchemy as sa
from alembic import op

revision = "{next}"
down_revision = "{head}"


def upgrade():
    with op.batch_alter_table("job", recreate="always") as batch:
        batch.add_column(sa.Column("color", sa.Text(), nullable=False, server_default="blue"))
    {more}
"""

OLD, NEXT = schema.HEAD, f"{int(schema.HEAD) + 1:04d}"


def engine(path):
    """Return the engine that writes to a file."""
    return database_module._engine(path, database_module.WRITE)


def shape(path):
    """Return every table and index with its lines, in whatever order constraints are written."""
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("SELECT type, name, sql FROM sqlite_master").fetchall()
    plain = {
        (kind, name): (sql or "").replace('"', "") for kind, name, sql in rows
    }  # a table rebuilt has its name quoted
    return {key: sorted(line.strip(" ,\t") for line in sql.splitlines()) for key, sql in plain.items()}


def contents(path):
    """Return all rows of all tables."""
    with closing(sqlite3.connect(path)) as connection:
        return {name: connection.execute(f'SELECT * FROM "{name}"').fetchall() for name in records.metadata.tables}


@pytest.fixture
def migrated(tmp_path):
    """Return a database made by running every migration from nothing."""
    path = tmp_path / "migrated.sqlite3"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))")  # fmt: skip
    schema.migrate(engine(path), path)
    return path


@pytest.fixture
def newer(tmp_path, monkeypatch):
    """Return a function that gives the program one more revision, whose migration also runs `more`."""

    def give(more=""):
        folder = tmp_path / "migrations"
        shutil.copytree(schema.migrations_folder(), folder, ignore=shutil.ignore_patterns("__pycache__"))
        text = EXTRA.format(more=more, head=schema.HEAD, next=NEXT)
        (folder / "versions" / f"{NEXT}_extra.py").write_text(text)
        monkeypatch.setattr(schema, "migrations_folder", lambda: folder)
        monkeypatch.setattr(schema, "HEAD", NEXT)

    return give


def test_head_is_the_only_head_of_the_migrations():
    """The constant that spares Alembic at start-up is the newest revision, and revisions count up."""
    config = Config()
    config.set_main_option("script_location", str(schema.migrations_folder()))
    script = ScriptDirectory.from_config(config)
    assert script.get_heads() == [schema.HEAD]
    numbers = [revision.revision for revision in script.walk_revisions("base", "heads")]
    assert numbers == [f"{number:04d}" for number in range(len(numbers), 0, -1)]


def test_a_new_database_equals_a_migrated_one(database, migrated):
    """Made directly or through every migration, tables, columns, constraints and indexes are the same."""
    assert shape(database.path) == shape(migrated)
    assert contents(database.path) == contents(migrated)


def test_alembic_finds_nothing_to_change(migrated):
    """Alembic's own comparison sees no difference between the tables in code and the migrated ones."""
    with create_engine(f"sqlite:///{migrated}").connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), records.metadata) == []


def test_every_constraint_has_a_name():
    """A constraint without a name could not be changed by a later migration."""
    constraints = [c for table in records.metadata.tables.values() for c in (*table.constraints, *table.indexes)]
    assert [c for c in constraints if not c.name] == []


def test_every_check_has_a_sentence():
    """When the database says no, a person reads why."""
    checks = [c for table in records.metadata.tables.values() for c in table.constraints if hasattr(c, "sqltext")]
    assert checks
    assert all(check.info["sentence"].endswith(".") for check in checks)


def test_opening_a_database_of_this_revision_loads_no_alembic(database):
    """Alembic is imported only when there is something to migrate."""
    code = f"import sys, pathlib, crewjobs.storage as s; s.open_database(pathlib.Path({str(database.path)!r})); print('alembic' in sys.modules, 'sqlalchemy.orm' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.split() == ["False", "False"]


def test_the_wheel_brings_the_migrations_along(tmp_path, monkeypatch):
    """In an installed package the migrations are found inside it."""
    package = tmp_path / "crewjobs"
    (package / "storage").mkdir(parents=True)
    bundled = package / "_bundled" / "migrations"
    monkeypatch.setattr(schema, "__file__", str(package / "storage" / "schema.py"))
    assert schema.migrations_folder() == tmp_path / "migrations"
    bundled.mkdir(parents=True)
    assert schema.migrations_folder() == bundled


def test_an_older_database_grows_without_losing_a_row(database, newer):
    """A migration that rebuilds a table on which others stand keeps every row of all of them."""
    add(database)
    planned(database)
    before = contents(database.path)
    newer()
    open_database(database.path)
    after = contents(database.path)
    after["job"] = [row[:-1] for row in after["job"]]
    assert after == before
    with closing(sqlite3.connect(database.path)) as connection:
        assert connection.execute("SELECT color FROM job").fetchall() == [("blue",)]
        assert connection.execute("SELECT version_num FROM alembic_version").fetchall() == [(NEXT,)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    assert log(open_database(database.path))[0] == (1, "added", None)


def test_the_state_before_a_migration_lies_beside_the_file(database, newer):
    """A backup is made before anything is migrated."""
    add(database)
    before = contents(database.path)
    newer()
    open_database(database.path)
    copy = database.path.with_name(f"shop.sqlite3.before-update-of-{OLD}")
    assert contents(copy) == before


OLDER = [("0001", {"asked": (), "answers": ()}), ("0003", {}), ("0002", {})]


@pytest.mark.parametrize(("revision", "lacked"), thorough.of(OLDER, 2))
def test_a_database_of_an_older_revision_keeps_its_rows(database, tmp_path, revision, lacked):
    """Every row of an older database is there after all later migrations, with what it lacked filled in.

    A pin is among them: it loses its foreign key to the crew, and is kept.
    """
    add(database)
    planned(database)
    pin = Pin(job=1, task=1, crew="North", day=date(2026, 3, 4))
    with database.unit_of_work() as uow:
        uow.save_shop(shop("North"))
        uow.save_pin(pin)
        uow.commit("pinned", at=NOW)
    old = tmp_path / "old.sqlite3"
    with closing(sqlite3.connect(old)) as connection:
        connection.execute("CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))")  # fmt: skip
    with engine(old).begin() as connection:
        config = Config(attributes={"connection": connection})
        config.set_main_option("script_location", str(schema.migrations_folder()))
        command.upgrade(config, revision)
    with closing(sqlite3.connect(old)) as connection:
        connection.execute("ATTACH ? AS new", (str(database.path),))
        tables = [name for (name,) in connection.execute("SELECT name FROM main.sqlite_master WHERE type = 'table'")]
        for table in tables:
            names = ", ".join(f'"{row[1]}"' for row in connection.execute(f'PRAGMA main.table_info("{table}")'))
            if table != "alembic_version":
                connection.execute(f'INSERT INTO main."{table}" ({names}) SELECT {names} FROM new."{table}"')
        connection.commit()
    grown = open_database(old)
    wanted = contents(database.path)
    assert {name: wanted[name] for name in tables if name in wanted} == {
        name: sorted_as(database.path, old, name) for name in tables if name in wanted
    }
    assert job(grown) == replace(job(database), **lacked)  # what that revision could not keep
    with grown.unit_of_work() as uow:
        assert uow.pins() == (pin,)
        part = replace(pin, task=2, crew="North, half of it")  # no crew of the shop
        uow.save_pin(part)
        uow.commit("pinned", at=NOW)
        assert uow.pins() == (pin, part)
        hours = DayHours(crew="North", day=date(2026, 3, 7), spans=(Span(start=480, end=720),), why="stock-taking")
        assert uow.day_hours() == ()
        uow.save_day_hours(hours)
        uow.commit("hours", at=NOW)
        assert (uow.day_hours(), uow.shop().crews[0].hours.on(hours.day)) == ((hours,), hours.spans)


def sorted_as(one, other, table):
    """Return the rows of a table of another file with the columns in the order of one."""
    with closing(sqlite3.connect(one)) as first, closing(sqlite3.connect(other)) as second:
        names = ", ".join(f'"{row[1]}"' for row in first.execute(f'PRAGMA table_info("{table}")'))
        return second.execute(f'SELECT {names} FROM "{table}"').fetchall()


@pytest.mark.parametrize(
    ("more", "error"),
    [
        ('op.execute("DELETE FROM task")', Refused),  # links and holds would stand on nothing
        ('raise ZeroDivisionError("half-way")', ZeroDivisionError),
    ],
)
def test_a_migration_that_fails_changes_nothing(database, newer, more, error):
    """Neither rows left without what they stand on nor a failure half-way leaves a trace in the database."""
    add(database)
    before, old = contents(database.path), shape(database.path)
    newer(more)
    with pytest.raises(error):
        open_database(database.path)
    assert (contents(database.path), shape(database.path)) == (before, old)
    assert list(database.path.parent.glob("*before-update*")) == []


def test_a_database_migrated_by_another_program_meanwhile_is_not_migrated_again(database, newer):
    """Two programs that start at once migrate once."""
    add(database)
    newer()
    open_database(database.path)
    assert schema.migrate(engine(database.path), database.path) is None


def test_two_programs_that_make_the_database_at_once_make_it_once(database):
    """Making the tables again, because another program was quicker, does nothing."""
    add(database)
    schema.create(engine(database.path))
    assert job(database) == house()


def test_nothing_in_the_tables_is_of_one_database_only():
    """The tables name no dialect, so that another database could hold them."""
    files = [Path(module.__file__) for module in (records, records.shop_records, columns)]
    nodes = [node for file in files for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))]
    names = {node.arg for node in nodes if isinstance(node, ast.keyword) and node.arg}
    modules = {node.module for node in nodes if isinstance(node, ast.ImportFrom)}
    assert not [name for name in names if name.startswith(("sqlite_", "postgresql_", "mysql_"))]
    assert not [module for module in modules if module and "dialects" in module]
