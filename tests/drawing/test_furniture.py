"""Bars, north arrow and legend."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from renderer.drawing import axes, check_bar, drawing_words, legend, orientation, scale_bar, tiled
from renderer.drawing.fills import FILLS
from renderer.drawing.furniture import free_corner
from renderer.drawing.legends import rows
from renderer.drawing.measures import length_text
from renderer.drawing.sides import PATTERNS
from renderer.drawing.symbols import SYMBOLS
from renderer.output.recorder import record
from renderer.output.shapes import drawing_page
from renderer.plan import load
from renderer.plan.kinds import SETBACK_KINDS, SIDE_KINDS
from renderer.primitives import Circle, Drawing, Line, Pen, Text
from tests.drawing.audit import faults
from tests.shared import lay_plan

WORDS = drawing_words()
OBSTACLE_KINDS = (*SETBACK_KINDS, "firm")


@pytest.mark.parametrize(("inch", "length"), [(False, 100.0), (True, 101.6)])
def test_the_check_bar_is_exact(inch: bool, length: float) -> None:
    drawing = check_bar(inch=inch, words=WORDS)
    (bar,) = (i for i in drawing.items if isinstance(i, Line) and i.role == "check-bar")
    (x0, y0), (x1, y1) = bar.points
    assert x1 - x0 == pytest.approx(length, abs=1e-9)
    assert y0 == y1
    assert faults(drawing) == []


@pytest.mark.parametrize("scale", [10, 20, 50, 100, 120, 200, 240, 500, 720, 1000, 5000])
@pytest.mark.parametrize("inch", [False, True])
def test_the_scale_bar_says_what_it_measures(scale: float, inch: bool) -> None:
    drawing = scale_bar(scale, inch=inch, words=WORDS)
    marks = [i for i in drawing.items if isinstance(i, Text)][:-1]
    unit_mm = (304.8 if inch else 1000.0) / scale
    spans = [b.at[0] - a.at[0] for a, b in pairwise(marks)]
    values = [float(mark.text) for mark in marks]
    for span, low, high in zip(spans, values, values[1:], strict=False):
        assert span == pytest.approx((high - low) * unit_mm, abs=0.002)
    assert 18.0 <= sum(spans) <= 100.0
    assert faults(drawing) == []


@pytest.mark.parametrize(
    ("turn", "north", "bearing"),
    [(0.0, 0.0, 0.0), (90.0, 0.0, 270.0), (0.0, 40.0, 40.0), (-33.0, 40.0, 73.0), (90, None, 270)],
)
def test_the_arrow_points_north_or_to_the_plans_top(
    turn: float, north: float | None, bearing: float
) -> None:
    """``bearing`` is clockwise on paper from upwards."""
    arrow = orientation(turn, north, WORDS)
    assert arrow
    (word,) = (i for i in arrow.items if isinstance(i, Text))
    assert word.text == WORDS["label.top" if north is None else "label.north"]
    tip = arrow.items[0].points[0]  # type: ignore[union-attr]
    middle = np.mean([p for i in arrow.items if isinstance(i, Line) for p in i.points], axis=0)
    way = math.degrees(math.atan2(tip[0] - middle[0], middle[1] - tip[1])) % 360
    assert (way - bearing + 180) % 360 - 180 == pytest.approx(0.0, abs=1.0)
    roles = {i.role for i in arrow.items if isinstance(i, Line)}
    assert roles == {"plan-top" if north is None else "north"}


@pytest.mark.parametrize("turn", [90.0, -33.0, 180.0])
def test_the_axes_run_as_the_plan_is_turned(turn: float) -> None:
    mark = axes(turn)
    assert mark
    for name, level in (("x", 0.0), ("y", 90.0)):
        (line,) = [
            item
            for item in mark.items
            if isinstance(item, Line) and item.role == f"axis-{name}" and not item.closed
        ]
        (ax, ay), (bx, by) = line.points
        way = math.degrees(math.atan2(ay - by, bx - ax))
        assert (way - level - turn + 180) % 360 - 180 == pytest.approx(0.0, abs=0.1)
        (letter,) = [item for item in mark.items if isinstance(item, Text) and item.text == name]
        assert math.dist(letter.at, (bx, by)) < 5.0
        assert 0.0 <= letter.at[0] <= mark.width_mm and 0.0 <= letter.at[1] <= mark.height_mm
    assert axes(0.0) is None


def test_north_that_is_not_known_is_not_drawn() -> None:
    assert orientation(0.0, None, WORDS) is None


def test_every_symbol_keeps_to_its_room() -> None:
    for name, symbol in SYMBOLS.items():
        for thing in record_of(symbol.at((50.0, 50.0), 30.0)):
            for x, y in thing.corners:
                far = max(abs(x - 50), abs(y - 50))
                # The boxes of turned strokes stand out beyond the strokes.
                assert far <= symbol.radius_mm * 1.42 + 0.3, name


def record_of(items):  # type: ignore[no-untyped-def]
    from renderer.primitives import Drawing

    return record(drawing_page(Drawing(100, 100, tuple(items))))


def test_every_kind_of_side_and_obstacle_has_its_pattern_and_words() -> None:
    assert set(PATTERNS) == set(SIDE_KINDS)
    assert set(OBSTACLE_KINDS) <= set(FILLS)
    short = [WORDS[f"short.{kind}"] for kind in SIDE_KINDS]
    assert len(set(short)) == len(short)
    assert all(word.islower() and len(word) > 2 for word in short)  # no letter: those are points
    for kind in OBSTACLE_KINDS:
        assert WORDS[f"obstacle.{kind}"]


def test_no_two_side_patterns_look_alike() -> None:
    from renderer.geometry.lines import chain

    line = chain(((0, 0), (60, 0)))
    looks = {
        kind: tuple((i.points, i.pen.dash_mm if i.pen else None, i.fill) for i in draw(line))
        for kind, draw in PATTERNS.items()
    }
    assert len(set(looks.values())) == len(looks)


def test_no_two_fills_look_alike() -> None:
    on_plans = {kind: rules for kind, rules in FILLS.items() if kind != "out"}
    assert len(set(on_plans.values())) == len(on_plans)


def test_the_legend_holds_what_is_used_and_nothing_else() -> None:
    used = {"wire", "peg1", "side.wall", "side.bed", "obstacle.water", "feature.gate.at"}
    texts = [row.text for row in rows(used, WORDS)]
    assert len(texts) == len(used)
    assert not any("splice" in text.lower() for text in texts)


@pytest.mark.parametrize("kind", ["play", "gate", "paving", "buried pipe"])
def test_the_legend_shows_a_feature_as_the_plan_draws_it(kind: str) -> None:
    """A point as a symbol, a line as a line, an area as an area."""
    at, line, area = (rows({f"feature.{kind}.{form}"}, WORDS)[0] for form in ("at", "line", "area"))
    assert at.text == line.text == area.text
    assert at.sample != area.sample and line.sample != area.sample and at.sample != line.sample
    assert len(line.sample) == 1


def test_pairs_of_both_kinds_look_alike_and_share_a_row_of_the_legend() -> None:
    both = rows({"lead", "crossing"}, WORDS)
    assert [row.text for row in both] == [WORDS["legend.lead-or-crossing"]]
    assert both[0].sample == rows({"lead"}, WORDS)[0].sample


@pytest.mark.parametrize("width", [43.0, 90.0, 174.0, 261.0])
def test_the_legend_keeps_to_its_width(width: float) -> None:
    used = {"wire", "lead", "control", "peg1", "peg2", "splice", "dock", "reference", "dimension"}
    used |= {f"side.{kind}" for kind in SIDE_KINDS} | {
        f"obstacle.{kind}" for kind in OBSTACLE_KINDS
    }
    used |= {f"feature.{kind}.area" for kind in ("slope", "paving", "play", "building")}
    used |= {"feature.buried cable.line", "feature.gate.at", "feature.play.at"}
    drawing = legend(used, width, WORDS, [("N1", "A long name of a thing in a garden")])
    assert drawing.width_mm == width
    assert faults(drawing) == []


def test_lengths_in_metres_and_in_feet() -> None:
    assert length_text(12.345, "m", WORDS) == "12.35" or length_text(12.345, "m", WORDS) == "12.34"
    assert length_text(3.81, "ft", WORDS) == "12' 6\""
    assert length_text(0.3048, "ft", WORDS) == "1' 0\""
    assert length_text(0.0254 * 4.25, "ft", WORDS) == '4¼"'
    assert length_text(0.3048 - 0.0001, "ft", WORDS) == "1' 0\""


def test_round_marks_are_circles_for_readers_of_the_file() -> None:
    for name in ("peg1", "peg2", "control", "splice"):
        assert any(isinstance(item, Circle) for item in SYMBOLS[name].at((0.0, 0.0)))


def test_every_mark_on_the_plans_is_explained(any_plan: Path) -> None:
    plan = load(any_plan)
    lay = lay_plan(plan)
    sheets = tiled(plan, lay, (), box_mm=(190.0, 200.0), inch_paper=False, words=WORDS)
    for key in sheets.used - {"arrow"}:  # stands in the row of the wire
        assert len(rows({key}, WORDS)) == 1, key


def test_a_mark_takes_a_corner_that_shows_nothing() -> None:
    """A line across the upper right corner, then a text in the lower right one too."""
    line = Line(((80.0, 2.0), (99.0, 20.0)), Pen(0.5))
    word = Text((90.0, 55.0), "Pond", 8.0)
    for items, corner in (((), "ne"), ((line,), "se"), ((line, word), "nw")):
        x, y = free_corner(Drawing(100.0, 60.0, items), 10.0, 14.0, 2.0)
        assert ("n" if y < 30 else "s") + ("w" if x < 50 else "e") == corner
        assert 0 < x < 89 and 0 < y < 45.5
