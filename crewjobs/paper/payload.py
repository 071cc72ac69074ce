"""What the page template is given: a plan as nested lists of finished strings, ready for JSON."""

import unicodedata
from collections.abc import Callable, Iterable, Sequence

from crewjobs.domain.wording import listed
from crewjobs.drawing.columns import cut_to, display_width
from crewjobs.paper import fonts
from crewjobs.paper import wording as say
from crewjobs.paper.daybar import Bar, DayBar, day_bar
from crewjobs.paper.directions import isolated, whole
from crewjobs.paper.drawn import WHOLE_DEPTH, WHOLE_WIDTH, drawn_payload
from crewjobs.paper.lanes import stretches
from crewjobs.paper.measures import kept_whole
from crewjobs.paper.model import (
    Caution,
    CutRow,
    DayPlan,
    House,
    HouseFact,
    HouseLayout,
    HouseStage,
    HowFar,
    LoadItem,
    TaskLine,
    WaitEnd,
)

Json = dict[str, "Json"] | list["Json"] | str | float | bool | None
Printed = Callable[[str], str]

# Columns a word may have before it is allowed to break anywhere: in full lines and in narrow columns.
_LONG_WORD = 20
_LONG_WORD_NARROW = 7
_BREAK_HERE = "\u200b"
_REPLACED = "\ufffd"
_CJK_NAMES = ("CJK", "IDEOGRAPHIC", "HIRAGANA", "KATAKANA", "HANGUL", "BOPOMOFO")
# So many columns, even of the widest letters, fit on one page in the narrowest column of tasks: such rows
# are kept in one piece. All others must break, since a taller row would be drawn over what follows.
_SURELY_FITS = 550
# The same for what is carried and stands beside a drawing, with what a line may leave empty at its end.
_STAGE_FITS, _LINE = 1200, 20
_SHORT_VISIT = 3
# So many missing characters are named to who prints a page.
_NAMED = 8
# Columns of a row of planks that fits half a page's width, and from how many rows on two columns save a page.
_HALF_ROW, _WORTH_HALVING = 48, 8
# Columns that surely fit on one line of the head, the foot and the bar.
_HEAD_COLUMNS, _FOOT_COLUMNS, _MARK_COLUMNS = 30, 30, 34
# What a label of the bar says where it finds room for it.
_MARK_FULL = 80


def payload(plan: DayPlan, missing: Sequence[str]) -> dict[str, Json]:
    """The plan for assets/day_plan.typ; `missing` are the characters to draw as boxes."""
    show = shower(missing)
    narrow = shower(missing, _LONG_WORD_NARROW)
    crew = say.headline(plan)
    return {
        "title": show(f"{crew}, {say.day_text(plan.day, year=True)}"),
        "paper": "us-letter" if plan.paper == "letter" else "a4",
        "crew_short": show(cut_to(crew, _HEAD_COLUMNS)),
        "date": say.day_text(plan.day),
        "in_full": _in_full(plan, show),
        "sheet": show(_short_sheet(plan)),
        "printed": say.stamp(plan.sheet.printed_at),
        "newer": show(f"{say.NEWER_WINS}: check the revision with {_short_shop(plan)}"),
        "starts": _starts(plan, show),
        "people": [
            {
                "name": show(say.visible(person.name)),
                "initials": show(say.visible(person.initials)),
                "remark": show(say.person_remark(person)),
            }
            for person in plan.people
        ],
        "nobody": say.NOBODY,
        "notes": _all(plan.notes, show),
        "lead_copy": say.LEAD_COPY if plan.lead_copy else "",
        "missing": missing_note(missing),
        "bar": _bar(day_bar(plan), show),
        "drives": [show(say.drive_line(leg)) for leg in plan.drives],
        "load_title": say.LOAD,
        "load": _load(plan.load, show, narrow),
        "no_load": say.NO_LOAD,
        "one_person": plan.one_person,
        "tells_none": plan.tells_none,
        "gone": plan.gone,
        "truck_title": say.TRUCK,
        "truck": _all(plan.truck_list, show),
        "waits_title": say.WAITS,
        "waits": [_wait(wait, show) for wait in plan.waits],
        "no_waits": say.NO_WAITS,
        "cautions_title": say.CAUTIONS,
        "cautions": [_caution(caution, show) for caution in plan.cautions],
        "no_cautions": say.NO_CAUTIONS,
        "who_decides": say.WHO_DECIDES,
        "houses": [_house(house, plan.entry_notes(house.number), show, narrow) for house in plan.houses],
        "no_houses": say.no_houses(plan),
        "no_tasks": say.NO_TASKS,
        "moved_title": say.MOVED_ANYWAY,
        "floor_title": say.FLOOR_NOTES,
        "found_title": say.FOUND,
        "carried_title": say.CARRIED,
        "stands_title": say.STANDS,
        "heavy_edge": say.HEAVY_EDGE,
        "one_by_one": say.NOT_TO_EACH_OTHER,
    }


