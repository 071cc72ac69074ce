"""Tasks follow the job without losing what has happened."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from crewjobs.domain.house import Covering, Layer
from crewjobs.domain.job import JobRecord
from crewjobs.domain.tasks import TemplateOverride, ThreePoint
from crewjobs.engines.estimating.expand import expand
from crewjobs.engines.estimating.reconcile import reconcile
from crewjobs.files.catalogue import apply_overrides
from tests import thorough
from tests.engines.estimating.graph import catalogue
from tests.engines.estimating.show import in_halves, one_room
from tests.strategies import START, begun, jobs

some = settings(max_examples=thorough.examples(12, 4), deadline=None)


def made(job):
    """A job's record as loading makes it."""
    return reconcile(JobRecord(job=job), expand(job, catalogue()))


@st.composite
def changes(draw):
    """A record with work begun, and the job it becomes."""
    record = draw(begun(made(draw(jobs(most_rooms=3)))))
    job = draw(jobs(most_rooms=3))
    return replace(record, job=job), expand(job, catalogue())


@some
@given(changes())
def test_reconciling_twice_changes_nothing(change):
    """reconcile(reconcile(r, w), w) is reconcile(r, w)."""
    record, wanted = change
    once = reconcile(record, wanted)
    assert reconcile(once, wanted) == once


@some
@given(changes())
def test_no_task_is_ever_lost_or_renumbered(change):
    """Every number that was there still names the same key, and new ones are higher."""
    record, wanted = change
    after = {task.number: task.key for task in reconcile(record, wanted).tasks}
    before = {task.number: task.key for task in record.tasks}
    assert before.items() <= after.items()
    assert min(after.keys() - before.keys(), default=10**9) > max(before, default=0)
    assert len(set(after.values())) == len(after)


@some
@given(changes())
def test_done_tasks_stay_as_they_were(change):
    """A ticked task is never touched, wanted or not."""
    record, wanted = change
    after = {task.number: task for task in reconcile(record, wanted).tasks}
    for task in record.tasks:
        if task.done_at is not None:
            assert after[task.number] == task


@some
@given(changes())
def test_begun_tasks_keep_their_estimate(change):
    """A started task is not estimated anew; it is only marked where it is no longer wanted."""
    record, wanted = change
    wants = {task.key for task in wanted.tasks}
    after = {task.number: task for task in reconcile(record, wanted).tasks}
    for task in record.tasks:
        if task.started_at is not None and task.done_at is None:
            assert after[task.number] == replace(task, not_needed=task.key not in wants)


@some
@given(changes())
def test_open_tasks_are_exactly_what_is_wanted(change):
    """Beside what is done, what is to do is what the job wants, with today's estimate where untouched."""
    record, wanted = change
    after = reconcile(record, wanted)
    wants = {task.key: task for task in wanted.tasks}
    assert {t.key for t in after.tasks if t.open} == wants.keys() - {t.key for t in after.tasks if t.done_at}
    for task in after.tasks:
        if task.open and task.started_at is None:
            assert (task.estimate, task.quantity, task.stage) == (
                wants[task.key].estimate,
                wants[task.key].quantity,
                wants[task.key].stage,
            )


@some
@given(changes())
def test_links_are_those_wanted(change):
    """Links join the tasks of the wanted ones, none points at a task that is not there or not needed."""
    record, wanted = change
    after = reconcile(record, wanted)
    keys = {task.number: task.key for task in after.tasks}
    assert sorted((keys[link.before], keys[link.after]) for link in after.links) == sorted(
        (link.before, link.after) for link in wanted.links
    )
    unneeded = {task.number for task in after.tasks if task.not_needed}
    assert not unneeded & {number for link in after.links for number in (link.before, link.after)}


@some
@given(jobs())
def test_first_numbers_follow_the_working_order(job):
    """Read by number, every task comes after all it waits for, without a gap from 1."""
    record = made(job)
    assert [task.number for task in record.tasks] == list(range(1, len(record.tasks) + 1))
    assert all(link.before < link.after for link in record.links)


