"""Which cautions belong to which work, in the order to act in."""

from __future__ import annotations

from collections.abc import Iterable

from crewjobs.domain.tasks import Catalogue, Caution, Task


def cautions_of(tasks: Iterable[Task], catalogue: Catalogue) -> tuple[Caution, ...]:
    """Return the cautions of tasks, each once, in their order.

    Where a caution hangs on the house (its year, a suspect layer), `expand` makes the task only there.
    """
    wanted = {key for task in tasks if (t := catalogue.template(task.key.template)) for key in t.cautions}
    return tuple(sorted((c for c in catalogue.cautions if c.key in wanted), key=lambda c: (c.order, c.key)))
