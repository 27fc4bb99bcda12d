"""The garden for the window: the plan drawing, and what can be pointed at on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from renderer.drawing.plan import MARGIN_MM, ground_points, view_drawing
from renderer.drawing.scale import best_fit, series, size_mm
from renderer.drawing.scene import LAYERS, Scene
from renderer.drawing.view import centred
from renderer.geometry.lines import chain, stretch
from renderer.geometry.rects import Rect
from renderer.geometry.rings import area
from renderer.inks import drawing_in
from renderer.language import load_words
from renderer.language.show import Show
from renderer.output.svg import write_svg

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.drawing.view import View
    from renderer.geometry.lines import Chain
    from renderer.ground.lay import LawnGround, Leg, LoopLay, Peg, Ring
    from renderer.job import Job
    from renderer.options import Inks
    from renderer.plan.lines import Lines
    from renderer.plan.model import Feature, Obstacle

Json = dict[str, Any]
BOX_MM = (380.0, 260.0)
# The findings are marked by the window itself, which knows which of them is looked at.
SHOWN = LAYERS - {"findings"}


@dataclass(frozen=True, slots=True)
class Thing:
    """Something to point at: its kind, its name, what is known of it, where, and its line."""

    kind: str
    name: str
    facts: tuple[str, ...]
    points: Chain  # metres on the ground
    line: int
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Garden:
    """The drawing, and how the ground lies on it."""

    svg: str
    view: View
    things: tuple[Thing, ...]

    def place(self, at: tuple[float, float]) -> list[float]:
        """A point of the ground on the drawing, in millimetres from its top left corner."""
        x, y = self.view.point(at)
        return [round(x, 2), round(y, 2)]

    def for_window(self) -> Json:
        """The same as values for JSON."""
        frame = self.view.frame
        return {
            "svg": self.svg,
            "width": round(frame.width, 3),
            "height": round(frame.height, 3),
            "metres": 1.0 / self.view.mm_per_m,
            "things": [self._thing(each) for each in self.things],
        }

    def _thing(self, thing: Thing) -> Json:
        return {
            "kind": thing.kind,
            "name": thing.name,
            "facts": thing.facts,
            "line": thing.line,
            "closed": thing.closed,
            "points": np.round(self.view.chain(thing.points), 2).tolist(),
        }


def garden_of(job: Job, lines: Lines, language: str, ink: Inks = "grey") -> Garden:
    """The garden of a job whose zero lies near its lawns (``Job.near``).

    Raises DrawError for one that fits no paper, MissingGlyph for a letter that no face has.
    """
    plan, lay = job.plan, job.lay
    points = ground_points(plan, lay)
    room = (BOX_MM[0] - 2 * MARGIN_MM, BOX_MM[1] - 2 * MARGIN_MM)
    fit = best_fit(points, room, series(inch_paper=False, units=plan.units))
    width, height = size_mm(points, fit)
    view = centred(points, fit, Rect(0.0, 0.0, width + 2 * MARGIN_MM, height + 2 * MARGIN_MM))
    words = load_words(language, "drawing")
    scene = Scene(plan, lay, (), view, words, job.setting, SHOWN)
    svg = write_svg(drawing_in(ink, view_drawing(scene).drawing), language).decode()
    return Garden(svg, view, tuple(_Named(job, lines, language).all()))


class _Named:
    """Names the things of a job and says what is known of them."""

    def __init__(self, job: Job, lines: Lines, language: str) -> None:
        self._job = job
        self._lines = lines
        self._words = load_words(language, "preview")
        self._show = Show(job.plan.units, self._words)

    def all(self) -> Iterator[Thing]:
        """From what is large to what is small, so that what is small lies on top."""
        plan = self._job.plan
        for number, lawn in enumerate(self._job.lay.lawns):
            yield self._lawn(number, lawn)
            yield from self._sides(number, lawn)
        for loop in self._job.lay.loops:
            yield from (self._island(ring) for ring in loop.rings if ring.kind == "island")
        for number, obstacle in enumerate(plan.obstacles):
            yield self._obstacle(number, obstacle)
        for number, feature in enumerate(plan.features):
            yield self._feature(number, feature)
        for loop in self._job.lay.loops:
            yield from (self._leg(loop, leg) for leg in loop.legs if leg.kind != "tail")
            yield from (self._peg(loop, peg) for peg in loop.pegs)
            for splice in loop.splices:
                yield self._small("splice", splice.id, loop, (splice.x, splice.y), splice.at_m)
            yield self._small("start", loop.name, loop, loop.start, loop.tail_m)

    def _say(self, key: str, **facts: object) -> str:
        return self._words(f"fact.{key}", **facts)

    def _name(self, kind: str, name: str) -> str:
        return self._words(f"thing.{kind}", name=name)

    def _along(self, loop: LoopLay, at_m: float) -> str:
        return self._say("along", at=self._show.length(at_m), loop=loop.name)

    def _where(self, at: tuple[float, float]) -> str:
        """Coordinates as the file has them."""
        x, y = (a + b for a, b in zip(at, self._job.plan.origin, strict=True))
        return self._say("where", x=self._show.length(x), y=self._show.length(y))

    def _lawn(self, number: int, lawn: LawnGround) -> Thing:
        facts = (
            self._say("lawn-area", area=self._show.area(lawn.outline.area)),
            self._say("mown", area=self._show.area(lawn.working.area)),
        )
        ring = np.asarray(lawn.outline.exterior.coords)
        line = self._lines.named(lawn.name) or self._lines.at("lawns", number)
        return Thing("lawn", self._name("lawn", lawn.name), facts, ring, line, closed=True)

    def _sides(self, number: int, lawn: LawnGround) -> Iterator[Thing]:
        """The sides of a lawn, each with the line of the corner that it starts from."""
        corners = next(each.outline for each in self._job.plan.lawns if each.name == lawn.name)
        each_has_one = len(corners) == len(lawn.sides)
        for at, side in enumerate(lawn.sides):
            run = float(np.hypot(*np.diff(side.points, axis=0).T).sum())
            way: tuple[str | int, ...] = ("lawns", number)
            line = self._lines.at(*way, "outline", at) if each_has_one else self._lines.at(*way)
            facts = (self._say("length", length=self._show.length(run)),)
            yield Thing("side", self._words(f"kind.{side.kind}"), facts, side.points, line)

    def _island(self, ring: Ring) -> Thing:
        run = float(np.hypot(*np.diff(ring.points, axis=0).T).sum())
        facts = (self._say("length", length=self._show.length(run)),)
        line = next(filter(None, map(self._lines.named, ring.obstacles)), 0)
        name = self._name("island", ring.of)
        return Thing("island", name, facts, ring.points, line, closed=True)

    def _obstacle(self, number: int, obstacle: Obstacle) -> Thing:
        ring = _ring(obstacle)
        kind = self._words(f"kind.{obstacle.kind}")
        facts = (kind, self._say("area", area=self._show.area(abs(area(ring)))))
        line = self._lines.at("obstacles", number)
        return Thing("obstacle", obstacle.name, facts, ring, line, closed=True)

    def _feature(self, number: int, feature: Feature) -> Thing:
        facts = [self._words(f"kind.{feature.kind}")]
        if feature.depth is not None:
            facts.append(self._say("depth", depth=self._show.length(feature.depth)))
        if feature.percent is not None:
            facts.append(self._say("slope", slope=self._show.percent(feature.percent)))
        if feature.at is not None:
            points, closed = chain([feature.at]), False
            facts.append(self._where(feature.at))
        elif feature.line is not None:
            points, closed = chain(feature.line), False
        else:
            points, closed = _ring(feature), True
        line = self._lines.at("features", number)
        return Thing("feature", feature.name, tuple(facts), points, line, closed)

    def _leg(self, loop: LoopLay, leg: Leg) -> Thing:
        facts = (
            self._say("length", length=self._show.length(leg.length_m)),
            self._say(
                "from-to",
                start=self._show.length(leg.from_m),
                end=self._show.length(leg.to_m),
                loop=loop.name,
            ),
        )
        kind = f"{leg.kind}-back" if leg.back else leg.kind
        line = self._lines.named(leg.of.split(" + ")[0]) or self._lines.named(loop.name)
        points, _ = stretch(loop.path, loop.at_m, leg.from_m, leg.to_m)
        return Thing("leg", self._name(kind, leg.of), facts, points, line)

    def _peg(self, loop: LoopLay, peg: Peg) -> Thing:
        facts = [self._along(loop, peg.at_m)]
        if peg.also_at_m is not None:
            facts.append(self._say("also", at=self._show.length(peg.also_at_m)))
        facts += [
            self._say(f"pass-{peg.round}"),
            self._say(f"peg-{peg.reason}"),
            self._where((peg.x, peg.y)),
        ]
        leg = next((leg for leg in loop.legs if leg.from_m <= peg.at_m <= leg.to_m), None)
        of = leg.of.split(" + ")[0] if leg else loop.name
        line = self._lines.named(of) or self._lines.named(loop.name)
        name = self._name("peg", peg.id)
        return Thing("peg", name, tuple(facts), chain([(peg.x, peg.y)]), line)

    def _small(
        self, kind: str, name: str, loop: LoopLay, at: tuple[float, float], at_m: float
    ) -> Thing:
        facts = (self._along(loop, at_m), self._where(at))
        line = self._lines.named(loop.name)
        return Thing(kind, self._name(kind, name), facts, chain([at]), line)


def _ring(thing: Obstacle | Feature) -> Chain:
    """The edge of an area, first point repeated last; a circle by its corners."""
    if thing.circle is not None:
        turn = np.linspace(0.0, 2.0 * np.pi, 33)
        unit = np.column_stack((np.cos(turn), np.sin(turn)))
        ring: Chain = np.asarray(thing.circle.at) + thing.circle.radius * unit
        return ring
    points = chain(thing.polygon or ())
    return np.concatenate((points, points[:1]))
