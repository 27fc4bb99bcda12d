"""Mistakes in a correct plan, each with the rules that it trips: for the tests, and for docs/."""

from __future__ import annotations

from typing import Any

from tests.checks.jobs import (
    JOB,
    Job,
    changed,
    one_lawn,
    two_loops,
)

ONE = one_lawn()
TWO_LOOPS = two_loops()
NARROW = [
    [0, 0, "wall"],
    [10, 0, "wall"],
    [10, 4, "wall"],
    [11, 4, "wall"],
    [11, 0, "wall"],
    [24, 0, "wall"],
    [24, 14, "wall"],
    [11, 14, "wall"],
    [11, 5.8, "wall"],
    [10, 5.8, "wall"],
    [10, 14, "wall"],
    [0, 14, "wall"],
]
STRIP = [
    [0, 0, "flush"],
    [24, 0, "fence"],
    [24, 6, "fence"],
    [34, 6, "fence"],
    [34, 7.5, "fence"],
    [24, 7.5, "fence"],
    [24, 14, "hedge"],
    [0, 14, "wall"],
]
SLIT = [
    [0, 0, "flush"],
    [24, 0, "fence"],
    [24, 6, "fence"],
    [25.6, 6, "fence"],
    [25.6, 6.72, "fence"],
    [24, 6.72, "fence"],
    [24, 14, "hedge"],
    [0, 14, "wall"],
]
CORRIDOR = [
    [0, 0, "flush"],
    [16, 0, "wall"],
    [16, 0.1, "wall"],
    [24, 0.1, "fence"],
    [24, 14, "hedge"],
    [16, 14, "wall"],
    [16, 2.1, "wall"],
    [0, 2.1, "wall"],
]
WIDE_BED = {"name": "Roses", "kind": "bed", "polygon": [[0, 5], [22, 5], [22, 14], [0, 14]]}
HOUSE_WEST = {
    "features.+": {
        "name": "House",
        "kind": "building",
        "polygon": [[3, -2.5], [7, -2.5], [7, -0.5], [3, -0.5]],
    }
}
STAKE = {"name": "Stake", "kind": "soft", "circle": {"at": [10, 11], "radius": 0.1}}
SLOPE = {"name": "Bank", "kind": "slope"}

TWICE = {"loops.0.crossings.+": {"between": ["Rear", "Front"], "via": [[3, -1], [3, -3]]}}
THROUGH_A_PLINTH = {
    "obstacles.+": {
        "name": "Plinth",
        "kind": "firm",
        "polygon": [[2, -3], [4, -3], [4, -1], [2, -1]],
    },
    "loops.0.crossings.+": {"between": ["Rear", "Front"], "via": [[3, -2]]},
}
THREE_NEAR = {
    "obstacles.0": {"name": "Herbs", "kind": "bed", "circle": {"at": [9, 7], "radius": 0.8}},
    "obstacles.3": {"name": "Court bed", "kind": "bed", "circle": {"at": [11.6, 7], "radius": 0.6}},
}

THREE_POINTS = [
    {"name": "A", "at": [0, 0]},
    {"name": "B", "at": [24, 0]},
    {"name": "C", "at": [0, 14]},
]

