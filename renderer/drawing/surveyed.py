"""How sure a plan's points are, drawn: marks of unsure points, ellipses, the network of tapes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

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


def _named(symbol: str, at: Point, name: str) -> Part:
    """A point with its name above it."""
    return marked(
        symbol,
        f"{symbol} {name}",
        at,
        name,
        way=_UP,
        lettering=MARK_TEXT if symbol == "reference" else NAME_TEXT,
        kind=LabelKind.REFERENCE,
    )


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
    for pairs, pen, key in ((tapes, THIN, "taped"), (suspects, SUSPECT, "taped-suspect")):
        for one, two in pairs:
            ends = (scene.view.point(places[one]), scene.view.point(places[two]))
            line = Line(tuple(_rounded(end) for end in ends), pen, role=key)
            yield Part(((OUTLINE, line),), used=frozenset({key}))
    for fixed in scene.plan.survey.points:
        at = scene.view.point(fixed.at)
        yield marked(
            "reference", f"fixed {fixed.name}", at, fixed.name, way=_UP, kind=LabelKind.REFERENCE
        )
    for point in scene.plan.survey.adjusted:
        if point.state == "controlled":
            at = scene.view.point(point.at)
            yield marked(
                "surveyed",
                f"point {point.name}",
                at,
                point.name,
                way=_UP,
                lettering=NAME_TEXT,
                kind=LabelKind.REFERENCE,
            )


def _rounded(at: Point) -> Point:
    return (round(float(at[0]), 3), round(float(at[1]), 3))
