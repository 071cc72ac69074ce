"""Template names the services know."""

from __future__ import annotations

from crewjobs.engines.readiness.house import LOOKING
from crewjobs.files.catalogue import read_catalogue
from crewjobs.services.jobs import known


def test_every_known_template_is_in_the_catalogue():
    """A renamed template cannot silently take a warning or a mark off the page."""
    keys = {template.key for template in read_catalogue().templates}
    named = {value for name, value in vars(known).items() if name.isupper() and isinstance(value, str)}
    assert len(named) >= 6
    assert named | known.READINGS | known.LAYING | LOOKING <= keys
