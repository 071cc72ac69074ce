"""Words and figures as both pages print them: clock times, dates, blanks, and what may not print raw."""

import unicodedata
from datetime import date, datetime, time

from crewjobs.paper.directions import whole
from crewjobs.paper.lanes import Lane
from crewjobs.paper.model import (
    CarryLine,
    DayPlan,
    Drive,
    House,
    HouseLayout,
    HouseStage,
    HowFar,
    LoadGroup,
    Person,
    Sheet,
    TaskKind,
    TaskLine,
    WaitEnd,
)

# Kept in English whatever the computer's locale says, as every other word on the page is.
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

BLANK = "____"
CLOCK_BLANK = "____ : ____"
LOAD_GROUPS: tuple[tuple[LoadGroup, str], ...] = (
    ("material", "Material"),
    ("tools", "Tools"),
    ("supplies", "Supplies"),
)
KIND_TAGS: dict[TaskKind, str] = {
    "task": "",
    "move": "MOVE",
    "wait starts": "WAIT STARTS",
    "wait ends": "WAIT ENDS",
    "reading": "READING",
}
DONE_TAG, HOLD_TAG = "DONE", "ON HOLD"
START, LUNCH, BACK_BY = "Start", "Lunch", "Back by"
LEAD_COPY = "Lead's copy, with entry notes: keep it on you."
LOAD = "Load before leaving"
TRUCK = "On the truck every day"
WAITS = "Waits that end today"
CAUTIONS = "Cautions, in this order"
WHO_DECIDES = "Local code and licensed trades decide."
NO_LOAD = "Nothing to load."
NO_WAITS = "No wait ends and no reading is due today."
NO_CAUTIONS = "None listed for this day."
NO_HOUSES = "No house is planned for this day."
NO_TASKS = "No task is planned here."
NEWER_WINS = "newer sheet wins"
NOBODY = "nobody"
MOVED_ANYWAY = "Moved, although not our work"
FLOOR_NOTES = "How we leave it"
FOUND = "Found / changed"
FURNITURE = "Furniture"
CARRIED = "Carried, in this order"
STANDS = "Stands"
HEAVY_EDGE = "heavy edge: carried in this stage"
LAYOUT = "Cut list"
NOT_TO_EACH_OTHER = "Each room by itself, all to one scale; in which wall a door is, is not known."
OWED = "Ask first"
FOUND_THERE = "Found"
WITH_ROWS = "with the rows"
STARTED_STOPPED = f"Started {CLOCK_BLANK}  Stopped {CLOCK_BLANK}  People {BLANK}  Break {BLANK}  Waited {BLANK}"

# Joiners shape letters (Persian names, Indic scripts) and cannot hide or move other text.
_JOINERS = "\u200c\u200d"


def visible(text: str) -> str:
    """User text made printable: one line, single spaces, control characters shown as \\x1b.

    Also shown instead of obeyed: format characters that reorder or hide text (\\u202e) and lone
    surrogates. Everything else stays as typed, composed to NFC.
    """
    shown = "".join(_visible_char(char) for char in unicodedata.normalize("NFC", text))
    return " ".join(part for part in shown.split(" ") if part)


def _visible_char(char: str) -> str:
    category = unicodedata.category(char)
    if category.startswith("Z") or char in "\t\n\r":
        return " "
    if char in _JOINERS or category not in ("Cc", "Cf", "Cs"):
        return char
    return char.encode("unicode_escape").decode("ascii")


def clock(at: time) -> str:
    """07:30, on the 24-hour clock."""
    return f"{at.hour:02}:{at.minute:02}"


def between(start: time, end: time) -> str:
    """07:30–11:50; of no length once: 11:30."""
    return clock(start) if start == end else f"{clock(start)}–{clock(end)}"


def day_text(day: date, *, year: bool = False) -> str:
    """Tue 3 Mar, or Tue 3 Mar 2026."""
    short = f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"
    return f"{short} {day.year}" if year else short


