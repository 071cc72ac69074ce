"""The day plan as plain text: the same content as the printed page, for a message or a terminal."""

from collections.abc import Iterable, Sequence

from crewjobs.drawing.characters import key, paint
from crewjobs.drawing.laid_rows import key_of, paint_rows
from crewjobs.paper import wording as say
from crewjobs.paper.directions import set_apart, whole
from crewjobs.paper.lanes import Lane, stretches
from crewjobs.paper.model import DayPlan, House, HouseLayout, HouseStage, LoadItem, TaskLine
from crewjobs.paper.wrap import display_width, wrap

NARROWEST = 24
_BOX, _TICKED = "[ ] ", "[x] "
_FOUND_LINES = 3
_DRAWING_LINES = 30


def day_plan_text(plan: DayPlan, width: int = 78) -> str:
    """The whole day plan in lines of at most `width` columns, East Asian wide characters as two.

    Control characters in user text are shown (\\x1b), never sent to the terminal; names read from right to left are set apart.
    Raises ValueError if `width` is under 24: times, boxes and initials need that much.
    """
    if width < NARROWEST:
        raise ValueError(f"A day plan needs a width of at least {NARROWEST} columns, not {width}.")
    page = _Page(width)
    _head(page, plan)
    _day(page, plan)
    if plan.load or plan.tells_none:
        _load(page, plan)
    if plan.waits or plan.tells_none:
        _waits(page, plan)
    if plan.cautions or plan.tells_none:
        _cautions(page, plan)
    for house in plan.houses:
        _house(page, house, plan.entry_notes(house.number))
    if not plan.houses:
        page.gap()
        page.say(say.no_houses(plan))
    page.gap()
    page.rule("-")
    page.say(f"{say.sheet_name(plan)} · printed {say.stamp(plan.sheet.printed_at)}")
    page.say(f"{say.NEWER_WINS}: {say.check_with(plan)}")
    return set_apart("\n".join(page.lines) + "\n")