def test_what_is_wanted_again_is_unmarked():
    """Carpet that was struck off and is there after all has its old number back."""
    job = one_room()
    bare = replace(job, rooms=(replace(job.rooms[0], layers=()),))
    first = made(job)
    without = reconcile(replace(first, job=bare), expand(bare, catalogue()))
    again = reconcile(replace(without, job=job), expand(job, catalogue()))
    carpet = next(task for task in first.tasks if task.key.template == "carpet-out")
    assert next(t for t in without.tasks if t.number == carpet.number).not_needed
    assert again == first


def test_a_layer_found_below_adds_its_tasks_only():
    """Vinyl under the carpet, found on opening: new numbers for it, the carpet keeps its own; only the haul gets heavier."""
    job = one_room()
    found = replace(job.rooms[0], layers=(*job.rooms[0].layers, Layer(covering=Covering.SHEET_VINYL)))
    first = made(job)
    after = reconcile(
        replace(first, job=replace(job, rooms=(found,))), expand(replace(job, rooms=(found,)), catalogue())
    )
    added = {task.key.template for task in after.tasks[len(first.tasks) :]}
    assert added == {"sampling", "laboratory-answer", "sheet-vinyl-out"}
    kept = after.tasks[: len(first.tasks)]
    assert [task for task in kept if not task.key.template.startswith("haul-")] == [
        task for task in first.tasks if not task.key.template.startswith("haul-")
    ]
    assert [(task.number, task.key) for task in kept] == [(task.number, task.key) for task in first.tasks]


def test_a_running_wait_stays_as_it_was_at_the_tick():
    """The shop's new hours for leveler hold for the next pour, not for the one that cures already."""
    job = in_halves()
    record = made(job)
    pours = [task for task in record.tasks if task.key.template == "pour-leveler"]
    done = replace(record, tasks=tuple(replace(t, done_at=START) if t == pours[0] else t for t in record.tasks))
    longer = apply_overrides(catalogue(), [TemplateOverride(key="pour-leveler", waits=(("leveler cures", 4320),))])
    after = reconcile(done, expand(job, longer))
    waits = {
        n: {link.wait_min for link in after.links if link.before == n and link.name == "leveler cures"}
        for n in (p.number for p in pours)
    }
    assert waits == {pours[0].number: {1440}, pours[1].number: {4320}}


def test_a_wait_at_most_stays_as_it_was_at_the_tick():
    """The shop's new hours for primer hold for the next section, not for the one that is primed already."""
    job = in_halves()
    record = made(job)
    primed, other = (task for task in record.tasks if task.key.template == "prime")
    done = replace(record, tasks=tuple(replace(t, done_at=START) if t == primed else t for t in record.tasks))
    own = apply_overrides(catalogue(), [TemplateOverride(key="prime", at_most=(("primer dries", 600),))])
    after = reconcile(done, expand(job, own))
    most = {link.before: link.most_min for link in after.links if link.most_min is not None}
    assert most == {primed.number: 1440, other.number: 600}


def test_a_shops_own_rate_reaches_untouched_tasks():
    """A changed template estimates open tasks anew and leaves the begun one alone."""
    job = in_halves()
    record = made(job)
    lays = [task for task in record.tasks if task.key.template == "lay-floating-wood"]
    begun_one = replace(record, tasks=tuple(replace(t, started_at=START) if t == lays[0] else t for t in record.tasks))
    faster = ThreePoint(low=0.5, likely=0.6, high=0.7)
    after = reconcile(
        begun_one,
        expand(job, apply_overrides(catalogue(), [TemplateOverride(key="lay-floating-wood", minutes=faster)])),
    )
    estimates = {task.number: task.estimate for task in after.tasks}
    assert estimates[lays[0].number] == lays[0].estimate
    assert estimates[lays[1].number].expected < lays[1].estimate.expected / 2
