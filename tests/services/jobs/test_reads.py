"""What a list, a week or a day's pages ask of the database does not grow with what is in them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date

from sqlalchemy import Engine, event

from tests.services.conftest import JOB, Shop

THURSDAY = date(2026, 3, 5)


@contextmanager
def statements() -> Iterator[Counter[str]]:
    """Count the statements executed meanwhile, each by its text."""
    seen: Counter[str] = Counter()

    def executed(*args: object) -> None:
        seen[str(args[2])] += 1

    event.listen(Engine, "before_cursor_execute", executed)
    try:
        yield seen
    finally:
        event.remove(Engine, "before_cursor_execute", executed)


def asked(read: Callable[[], object]) -> Counter[str]:
    """Return the statements that a read takes."""
    with statements() as seen:
        read()
    return seen


def test_a_week_reads_who_is_away_once_and_not_once_a_day(shop: Shop) -> None:
    """Its seven days share what is read; the plan in force reads it for itself."""
    shop.office.plan()
    seen = asked(shop.office.week)
    assert max(count for text, count in seen.items() if "FROM away" in text) <= 2


def test_the_pages_of_a_day_take_as_many_queries_for_three_people_as_for_one(shop: Shop) -> None:
    """The plan and its jobs are read once for all crews and for everybody with small visits."""
    shop.office.plan()

    def pages() -> str:
        return shop.office.day_plan_text(THURSDAY, "")

    shop.office.plan_visit(4, "site-check", at="thu 9:00", who="Ines", leaves_crew=True)
    one = asked(pages)
    shop.office.plan_visit(4, "reading", at="thu 9:00", who="Tobiah", leaves_crew=True)
    shop.office.plan_visit(4, "site-check", at="thu 11:00", who="Maeve", leaves_crew=True)
    text = pages()
    assert all(name in text for name in ("INES VARGA", "TOBIAH LUND", "MAEVE OSTROW"))
    live = {text: count for text, count in one.items() if "job.state IN" in text}
    assert live
    three = asked(pages)
    assert {text: three[text] for text in live} == live


def test_a_callback_is_told_its_finished_job_without_reading_that_whole(shop: Shop) -> None:
    """The page of a callback takes as many queries as that of the job it comes back to."""
    shop.clock.set("2026-03-03", "10:30")
    shop.office.arrived(4, "", 9, in_rooms=True)
    shop.office.tick(4, [task.number for task in shop.record().tasks if task.open], because="set up by the test")
    old = sum(asked(lambda: shop.office.job(4)).values())
    shop.office.callback(4, "swap the board that clicks")
    assert sum(asked(lambda: shop.office.job(5)).values()) <= old


def test_loading_reads_no_house_anew_for_each_small_visit(shop: Shop) -> None:
    """What is loaded is held against all small visits to come; their live houses are read together."""
    text = JOB.replace("number = 4", "number = 6").replace("9 Quarry Road", "2 Ames Lane")

    def single() -> int:
        seen = asked(lambda: shop.office.load([shop.file("ames.toml", text)], replace=True))
        return sum(count for text, count in seen.items() if "FROM job" in text and "job.number = ?" in text)

    shop.office.plan()
    shop.office.load([shop.file("ames.toml", text)])
    shop.office.plan_visit(4, "site-check", at="thu 9:00", who="Ines", leaves_crew=True)
    one = single()
    shop.office.plan_visit(4, "reading", at="thu 9:00", who="Tobiah", leaves_crew=True)
    shop.office.plan_visit(4, "site-check", at="thu 11:00", who="Maeve", leaves_crew=True)
    assert single() == one
