"""Others a job waits for: asked, promised, chased, there."""

from __future__ import annotations

import pytest

from crewjobs.cli.waiting import waiting_text
from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.waits import WaitState
from tests.builders import central
from tests.services.conftest import JOB, Shop


def row(shop):
    (found,) = [r for r in shop.office.waiting() if r.what.startswith("plumber")]
    return found


def ask(shop, **given):
    return shop.office.ask(4, "plumber", "gas shut off", **given)


def test_what_was_asked_holds_its_tasks_until_it_is_there(shop):
    """The walk-through waits for it, the tick is refused with whom to ask, and is taken once it came."""
    look = shop.number_of("walk-through-before")
    done = ask(shop, holds=[look])
    assert done.sentence == "Job 4: the plumber asked for 'gas shut off'."
    assert done.then[0].startswith(f"Until it is there it holds task {look} ")
    with pytest.raises(OnHold, match="waits for the plumber: gas shut off, asked Mon 2 Mar"):
        shop.office.tick(4, [look])
    shop.clock.set("2026-03-02", "08:00")
    assert shop.office.came(4, "plumber").then[0].startswith("It no longer holds ")
    assert "done" in shop.office.tick(4, [look]).sentence


def test_what_was_done_before_the_asking_is_not_held_by_it(shop):
    """Asked at noon, it holds the afternoon; the morning of that day went by without it."""
    look = shop.number_of("walk-through-before")
    shop.clock.set("2026-03-02", "13:00")
    ask(shop, holds=[look], at="12:00")
    with pytest.raises(OnHold, match="waits for the plumber"):
        shop.office.tick(4, [look], at="12:30")
    assert "done" in shop.office.tick(4, [look], at="11:30").sentence


def test_tasks_may_be_named_by_their_template(shop):
    """Every open task of the template is held; a template without any is refused."""
    ask(shop, template="lay-click-vinyl")
    assert shop.record().waiting_on[0].holds == (shop.number_of("lay-click-vinyl"),)
    with pytest.raises(Refused, match="job 4 has no open task of template 'lay-parquet'"):
        shop.office.ask(4, "painter", "second coat", template="lay-parquet")


def test_the_row_follows_asked_promised_late(shop):
    """Without a date it is asked, with one promised, past it late; each says since when and whom to call."""
    ask(shop)
    assert (row(shop).state, row(shop).call[:29]) == (WaitState.ASKED, "chase the plumber for a date;")
    shop.office.promised(4, "plumber", "wed 12:00")
    assert (row(shop).state, row(shop).ready_at) == (WaitState.PROMISED, central("2026-03-04", "12:00"))
    shop.clock.set("2026-03-04", "12:30")
    late = row(shop)
    assert (late.state, late.since) == (WaitState.LATE, central("2026-03-04", "12:00"))
    assert late.call.startswith("chase the plumber: it was promised for Wed 4 Mar 12:00")
    shop.office.chased(4, "plumber")
    assert "last chased Wed 4 Mar" in row(shop).what
    shop.office.came(4, "plumber")
    assert not [r for r in shop.office.waiting() if r.what.startswith("plumber")]


def test_the_plan_works_with_a_promise_and_says_what_has_no_date(shop):
    """Held without a date the job is left out with whom to ask; promised, its task is planned from then on."""
    protect = shop.number_of("protect-house")
    ask(shop, holds=[protect])
    assert any("waits for the plumber: gas shut off, asked Mon 2 Mar: get a date" in w for w in shop.office.plan().then)
    shop.office.promised(4, "plumber", "fri 12:00")
    shop.office.plan()
    with shop.office._database.reading() as uow:
        start = next(p.start for p in uow.latest_plan().placements if protect in p.tasks)
    assert start >= central("2026-03-06", "12:00")


def test_what_cannot_be_is_refused_with_a_sentence(shop):
    """Unknown people, never asked, before the asking, twice, gone by: one sentence each."""
    with pytest.raises(Refused, match="'butler' is nobody a job waits for: it is one of plumber, electrician"):
        shop.office.ask(4, "butler", "tea")
    with pytest.raises(Refused, match="job 4: the plumber was not asked; record it with `crewjobs ask 4 plumber"):
        shop.office.chased(4, "plumber")
    with pytest.raises(Refused, match="that has gone by, give a moment to come"):
        ask(shop, promised="2026-03-01 12:00")
    with pytest.raises(Refused, match="say what for"):
        shop.office.ask(4, "plumber", " ")
    with pytest.raises(Refused, match="has not come yet: only what has happened is recorded"):
        ask(shop, at="2026-03-03 12:00")
    ask(shop)
    with pytest.raises(Refused, match="was asked for 'gas shut off' Mon 2 Mar and has not come"):
        ask(shop)
    with pytest.raises(Refused, match="it cannot be chased before that, Sun 1 Mar"):
        shop.office.chased(4, "plumber", at="2026-03-01 12:00")
    with pytest.raises(Refused, match="it cannot have come before that, Sun 1 Mar 12:00"):
        shop.office.came(4, "plumber", at="2026-03-01 12:00")
    shop.office.came(4, "plumber")
    with pytest.raises(Refused, match="'gas shut off' of the plumber came already, Mon 2 Mar 06:30"):
        shop.office.came(4, "plumber")


