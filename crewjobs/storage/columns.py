"""What tables are made of: column kinds, keys, rules with their sentence."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    JSON,
    Boolean,
    CheckConstraint,
    Column,
    Date,
    Dialect,
    Float,
    ForeignKeyConstraint,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Text,
)
from sqlalchemy.types import TypeDecorator

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class Instant(TypeDecorator[datetime]):
    """An aware instant as UTC text of one fixed width, so that text order is time order."""

    impl = String(27)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:  # noqa: ARG002
        """Return the text to store."""
        return None if value is None else instant_text(value)

    def process_result_value(self, value: str | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Return the stored instant."""
        return None if value is None else datetime.fromisoformat(value)


def instant_text(instant: datetime) -> str:
    """Return an aware instant as ``2026-03-02T12:30:00.000000Z``.

    Raises:
        ValueError: the instant has no zone.
    """
    if instant.tzinfo is None:
        raise ValueError(f"{instant!r} has no zone")
    return instant.astimezone(UTC).isoformat(timespec="microseconds").removesuffix("+00:00") + "Z"


def check(name: str, rule: str, sentence: str) -> CheckConstraint:
    """Return a rule of the database, with the sentence a person reads when it says no."""
    return CheckConstraint(rule, name=name, info={"sentence": sentence})


def key(*columns: str) -> PrimaryKeyConstraint:
    """Return the primary key."""
    return PrimaryKeyConstraint(*columns)


def refers(columns: list[str], to: list[str]) -> ForeignKeyConstraint:
    """Return a foreign key, checked at the commit; it deletes and empties nothing by itself."""
    return ForeignKeyConstraint(columns, to, deferrable=True, initially="DEFERRED")


def text(name: str) -> Column[Any]:
    """Return a column of text."""
    return Column(name, Text, nullable=False)


def whole(name: str, *, nullable: bool = False) -> Column[Any]:
    """Return a column of whole numbers."""
    return Column(name, Integer, nullable=nullable, autoincrement=False)


def number(name: str, *, nullable: bool = False) -> Column[Any]:
    """Return a column of numbers."""
    return Column(name, Float, nullable=nullable)


def flag(name: str) -> Column[Any]:
    """Return a column of yes or no."""
    return Column(name, Boolean, nullable=False)


def nested(name: str) -> Column[Any]:
    """Return a column that keeps a small value in its plain form."""
    return Column(name, JSON, nullable=False)


def raw(name: str) -> Column[Any]:
    """Return a column of bytes."""
    return Column(name, LargeBinary, nullable=False)


def maybe(name: str) -> Column[Any]:
    """Return a column that keeps a small value in its plain form, or nothing."""
    return Column(name, JSON(none_as_null=True))


def instant(name: str, *, nullable: bool = False) -> Column[Any]:
    """Return a column of instants in UTC."""
    return Column(name, Instant, nullable=nullable)


def day(name: str, *, nullable: bool = False) -> Column[Any]:
    """Return a column of dates."""
    return Column(name, Date, nullable=nullable)
