"""The tables of the shop: its crews, their people, who and which hours are others on a day. Private as `records` are."""

from __future__ import annotations

from sqlalchemy import Table

from crewjobs.storage.columns import (
    check,
    day,
    flag,
    instant,
    key,
    maybe,
    metadata,
    nested,
    number,
    raw,
    refers,
    text,
    whole,
)

shop = Table(
    "shop",
    metadata,
    whole("id"),
    text("name"),
    text("zone"),
    text("units"),
    text("paper"),
    text("phone"),
    nested("hours"),
    maybe("lead"),
    nested("tools"),
    whole("kept_percent"),
    number("wood_target"),
    whole("hour_cents"),
    flag("demo"),
    key("id"),
    check("single", "id = 1", "a database holds one shop."),
    check("units", "units IN ('us', 'metric')", "units are us or metric."),
    check("paper", "paper IN ('letter', 'a4')", "paper is letter or a4."),
    check("kept_percent", "kept_percent BETWEEN 0 AND 200", "what is kept before a promise is 0 to 200 percent."),
)
holiday = Table("holiday", metadata, day("day"), key("day"))
template_override = Table("template_override", metadata, text("key"), nested("fields"), key("key"))
crew = Table(
    "crew",
    metadata,
    text("name"),
    whole("position"),
    nested("hours"),
    nested("skills"),
    nested("truck"),
    maybe("sub"),
    key("name"),
)
worker = Table(
    "worker",
    metadata,
    text("crew"),
    whole("position"),
    text("name"),
    flag("lead"),
    nested("cards"),
    key("crew", "position"),
    refers(["crew"], ["crew.name"]),
)
crew_day_off = Table(
    "crew_day_off", metadata, text("crew"), day("day"), key("crew", "day"), refers(["crew"], ["crew.name"])
)
# People by name and no foreign key: a person who left the crew was away all the same.
away = Table(
    "away",
    metadata,
    text("crew"),
    text("worker"),
    day("day"),
    text("to"),
    text("why"),
    key("crew", "worker", "day"),
)
# No foreign key either: what was recorded for a crew stands when the shop file that is loaded again leaves it out.
day_hours = Table(
    "day_hours",
    metadata,
    text("crew"),
    day("day"),
    nested("spans"),
    text("why"),
    key("crew", "day"),
)
"""A crew's hours on one day in the place of its usual ones; an empty list is a day off."""
# By names and no foreign key: what was pinned for a crew stands when the shop file that is loaded again leaves it out.
rate_pin = Table(
    "rate_pin",
    metadata,
    text("crew"),
    text("template"),
    number("factor"),
    key("crew", "template"),
    check("factor", "factor > 0", "a crew takes more than no time."),
)
"""A rate set by hand: how many times the book's minutes a crew takes for work of a template."""
kept_pace = Table("kept_pace", metadata, text("part"), raw("kept"), key("part"))
"""What was learned of the crews' pace, and from which state of the records: no fact, it can be learned anew at any time."""
# By names and no foreign key: what a calendar said stands, whatever becomes of the job and the crew it spoke of.
calendar_event = Table(
    "calendar_event",
    metadata,
    text("calendar"),
    text("uid"),
    whole("job"),
    text("kind"),
    text("what"),
    nested("tasks"),
    instant("start"),
    instant("end"),
    day("day", nullable=True),
    text("summary"),
    whole("sequence"),
    flag("cancelled"),
    text("digest"),
    instant("changed_at"),
    key("calendar", "uid"),
    check("sequence", "sequence >= 0", "the sequence of an event counts from 0."),
)
"""What calendar files said last: a fact that left the house, which no undo takes back."""
# By names, too: what was printed of a job or a crew was printed, whatever becomes of them.
printed_sheet = Table(
    "printed_sheet",
    metadata,
    text("kind"),
    text("about"),
    whole("revision"),
    text("name"),
    day("day", nullable=True),
    whole("job", nullable=True),
    whole("plan"),
    text("digest"),
    instant("printed_at"),
    key("kind", "about", "revision"),
    check("revision", "revision >= 1", "the revisions of a sheet count from 1."),
)
"""Which revisions of which sheets were printed: a fact that left the house, which no undo takes back."""
# What a person said of the columns of a list, or did not contradict: by the heading, for the next list that has it.
list_mapping = Table("list_mapping", metadata, text("heading"), nested("taken_as"), key("heading"))