@pytest.mark.parametrize("asked", [False, True])
def test_whom_a_way_on_made_needless_never_came(shop, asked):
    """The way on is the answer: that the inspector came is said only where he did."""
    shop.office.found(4, "den", "suspect asbestos")
    if asked:
        shop.office.chased(4, "inspector")
    shop.office.way_on(4, "den", "suspect asbestos", "float over", by="Ines Varga", because="heights checked")
    said = "nobody waits for 'sample of what was found in den' of the inspector any more: float over was taken from suspect asbestos"
    for tell in (
        lambda: shop.office.chased(4, "inspector"),
        lambda: shop.office.promised(4, "inspector", "fri"),
        lambda: shop.office.came(4, "inspector"),
    ):
        with pytest.raises(Refused, match=said):
            tell()


def test_nothing_happens_before_the_asking_of_that_day(shop):
    """Asked at 6:30: chased or there at 6:00 of that day is refused with both moments; the row keeps the moment."""
    ask(shop)
    with pytest.raises(
        Refused, match="asked for 'gas shut off' Mon 2 Mar 06:30: it cannot be chased before that, Mon 2 Mar 06:00"
    ):
        shop.office.chased(4, "plumber", at="6:00")
    with pytest.raises(Refused, match="Mon 2 Mar 06:30: it cannot have come before that, Mon 2 Mar 06:00"):
        shop.office.came(4, "plumber", at="6:00")
    [row] = [row for row in shop.office.waiting() if row.what.startswith("plumber")]
    assert (row.since, row.day_only) == (central("2026-03-02", "06:30"), False)
    assert "since Mon 02 Mar 06:30" in waiting_text((row,))


def test_of_several_things_the_one_is_named(shop):
    """Two things asked of one person: which is meant must be said."""
    ask(shop)
    shop.office.ask(4, "plumber", "toilet flange")
    with pytest.raises(Refused, match="say which of 'gas shut off' and 'toilet flange' of the plumber is meant"):
        shop.office.came(4, "plumber")
    shop.office.came(4, "plumber", what="toilet flange")
    assert [waits.came_at is None for waits in shop.record().waiting_on] == [True, False]


def test_a_task_that_is_done_can_be_held_by_nothing(shop):
    """Holding a done task is refused."""
    look = shop.number_of("walk-through-before")
    shop.office.tick(4, [look])
    with pytest.raises(Refused, match="is done: nothing can hold it"):
        ask(shop, holds=[look])


def test_the_jobs_page_says_how_house_and_people_stand(shop):
    """Ready or not, dry runs, who is waited for and what was told are lines of the job's page."""
    ask(shop)
    shop.office.dry_run(4, "Birch", "paint is wet", until="thu 7:00")
    shop.office.told(4, "fri")
    lines = shop.office.job(4).site_lines
    assert lines[-4:] == (
        "The house is not ready: wet work or paint is not done, until Thu 5 Mar 07:00; then it is asked again",
        "Dry run of Birch Mon 2 Mar 06:30: paint is wet",
        "Waits for the plumber: gas shut off, asked Mon 2 Mar, no date promised",
        "Teo Halloran was told that it is finished Fri 6 Mar",
    )
    assert shop.office.jobs()[0].waits_for == (
        "the house is not ready: wet work or paint is not done, until Thu 5 Mar 07:00"
    )


ANSWER = "Northfield Lab, 3 Mar, sample 1: none found"


@pytest.fixture
def suspect(shop):
    """Job 5 has a layer that has to be sampled: the sample is taken Monday at eight."""
    shop.office.load(
        [
            shop.file(
                "s.toml",
                JOB.replace("number = 4", "number = 5").replace('layers = ["carpet"]', 'layers = ["sheet vinyl"]'),
            )
        ]
    )
    shop.clock.set("2026-03-02", "08:00")
    shop.office.tick(5, [shop.number_of("sampling", job=5)], because="the lead let the inspector in")
    return shop


def test_the_laboratorys_answer_ends_the_wait_that_stood_for_it(suspect):
    """Sampled on Monday, five days stand for the laboratory; its answer on Tuesday may be written down on Tuesday.

    Until it is there it holds, whatever date it gave.
    """
    answer = suspect.number_of("laboratory-answer", job=5)
    with pytest.raises(OnHold, match=r"laboratory \(5 days by the clock"):
        suspect.office.tick(5, [answer])
    suspect.office.ask(5, "laboratory", "sample 1", promised="tue 15:00", holds=[answer])
    suspect.clock.set("2026-03-03", "09:00")
    with pytest.raises(OnHold, match="waits for the laboratory: sample 1") as held:
        suspect.office.tick(5, [answer])
    assert "5 days by the clock" not in str(held.value)
    suspect.office.came(5, "laboratory")
    assert "done" in suspect.office.tick(5, [answer], because=ANSWER).sentence


