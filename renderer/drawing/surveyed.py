"""How sure a plan's points are, drawn: marks of unsure points, ellipses, the network of tapes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.boxes import LINE, Occupied, pieces
from renderer.drawing.kinds import LabelKind
from renderer.drawing.pens import MARK_TEXT, NAME_TEXT, SUSPECT, THIN
from renderer.drawing.scene import MARK, OUTLINE, Part, Scene
from renderer.drawing.stations import marked
from renderer.primitives import Line
from renderer.trade import ELLIPSE_95

if TYPE_CHECKING:
    from renderer.geometry.lines import Point
    from renderer.plan.survey import SurveyedPoint

ENLARGED = 10.0  # ellipses of a few centimetres would be dots at the scale of a plan
_CORNERS = 48
_UP = (0.0, -1.0)
_EVEN = 0.1  # tapes that leave a point in all directions favour none
TAPE_WEIGHT = 3.0


def surveyed(scene: Scene) -> Iterator[Part]:
    """Marks at points that nothing checks or that are in question; ellipses where asked for."""
    for point in scene.plan.survey.adjusted:
        if not scene.view.sees(point.at):
            continue
        at = scene.view.point(point.at)
        if point.state != "controlled":
            yield marked(
                "unsure",
                f"unsure {point.name}",
                at,
                point.name,
                way=_UP,
                lettering=NAME_TEXT,
                kind=LabelKind.REFERENCE,
            )
        if "ellipses" in scene.show:
            yield _ellipse(scene, point)


def _ellipse(scene: Scene, point: SurveyedPoint) -> Part:
    turn = math.radians(point.azimuth_deg)
    long_m, short_m = (ELLIPSE_95 * ENLARGED * each for each in (point.major, point.minor))
    ring = []
    for step in range(_CORNERS):
        angle = math.tau * step / _CORNERS
        along, across = long_m * math.cos(angle), short_m * math.sin(angle)
        dx = along * math.sin(turn) + across * math.cos(turn)
        dy = along * math.cos(turn) - across * math.sin(turn)
        ring.append(_rounded(scene.view.point((point.at[0] + dx, point.at[1] + dy))))
    line = Line(tuple(ring), THIN, closed=True, role="ellipse")
    return Part(((MARK, line),), used=frozenset({"ellipse"}))


def network(
    scene: Scene,
    places: Mapping[str, Point],
    tapes: Sequence[tuple[str, str]],
    suspects: Sequence[tuple[str, str]],
) -> Iterable[Part]:
    """The tapes between ``places``, those under suspicion by a wide broken line, and the points."""
    ends = {name: scene.view.point(at) for name, at in places.items()}
    for pairs, pen, key in ((tapes, THIN, "taped"), (suspects, SUSPECT, "taped-suspect")):
        for one, two in pairs:
            chain = (_rounded(ends[one]), _rounded(ends[two]))
            crossed = tuple(
                Occupied(box, LINE, TAPE_WEIGHT) for box in pieces(np.array(chain), THIN.width_mm)
            )
            line = Line(chain, pen, role=key)
            yield Part(((OUTLINE, line),), crossed, used=frozenset({key}))
    ways = _ways(ends, (*tapes, *suspects))
    for fixed in scene.plan.survey.points:
        yield _named("reference", "fixed", ends[fixed.name], fixed.name, ways)
    for point in scene.plan.survey.adjusted:
        if point.state == "controlled":
            yield _named("surveyed", "point", ends[point.name], point.name, ways)


def _named(symbol: str, key: str, at: Point, name: str, ways: Mapping[str, Point]) -> Part:
    """A point of the network with its name where the fewest tapes run."""
    return marked(
        symbol,
        f"{key} {name}",
        at,
        name,
        way=ways.get(name, _UP),
        lettering=MARK_TEXT if symbol == "reference" else NAME_TEXT,
        kind=LabelKind.REFERENCE,
    )


def _ways(ends: Mapping[str, Point], tapes: Iterable[tuple[str, str]]) -> dict[str, Point]:
    """For each point the direction away from its tapes, on the paper."""
    sums: dict[str, Point] = {}
    for pair in tapes:
        for one, two in (pair, pair[::-1]):
            x, y = sums.get(one, (0.0, 0.0))
            dx, dy = ends[one][0] - ends[two][0], ends[one][1] - ends[two][1]
            long = math.hypot(dx, dy) or 1.0
            sums[one] = (x + dx / long, y + dy / long)
    lengths = {name: math.hypot(*way) for name, way in sums.items()}
    return {
        name: (x / lengths[name], y / lengths[name])
        for name, (x, y) in sums.items()
        if lengths[name] > _EVEN
    }


def _rounded(at: Point) -> Point:
    return (round(float(at[0]), 3), round(float(at[1]), 3))
