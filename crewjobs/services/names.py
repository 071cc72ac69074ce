"""Names to complete a typed line with; read without opening the database, so that a shell is answered at once."""

from crewjobs.storage.names_at import names_at as names_at

__all__ = ["names_at"]
