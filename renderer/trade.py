"""Figures from the trade and from standards: one table, each with its unit and its source.

Common practice has no published source; the machine's manual comes before it, and what a machine's
file may replace stands in ``plan/machine.py`` and ``plan/practice.py``. Lengths end in ``_M``
(metres), angles in ``_DEG``.
"""

from __future__ import annotations

from types import MappingProxyType

# Conductors, by standard.

# IEC 60228, greatest resistance at 20 degC in ohm/km, by class and mm2, plain annealed copper.
# Classes 1 and 2 agree for these sizes. Measured wire reads lower.
_SOLID = {0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61}
_FLEXIBLE = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95}
IEC_60228_OHM_PER_KM = MappingProxyType({1: _SOLID, 2: _SOLID, 5: _FLEXIBLE})
MM2_SIZES = tuple(_SOLID)  # those of IEC 60228 that serve as boundary wire
AWG_SIZES = range(10, 25)  # those of ASTM B258 that do
IACS_M_PER_OHM_MM2 = 58.0  # conductivity of annealed copper at 20 degC, IEC 60028
ALPHA_PER_K = 0.00393  # change of its resistance with temperature, IEC 60028
AWG_36_MM = 0.127  # 0.005 in, and 0.46 in for size 0000, 39 steps further: ASTM B258
AWG_RATIO = 92.0
AWG_STEPS = 39.0
# A stranded conductor of a gauge has this much more than a solid one, since its strands are longer:
# NEC chapter 9 table 8, of which worked examples were read, not the table itself.
STRANDED_AWG_RATIO = 1.02
COLDEST_C = 0.0  # coldest wire for which readings are printed

# The ellipse of one deviation times this holds 95 of 100 points: the root of 5.991, chi-square with
# two degrees of freedom.
ELLIPSE_95 = 2.4477

# From here on: common practice, no published source.

# Setting out by two tapes.
TAPE_M = 19.8  # the longest tape that a person holds level: 65 ft, just under 20 m
TAPE_LAID_M = 30.0  # and the longest that is laid along a side on the ground
TAPES_LAID = 3  # this many tape lengths, end to end and each end marked, along a straight side
TAPE_ERROR_M = 0.03  # of one tape of up to that length
# Parts of an inch to which a tape over grass is read, by its length up to 3 ft, 10 ft and any;
# a metric one is read to the centimetre that it is marked in.
TAPE_READ_INCH = ((0.9144, 4), (3.048, 2), (float("inf"), 1))
ON_WIRE_ERROR = 0.02  # of a length measured along wire that is laid
HOP_ERROR_M = 0.15  # most that a place may be off which is taped from pegs set out before it
SURVEY_OFFSET_ERROR_M = 0.03  # of a length along a line or square off it
SURVEY_BEARING_ERROR_DEG = 1.0  # of a bearing by a hand compass
SURVEY_ANGLE_ERROR_DEG = 1.0  # of an angle between two points
SURVEY_SURE_M = 0.10  # an edge that may be off by more towards the wire is a finding
SURVEY_UNSEEN_M = 0.5  # a point that one slip could move further without a sign is not controlled
TIE_GOOD_DEG = 30.0  # a crossing of tapes this near to a right angle is good
TIE_FAIR_DEG = 60.0  # and this near is accepted
REFERENCES_MOST = 8  # points chosen to tape from, few enough for a crew to mark and remember
REFERENCES_ADDED = 12  # and this many more where the wire is out of reach of those
REFERENCES_APART_M = 4.0  # chosen points stand at least this far apart
REFERENCES_LEAST_M = 1.0  # survey points nearer together give no tapes that cross well
GAUGES_MOST = 4  # gauges that a crew can keep track of on one job

# Pegs.
PEG_FIRST_M = 2.5  # between pegs of the first pass, where the machine's file does not say
PEG_FINAL_M = 0.8  # and of both passes
CONTROL_MOST_M = 25.0  # between control pegs
HOLD_AT_M = 0.10  # a splice is held at this distance on both sides
HOLD_MOST_M = 0.15  # and a peg no further away than this already holds it
SHORT_BEND_M = 0.10  # a shorter bend gets one peg, not two

# The crew's day.
TAPED_ANYWAY = 15  # control pegs that the fixed minutes of a job cover
BREAK_AFTER_H = 6.0  # a day of work and driving longer than this has a break
BREAK_MIN = 30.0  # of this many minutes; local law has the last word

