"""The largest values a house can have: more is a slip of the finger, and is refused where it is read
and where it is built.

All are generous, and common practice without a source.
"""

from __future__ import annotations

from typing import Final

from crewjobs.domain.units import FOOT

STOREYS: Final = range(-9, 100)
"""Storeys a room can be on, the one at the door being 0."""
MOST_FLIGHTS_UP: Final = 100
"""Flights of stairs from the truck to the door."""
LONGEST_DRIVE_MIN: Final = 24 * 60
"""A house farther than a day's drive is no job of a small crew."""
MOST_ALIKE: Final = 200
"""Fixtures or pieces of furniture of one kind in one room."""
MOST_PEOPLE: Final = 4
"""People of a crew, and so people whom one piece or one task takes."""
MOST_STEPS: Final = 200
"""Steps of one stair, more than any house's, as a tower's are."""
MOST_FLIGHTS: Final = 20
"""Flights of one stair."""
WIDEST_OPENING: Final = 40 * FOOT
"""A cased opening as wide as a house."""
THICKEST: Final = FOOT // 2
"""No layer of a floor is thicker."""
LONGEST_PLANK: Final = 30 * FOOT
"""What can still be carried into a house."""
NARROWEST_ROLL: Final = 2 * FOOT
"""Nothing is planned off a narrower roll: it is a slip of the finger."""
WIDEST_ROLL: Final = 17 * FOOT
"""Sheet goods come no wider than about 5 m."""
MOST_CARTON_FT2: Final = 1000.0
"""No carton that people carry covers as much, in ft²."""
MOST_CARTON_LB: Final = 1000.0
"""No carton that people carry weighs as much, in pounds."""
MOST_CARTONS: Final = 10_000
"""The most cartons one order of a house has."""
MOST_GOODS: Final = 10_000
"""The most pieces, rolls, pails, bags or sheets one order of a house has."""
MOST_TOOLS: Final = 99
"""The most of one shared tool; a small crew owns one or two."""
MOST_SUB_FT2: Final = 5000.0
"""The most a crew paid by the foot does in a day, in ft²."""
LARGEST_PIECE: Final = 20 * FOOT
"""No furniture that goes through a door is longer."""
HEAVIEST_PIECE_LB: Final = 2000.0
"""No piece that people of a crew carry weighs as much."""
LONGEST_SETTING_UP_MIN: Final = 8 * 60
"""A piece that takes a day to be taken apart and set up again is a job of its own."""
MOST_SLEEPERS: Final = 4
"""People who sleep in one bed."""
MOST_BEDS: Final = 40
"""Beds a house has to have every night."""
LONGEST_WALK: Final = 1000 * FOOT
"""From one room to the next, or to where things are kept outside."""
