"""The database: domain values in, domain values out. The only part of the program that knows SQL.

Its names are loaded when they are asked for: what only looks a name up in a file (`names_at`, `units_at`) pays for no SQLAlchemy.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from crewjobs.storage.changes import Change
    from crewjobs.storage.database import Database, open_database
    from crewjobs.storage.jobs import JobSummary
    from crewjobs.storage.paths import default_path
    from crewjobs.storage.undo import Taken
    from crewjobs.storage.unit_of_work import UnitOfWork

__all__ = ["Change", "Database", "JobSummary", "Taken", "UnitOfWork", "default_path", "open_database"]

_MODULES = {
    "Change": "changes",
    "Database": "database",
    "JobSummary": "jobs",
    "Taken": "undo",
    "UnitOfWork": "unit_of_work",
    "default_path": "paths",
    "open_database": "database",
}


def __getattr__(name: str) -> Any:
    """Return a name of the storage from its module."""
    if name not in _MODULES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_MODULES[name]}"), name)