def stamp(instant: datetime) -> str:
    """Mon 2 Mar 2026 18:42."""
    return f"{day_text(instant.date(), year=True)} {clock(instant.time())}"


def headline(plan: DayPlan) -> str:
    """Birch crew; of one person's page the name alone."""
    name = visible(plan.crew_name)
    if not name:
        return "Crew"
    if plan.one_person or name.lower().endswith("crew"):
        return whole(name)
    return f"{whole(name)} crew"


def sheet_name(plan: DayPlan) -> str:
    """Birch Tue 3 Mar, revision 2, plan 3."""
    return sheet_of(visible(plan.sheet.name), plan.sheet)


def sheet_of(name: str, sheet: Sheet) -> str:
    """A name, shortened or not, with its revision and the plan it speaks of; 0 is none."""
    revision, plan = (
        f"{word} {number}" if number else "" for word, number in (("revision", sheet.revision), ("plan", sheet.plan))
    )
    return ", ".join(part for part in (name, revision, plan) if part)


def shop_line(plan: DayPlan) -> str:
    """Linden Floor Crew 555-0100."""
    return f"{visible(plan.shop_name)} {visible(plan.shop_phone)}".strip()


def person_remark(person: Person) -> str:
    """What follows a name in brackets: lead, lent by Cedar today."""
    return ", ".join(part for part in ("lead" if person.lead else "", visible(person.note)) if part)


def drive_line(leg: Drive) -> str:
    """07:10–07:30 shop to House 1."""
    return f"{between(leg.start, leg.end)} {visible(leg.what)}".strip()


def house_time(house: House) -> str:
    """When the crew is at a house: 07:15–11:00, or that it is not today."""
    return "not today" if house.not_today else between(house.arrive, house.leave)


def house_ref(house: int) -> str:
    """House 1."""
    return f"House {house}"


def houses_ref(houses: tuple[int, ...]) -> str:
    """House 1, or House 1, 2; empty for the whole day."""
    return f"House {', '.join(str(number) for number in houses)}" if houses else ""


def wait_time(wait: WaitEnd) -> str:
    """The time that leads a row of "Waits that end today"; a reading is due, never over, by the clock."""
    if wait.at is not None:
        return clock(wait.at)
    return "today"


def wait_title(wait: WaitEnd) -> str:
    """What ends, or what is due."""
    what = visible(wait.what)
    return f"Reading due: {what}" if wait.kind == "reading" else what


def wait_place(wait: WaitEnd) -> str:
    """House 1, dining room."""
    house = house_ref(wait.house) if wait.house is not None else ""
    return ", ".join(part for part in (house, visible(wait.place)) if part)


def waits_by_clock(plan: DayPlan) -> list[tuple[time, WaitEnd]]:
    """The waits that have a place in the crew's day: at the hour they end, in its own houses."""
    return [(wait.at, wait) for wait in plan.waits if wait.at is not None and wait.house is not None]


def wait_row(wait: WaitEnd) -> str:
    """What ends, and where in the house: Leveler may be looked at (dining room)."""
    place = visible(wait.place)
    return wait_title(wait) + (f" ({place})" if place else "")


def how_far(asked: HowFar) -> str:
    """rows ____ of 19, or ____ of 185 ft²."""
    ahead = visible(asked.unit) if asked.unit_first else ""
    return f"{ahead} {BLANK} {how_far_behind(asked)}".strip()


def how_far_behind(asked: HowFar) -> str:
    """What follows the blank: of 19, or of 185 ft²."""
    unit = "" if asked.unit_first else visible(asked.unit)
    return f"of {visible(asked.total)} {unit}".strip()


def how_far_before(asked: HowFar) -> str:
    """before today: 9 rows."""
    before = visible(asked.before)
    return f"before today: {before}" if before else ""


def how_far_line(asked: HowFar) -> str:
    """rows ____ of 19 (before today: 9 rows)."""
    before = how_far_before(asked)
    return how_far(asked) + (f" ({before})" if before else "")


