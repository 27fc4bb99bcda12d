"""Labels never touch what is read, whatever the crowd."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, MultiPoint, Point, Polygon

from renderer.drawing.boxes import (
    CLEAR_MM,
    LINE,
    SYMBOL,
    Box,
    Grid,
    Occupied,
    disc,
    pieces,
    touching,
)
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import (
    Label,
    Led,
    Placed,
    Placement,
    Places,
    Spot,
    drawn,
    everywhere,
    place,
    text_size,
    two_lines,
)
from renderer.drawing.pens import NAME_TEXT, PEG_TEXT
from renderer.drawing.spots import about, beyond, box_at, led_about, outside
from renderer.geometry.lines import chain
from renderer.geometry.rects import Rect
from renderer.primitives import Line, Text

KINDS = (LabelKind.PEG_FIXED, LabelKind.PEG_CONTROL, LabelKind.PEG_TENTH)

FRAME = Rect(0, 0, 120, 90)
SWING = tuple((i * 45.0, 0.1 * i) for i in range(8))
spots_on_paper = st.lists(
    st.tuples(st.integers(2, 118), st.integers(2, 88)), min_size=1, max_size=70, unique=True
)
boxes = st.builds(
    lambda x, y, hw, hh, a: Box(x, y, hw, hh, math.cos(a), math.sin(a)),
    st.floats(0, 20), st.floats(0, 20), st.floats(0.1, 8), st.floats(0.1, 8), st.floats(0, math.pi),
)  # fmt: skip


def shape(box: Box) -> Polygon:
    return Polygon(box.corners())


@given(boxes, boxes)
@settings(max_examples=200, deadline=None)
def test_touching_agrees_with_an_independent_library(a: Box, b: Box) -> None:
    common = shape(a).intersection(shape(b)).area
    if common > 1e-6:
        assert touching(a, b)
    if shape(a).distance(shape(b)) > 1e-6:
        assert not touching(a, b)


@given(
    st.sampled_from([disc((50, 40), 1.8), Box(50, 40, 2.4, 2.4)]),
    st.floats(2, 40), st.floats(2, 8), st.integers(0, 359),
)  # fmt: skip
def test_a_label_about_a_symbol_is_clear_of_it_and_near(
    room: Box, wide: float, high: float, turn: int
) -> None:
    way = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    (spot,) = about(room, (wide, high), way, swing=((0.0, 0.0),)).spots
    mark = shape(room) if not room.round else Point(room.x, room.y).buffer(room.hw)
    gap = shape(spot.box).distance(mark)
    assert CLEAR_MM - 0.01 < gap < 4.0


@given(
    st.sampled_from([disc((50, 40), 1.8), Box(50, 40, 2.4, 2.4), Box(50, 40, 9.0, 1.0)]),
    st.floats(2, 40), st.floats(2, 8), st.integers(0, 359), st.floats(0.5, 30),
)  # fmt: skip
def test_no_place_with_a_leader_is_cheaper_than_was_said_before_it_was_made(
    room: Box, wide: float, high: float, turn: int, far: float
) -> None:
    way = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    ring = chain([(30, 30), (42, 28), (47, 36), (33, 44)])
    places = [((50.0, 40.0), way, 0.2), ((52.0, 44.0), (-way[1], way[0]), 0.1)]
    size = (wide, high)
    kinds = (
        about(room, size, way, swing=SWING, far=(far,)).led,
        outside(ring, size, gaps=(far,)),
        beyond(places, size, (far,)),
    )
    for (led,) in kinds:
        cheapest = min(spot.cost for spot in led.make(everywhere))
        assert led.least <= cheapest <= led.least + 8.0  # else it would be made too early


@given(spots_on_paper)
@settings(max_examples=20, deadline=None)
def test_places_made_when_it_is_their_turn_are_those_that_all_at_once_would_be(
    at: list[tuple[int, int]],
) -> None:
    labels, obstacles = crowd(at)
    at_once = [
        replace(label, spots=Places(label.spots, label.led).all(), led=()) for label in labels
    ]
    later, now = (place(each, obstacles, FRAME) for each in (labels, at_once))
    assert [(each.label.key, each.spot) for each in later.placed] == [
        (each.label.key, each.spot) for each in now.placed
    ]


def test_places_with_leaders_are_not_made_where_one_beside_is_free() -> None:
    def never(_: Box) -> tuple[Spot, ...]:
        raise AssertionError("made")

    here = Spot(0.0, Box(60, 45, 10, 2))
    label = Label("one", ("one",), NAME_TEXT, LabelKind.VERDICT, (here,), led=(Led(2.5, never),))
    assert [each.spot for each in place([label], [], FRAME).placed] == [here]


def test_two_labels_of_one_small_thing_lead_to_it_from_near_places() -> None:
    """Their leaders meet in it; else the second would have to go straight across."""
    ring = chain([(2, 43), (6, 43), (6, 47), (2, 47)])  # nothing has room on its left
    led = outside(ring, text_size(("Pool bank",), NAME_TEXT))
    labels = [
        Label(key, ("Pool bank",), NAME_TEXT, LabelKind.THING, (), led=led) for key in ("a", "b")
    ]
    one, other = place(labels, [], FRAME).placed
    assert one.spot.leader and other.spot.leader
    assert one.spot.leader.end == other.spot.leader.end
    assert other.spot.cost - one.spot.cost < 1.0


def test_a_text_in_two_lines_is_as_narrow_as_it_can_be() -> None:
    assert two_lines("2 × 11.10 under the drive", NAME_TEXT) == ("2 × 11.10", "under the drive")
    assert two_lines("Slope 1, 12 %", NAME_TEXT) == ("Slope 1,", "12 %")
    assert two_lines("Solid obstacle 3", NAME_TEXT) == ("Solid", "obstacle 3")
    assert two_lines("Pond", NAME_TEXT) == two_lines("Tree 2", NAME_TEXT) == ()


def crowd(places: list[tuple[int, int]]) -> tuple[list[Label], list[Occupied]]:
    labels, obstacles = [], []
    for i, at in enumerate(places):
        text = str(i * 7)
        spots, led = about(
            disc(at, 0.8), text_size((text,), PEG_TEXT), (1, 0), swing=SWING, far=(3.0, 6.0)
        )
        labels.append(Label(f"peg {i}", (text,), PEG_TEXT, KINDS[i % 3], spots, led=led))
        obstacles.append(Occupied(disc(at, 0.8), SYMBOL))
    return labels, obstacles


def leader(placed: Placed) -> LineString:
    """The leader of a label at its place; none is a line without points."""
    led = placed.spot.leader
    return LineString([led.start, led.end] if led else [])


def assert_clear(result: Placement, obstacles: list[Occupied]) -> None:
    for one, other in itertools.combinations(result.placed, 2):
        assert shape(one.spot.box).distance(shape(other.spot.box)) >= 2 * CLEAR_MM - 1e-6
        for stroke in other.spot.strokes:
            assert not touching(one.spot.box, stroke)
        for stroke in one.spot.strokes:
            assert not touching(other.spot.box, stroke)
        assert not leader(one).crosses(leader(other))
    for placed in result.placed:
        bounds = placed.spot.box.bounds()
        assert bounds.x0 >= FRAME.x0 and bounds.y0 >= FRAME.y0
        assert bounds.x1 <= FRAME.x1 and bounds.y1 <= FRAME.y1
        for box, kind, _ in obstacles:
            if kind == SYMBOL:
                assert not touching(placed.spot.box, box)
                assert not any(touching(stroke, box) for stroke in placed.spot.strokes)


@given(spots_on_paper)
@settings(max_examples=40, deadline=None)
def test_no_label_touches_another_a_symbol_a_leader_or_the_edge(
    places: list[tuple[int, int]],
) -> None:
    labels, obstacles = crowd(places)
    result = place(labels, obstacles, FRAME)
    assert_clear(result, obstacles)
    assert len(result.placed) + len(result.unplaced) == len(labels)


@given(spots_on_paper)
@settings(max_examples=20, deadline=None)
def test_the_same_labels_find_the_same_places(places: list[tuple[int, int]]) -> None:
    labels, obstacles = crowd(places)
    assert place(labels, obstacles, FRAME) == place(labels, obstacles, FRAME)


def test_a_roomy_drawing_places_every_label_at_its_first_choice() -> None:
    labels, obstacles = crowd([(10 + 20 * i, 10 + 20 * j) for i in range(5) for j in range(4)])
    result = place(labels, obstacles, FRAME)
    assert not result.unplaced
    assert all(p.spot == p.label.spots[0] for p in result.placed)


def test_a_label_with_one_place_moves_the_one_that_took_it() -> None:
    size = text_size(("one",), NAME_TEXT)
    here, there = Spot(0.0, box_at((20, 20), size)), Spot(1.0, box_at((60, 20), size))
    first = Label("first", ("one",), NAME_TEXT, LabelKind.VERDICT, (here, there))
    second = Label("second", ("one",), NAME_TEXT, LabelKind.MATCH_LINE, (here,))
    result = place([first, second], [], FRAME)
    assert [p.spot for p in result.placed] == [there, here]


def test_a_name_has_its_place_before_the_numbers_between_those_of_control_pegs() -> None:
    only = Spot(0.0, Box(60, 45, 6, 2))
    number = Label("peg 7", ("7",), PEG_TEXT, LabelKind.PEG_TENTH, (only,), listed=False)
    name = Label("lawn", ("Lawn",), NAME_TEXT, LabelKind.LAWN, (only,))
    found = place([number, name], [], FRAME)
    assert [each.label for each in found.placed] == [name]
    assert found.unplaced == (number,)


def test_a_label_without_room_becomes_a_key_number_or_is_returned() -> None:
    wide = ("a name far too long for this narrow frame of paper",)
    brief = (Spot(0.0, box_at((20, 20), text_size(("N8",), NAME_TEXT))),)
    spots = (Spot(0.0, box_at((20, 20), text_size(wide, NAME_TEXT))),)
    keyed = Label("keyed", wide, NAME_TEXT, LabelKind.VERDICT, spots, lambda: brief)
    lost = Label("lost", wide, NAME_TEXT, LabelKind.MATCH_LINE, spots, lambda: brief)
    result = place([keyed, lost], [], Rect(0, 0, 60, 40), "N{}")
    assert result.keyed == (("N1", keyed),)
    assert result.unplaced == (lost,)
    assert [t.text for t in drawn(result.placed) if isinstance(t, Text)] == ["N1"]


def test_a_label_prefers_a_place_off_the_lines() -> None:
    line = chain(((0, 20), (120, 20)))
    obstacles = [Occupied(box, LINE, 5.0) for box in pieces(line, 0.7)]
    size = text_size(("12",), PEG_TEXT)
    on, off = Spot(0.0, box_at((50, 20), size)), Spot(1.0, box_at((50, 40), size))
    result = place(
        [Label("peg", ("12",), PEG_TEXT, LabelKind.VERDICT, (on, off))], obstacles, FRAME
    )
    assert result.placed[0].spot == off


def test_lines_break_behind_a_label_that_has_no_other_place() -> None:
    line = chain(((0, 20), (120, 20)))
    obstacles = [Occupied(box, LINE, 5.0) for box in pieces(line, 0.7)]
    spot = Spot(0.0, box_at((50, 20), text_size(("12",), PEG_TEXT)))
    result = place([Label("peg", ("12",), PEG_TEXT, LabelKind.VERDICT, (spot,))], obstacles, FRAME)
    mask, text = drawn(result.placed)
    assert isinstance(mask, Line) and mask.fill == "#ffffff"
    assert isinstance(text, Text)
    assert Polygon(mask.points).contains(shape(spot.box))


@given(st.lists(st.tuples(st.floats(0, 90), st.floats(0, 90)), min_size=2, max_size=30))
@settings(max_examples=40, deadline=None)
def test_the_pieces_of_a_chain_cover_it(rows: list[tuple[float, float]]) -> None:
    line = chain(rows)
    cover = MultiPoint(rows[:1]).buffer(0.3)
    for box in pieces(line, 0.7):
        cover = cover.union(shape(box).buffer(0.3))
    assert LineString(rows).difference(cover).length < 0.5


def test_a_grid_forgets_what_is_dropped() -> None:
    grid = Grid()
    box = Box(10, 10, 4, 2)
    grid.add(box, SYMBOL, 1.0, 7)
    assert [owner for _, _, owner in grid.hits(box)] == [7]
    grid.drop((box,), 7)
    assert not list(grid.hits(box))


@given(st.floats(-math.pi, math.pi), st.sampled_from([2.0, 5.0, 9.0]))
def test_a_leader_round_a_neighbour_is_drawn_on_to_its_own_symbol(turn: float, far: float) -> None:
    """It ends beside the symbol; where its place is looked for, it ends 3 mm farther off."""
    own = box_at((10.0, 10.0), (2.0, 2.0))
    way = (math.cos(turn), math.sin(turn))
    (led,) = led_about(own.grown(3.0), (4.0, 2.0), way, swing=((0.0, 0.0),), far=(far,), on_to=own)
    (spot,) = led.make(everywhere)
    assert spot.leader is not None
    x, y = spot.leader.end
    square = Polygon([(9.0, 9.0), (11.0, 9.0), (11.0, 11.0), (9.0, 11.0)])
    assert 0.29 < square.distance(Point(x, y)) < 1.0