MISTAKES: dict[str, tuple[Job, dict[str, Any], set[str]]] = {
    "an island behind walls without a gap": (
        one_lawn(),
        {
            "obstacles": [
                {"name": "Roses", "kind": "bed", "circle": {"at": [12, 7], "radius": 0.5}},
                *(
                    {"name": f"Wall {n}", "kind": "firm", "polygon": [list(p) for p in ring]}
                    for n, ring in enumerate(
                        [
                            [(9, 4), (15, 4), (15, 4.4), (9, 4.4)],
                            [(9, 9.6), (15, 9.6), (15, 10), (9, 10)],
                            [(9, 4.4), (9.4, 4.4), (9.4, 9.6), (9, 9.6)],
                            [(14.6, 4.4), (15, 4.4), (15, 9.6), (14.6, 9.6)],
                        ],
                        1,
                    )
                ),
            ],
        },
        {"island-shut-in"},
    ),
    "figures from nowhere": (JOB, {"machine.from_manual": None}, {"machine-not-confirmed"}),
    "figures not compared": (JOB, {"machine.from_manual": False}, {"machine-not-confirmed"}),
    "one figure compared": (JOB, {"machine.from_manual": ["tail"]}, {"machine-not-confirmed"}),
    "nobody asked for services": (JOB, {"job.services_asked": ""}, {"services-not-asked"}),
    "a cable not located": (JOB, {"features.4.located": None}, {"service-not-located"}),
    "a cable not located, beside the wire": (
        JOB,
        {"features.4.located": None, "features.4.line": [[24, -13], [24, -6]]},
        {"service-not-located"},
    ),
    "a cable crossed askew": (
        JOB,
        {"features.4.line": [[25, -8], [21, -12]]},
        {"service-crossed-askew"},
    ),
    "a cable crossed 70 degrees to the wire": (
        JOB,
        {"features.4.line": [[26, -9.272], [21, -11.092]]},
        {"service-crossed-askew"},
    ),
    "a cable no deeper than a peg": (JOB, {"features.4.depth": 0.12}, {"service-shallow"}),
    "a cable located after the day": (
        JOB,
        {"job.planned_for": "2026-04-30"},
        {"service-located-late"},
    ),
    "marks five weeks old": (
        JOB,
        {"job.planned_for": "2026-06-05"},
        {"service-located-long-ago"},
    ),
    "a cable along the wire": (
        JOB,
        {"features.4.line": [[23.5, -12], [23.5, -6]]},
        {"service-along-wire", "peg-in-service-strip"},
    ),
    "a cable beside a corner of the wire": (
        JOB,
        {"features.4.line": [[30, -13.4], [23.5, -13.4]]},
        {"peg-in-service-strip"},
    ),
    "a cable under the dock": (
        JOB,
        {"features.4.line": [[8, -3], [8, 1]]},
        {"dock-over-service", "peg-in-service-strip"},
    ),
    "a cable beside the dock": (
        JOB,
        {"features.4.line": [[8.9, -3], [8.9, 1]]},
        {"dock-over-service"},
    ),
    "a cable under a generator": (
        TWO_LOOPS,
        {"features.4.line": [[-2, -8.2], [1, -8.2]]},
        {"dock-over-service"},
    ),
    "a cable under the supply": (
        JOB,
        {"features.4.line": [[4.9, -3], [4.9, -0.3]], "loops.0.supply.at": [5, -1]},
        {"supply-over-service"},
    ),
    "a neighbour's wire across": (
        JOB,
        {"features.+": {"name": "Next door", "kind": "neighbour wire", "line": [[30, 9], [20, 9]]}},
        {"neighbour-wire-crossed"},
    ),
    "a neighbour's wire beside": (
        JOB,
        {"features.+": {"name": "Next", "kind": "neighbour wire", "line": [[24.2, 2], [24.2, 12]]}},
        {"neighbour-wire-near"},
    ),
    "metal edging under the wire": (
        JOB,
        {"features.+": {"name": "Steel", "kind": "metal", "line": [[23.6, 2], [23.6, 12]]}},
        {"metal-near-wire"},
    ),
    "mesh across the wire": (
        ONE,
        {"features.+": {"name": "Mesh", "kind": "metal", "circle": {"at": [12, 14], "radius": 1}}},
        {"metal-near-wire"},
    ),
    "a socket without protection": (JOB, {"features.0.protected": False}, {"socket-unfit"}),
    "a socket for indoors": (JOB, {"features.0.outdoor": False}, {"socket-unfit"}),
    "a socket of which nothing is known": (
        JOB,
        {"features.0.protected": None},
        {"socket-not-known"},
    ),
    "no socket at the supply": (JOB, {"features.0": None}, {"socket-not-known"}),
    "no supply": (JOB, {"loops.0.supply": None}, {"socket-not-known"}),
    "a lead that does not reach": (JOB, {"loops.0.supply.lead": 2.9}, {"lead-too-short"}),
    "no lead stated, and the longest does not reach": (
        JOB,
        {"loops.0.supply.lead": None, "machine.dock.lead_max": 2.9},
        {"lead-too-short"},
    ),
    "a lead longer than allowed": (JOB, {"loops.0.supply.lead": 10.5}, {"lead-too-long"}),
    "a lead too thin": (JOB, {"machine.supply.conductor_mm2": 0.2}, {"lead-loses-voltage"}),
    "a lead's gauge too thin": (
        JOB,
        {"machine.supply": {"current_a": 2.0, "voltage_v": 24, "conductor_awg": 24}},
        {"lead-loses-voltage"},
    ),
    "a spool's reading misread by ten": (
        JOB,
        {"wire.measured": [{"length": 300, "ohm": 0.72, "temperature": 15}]},
        {"spool-reading-odd"},
    ),
    "a spool measured with part of it gone": (
        JOB,
        {"wire.measured": [{"length": 300, "ohm": 5.9, "temperature": 15}]},
        {"spool-reading-odd"},
    ),
    "a loop over the limit": (JOB, {"machine.loop_max": 160}, {"loop-too-long"}),
    "too little wire": (JOB, {"wire.spools": [120]}, {"stock-short"}),
    "slack less than the slopes take": (
        JOB,
        {"wire.slack_percent": 0, "features.1.circle.radius": 3, "features.1.circle.at": [1, 11]},
        {"slack-too-small"},
    ),
    "a slope in the lawn": (JOB, {"features.1.percent": 38}, {"slope-too-steep"}),
    "a slope under the wire": (
        JOB,
        {"features.1.percent": 22, "features.1.circle.at": [1, 11]},
        {"slope-too-steep-at-wire"},
    ),
    "a dock on a slope": (
        JOB,
        {"features.1.percent": 8, "features.1.circle.at": [8, 0]},
        {"dock-on-slope"},
    ),
    "a dock by a corner": (
        JOB,
        {"loops.0.dock.at": [1.2, 0.1]},
        {"dock-not-straight", "dock-near-corner"},
    ),
    "too little straight wire behind the dock": (
        JOB,
        {"loops.0.dock.at": [1.8, 0.1]},
        {"dock-not-straight"},
    ),
    "a dock in a sprinkler's throw": (
        JOB,
        {"features.3.at": [9, 1.5]},
        {"dock-in-sprinkler-throw"},
    ),
    "a dock far from the wire": (
        JOB,
        {"loops.0.dock.at": [8, -1.2]},
        {"dock-far-from-wire"},
    ),
    "a dock on the wire of another loop": (
        TWO_LOOPS,
        {"loops.0.dock.at": [8, -4], "loops.0.supply.lead": 6},
        {"dock-far-from-wire"},
    ),
    "a dock beside a gate": (
        JOB,
        {"features.2.line": [[9, 0], [10.2, 0]]},
        {"dock-in-passage"},
    ),
    "an island beside the dock": (
        changed(JOB, {"machine.passage_min": 0.6}),
        {"obstacles.1.polygon": [[7, 1.2], [9, 1.2], [9, 3], [7, 3]]},
        {"dock-near-wire"},
    ),
    "a firm thing on the edge": (
        JOB,
        {"obstacles.2.circle.at": [10, 13.8]},
        {"wire-through-firm-obstacle"},
    ),
    "a firm thing too thin": (JOB, {"obstacles.2.circle.radius": 0.04}, {"firm-too-slight"}),
    "a neck too narrow": (
        ONE,
        {"lawns.0.outline": NARROW, "obstacles.2.circle.at": [5, 11]},
        {"lawn-pinched"},
    ),
    "a neck that setbacks close": (
        ONE,
        {
            "lawns.0.outline": [*NARROW[:8], [11, 4.6, "wall"], [10, 4.6, "wall"], *NARROW[10:]],
            "obstacles.2.circle.at": [5, 11],
            "loops.0.crossings": [{"between": ["Rear", "Rear"]}],
        },
        {"lawn-parted"},
    ),
    "a gate too narrow": (
        ONE,
        {
            "lawns.0.outline": NARROW,
            "obstacles.2.circle.at": [5, 11],
            "features.2.line": [[10.5, 4], [10.5, 5.8]],
        },
        {"lawn-pinched", "gate-too-narrow"},
    ),
    "a deep dead end": (ONE, {"lawns.0.outline": STRIP}, {"dead-end-cut"}),
    "a slit": (ONE, {"lawns.0.outline": SLIT}, {"dead-end-cut"}),
    "a part too small": (
        ONE,
        {
            "lawns.0.outline": [
                *NARROW[:4],
                [11, 3.2, "wall"],
                [13.6, 3.2, "wall"],
                [13.6, 6.4, "wall"],
                [11, 6.4, "wall"],
                *NARROW[8:],
            ],
            "obstacles.0.circle": {"at": [3, 3], "radius": 0.4},
            "obstacles.2.circle.at": [5, 11],
            "features.3.at": [3, 12],
        },
        {"part-left-out", "lawn-pinched"},
    ),
    "a lawn that nothing reaches": (
        JOB,
        {"loops.0.crossings": None},
        {"part-unreached"},
    ),
    "a crossing twice": (
        JOB,
        TWICE,
        {"crossing-idle"},
    ),
    "a crossing through a plinth": (JOB, THROUGH_A_PLINTH, {"crossing-idle"}),
    "a crossing over another lawn": (
        JOB,
        {
            "lawns.+": {
                "name": "Strip",
                "loop": "strip",
                "outline": [
                    [14, -3, "flush"],
                    [22, -3, "flush"],
                    [22, -1, "flush"],
                    [14, -1, "flush"],
                ],
            },
            "features.+": {
                "name": "Post box",
                "kind": "socket",
                "at": [13.8, -2],
                "protected": True,
                "outdoor": True,
            },
            "loops.+": {
                "name": "strip",
                "generator": {"at": [14, -2]},
                "supply": {"at": [13.8, -2], "lead": 2},
            },
        },
        {"crossing-over-lawn", "loops-cross"},
    ),
    "a dock on a sharp corner": (
        changed(JOB, {"machine.corner_radius": 0}),
        {"loops.0.dock.at": [-1, -0.5], "loops.0.supply.lead": 8},
        {"dock-not-straight", "dock-near-corner", "dock-far-from-wire"},
    ),
    "loops too near": (TWO_LOOPS, {"machine.loop_gap": 5}, {"loops-too-near"}),
    "a generator on the lawn": (
        TWO_LOOPS,
        {"loops.1.generator.at": [2, -9], "loops.1.supply.lead": 4},
        {"generator-on-lawn", "lead-over-grass"},
    ),
    "lawns that overlap": (
        TWO_LOOPS,
        {"lawns.1.outline.2": [24, 3, "bed"]},
        {"lawns-overlap", "loops-cross", "ground-enclosed-wrongly"},
    ),
    "a lawn with no room": (
        TWO_LOOPS,
        {
            "lawns.1.outline": [
                [0, -9.2, "wall"],
                [1, -9.2, "wall"],
                [1, -8.8, "wall"],
                [0, -8.8, "wall"],
            ]
        },
        {"loop-without-ground", "obstacle-far-outside"},
    ),
    "a splice in a sprinkler's throw": (
        JOB,
        {"wire.spools": [191, 50], "features.3.at": [2, 4]},
        {"splice-in-sprinkler-throw"},
    ),
    "a park with nothing to tape from": (
        changed(ONE, {"wire.spools": [2000], "machine.loop_max": 2000}),
        {
            "lawns.0.outline": [
                [0, 0, "flush"],
                [300, 0, "bed"],
                [300, 100, "bed"],
                [0, 100, "wall"],
            ],
            "obstacles.0.circle.at": [150, 50],
            "features.2.line": [[300, 9], [300, 10.2]],
        },
        {"pegs-far-along"},
    ),
    "a splice under paving": (
        JOB,
        {"wire.spools": [191, 50], "features.5.polygon": [[-1, 3], [1, 3], [1, 5], [-1, 5]]},
        {"splice-under-paving"},
    ),
    "water laid too near": (
        changed(JOB, {"machine.setback.water": 0.3}),
        {},
        {"hazard-setback-low"},
    ),
    "a road without a setback": (
        ONE,
        {"lawns.0.outline.1": [24, 0, "road"], "machine.setback.road": 0},
        {"hazard-setback-low"},
    ),
    "a wall without a setback": (ONE, {"machine.setback.hedge": 0}, {"setback-of-nothing"}),
    "a sprinkler's head on the wire": (
        JOB,
        {"features.3.at": [23.5, 4], "features.3.radius": 1},
        {"sprinkler-at-wire"},
    ),
    "an island too small": (
        JOB,
        {"machine.setback.soft": 0.1, "obstacles.2": STAKE},
        {"island-too-small"},
    ),
    "two firm things that nothing passes between": (
        JOB,
        {
            "obstacles.+": {
                "name": "Plinth",
                "kind": "firm",
                "polygon": [[10.65, 10.8], [11.2, 10.8], [11.2, 11.3], [10.65, 11.3]],
            }
        },
        {"firm-things-near"},
    ),
    "a firm thing by the edge": (
        JOB,
        {"obstacles.2.circle.at": [10, 12.8]},
        {"firm-near-wire"},
    ),
    "a setback in centimetres": (
        ONE,
        {"machine.setback.wall": 4, "features.3.at": [21, 3]},
        {"figure-odd"},
    ),
    "a passage in centimetres": (
        ONE,
        {"machine.passage_min": 0.3, "machine.corner_radius": 0.1},
        {"figure-odd"},
    ),
    "a corner with a digit too many": (
        changed(ONE, {"wire.spools": [2000], "machine.loop_max": 2000}),
        {"lawns.0.outline.2": [24, 1400, "hedge"], "features.2": None},
        {"lawn-odd", "dead-end-cut", "loop-too-long", "stock-short", "pegs-far-along"},
    ),
    "a lawn half a mile wide": (
        changed(ONE, {"wire.spools": [2000], "machine.loop_max": 3000}),
        {
            "lawns.0.outline.1": [600, 0, "fence"],
            "lawns.0.outline.2": [600, 14, "hedge"],
            "features.2": None,
        },
        {"lawn-odd", "pegs-far-along"},
    ),
    "a bed of another unit": (ONE, {"obstacles.1": WIDE_BED}, {"obstacle-over-lawn"}),
    "feet read as metres": (
        changed(ONE, {"wire.spools": [2000], "wire.conductor_mm2": None}),
        {
            "wire.conductor_awg": 18,
            "lawns.0.outline": [
                [0, 0, "flush"],
                [24, 0, "fence"],
                [24, 24, "wall"],
                [0, 24, "wall"],
            ],
        },
        {"unit-suspected"},
    ),
    "a machine too small for the lawn": (ONE, {"machine.area_max": 250}, {"area-too-large"}),
    "a dock that closes a corridor": (
        changed(ONE, {"machine.dock.straight_before": 1.0}),
        {
            "lawns.0.outline": CORRIDOR,
            "obstacles.2.circle.at": [19, 4],
        },
        {"dock-blocks-passage"},
    ),
    "a dock where children play": (
        ONE,
        {
            "features.+": {
                "name": "Sandpit",
                "kind": "play",
                "circle": {"at": [8, -1.2], "radius": 1},
            }
        },
        {"dock-in-play"},
    ),
    "a place for play on the lawn": (
        ONE,
        {"features.+": {"name": "Swing", "kind": "play", "at": [14, 4]}},
        {"play-where-mown"},
    ),
    "a crossing through a house": (
        JOB,
        {
            "features.+": {
                "name": "House",
                "kind": "building",
                "polygon": [[18, -3.5], [22, -3.5], [22, -0.5], [18, -0.5]],
            }
        },
        {"crossing-through-building"},
    ),
    "an obstacle far away": (JOB, {"obstacles.2.circle.at": [40, 40]}, {"obstacle-far-outside"}),
    "stock without its reserve": (JOB, {"wire.spools": [205]}, {"stock-without-reserve"}),
    "a supply on the lawn": (
        JOB,
        {"loops.0.supply.at": [9, 2], "features.0.at": [9, 2]},
        {"supply-on-lawn"},
    ),
    "a lead over the grass": (
        changed(JOB, {"machine.dock.lead_max": 30, "machine.supply": None}),
        {
            "loops.0.supply": {"at": [8, 15], "via": [[8, 10]], "lead": 25},
            "features.0.at": [8, 15],
        },
        {"lead-over-grass"},
    ),
    "a lead through a house": (
        changed(JOB, HOUSE_WEST),
        {
            "loops.0.supply": {"at": [5, -3], "via": [[5, -0.3]], "lead": 8},
            "features.0.at": [5, -3],
        },
        {"lead-through-building"},
    ),
    "a lead whose way nobody looked at": (
        changed(JOB, HOUSE_WEST),
        {"loops.0.supply": {"at": [5, -3], "lead": 10}, "features.0.at": [5, -3]},
        {"lead-way-not-stated"},
    ),
    "a lead that is short round the house": (
        changed(JOB, HOUSE_WEST),
        {"loops.0.supply": {"at": [5, -3], "lead": 4.5}, "features.0.at": [5, -3]},
        {"lead-way-not-stated", "lead-too-short"},
    ),
    "an acceptance of a stop": (
        JOB,
        {"acknowledged": [{"rule": "stock-short", "by": "Lead", "reason": "more on site"}]},
        {"stop-cannot-be-accepted"},
    ),
    "an acceptance of nothing known": (
        JOB,
        {"acknowledged": [{"rule": "stock-shot", "by": "Lead", "reason": "more on site"}]},
        {"acceptance-unknown"},
    ),
    "a pond that two tapes place and none checks": (
        JOB,
        {
            "survey.ties": {"pond": {"A": 18.788, "B": 10.630, "side": "left"}},
            "obstacles.0.circle": {"at": "pond", "radius": 1.2},
        },
        {"unsure-at-hazard", "survey-uncontrolled"},
    ),
    "a tape to the roses that reads a metre long": (
        JOB,
        {
            "survey.points": THREE_POINTS,
            "survey.ties": {"rose": {"A": 7.211, "B": 20.881, "C": 9.944, "side": "left"}},
            "obstacles.1.polygon": ["rose", [7, 6], [7, 8], [4, 8]],
        },
        {"survey-in-question"},
    ),
    "a passage at the roses that is wide enough by a hand": (
        JOB,
        {
            "survey.points": THREE_POINTS,
            "survey.ties": {"rose": {"A": 4.327, "B": 20.068, "C": 12.982}},
            "obstacles.1.polygon": ["rose", [7, 1.7], [7, 4], [4, 4]],
        },
        {"passage-unsure"},
    ),
    "tapes to the roses that are good to a foot": (
        JOB,
        {
            "survey.points": THREE_POINTS,
            "survey.ties": {
                "rose": {
                    house: {"reads": reads, "sigma": 0.1}
                    for house, reads in (("A", 7.211), ("B", 20.881), ("C", 8.944))
                }
            },
            "obstacles.1.polygon": ["rose", [7, 6], [7, 8], [4, 8]],
        },
        {"setback-unsure", "survey-uncontrolled"},
    ),
    "a reference point a hand from another": (
        JOB,
        {"survey.points": [{"name": "A", "at": [0, 0]}, {"name": "B", "at": [0.15, 0]}]},
        {"references-too-near"},
    ),
}

