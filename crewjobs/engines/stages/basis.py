"""What furniture stages hang on, as a hash: it differs once the house was changed since they were found."""

from __future__ import annotations

from hashlib import sha256

from crewjobs.domain.job import Job


def basis_of(job: Job) -> str:
    """Return a hash of all that furniture stages hang on; it differs once the house was changed."""
    site = job.site
    led = [(s.name, s.steps, s.width, s.between, s.floor is not None) for s in job.stairs if s.between]
    seen = (
        [
            (
                r.name,
                r.outline,
                r.storey,
                r.layers,
                r.floor,
                r.level_ft2,
                r.patch_ft2,
                r.fixtures,
                r.furniture,
                r.cuts,
                r.keeps,
                r.power,
            )
            for r in job.rooms
        ],
        [(o.between, o.parts, o.width, o.door, o.rated, o.transition, o.distance, o.steps) for o in job.openings],
        [(m.name, m.kind, m.method, m.plank_width, m.plank_length, m.carton_ft2, m.carton_lb) for m in job.materials],
        job.orders,
        job.starts,
        site.occupied,
        site.beds,
        bool(site.toilet_meanwhile),
        *([led] if led else ()),  # nothing where there are none: what was found for such a house keeps its hash
    )
    return sha256(repr(seen).encode()).hexdigest()[:16]