# Wire and splices.
TOUCH_M = 5e-3  # wires this near to each other cancel
FIRM_GAP_M = 0.05  # a lead pair passes a firm obstacle at this distance
SPOOL_OFF = 0.10  # a full spool that reads further beyond what its size allows was misread
LEAD_SAVED_M = 0.10  # how much longer a lead pair may get for a bend less
SLIT_WIDE_M = 0.05  # a dead end that is narrower, and deeper than the next, is not worth its wire:
SLIT_DEEP_M = 0.50  # common practice, no published source
JOINT_FAR_CLEARANCES = 2.5  # of a splice: how far along wire that stays new wire is joined in
SPLICED_LEAST_M = 1.0  # a shorter length of wire is not worth two splices
TEST_SEGMENT_M = 40.0  # most wire between two places that can be tested
TEST_CLEAR_M = 0.5  # a test point keeps off the ends of lead pairs, where two wires lie together

# The dock.
DOCK_STRAIGHT_M = 0.02  # wire that keeps within this of a chord is straight
DOCK_AHEAD_M = 30.0  # no machine asks for more straight wire than this
DOCK_JOINED_RATIO = 2.0  # wire no further along than this times across only follows on the run
DOCK_OTHER_WIRE_M = 1.0  # from the dock's run to any other wire
LEAD_FOR_DOCK_M = 1.0  # how much longer all pairs may get to keep that distance
DOCK_FAR_M = 1.0  # a dock this far from the wire was probably meant to be elsewhere
DOCK_PASSAGE_M = 2.0  # from the dock's run to a gate or a neck
DOCK_SIDE_M = 0.60  # kept free beside a dock; the machine passes beside that
DOCK_PLAY_M = 1.0  # from the dock's run to where children play
METAL_NEAR_M = 0.10  # from the wire to metal edging or mesh; common practice, no published source
SOCKET_NEAR_M = 1.0  # a socket this near to the supply is the one it is plugged into

# What is near the wire.
FIRM_WIDTH_M = 0.10  # least width of what stops the machine by itself
GAP_ENTERED_M = 0.15  # no machine gets into a narrower gap between two firm things
SERVICE_NEAR_M = 1.0  # work this near to a buried service needs it located
SERVICE_STRIP_M = 0.30  # no peg is driven nearer than this to the marks of a service
SERVICE_ALONG_M = 1.0  # wire that keeps in that strip for longer than this runs along the service
SERVICE_MARKS_DAYS = 28  # marks on the ground older than this have faded or gone
SERVICE_SQUARE_DEG = 15.0  # a wire crosses a service within this of a right angle
WATER_NEAR_M = 5.0  # of the wire
WATER_SHALLOW_M = 0.2  # no deeper than this is shallow
BASIN_M = 0.6  # and so is water no wider than this, where its depth is not stated
SLOPE_INSIDE_PERCENT = 30.0  # steepest ground to mow, where the machine's file does not say
SLOPE_AT_WIRE_PERCENT = 12.0  # and at the wire
SPRINKLER_HEAD_M = 0.30  # from a sprinkler's head to the wire, whose pegs and repairs would hit it
ISLAND_LEAST_M = 0.60  # across a ring of wire round an island; in a smaller one the signal is lost
OUTSIDE_FAR_M = 5.0  # an obstacle this far outside every lawn was probably measured wrongly
LEAD_IN_WALL_M = 0.40  # of a supply lead or a crossing inside a building: no more than a wall
# From the wire to where the machine is lost or a person comes to harm, without a barrier.
HAZARD_SETBACK_M = MappingProxyType({"water": 1.0, "drop": 0.5, "road": 1.0})

# What a new plan file starts from until the manual's figures take their place.
_SETBACKS = (
    ("flush", 0.10), ("kerb", 0.30), ("wall", 0.30), ("fence", 0.30), ("hedge", 0.30),
    ("bed", 0.30), ("water", 1.0), ("drop", 1.0), ("road", 1.0), ("neighbour", 0.30),
    ("low", 0.30), ("soft", 0.30), ("tree", 0.30),
)  # fmt: skip
SETBACK_M = MappingProxyType(dict(_SETBACKS))

