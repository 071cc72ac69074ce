"""What furniture stages hang on, as a hash: it differs once the house was changed since they were found."""

from __future__ import annotations

from hashlib import sha256

from crewjobs.domain.job import Job


def basis_of(job: Job) -> str:
    """Return a hash of all that furniture stages hang on; it differs once the house was changed."""
    site = job.site
    seen = (
        job.rooms,
        job.openings,
        job.materials,
        job.orders,
        job.starts,
        site.occupied,
        site.beds,
        bool(site.toilet_meanwhile),
    )
    return sha256(repr(seen).encode()).hexdigest()[:16]
