"""Which tasks stand side by side."""

from datetime import time

from hypothesis import given
from hypothesis import strategies as st

from crewjobs.paper.lanes import stretches
from crewjobs.paper.model import TaskLine


def task(title: str, start: int | None, end: int | None, *who: str) -> TaskLine:
    """A task by its hours."""
    return TaskLine(
        title=title,
        at=None if start is None else time(start),
        until=None if end is None else time(end),
        initials=who,
    )


def shape(*tasks: TaskLine) -> list[list[str]]:
    """Per stretch, per lane, the titles."""
    return [["".join(t.title for t in lane.tasks) for lane in stretch.lanes] for stretch in stretches(tasks)]


def test_people_who_work_apart_stand_side_by_side() -> None:
    """Tasks that overlap and share nobody are two lanes; what follows for all is a plain list."""
    assert shape(task("a", 8, 10, "IV"), task("b", 8, 9, "TL"), task("c", 9, 10, "TL"), task("d", 10, 11)) == [
        ["a", "bc"],
        ["d"],
    ]


def test_lanes_keep_the_order_of_the_tasks() -> None:
    """Lanes that begin together stand in the order in which their tasks were given."""
    given_order = [["a", "bd", "c"]]
    assert (
        shape(task("a", 8, 12, "IV"), task("b", 8, 10, "TL"), task("c", 8, 9, "RA"), task("d", 10, 11, "TL"))
        == given_order
    )


def test_one_after_the_other_is_one_list() -> None:
    """Tasks that only meet at an end stay one list, whoever does them."""
    assert shape(task("a", 8, 9, "IV"), task("b", 9, 10, "TL"), task("c", 10, 11, "IV")) == [["abc"]]


def test_people_who_share_a_task_share_a_lane() -> None:
    """A task of two joins what each of them does in that stretch."""
    assert shape(
        task("a", 8, 12, "RA"), task("b", 8, 9, "IV"), task("c", 8, 9, "TL"), task("d", 9, 10, "IV", "TL")
    ) == [["a", "bcd"]]


def test_the_whole_crew_ends_a_stretch() -> None:
    """A task without initials is for everybody and stands alone."""
    assert shape(task("a", 8, 12, "IV"), task("b", 8, 12, "TL"), task("c", 9, 10), task("d", 11, 12, "RA")) == [
        ["a", "b"],
        ["cd"],
    ]


def test_without_a_time_comes_last() -> None:
    """Tasks on hold have no time and follow the others in the order given."""
    assert shape(task("x", None, None), task("y", None, None, "IV"), task("a", 8, 9, "IV")) == [["axy"]]


TASKS = st.lists(
    st.builds(
        task,
        st.uuids().map(str),
        st.none() | st.integers(0, 23),
        st.none() | st.integers(0, 23),
        st.sampled_from(["A", "B", "C"]),
    ),
    max_size=12,
)


@given(TASKS)
def test_every_task_once_and_nobody_in_two_lanes(tasks: list[TaskLine]) -> None:
    """No task is lost or doubled, and side by side never shows a person twice."""
    found = stretches(tasks)
    titles = [t.title for stretch in found for lane in stretch.lanes for t in lane.tasks]
    assert sorted(titles) == sorted(t.title for t in tasks)
    for stretch in found:
        people = [mark for lane in stretch.lanes for mark in lane.initials]
        assert len(people) == len(set(people))
