"""The task templates in force, as rows."""

from __future__ import annotations

from collections.abc import Sequence

from crewjobs.domain.tasks import Catalogue, Driver, TaskTemplate, TemplateOverride
from crewjobs.engines.estimating.estimate import per_man_day
from crewjobs.services.rows import TemplateRow


def template_rows(catalogue: Catalogue, overrides: Sequence[TemplateOverride]) -> tuple[TemplateRow, ...]:
    """Return the templates in the catalogue's order, phase by phase."""
    own = {override.key for override in overrides}
    return tuple(_row(template, template.key in own) for template in catalogue.templates)


def _row(template: TaskTemplate, overridden: bool) -> TemplateRow:
    rate = template.rate
    units = {Driver.ONCE: "", Driver.FIXTURES: " each"}
    unit = units.get(template.driver, f" a {template.driver.value.removesuffix('s')}")
    minutes = f"{rate.low:.3g} / {rate.likely:.3g} / {rate.high:.3g}{unit}"
    if template.fixed:
        minutes += f" + {template.fixed:.3g}"
    pace = per_man_day(template)
    return TemplateRow(
        key=template.key,
        phase=template.phase.value,
        title=template.title,
        minutes=minutes,
        pace=f"{pace:.0f} ft² per man-day" if template.driver is Driver.AREA and pace else "",
        people=template.people,
        overridden=overridden,
        source=template.source,
    )