def shower(missing: Sequence[str], long_word: int = _LONG_WORD) -> Printed:
    """Return what replaces what cannot be printed, sets names read from right to left apart, and lets long words break.

    A measure does not break (`measures`). In narrow columns it may: in one piece it would not fit.
    """
    table = {ord(char): _REPLACED for char in missing} | dict.fromkeys(map(ord, fonts.LOOKS_ALONE), "")

    def show(text: str) -> str:
        there = text.translate(table)
        whole_measures = kept_whole(there) if long_word >= _LONG_WORD else there
        words = isolated(whole_measures).split(" ")
        return " ".join(_BREAK_HERE.join(word) if display_width(word) > long_word else word for word in words)

    return show


def _all(texts: Iterable[str], show: Printed) -> list[Json]:
    return [show(say.visible(text)) for text in texts]


def _short_sheet(plan: DayPlan) -> str:
    name = cut_to(say.visible(plan.sheet.name), _FOOT_COLUMNS)
    return say.sheet_of(name, plan.sheet) + (", lead's copy" if plan.lead_copy else "")


def _short_shop(plan: DayPlan) -> str:
    name = cut_to(say.visible(plan.shop_name), _FOOT_COLUMNS)
    phone = cut_to(say.visible(plan.shop_phone), _FOOT_COLUMNS)
    return f"{name} {phone}".strip() or "the shop"


def _in_full(plan: DayPlan, show: Printed) -> list[Json]:
    """What head and foot had no room for, so that nothing is lost: printed once under the head."""
    candidates = (
        ("Crew in full", say.headline(plan), _HEAD_COLUMNS),
        ("Sheet in full", say.visible(plan.sheet.name), _FOOT_COLUMNS),
        ("Shop in full", say.visible(plan.shop_name), _FOOT_COLUMNS),
        ("Shop phone in full", say.visible(plan.shop_phone), _FOOT_COLUMNS),
    )
    return [{"label": label, "text": show(text)} for label, text, room in candidates if display_width(text) > room]


def missing_note(missing: Sequence[str]) -> str:
    """Return what a page of the shop's own says of characters it cannot print; empty where there are none."""
    return f"{_REPLACED} marks {_why_missing(missing)}" if missing else ""


def missing_sent(missing: Sequence[str]) -> str:
    """Return what a page that is sent says of them: what could be installed is nothing to its customer."""
    return f"{_REPLACED}: {_characters(len(missing))} not shown" if missing else ""


def missing_told(missing: Sequence[str]) -> str:
    """Return what who prints a page that is sent is told of them, with the characters themselves; empty where there are none."""
    if not missing:
        return ""
    return f"The PDF has an empty box for {listed(missing, most=_NAMED)}: {_why_missing(missing)}"


def _why_missing(missing: Sequence[str]) -> str:
    count, shown = _characters(len(missing)), "The text and HTML pages show them"
    brought = 0 if fonts.cjk_folder() is not None else sum(map(_in_the_extra, missing))
    if not brought:
        return f"{count} that no typeface of the program has. {shown}."
    some = "them" if brought == len(missing) else f"{brought} of them"
    return f"{count} this page's typefaces do not have. {shown}; the extra crewjobs[cjk] brings {some}."


def _characters(count: int) -> str:
    return "1 character" if count == 1 else f"{count} characters"


def _in_the_extra(char: str) -> bool:
    """Return whether a character is a Chinese, Japanese or Korean letter, by its name in Unicode: an emoji is as wide as one."""
    return unicodedata.name(char, "").startswith(_CJK_NAMES)


def _starts(plan: DayPlan, show: Printed) -> list[Json]:
    """Start, lunch and back-by: a label, a large time and what follows it."""
    found: list[Json] = []
    if plan.start is not None or plan.start_place:
        at = say.clock(plan.start) if plan.start is not None else ""
        found.append(
            {"label": say.start_word(plan, say.START), "clock": at, "rest": show(say.visible(plan.start_place)) or " "}
        )
    if plan.lunch is not None:
        times = say.between(plan.lunch.start, plan.lunch.end)
        found.append({"label": say.start_word(plan, say.LUNCH), "clock": times, "rest": ""})
    if plan.back_by is not None:
        found.append({"label": say.start_word(plan, say.BACK_BY), "clock": say.clock(plan.back_by), "rest": ""})
    return found


