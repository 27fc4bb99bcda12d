"""A name is not written into a thing that bears another name."""

from __future__ import annotations

import dataclasses

import numpy as np
import shapely

from renderer.drawing import drawing_words, plan_drawing
from renderer.drawing.boxes import Box
from renderer.drawing.homes import HATCHED, STRANGER, at_home
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, Spot
from renderer.drawing.pens import NAME_TEXT
from renderer.primitives import Line, Text
from tests.drawing import handmade

POND = np.array([[0.0, 0], [30, 0], [30, 20], [0, 20]])
INSIDE, BESIDE = Spot(1.0, Box(15, 10, 4, 2)), Spot(2.0, Box(50, 10, 4, 2))


def priced(key: str, *, kind: LabelKind = LabelKind.THING, listed: bool = True) -> list[float]:
    label = Label(
        key,
        ("X",),
        NAME_TEXT,
        kind,
        (INSIDE, BESIDE),
        lambda: (INSIDE,),
        listed,
        more=lambda: (),
    )
    (made,) = at_home([label], [("obstacle 0", POND)])
    assert [spot.cost for spot in made.brief()] == [made.spots[0].cost] * listed
    return [spot.cost for spot in made.spots]


def test_a_place_in_another_thing_is_dear_and_in_its_own_or_outside_it_is_not() -> None:
    assert priced("lawn Rear") == [1.0 + STRANGER, 2.0]
    assert priced("obstacle 0") == [1.0, 2.0]
    assert priced("peg 7", kind=LabelKind.PEG) == [1.0, 2.0]


def test_what_nobody_would_look_up_is_rather_left_out() -> None:
    label = Label(
        "dimension", ("X",), NAME_TEXT, LabelKind.DIMENSION, (INSIDE, BESIDE), listed=False
    )
    (made,) = at_home([label], [("obstacle 0", POND)])
    assert made.spots == (BESIDE,)


def test_a_lawn_is_not_named_in_its_pond() -> None:
    """Two lawns, so that they are named; the pond takes the middle of the one."""
    rear, far = handmade.plan_data()["lawns"][0], [[40, 0], [50, 0], [50, 12], [40, 12]]  # type: ignore[index]
    plan = handmade.plan(
        lawns=[rear, {"name": "Far", "outline": [[x, y, "wall"] for x, y in far]}],
        obstacles=[{"name": "P", "kind": "water", "circle": {"at": [10, 6], "radius": 3}}],
    )
    lay = handmade.lay()
    lawns = (lay.lawns[0], lay.lawns[0])
    two = dataclasses.replace(lay, lawns=lawns)
    made = plan_drawing(
        plan, two, (), box_mm=(230.0, 170.0), inch_paper=False, words=drawing_words()
    )
    (pond,) = (i for i in made.drawing.items if isinstance(i, Line) and i.role == "obstacle")
    names = [i for i in made.drawing.items if isinstance(i, Text) and i.text == "Rear"]
    assert names
    assert not any(shapely.Polygon(pond.points).contains(shapely.Point(n.at)) for n in names)


def homed(kind: LabelKind, *spots: Spot, key: str = "x", listed: bool = True) -> tuple[Spot, ...]:
    """The spots left to a label, with hatched ground about the pond and a wire along y = 40."""
    label = Label(key, ("X",), NAME_TEXT, kind, spots, listed=listed)
    wire = np.array([[-10.0, 40], [90, 40]])
    (made,) = at_home([label], (), [("feature 0", POND)], [wire])
    return made.spots


ON_WIRE, NEAR_WIRE = Spot(0.0, Box(50, 42, 4, 2)), Spot(3.0, Box(50, 43, 4, 2))


def test_only_numbers_and_what_stands_at_the_wire_may_cover_it() -> None:
    """A wire 0.7 mm wide; the nearer text lies on it, the other leaves it free."""
    for kind in (LabelKind.THING, LabelKind.SIDE, LabelKind.PAIR, LabelKind.LAWN, LabelKind.SUPPLY):
        assert homed(kind, ON_WIRE, NEAR_WIRE) == (NEAR_WIRE,)
        assert homed(kind, ON_WIRE, NEAR_WIRE, listed=False) == (NEAR_WIRE,)
    for kind in (LabelKind.PEG, LabelKind.WALK, LabelKind.DOCK, LabelKind.SPLICE):
        assert homed(kind, ON_WIRE, NEAR_WIRE) == (ON_WIRE, NEAR_WIRE)


def test_hatched_ground_is_dear_unless_a_label_belongs_there() -> None:
    over, off = Spot(0.0, Box(30, 10, 4, 2)), Spot(1.0, Box(50, 10, 4, 2))
    costs = [spot.cost for spot in homed(LabelKind.SUPPLY, over, off, listed=False)]
    assert costs == [HATCHED, 1.0]
    assert homed(LabelKind.DIMENSION, over, off, listed=False) == (off,)
    assert homed(LabelKind.THING, over, off, key="feature 0") == (over, off)
    assert homed(LabelKind.SIDE, over, off) == (over, off)
    within = tuple(Spot(float(i), Box(10 + 4 * i, 10, 2, 1)) for i in range(3))
    assert homed(LabelKind.PLACE, *within, off) == (*within, off)  # a sprinkler on a bank


def test_no_dimension_stands_in_a_building() -> None:
    """The house takes all the ground outside the lawn's lower side."""
    house = {"name": "House", "kind": "building"}
    ground = [[0, 0], [20, 0], [20, -6], [0, -6]]

    def below(**changes: object) -> bool:
        made = plan_drawing(
            handmade.plan(**changes), handmade.lay(), (),
            box_mm=(230.0, 190.0), inch_paper=False, words=drawing_words(),
        )  # fmt: skip
        items = made.drawing.items
        (lawn,) = (i for i in items if isinstance(i, Line) and i.id == "lawn-rear")
        lengths = [i for i in items if isinstance(i, Text) and "label dimension" in (i.role or "")]
        assert lengths
        return any(text.at[1] > max(y for _, y in lawn.points) for text in lengths)

    assert below(features=[])
    assert not below(features=[{**house, "polygon": ground}])
