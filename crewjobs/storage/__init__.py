"""The database: domain values in, domain values out. The only part of the program that knows SQL."""

from crewjobs.storage.backup import backup
from crewjobs.storage.changes import Change
from crewjobs.storage.database import Database, open_database
from crewjobs.storage.jobs import JobSummary
from crewjobs.storage.paths import default_path
from crewjobs.storage.undo import Taken
from crewjobs.storage.unit_of_work import UnitOfWork

__all__ = ["Change", "Database", "JobSummary", "Taken", "UnitOfWork", "backup", "default_path", "open_database"]
