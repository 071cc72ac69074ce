"""Which revision a database is of, making a new one, and bringing an old one up to date."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, Engine, text

from crewjobs.domain.errors import Refused
from crewjobs.domain.units import quoted
from crewjobs.storage.backup import backup
from crewjobs.storage.records import metadata

HEAD: Final = "0020"
"""The newest revision in migrations/; known here so that starting needs no Alembic. Revisions count up, four digits."""

VERSION_TABLE: Final = "alembic_version"


def migrations_folder() -> Path:
    """Return where the migrations are: in the package of a wheel, at the top level of a checkout."""
    package = Path(__file__).resolve().parents[1]
    bundled = package / "_bundled" / "migrations"
    return bundled if bundled.is_dir() else package.parent / "migrations"


def revision_of(
    connection: sqlite3.Connection, path: Path, otherwise: str = "choose the right file with --db"
) -> str | None:
    """Return the revision of a database, None if it is empty; `otherwise` says what to do where it is none of crewjobs.

    Raises:
        Refused: it is a database of something else, or of a newer program.
    """
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not tables:
        return None
    shown = quoted(str(path), most=200)
    found = (
        connection.execute(f"SELECT version_num FROM {VERSION_TABLE}").fetchone() if VERSION_TABLE in tables else None
    )
    revision = str(found[0]) if found else ""
    if not revision.isdecimal() or "change" not in tables:
        raise Refused(f"{shown} is a database of another program: {otherwise}.")
    if revision > HEAD:
        raise Refused(
            f"{shown} was written by a newer version of crewjobs (revision {revision}, this one knows {HEAD}): "
            "update crewjobs; nothing was changed."
        )
    return revision


def create(engine: Engine) -> None:
    """Make the tables of the newest revision in an empty database.

    Not by running the migrations: that costs Alembic's import. A test holds both to the same schema.
    """
    with engine.begin() as connection:
        if connection.execute(text("SELECT count(*) FROM sqlite_master")).scalar():
            return  # another program made them meanwhile
        metadata.create_all(connection, checkfirst=False)
        connection.execute(
            text(
                f"CREATE TABLE {VERSION_TABLE} (version_num VARCHAR(32) NOT NULL, "
                f"CONSTRAINT {VERSION_TABLE}_pkc PRIMARY KEY (version_num))"
            )
        )
        connection.execute(text(f"INSERT INTO {VERSION_TABLE} VALUES (:revision)"), {"revision": HEAD})


def migrate(engine: Engine, path: Path) -> Path | None:
    """Bring an older database up to date in one transaction and return the backup made before.

    None if another program did it meanwhile. Foreign keys are off while tables are rebuilt (a rebuilt parent
    would take its children along) and checked as a whole before the commit.

    Raises:
        Refused: rows would not fit the new schema; nothing was changed.
    """
    with _without_foreign_keys(engine) as connection:
        old = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
        if old == HEAD:
            return None
        copy = backup(path, suffix=f"before-update-of-{old}")
        try:
            _upgrade(connection, path)
        except BaseException:
            copy.unlink()  # the database is as it was
            raise
    return copy


def _upgrade(connection: Connection, path: Path) -> None:
    from alembic import command
    from alembic.config import Config
    from alembic.util import CommandError

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    try:
        command.upgrade(config, "head")
    except CommandError:
        raise Refused(
            f"{quoted(str(path), most=200)} says it is of a revision this program never had: "
            "go back to a backup of it; nothing was changed."
        ) from None
    broken = connection.execute(text("PRAGMA foreign_key_check")).all()
    if broken:
        raise Refused(
            f"{quoted(str(path), most=200)} cannot be brought up to date: {len(broken)} rows of "
            f"{', '.join(sorted({row[0] for row in broken}))} stand on rows that are not there; nothing was changed."
        )


@contextmanager
def _without_foreign_keys(engine: Engine) -> Iterator[Connection]:
    with engine.connect() as connection:
        # The pragma does nothing inside a transaction, and SQLAlchemy begins one with the first statement.
        driver = connection.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        driver.execute("PRAGMA foreign_keys = OFF")
        with connection.begin():
            yield connection