def test_what_a_laboratory_was_asked_before_the_sample_says_nothing_of_it(shop):
    """An answer about something else leaves the wait for the old floor's samples as it is."""
    shop.office.load(
        [
            shop.file(
                "s.toml",
                JOB.replace("number = 4", "number = 5").replace('layers = ["carpet"]', 'layers = ["sheet vinyl"]'),
            )
        ]
    )
    answer = shop.number_of("laboratory-answer", job=5)
    shop.office.ask(5, "laboratory", "dust in the hall", holds=[answer])
    shop.clock.set("2026-03-03", "08:00")
    shop.office.came(5, "laboratory")
    shop.office.tick(5, [shop.number_of("sampling", job=5)], because="the lead let the inspector in")
    shop.clock.set("2026-03-04", "08:00")
    with pytest.raises(OnHold, match=r"laboratory \(5 days by the clock"):
        shop.office.tick(5, [answer])


def test_the_file_loaded_again_keeps_the_laboratorys_word(suspect):
    """A job's file read anew makes its waits anew: the one the laboratory ended does not come back."""
    answer = suspect.number_of("laboratory-answer", job=5)
    suspect.office.ask(5, "laboratory", "sample 1", holds=[answer])
    suspect.clock.set("2026-03-03", "09:00")
    suspect.office.came(5, "laboratory")
    text = JOB.replace("number = 4", "number = 5").replace('layers = ["carpet"]', 'layers = ["sheet vinyl"]')
    suspect.office.load([suspect.file("s2.toml", text.replace("Den", "Den again", 1))], replace=True)
    assert "done" in suspect.office.tick(5, [answer], because=ANSWER).sentence


def test_gas_is_asked_for_of_a_licensed_person_before_anybody_moves_the_range(shop: Shop) -> None:
    """Nobody was asked: both the shutting and the reconnecting stand on the waiting list; asked for, they are its own rows."""
    with_range = JOB.replace('floor = "gray plank"\n', 'floor = "gray plank"\nfixtures = { "gas range" = 1 }\n', 1)
    shop.office.load([shop.file("den.toml", with_range)], replace=True)
    rows = [row for row in shop.office.waiting() if row.what.startswith("plumber: gas")]
    assert [row.state.value for row in rows] == ["to ask", "to ask"]
    assert {row.what.split(",")[0] for row in rows} == {
        "plumber: gas shut",
        "plumber: gas reconnected and leak-checked",
    }
    out = shop.number_of("gas-appliances-out", "den")
    shop.office.ask(4, "plumber", "gas shut, disconnected and capped", holds=[out])
    left = [row for row in shop.office.waiting() if row.what.startswith("plumber: gas")]
    assert [(row.state.value, row.what.split(",")[0]) for row in left] == [
        ("to ask", "plumber: gas reconnected and leak-checked"),
        ("asked", "plumber: gas shut"),
    ]


@pytest.mark.parametrize(
    ("fixtures", "flange", "rows"),
    [
        ('"hard-wired range" = 1', "", {("electrician", "appliances-out"), ("electrician", "appliances-back")}),
        (
            '"hard-wired dishwasher" = 1',
            "",
            {("electrician", "plumbed-appliances-out"), ("electrician", "plumbed-appliances-back")},
        ),
        ('"electric range" = 1, dishwasher = 1', "", set()),
        # the top of the flange comes to lie more than 1/2 in low, or too high: a plumber's (trade-facts 8.1, section 10)
        ("toilet = 1", 'flange = "-1 1/2 in"', {("plumber", "toilet-back")}),
        ("toilet = 1", 'flange = "-1/4 in"', set()),
    ],
)
def test_hard_wired_appliances_and_flanges_are_asked_for(shop: Shop, fixtures: str, flange: str, rows) -> None:
    """A row for who takes it off its wires and who puts it on again, and for a flange no extender brings up; else none."""
    more = f'floor = "gray plank"\nfixtures = {{ {fixtures} }}\n{flange}\n'
    shop.office.load([shop.file("den.toml", JOB.replace('floor = "gray plank"\n', more, 1))], replace=True)
    found = [row for row in shop.office.waiting() if "by whoever local code licenses" in row.what]
    tasks = [shop.record().task(shop.number_of(template, "den")) for _, template in rows]
    assert {row.what.partition(":")[0] for row in found} == {who for who, _ in rows}
    assert {row.holds.partition(" '")[0] for row in found} == {f"task {task.number}" for task in tasks}