def person_line(person: Person) -> str:
    """Ines Varga (IV, lead)."""
    remark = person_remark(person)
    inside = ", ".join(part for part in (visible(person.initials), remark) if part)
    return f"{visible(person.name)} ({inside})".strip()


def start_word(plan: DayPlan, word: str) -> str:
    """Start, Lunch or Back by; of a day gone by Planned start and so on."""
    return f"Planned {word[:1].lower()}{word[1:]}" if plan.gone else word


def start_lines(plan: DayPlan) -> list[str]:
    """Start, lunch and back-by, each with its word; nothing for what is not given."""
    lines = []
    if plan.start is not None:
        lines.append(f"{start_word(plan, START)} {clock(plan.start)} {visible(plan.start_place)}".strip())
    elif plan.start_place:
        lines.append(f"{start_word(plan, START)} {visible(plan.start_place)}")
    if plan.lunch is not None:
        lines.append(f"{start_word(plan, LUNCH)} {between(plan.lunch.start, plan.lunch.end)}")
    if plan.back_by is not None:
        lines.append(f"{start_word(plan, BACK_BY)} {clock(plan.back_by)}")
    return lines


def no_houses(plan: DayPlan) -> str:
    """What stands where a page has no house; of a day gone by what is in the plan of it now."""
    if not plan.gone:
        return NO_HOUSES
    return "No visit of this day is left to be made." if plan.one_person else "The plan has no house on this day."


def customer_line(house: House) -> str:
    """Ada Brook 555-0142."""
    return f"{whole(visible(house.customer))} {visible(house.phone)}".strip()


def task_tag(task: TaskLine) -> str:
    """DONE, else MOVE, WAIT ENDS and so on; empty for plain work."""
    return DONE_TAG if task.done else KIND_TAGS[task.kind]


def task_time(task: TaskLine) -> str:
    """The time that leads a line, or what stands in its place; empty where there is neither."""
    if task.with_rows:
        return WITH_ROWS
    return clock(task.at) if task.at is not None else ""


def hold_tag(task: TaskLine) -> str:
    """ON HOLD, or what stands in its place."""
    return visible(task.hold_tag) or HOLD_TAG


def stage_title(stage: HouseStage) -> str:
    """Furniture: move 2 of 3."""
    return f"{FURNITURE}: {visible(stage.label)}"


def layout_title(layout: HouseLayout) -> str:
    """Cut list: harbor plank, living, window half."""
    return f"{LAYOUT}: {visible(layout.title)}"


def carry_words(carry: CarryLine) -> str:
    """sofa: living, window half → garage, 2 people."""
    people = "1 person" if carry.people == 1 else f"{carry.people} people"
    down = " (set down)" if carry.down else ""
    return f"{visible(carry.name)}: {visible(carry.start)} → {visible(carry.to)}{down}, {people}"


def who_in_lane(task: TaskLine, lane: Lane, *, beside: bool) -> tuple[str, ...]:
    """Initials to print on a line: not again under a lane's own head that names the same people."""
    return () if beside and set(task.initials) == set(lane.initials) else task.initials


def started_line(task: TaskLine) -> str:
    """started at ____ : ____, walk on it 3 h later at the earliest."""
    note = visible(task.wait_note)
    return f"started at {CLOCK_BLANK}" + (f", {note}" if note else "")


def side_by_side(lanes: int) -> str:
    """The words over work that goes on at the same time in two or more places."""
    return f"Side by side, {lanes} at a time"


def check_with(plan: DayPlan) -> str:
    """check the revision with Linden Floor Crew 555-0100."""
    return f"check the revision with {shop_line(plan) or 'the shop'}"


def newer_words(shop_name: str, shop_phone: str) -> str:
    """newer sheet wins: check the revision with Linden Floor Crew 555-0100."""
    shop = f"{visible(shop_name)} {visible(shop_phone)}".strip()
    return f"{NEWER_WINS}: check the revision with {shop or 'the shop'}"