NOTES: dict[str, tuple[Job, dict[str, Any], set[str]]] = {
    "a lawn that the machine is carried to": (
        ONE,
        {"lawns.+": JOB["lawns"][1], "loops.0.crossings": JOB["loops"][0]["crossings"]},
        {"parts-carried-to"},
    ),
    "islands that overlap": (
        JOB,
        {
            "obstacles.+": {
                "name": "Reed",
                "kind": "bed",
                "circle": {"at": [18.5, 9], "radius": 0.8},
            }
        },
        {"islands-overlap"},
    ),
    "islands too near to pass between": (
        JOB,
        {"obstacles.+": {"name": "Herbs", "kind": "bed", "circle": {"at": [9, 7], "radius": 0.8}}},
        {"islands-merged"},
    ),
    "three islands too near to pass between": (JOB, THREE_NEAR, {"islands-merged"}),
    "an island too near to the edge": (
        JOB,
        {"obstacles.1.polygon": [[1, 6], [3, 6], [3, 8], [1, 8]]},
        {"island-in-bay"},
    ),
    "an obstacle beside the lawn": (JOB, {"obstacles.2.circle.at": [27, 5]}, {"obstacle-outside"}),
    "a thick tree": (JOB, {"obstacles.1.kind": "tree"}, {"tree-might-stand-bare"}),
    "a sprinkler of unknown throw": (JOB, {"features.3.radius": None}, {"throw-not-stated"}),
    "a dock beyond two tapes": (
        ONE,
        {
            "lawns.0.outline": [
                {"at": [0, 0], "side": "flush", "through": [31, -3]},
                [62, 0, "bed"],
                [62, 40, "bed"],
                [0, 40, "wall"],
            ],
            "loops.0.dock.at": [31, -2.9],
            "features.2.line": [[62, 9], [62, 10.2]],
            "wire.spools": [400],
            "loops.0.supply.at": [29, -3.5],
            "features.0.at": [29, -3.5],
        },
        {"poorly-found"},
    ),
    "a bed inside a solid planter": (
        one_lawn(),
        {
            "obstacles": [
                {"name": "Roses", "kind": "bed", "circle": {"at": [12, 7], "radius": 0.4}},
                {
                    "name": "Planter",
                    "kind": "firm",
                    "polygon": [[11, 6], [13, 6], [13, 8], [11, 8]],
                },
            ],
        },
        {"island-in-solid"},
    ),
    "no fixed points": (JOB, {"survey": None}, {"no-reference-points"}),
    "no spools": (JOB, {"wire.spools": []}, {"spools-not-stated"}),
    "a generator out of reach": (
        TWO_LOOPS,
        {"loops.1.generator.at": [-0.4, -9]},
        {"tails-too-short"},
    ),
    "an acceptance of what is not there": (
        JOB,
        {"acknowledged": [{"rule": "crossing-idle", "by": "Lead", "reason": "spare"}]},
        {"acceptance-idle"},
    ),
}

# Gardens that were laid, with what was recorded of them; what is found is in the records alone.
RECORDED: dict[str, tuple[Job, dict[str, Any], set[str]]] = {
    "a design edited after it was laid from": (
        JOB,
        {"as_built": {"date": "2026-05-04", "design": "K4RW7QMX"}},
        {"design-edited"},
    ),
    "a record without the design's code": (
        JOB,
        {"as_built": {"date": "2026-05-04", "moved": [{"peg": "20", "offset": 0.05}]}},
        {"design-not-noted"},
    ),
    "a reading three times too high": (
        JOB,
        {
            "as_built": {
                "date": "2026-05-04",
                "readings": [{"what": "main", "ohm": 14.2, "temperature": 12}],
            }
        },
        {"reading-off"},
    ),
    "wire that is bare somewhere": (
        JOB,
        {
            "as_built": {
                "date": "2026-05-04",
                "readings": [{"what": "main", "insulation_megohm": 0.02}],
            }
        },
        {"insulation-poor"},
    ),
}