def _bar(bar: DayBar | None, show: Printed) -> Json:
    if bar is None:
        return None
    length = bar.last - bar.first

    def at(minute: int) -> float:
        return (minute - bar.first) / length

    lunch = [piece.start for piece in bar.bars if piece.kind == "lunch"]
    hours: list[Json] = [
        {"at": at(minute), "text": f"{minute // 60:02}:00"} for minute in range(bar.first, bar.last + 1, 60)
    ]
    return {
        "hours": hours,
        "pieces": [_piece(piece, at, lunch) for piece in bar.bars],
        "marks": [
            {
                "at": at(mark.at),
                "text": show(_mark_text(mark.at, mark.label, _MARK_FULL)),
                "short": show(_mark_text(mark.at, mark.label, _MARK_COLUMNS)),
            }
            for mark in bar.marks
        ],
    }


def _mark_text(minute: int, label: str, most: int) -> str:
    return cut_to(f"{minute // 60:02}:{minute % 60:02} {label}", most)


def _piece(piece: Bar, at: Callable[[int], float], lunch: Sequence[int]) -> Json:
    """One stretch; `clear` is how much of it no lunch box covers, counted from its start."""
    clear = min([piece.end, *(start for start in lunch if piece.start <= start)])
    stretch = f"{piece.start // 60:02}:{piece.start % 60:02}–{piece.end // 60:02}:{piece.end % 60:02}"
    return {
        "kind": piece.kind,
        "from": at(piece.start),
        "to": at(piece.end),
        "clear": at(clear) - at(piece.start),
        "number": str(piece.house or ""),
        "text": "Lunch" if piece.kind == "lunch" else "",
        "texts": [f"{stretch}  Job {piece.job}", stretch, f"Job {piece.job}"],
    }


def _load(items: Sequence[LoadItem], show: Printed, narrow: Printed) -> list[Json]:
    groups: list[Json] = []
    for group, name in say.LOAD_GROUPS:
        rows: list[Json] = [
            {
                "quantity": narrow(say.visible(item.quantity)),
                "what": show(say.visible(item.what)),
                "note": show(say.visible(item.note)),
                "houses": say.houses_ref(item.houses),
            }
            for item in items
            if item.group == group
        ]
        if rows:
            groups.append({"name": name, "items": rows})
    return groups


def _wait(wait: WaitEnd, show: Printed) -> Json:
    return {
        "clock": say.wait_time(wait),
        "title": show(say.wait_title(wait)),
        "place": show(say.wait_place(wait)),
        "check": show(say.visible(wait.check)),
    }


def _caution(caution: Caution, show: Printed) -> Json:
    return {"text": show(say.visible(caution.text)), "house": say.houses_ref(caution.houses)}


def _house(house: House, entry_notes: Sequence[str], show: Printed, narrow: Printed) -> Json:
    facts = [
        *(_fact(HouseFact(label="Entry", text=note), show, strong=True) for note in entry_notes),
        _fact(HouseFact(label="Customer", text=say.customer_line(house)), show),
        *(_fact(fact, show) for fact in house.facts),
    ]
    return {
        "number": str(house.number),
        "job": str(house.job),
        "address": show(whole(say.visible(house.address))),
        "work": show(say.visible(house.work)),
        "between": say.house_time(house),
        "hours": show(say.visible(house.hours)),
        "first": [
            {"title": title.upper(), "texts": _all(texts, show)}
            for title, texts in ((say.OWED, house.owed), (say.FOUND_THERE, house.found))
        ],
        "asks_hours": house.asks_hours,
        "facts": facts,
        "stages": [_stage(stage, show, narrow) for stage in house.stages],
        "layouts": [_layout(layout, show) for layout in house.layouts],
        "stretches": [
            {
                "short": all(_fits(*_task_texts(*lane.tasks)) for lane in stretch.lanes),
                "lanes": [[_task(task, show, narrow) for task in lane.tasks] for lane in stretch.lanes],
            }
            for stretch in stretches(house.tasks)
        ],
        "moved": _all(house.moved_anyway, show),
        "floor": _all(house.floor_notes, show),
        "found_lines": _found_lines(house),
    }


