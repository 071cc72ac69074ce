"""A small job file and a small shop file, as a person would write them."""

from __future__ import annotations

JOB = """
number = 4
title = "Living room and hall"
promised = 2026-03-13
stages = [["living: window half"], ["living: door half", "hall"]]

[customer]
name = "Odalys Brandt"

[site]
address = "14 Mill Lane, Marrow Bend"
hours = { mon-fri = "9:00-16:00" }
elevator = { mon-fri = "9-11" }
toilet_meanwhile = "rented toilet in the garage"

[[room]]
name = "living"
length = "18' 6"
width = "13' 2 1/2"
sections = [{ name = "window half", length = "9'" }, { name = "door half" }]
layers = ["carpet", { covering = "sheet vinyl", year = 1966 }]
floor = "harbor plank"
fixtures = { "floor vent" = 2 }
furniture = ["sofa", { name = "dining chair", count = 6 }, { name = "piano", stays = true }]

[[room]]
name = "hall"
corners = [["0", "0"], ["12'", "0"], ["12'", "4'"], ["4'", "4'"], ["4'", "9'"], ["0", "9'"]]
floor = "harbor plank"

[[opening]]
between = ["living", "hall"]
width = "32 in"

[[stairs]]
name = "main stairs"
steps = 13

[[material]]
name = "harbor plank"
kind = "click vinyl"
plank = "7 in x 48 in"
carton = "23.33 ft2"

[[order]]
material = "harbor plank"
cartons = 14
ordered = 2026-02-20
due = "2026-03-06 14:00"

[[order]]
goods = "stair nose"
count = 14
place = "main stairs"
supplier = "mill order"
ordered = 2026-02-20
due = "2026-03-05 10:00"
special = true
"""

SHORT = """
[customer]
name = "Kwame Ferrant"

[site]
address = "3 Tannery Row, Marrow Bend"

[[room]]
name = "bath"
length = "8'"
width = "5' 1"
layers = ["sheet vinyl"]
floor = "slate tile"
fixtures = { toilet = 1 }

[[material]]
name = "slate tile"
kind = "glue-down vinyl"
plank = "12 in x 24 in"
carton = "28 ft2"
"""

SHOP = """
[shop]
name = "Linden Floor Crew"
zone = "America/Chicago"
hours = { mon-fri = "7:00-17:00" }
holidays = [2026-05-25]

[[crew]]
name = "Birch"
workers = ["Ines Varga", "Tobiah Lund"]
hours = { mon-thu = "7:00-12:00, 12:30-15:30", sat = "8-12" }
lays = ["floating", "glue-down"]
days_off = ["2026-03-09 to 2026-03-11"]
truck = ["table saw"]

[[template]]
key = "pour-leveler"
minutes = [0.4, 0.6, 1]
waits = { "leveler cures" = "16 h" }
"""


def changed(text: str, old: str, new: str) -> str:
    """Return a sample with one place changed; the place must be there."""
    assert old in text
    return text.replace(old, new, 1)
