"""The day plan in finished words, for its page on a phone; its own text and PDF are set by `text` and `pdf`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from crewjobs.paper import wording as say
from crewjobs.paper.directions import whole
from crewjobs.paper.document import Block, Document, Entry, Picture, Say, Section, entries, section
from crewjobs.paper.lanes import Lane, stretches
from crewjobs.paper.model import DayPlan, House, HouseLayout, HouseStage, TaskLine


def day_plan_document(plan: DayPlan) -> Document:
    """Return a crew's day, or a person's small visits, as a page."""
    return Document(
        title=say.headline(plan),
        aside=say.day_text(plan.day, year=True),
        under=tuple(_under(plan)),
        blocks=tuple(_blocks(plan)),
        foot=say.sheet_name(plan) + (", lead's copy" if plan.lead_copy else ""),
        newer=f"{say.NEWER_WINS}: {say.check_with(plan)}",
        printed_at=plan.sheet.printed_at,
        paper=plan.paper,
    )


def _under(plan: DayPlan) -> Iterator[str]:
    if plan.lead_copy:
        yield say.LEAD_COPY
    yield from say.start_lines(plan)
    if not plan.one_person:
        yield f"Crew: {', '.join(say.person_line(person) for person in plan.people) or say.NOBODY}"
    yield from plan.notes


def _blocks(plan: DayPlan) -> Iterator[Block]:
    yield from section("The day", entries(*_day(plan)))
    always = plan.tells_none
    yield from section(say.LOAD, tuple(_load(plan)), say.NO_LOAD if always else "")
    if plan.truck_list:
        yield from section(say.TRUCK, (Say(text=" · ".join(plan.truck_list)),))
    waits = entries(
        *(
            Entry(lead=say.wait_time(one), text=f"{say.wait_title(one)}. {say.wait_place(one)}", notes=(one.check,))
            for one in plan.waits
        )
    )
    yield from section(say.WAITS, waits, say.NO_WAITS if always else "")
    yield from section(say.CAUTIONS, tuple(_cautions(plan)), say.NO_CAUTIONS if always else "")
    for house in plan.houses:
        yield from _house(house, plan.entry_notes(house.number))
    if not plan.houses:
        yield Say(text=say.no_houses(plan))


def _day(plan: DayPlan) -> list[Entry]:
    """The bar of the day by the clock."""
    rows = [(leg.start, say.between(leg.start, leg.end), f"Drive: {leg.what}") for leg in plan.drives]
    rows += [
        (house.arrive, say.house_time(house), f"{say.house_ref(house.number)}, job {house.job}")
        for house in plan.houses
    ]
    if plan.lunch is not None:
        rows.append((plan.lunch.start, say.between(plan.lunch.start, plan.lunch.end), "Lunch"))
    rows += [(at, say.clock(at), say.wait_row(wait)) for at, wait in say.waits_by_clock(plan)]
    return [Entry(lead=when, text=what) for _, when, what in sorted(rows, key=lambda row: row[0])]


def _load(plan: DayPlan) -> Iterator[Block]:
    for group, name in say.LOAD_GROUPS:
        items = [item for item in plan.load if item.group == group]
        if items:
            yield Say(text=name, strong=True)
        yield from entries(
            *(
                Entry(
                    box=True,
                    lead=item.quantity,
                    text=item.what + (f" ({item.note})" if item.note else ""),
                    notes=(say.houses_ref(item.houses),) if item.houses else (),
                )
                for item in items
            )
        )


def _cautions(plan: DayPlan) -> Iterator[Block]:
    found = [
        Entry(tag="!", text=one.text + (f" ({say.houses_ref(one.houses)})" if one.houses else ""))
        for one in plan.cautions
    ]
    if found:
        yield from entries(*found)
        yield Say(text=say.WHO_DECIDES)


def _house(house: House, entry_notes: Sequence[str]) -> Iterator[Block]:
    yield Section(title=f"{say.house_ref(house.number)}, {say.house_time(house)}, job {house.job}")
    yield Say(text=whole(house.address), strong=True)
    yield Say(text=house.work)
    facts = [
        *(Entry(tag=say.OWED, text=text, strong=True) for text in house.owed),
        *(Entry(tag=say.FOUND_THERE, text=text, strong=True) for text in house.found),
        *(Entry(lead="Entry", text=note, strong=True) for note in entry_notes),
        Entry(lead="Customer", text=say.customer_line(house)),
        *(Entry(lead=fact.label, text=fact.text) for fact in house.facts),
        *([Entry(lead="Hours", text=house.hours)] if house.hours else []),
        *([Entry(text=say.STARTED_STOPPED)] if house.asks_hours else []),
    ]
    yield from entries(*facts)
    for stretch in stretches(house.tasks):
        if stretch.side_by_side:
            yield Say(text=say.side_by_side(len(stretch.lanes)), strong=True)
        for lane in stretch.lanes:
            if stretch.side_by_side:
                yield Say(text=", ".join(lane.initials), strong=True)
            yield from entries(*(_task(task, lane, beside=stretch.side_by_side) for task in lane.tasks))
    if not house.tasks:
        yield Say(text=say.NO_TASKS)
    for stage in house.stages:
        yield from _stage(stage)
    for layout in house.layouts:
        yield from _layout(layout)
    yield from section(say.MOVED_ANYWAY, entries(*(Entry(box=True, text=text) for text in house.moved_anyway)))
    yield from section(say.FLOOR_NOTES, entries(*(Entry(box=True, text=text) for text in house.floor_notes)))


def _task(task: TaskLine, lane: Lane, *, beside: bool) -> Entry:
    who = ", ".join(say.who_in_lane(task, lane, beside=beside))
    place = f"{task.place}: " if task.place else ""
    return Entry(
        lead=say.task_time(task),
        tag=say.task_tag(task),
        box=True,
        text=f"{place}{task.title}" + (f" ({who})" if who else ""),
        notes=tuple(filter(None, (task.stands,)))
        if task.done
        else (
            *((f"{say.hold_tag(task)}: {task.hold}",) if task.hold else ()),
            *((say.started_line(task),) if task.kind == "wait starts" else ()),
            *task.notes,
            *((f"How far: {say.how_far_line(task.how_far)}",) if task.how_far is not None else ()),
        ),
    )


def _stage(stage: HouseStage) -> Iterator[Block]:
    yield from (Section(title=say.stage_title(stage)), Say(text=stage.sentence))
    yield Picture(title=stage.label, drawing=stage.drawing)
    yield Say(text=say.NOT_TO_EACH_OTHER)
    carries = entries(*(Entry(box=True, lead=one.letter, text=say.carry_words(one)) for one in stage.carries))
    stands = entries(*(Entry(lead=one.letter, text=f"{one.name}: {one.place}") for one in stage.stands))
    yield from (*([Say(text=say.CARRIED, strong=True)] if carries else []), *carries)
    yield from (*([Say(text=say.STANDS, strong=True)] if stands else []), *stands)


def _layout(layout: HouseLayout) -> Iterator[Block]:
    yield Section(title=say.layout_title(layout))
    yield from (Say(text=sentence) for sentence in layout.sentences)
    yield Picture(title=layout.title, drawing=layout.drawing)
    yield from entries(*(Entry(box=True, lead=row.label, text=row.pieces, notes=row.cut_outs) for row in layout.rows))
    yield from entries(*(Entry(tag="!", text=note) for note in layout.notes))