def _stage(stage: HouseStage, show: Printed, narrow: Printed) -> Json:
    """A stage of the furniture; it is kept in one piece where all of it surely fits on a page."""
    carries: list[Json] = [
        {"letter": narrow(say.visible(carry.letter)), "text": show(say.carry_words(carry))} for carry in stage.carries
    ]
    stands: list[Json] = [
        {
            "letter": narrow(say.visible(one.letter)),
            "text": show(f"{say.visible(one.name)}: {say.visible(one.place)}"),
        }
        for one in stage.stands
    ]
    lines = [say.carry_words(carry) + " " * _LINE for carry in stage.carries]
    lines += [one.name + one.place + " " * _LINE for one in stage.stands]
    return {
        "title": show(say.stage_title(stage)),
        "sentence": show(say.visible(stage.sentence)),
        "carries": carries,
        "stands": stands,
        "short": sum(display_width(text) for text in lines) < _STAGE_FITS and _fits(stage.sentence),
        "drawing": drawn_payload(stage.drawing, frozenset(carry.letter for carry in stage.carries), show),
    }


def _layout(layout: HouseLayout, show: Printed) -> Json:
    """A floor to lay; rows short enough stand in two columns, the first half in the left one."""
    half = len(layout.rows) // 2 + len(layout.rows) % 2
    narrow = all(not row.cut_outs and display_width(row.pieces) <= _HALF_ROW for row in layout.rows)
    two = narrow and len(layout.rows) >= _WORTH_HALVING
    return {
        "title": show(say.layout_title(layout)),
        "sentences": _all(layout.sentences, show),
        "drawing": drawn_payload(layout.drawing, frozenset(), show, widest=WHOLE_WIDTH, deepest=WHOLE_DEPTH),
        "columns": [
            [_cut_row(row, show) for row in rows]
            for rows in ((layout.rows[:half], layout.rows[half:]) if two else (layout.rows,))
        ],
        "notes": _all(layout.notes, show),
    }


def _cut_row(row: CutRow, show: Printed) -> Json:
    return {
        "label": show(say.visible(row.label)),
        "pieces": show(say.visible(row.pieces)),
        "cut_outs": _all(row.cut_outs, show),
        "short": _fits(row.label, row.pieces, *row.cut_outs),
    }


def _found_lines(house: House) -> int:
    """Blank lines for what was found or changed: half-width ones beside other notes, one for a short visit."""
    if house.moved_anyway or house.floor_notes:
        return 3
    return 2 if len(house.tasks) > _SHORT_VISIT else 1


def _fact(fact: HouseFact, show: Printed, *, strong: bool = False) -> Json:
    return {"label": show(say.visible(fact.label)), "text": show(say.visible(fact.text)), "strong": strong}


def _task(task: TaskLine, show: Printed, narrow: Printed) -> Json:
    return {
        "clock": "" if task.with_rows else say.task_time(task),
        "with_rows": say.WITH_ROWS if task.with_rows else "",
        "tag": say.task_tag(task),
        "place": show(say.visible(task.place)),
        "title": show(say.visible(task.title)),
        "who": _all(task.initials, show),
        "hold": show(say.visible(task.hold)),
        "hold_tag": say.hold_tag(task),
        "done": task.done,
        "started": task.kind == "wait starts" and not task.done,
        "stands": show(say.visible(task.stands)) if task.done else "",
        "wait_note": show(say.visible(task.wait_note)),
        "notes": [] if task.done else _all(task.notes, show),
        "far": None if task.done else _far(task.how_far, narrow),
        "short": _fits(*_task_texts(task)),
    }


def _task_texts(*tasks: TaskLine) -> list[str]:
    """All texts of some tasks, with what the page adds to each at most (tags, blanks, line ends)."""
    found: list[str] = []
    for task in tasks:
        found += [task.title, task.place, task.hold, task.wait_note, task.stands, *task.notes, " " * 40]
        if task.how_far is not None:
            # It may stand in a column a third as wide.
            found += [task.how_far.total, task.how_far.unit, task.how_far.before] * 3
    return found


def _fits(*texts: str) -> bool:
    return sum(display_width(text) for text in texts) < _SURELY_FITS


def _far(asked: HowFar | None, narrow: Printed) -> Json:
    if asked is None:
        return None
    return {
        "ahead": narrow(say.visible(asked.unit)) if asked.unit_first else "",
        "behind": narrow(say.how_far_behind(asked)),
        "before": narrow(say.how_far_before(asked)),
    }