class _Page:
    """Lines that never get wider than the page."""

    def __init__(self, width: int) -> None:
        self.width = width
        self.lines: list[str] = []

    def gap(self) -> None:
        """One empty line, never two, none at the top."""
        if self.lines and self.lines[-1]:
            self.lines.append("")

    def rule(self, mark: str) -> None:
        self.lines.append(mark * self.width)

    def title(self, text: str) -> None:
        self.gap()
        self.say(text.upper())

    def say(self, text: str, lead: str = "", indent: int = 0, bar: str = "") -> None:
        """A paragraph; what follows `lead` hangs under its own start as long as half a page is left."""
        pad = bar + " " * indent
        hang = min(display_width(lead), 12, self.width // 3)
        if display_width(lead) > self.width // 2:
            text, lead, hang = f"{lead.rstrip()} {text}", "", 2
        self.lines += wrap(text, self.width, first=pad + lead, rest=pad + " " * hang)

    def items(self, texts: Iterable[str], lead: str, indent: int = 0, bar: str = "") -> None:
        for text in texts:
            self.say(say.visible(text), lead, indent, bar)

    def ends(self, left: str, right: str) -> None:
        """Left and right on one line where they fit, else one under the other."""
        space = self.width - display_width(left) - display_width(right)
        if space < 2:
            self.say(left)
            self.say(right)
        else:
            self.lines.append(left + " " * space + right)


def _head(page: _Page, plan: DayPlan) -> None:
    page.ends(say.headline(plan).upper(), say.day_text(plan.day, year=True))
    page.rule("=")
    if plan.lead_copy:
        page.say(say.LEAD_COPY)
    for line in say.start_lines(plan):
        page.say(line)
    people = [say.person_line(person) for person in plan.people]
    if not plan.one_person:
        page.say(", ".join(people) or say.NOBODY, "Crew  ")
    page.items(plan.notes, "* ")


def _day(page: _Page, plan: DayPlan) -> None:
    """The bar of the day as a list by the clock."""
    rows = [(leg.start, say.between(leg.start, leg.end), f"Drive: {say.visible(leg.what)}") for leg in plan.drives]
    rows += [
        (house.arrive, say.house_time(house), f"{say.house_ref(house.number)}, job {house.job}")
        for house in plan.houses
    ]
    if plan.lunch is not None:
        rows.append((plan.lunch.start, say.between(plan.lunch.start, plan.lunch.end), "Lunch"))
    rows += [(at, say.clock(at), say.wait_row(wait)) for at, wait in say.waits_by_clock(plan)]
    if not rows:
        return
    page.title("The day")
    for _, when, what in sorted(rows, key=lambda row: row[0]):
        page.say(what, f"{when:<11}  ")


def _load(page: _Page, plan: DayPlan) -> None:
    page.title(say.LOAD)
    if not plan.load:
        page.say(say.NO_LOAD)
    for group, name in say.LOAD_GROUPS:
        items = [item for item in plan.load if item.group == group]
        if items:
            page.say(name)
        for item in items:
            page.say(_load_line(item), _BOX)
    if plan.truck_list:
        page.title(say.TRUCK)
        page.say(" · ".join(say.visible(thing) for thing in plan.truck_list))


def _load_line(item: LoadItem) -> str:
    note = f" ({say.visible(item.note)})" if item.note else ""
    houses = f" - {say.houses_ref(item.houses)}" if item.houses else ""
    return f"{say.visible(item.quantity)}  {say.visible(item.what)}{note}{houses}"


def _waits(page: _Page, plan: DayPlan) -> None:
    page.title(say.WAITS)
    if not plan.waits:
        page.say(say.NO_WAITS)
    for wait in plan.waits:
        page.say(f"{say.wait_title(wait)}. {say.wait_place(wait)}", f"{say.wait_time(wait)}  ")
        page.say(say.visible(wait.check), indent=min(7, page.width // 4))


def _cautions(page: _Page, plan: DayPlan) -> None:
    page.title(say.CAUTIONS)
    if not plan.cautions:
        page.say(say.NO_CAUTIONS)
    for caution in plan.cautions:
        houses = f" ({say.houses_ref(caution.houses)})" if caution.houses else ""
        page.say(f"{say.visible(caution.text)}{houses}", "! ")
    page.say(say.WHO_DECIDES, "  ")


def _house(page: _Page, house: House, entry_notes: Sequence[str]) -> None:
    page.gap()
    page.rule("=")
    page.ends(f"{say.house_ref(house.number).upper()}  {say.house_time(house)}", f"Job {house.job}")
    page.say(whole(say.visible(house.address)))
    page.say(say.visible(house.work))
    page.rule("-")
    page.items(house.owed, f"{say.OWED.upper()}: ")
    page.items(house.found, f"{say.FOUND_THERE}: ")
    page.say(say.customer_line(house), "Customer: ")
    for fact in house.facts:
        page.say(say.visible(fact.text), f"{say.visible(fact.label)}: ")
    page.items(entry_notes, "Entry: ")
    if house.hours:
        page.say(say.visible(house.hours), "Hours: ")
    if house.asks_hours:
        page.say(say.STARTED_STOPPED)
    page.gap()
    for stretch in stretches(house.tasks):
        if stretch.side_by_side:
            page.say(say.side_by_side(len(stretch.lanes)))
        for lane in stretch.lanes:
            _lane(page, lane, bar="| " if stretch.side_by_side else "")
    if not house.tasks:
        page.say(say.NO_TASKS)
    for stage in house.stages:
        _stage(page, stage)
    for layout in house.layouts:
        _layout(page, layout)
    for name, texts in ((say.MOVED_ANYWAY, house.moved_anyway), (say.FLOOR_NOTES, house.floor_notes)):
        if texts:
            page.title(name)
            page.items(texts, _BOX)
    page.title(say.FOUND)
    for _ in range(_FOUND_LINES):
        page.rule("_")


def _stage(page: _Page, stage: HouseStage) -> None:
    page.gap()
    page.say(f"{say.FURNITURE.upper()}: {say.visible(stage.label)}")
    page.say(say.visible(stage.sentence))
    rows = ("".join(run.text for run in row).rstrip() for row in paint(stage.drawing, page.width, _DRAWING_LINES))
    page.lines += [*rows, *key(stage.drawing, page.width)]
    page.say(say.NOT_TO_EACH_OTHER)
    if stage.carries:
        page.say(f"{say.CARRIED}:")
    for carry in stage.carries:
        page.say(say.carry_words(carry), f"{_BOX}{say.visible(carry.letter)}  ")
    if stage.stands:
        page.say(f"{say.STANDS}:")
    for stands in stage.stands:
        page.say(f"{say.visible(stands.name)}: {say.visible(stands.place)}", f"    {say.visible(stands.letter)}  ")


def _layout(page: _Page, layout: HouseLayout) -> None:
    page.gap()
    page.say(f"{say.LAYOUT.upper()}: {say.visible(layout.title)}")
    for sentence in layout.sentences:
        page.say(say.visible(sentence))
    if layout.drawn_rows:
        page.gap()
        page.lines += ["".join(run.text for run in row).rstrip() for row in paint_rows(layout.drawn_rows, page.width)]
        page.say(key_of(layout.drawn_rows))
        page.gap()
    for row in layout.rows:
        page.say(say.visible(row.pieces), f"{_BOX}{say.visible(row.label)}: ")
        page.items(row.cut_outs, "- ", len(_BOX))
    page.items(layout.notes, "! ")


def _lane(page: _Page, lane: Lane, bar: str) -> None:
    if bar:
        page.say(", ".join(lane.initials), bar=bar)
    for task in lane.tasks:
        _task(page, task, say.who_in_lane(task, lane, beside=bool(bar)), bar)


def _task(page: _Page, task: TaskLine, initials: Sequence[str], bar: str) -> None:
    when = f"{say.task_time(task):5}"
    tag = say.task_tag(task)
    who = f"({', '.join(initials)})" if initials else ""
    place = f"{say.visible(task.place)}:" if task.place else ""
    said = " ".join(part for part in (tag, place, say.visible(task.title), who) if part)
    page.say(said, f"{when} {_TICKED if task.done else _BOX}", bar=bar)
    under = 10 if page.width >= 48 else 4
    if task.hold:
        page.say(say.visible(task.hold), f"{say.hold_tag(task)}: ", under, bar)
    if task.done:
        page.items([task.stands] if task.stands else [], "", under, bar)
        return
    if task.kind == "wait starts":
        page.say(say.started_line(task), indent=under, bar=bar)
    page.items(task.notes, "- ", under, bar)
    if task.how_far is not None:
        page.say(say.how_far_line(task.how_far), "How far: ", under, bar)