OPEN_TIMES = 10.0  # a reading this many times the greatest good one is of a break in wet ground
# Wire, a peg or a splice that lies less than this from where it was has not moved.
MOVED_M = 0.10
# A record that moves a peg by more, or tapes that leave more between them, have a slip in them.
RECORD_MOVED_MOST_M = 20.0  # common practice, no published source
RECORD_TAPES_FIT_M = 0.30  # common practice, no published source

# Sizes beyond which a figure is taken for a mistake in the unit.
SETBACK_SUSPECT_M = 3.0
PASSAGE_SUSPECT_M = (0.4, 5.0)  # least and most
PEG_SPACING_SUSPECT_M = 15.0
TAIL_SUSPECT_M = 10.0
LAWN_WIDE_M = 500.0
CORNER_OUT_RATIO = 5.0  # one corner this many times as far out as the others are apart
GATE_WIDE_M = 2.5  # a wider gate in metres may be one in feet
LAWN_FEET_M2 = 500.0  # a larger lawn in metres, with wire in AWG, may be one in feet
LAWN_METRES_M2 = 20.0  # a smaller lawn in feet may be one in metres
SLIPPERY_PERCENT = 15.0  # a steeper slope calls for a caution

# Heights and depths where a side is drawn in section.
GRASS_M = 0.05
KERB_M = 0.10
PEG_M = 0.12

# What a van carries for each job, as keys of the take-off.
SPARE_CONNECTORS = 2
TOOLS = MappingProxyType(
    {
        "tool.mallet": 2,
        "tool.tape": 2,
        "tool.meter": 1,
        "tool.insulation_tester": 1,
        "tool.stripper": 1,
        "tool.cutter": 1,
        "tool.flags": 20,
        "tool.camera": 1,
        "tool.gloves": 2,
        "tool.eye_protection": 2,
        "tool.knee_pads": 2,
        "tool.first_aid": 1,
        "tool.pencil": 1,
        "tool.steel_rule": 1,
        "tool.mower": 1,
        "tool.rake": 1,
        "tool.saw": 1,
        "tool.marker": 1,
        "tool.label": 4,
        "tool.spool_stand": 1,
        "tool.level": 1,
        "tool.screwdriver": 1,
        "tool.clips": 10,
        "tool.indicator": 1,
    }
)
# Of what stays in the garden, so much more for each loop after the first.
EACH_LOOP_MORE = MappingProxyType({"tool.label": 2, "tool.clips": 10})
CROSSING_TOOLS = MappingProxyType(
    {"tool.wet_saw": 1, "tool.dust_mask": 2, "tool.hearing_protection": 2}
)
# Widths of lines on paper in mm, of the series of ISO 128-2, and what each is for; nothing on a
# sheet is drawn at another. The wire heaviest, hatching lightest.
LINE_MM = MappingProxyType(
    {"wire": 0.7, "edge": 0.5, "outline": 0.35, "rule": 0.25, "dimension": 0.18, "hatch": 0.13}
)
# Heights of capitals on drawings in mm, of the series of ISO 3098-1.
LETTER_MM = MappingProxyType({"text": 2.5, "mark": 3.5, "title": 5.0})
# What a crossing has to be sawn through, as plans name it in the languages that sheets print in.
HARD_GROUND = (
    "paving", "path", "drive", "road", "concrete", "asphalt", "slab", "stone", "brick",
    "pflaster", "weg", "auffahrt", "straße", "beton", "platte", "stein",
    "pavimento", "losa", "camino", "acera", "calzada", "hormigón", "asfalto", "adoquín", "piedra",
    "pavé", "dalle", "allée", "chemin", "route", "trottoir", "béton", "pierre", "brique",
)  # fmt: skip
# Words by which plans name the corner of a building, in the languages that sheets print in: two
# points that share a row are corners of one building. The first row is the house.
CORNER_WORDS = ("corner", "ecke", "esquina", "rincón", "coin", "angle")
BUILDING_WORDS = (
    (
        "house", "cottage", "lodge", "villa", "kitchen", "conservatory", "porch",
        "haus", "küche", "wintergarten", "veranda",
        "casa", "chalé", "cocina", "porche", "maison", "cuisine", "véranda",
    ),
    ("garage", "carport", "garaje", "cochera"),
    ("shed", "store", "hut", "schuppen", "laube", "cobertizo", "caseta", "remise", "cabanon"),
    ("barn", "stable", "scheune", "stall", "granero", "establo", "grange", "étable"),
)  # fmt: skip
