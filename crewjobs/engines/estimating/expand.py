"""From a job to the tasks it wants and what waits for what.

A template makes one instance for every place it applies in. Its `after` names templates: each instance of
those that shares a place with it comes before it. Where a named one has none there, its own `after` takes
its place, so the order survives templates that do not apply. Nothing waits for a later stage, so the
order has no circle: stages only rise, and inside one the templates' own order holds.
"""

from __future__ import annotations

from collections.abc import Collection

from crewjobs.domain.job import Job
from crewjobs.domain.moves import MovesPlan
from crewjobs.domain.tasks import Catalogue, Caution, Driver, ScopeKind, Task, TaskKey, TaskTemplate
from crewjobs.engines.estimating.done_in import places_worked
from crewjobs.engines.estimating.instances import Instance, instances_of, work_of
from crewjobs.engines.estimating.links import links_of, working_order
from crewjobs.engines.estimating.places import Facts, facts_of, fits, place_facts
from crewjobs.engines.estimating.sizing import estimate, least_people, quantity
from crewjobs.engines.estimating.wanted import Wanted, WantedTask


def expand(
    job: Job, catalogue: Catalogue, moves: MovesPlan | None = None, taken_off: Collection[TaskKey] = ()
) -> Wanted:
    """Return the tasks a job wants, in working order, and their links; `moves` are its furniture stages in force, if any.

    Rooms without a new floor make none but what was agreed to be done in them. Layers whose taking out is among the tasks
    `taken_off` the job are nothing to haul.
    """
    made = instances_of(job, catalogue, moves)
    stays = frozenset(
        (atom, one.layer) for one in made if one.layer is not None and one.key in taken_off for atom in one.atoms
    )
    sized = [(instance, quantity(job, instance, stays)) for instance in made]
    amounts = {instance.key: amount for instance, amount in sized if amount > 0}
    instances = [instance for instance, amount in sized if amount > 0]
    links = links_of(job, catalogue, instances)
    tasks = tuple(_task(job, instance, amounts[instance.key], moves) for instance in working_order(instances, links))
    return Wanted(tasks=tasks, links=links)


def _task(job: Job, instance: Instance, amount: float, moves: MovesPlan | None) -> WantedTask:
    template, least = instance.template, least_people(job, instance)
    return WantedTask(
        key=instance.key,
        title=_title(job, template, instance.key),
        phase=template.phase,
        stage=instance.stage,
        quantity=amount,
        unit=template.driver,
        estimate=estimate(job, instance, amount),
        people=least if template.driver is Driver.HOURS else max(template.people, least),
        least_people=least,
        pause=template.pause,
        skill=template.skill,
        needs_material=_material(job, instance) if template.needs_material else None,
        needs_goods=template.needs_goods,
        card=_card(job, instance),
        elevator=template.elevator,
        places=places_worked(job, instance, moves),
    )


def _title(job: Job, template: TaskTemplate, key: TaskKey) -> str:
    if template.driver is Driver.HOURS:
        return work_of(job, key).title
    return template.title + (f" ({key.cause})" if key.cause else "")


def _card(job: Job, instance: Instance) -> str:
    """Return the card somebody on the task must hold in this place; empty where none is asked.

    All cards there are come of a rule of the United States: elsewhere the local rules say who may work at old paint.
    """
    template = instance.template
    if not job.site.us_rules:
        return ""
    asked = template.card and any(fits(template.card_applies, facts) for facts in facts_of(job, instance.key.scope))
    return template.card if asked else ""


def _material(job: Job, instance: Instance) -> str | None:
    scope = instance.key.scope
    match scope.kind:
        case ScopeKind.ROOM | ScopeKind.SECTION:
            return job.room(scope.name).floor
        case ScopeKind.STAIRS:
            return next(flight.floor for flight in job.stairs if flight.name == scope.name)
        case ScopeKind.MATERIAL:
            return scope.name
        case ScopeKind.OPENING | ScopeKind.JOB | ScopeKind.STAGE:
            return None


def cautions_for(job: Job, task: Task | WantedTask, catalogue: Catalogue) -> tuple[Caution, ...]:
    """Return what to check before a task, first things first: the cautions its template names that fit its place.

    Where the job no longer has the place, all of them are said. Work agreed in words is looked at where it is, also
    in a room without a new floor.
    """
    template: TaskTemplate | None = catalogue.template(task.key.template)
    if template is None:
        return ()
    places: tuple[Facts, ...] = (
        place_facts(job, task.key.scope) if template.driver is Driver.HOURS else facts_of(job, task.key.scope)
    )
    return tuple(
        caution
        for caution in sorted(catalogue.cautions, key=lambda caution: (caution.order, caution.key))
        if caution.key in template.cautions and (not places or any(fits(caution.applies, facts) for facts in places))
    )
