"""Names stand in the thing that they name or on open ground, not in another, nor on the wire."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely import STRtree

from renderer.drawing.kinds import ANYWHERE, LabelKind
from renderer.drawing.pens import WIDE_MM

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from renderer.drawing.labels import Label, Spot
    from renderer.geometry.lines import Chain

    Shapes = NDArray[np.object_]

STRANGER = 5.0  # what a name pays to stand in a thing that it does not name
HATCHED = 4.0  # and what it pays to cover the hatching of ground that it does not lie on;
# a dimension never does, as ISO 129 has it
# The place of these is on the wire or at it, and no list could take them.
AT_THE_WIRE = ANYWHERE | {
    LabelKind.MATCH_LINE,
    LabelKind.TAIL,
    LabelKind.STRAIGHT_RUN,
    LabelKind.DOCK,
    LabelKind.GENERATOR,
    LabelKind.SPLICE,
    LabelKind.FOUND,
    LabelKind.REFERENCE,
    LabelKind.PIN,
}
# A side's kind and setback stand beside it, whatever ground lies there.
ON_ANY_GROUND = ANYWHERE | {LabelKind.SIDE}


def at_home(
    labels: Sequence[Label],
    areas: Sequence[tuple[str, Chain]],
    grounds: Sequence[tuple[str, Chain]] = (),
    wires: Sequence[Chain] = (),
) -> tuple[Label, ...]:
    """The labels without places on the wire, and with places in other things made dearer.

    ``areas`` are the key of a thing's own label and its ring on paper; a label that can be spared
    loses the places in them. ``grounds`` are hatched ground in the same way, which labels rather
    leave free; ``wires`` are the lines that no text may cover.
    """
    things = _Things(areas)
    floors = _Things(grounds)
    lines = _Wires(wires)

    def priced(label: Label, home: frozenset[str], spots: Sequence[Spot]) -> tuple[Spot, ...]:
        if not spots:
            return ()
        middles, boxes = _laid(spots)
        strange = things.in_others(middles, frozenset({label.key}))
        hatched = frozenset() if label.kind in ON_ANY_GROUND else floors.over_others(boxes, home)
        barred = frozenset() if label.kind in AT_THE_WIRE else lines.under(boxes)
        if label.kind == LabelKind.DIMENSION:
            barred |= hatched
        return tuple(
            spot._replace(cost=spot.cost + dear) if dear else spot
            for number, spot in enumerate(spots)
            if number not in barred and (label.listed or number not in strange)
            for dear in (STRANGER * (number in strange) + HATCHED * (number in hatched),)
        )

    def later(
        label: Label, home: frozenset[str], make: Callable[[], Sequence[Spot]]
    ) -> Callable[[], Sequence[Spot]]:
        return lambda: priced(label, home, make())

    def sent_home(label: Label) -> Label:
        home = floors.of(label)
        return replace(
            label,
            spots=priced(label, home, label.spots),
            brief=later(label, home, label.brief),
            more=later(label, home, label.more),
            led=tuple(each.then(partial(priced, label, home)) for each in label.led),
        )

    if not (things.any or floors.any or lines.any):
        return tuple(labels)
    return tuple(label if label.kind in ANYWHERE else sent_home(label) for label in labels)


class _Things:
    """Rings on paper, each with the key of the label that may stand in it."""

    def __init__(self, areas: Sequence[tuple[str, Chain]]) -> None:
        rings = [(key, ring) for key, ring in areas if len(ring) > 2]
        self.any = bool(rings)
        self._owners = [key for key, _ in rings]
        self._tree = STRtree([shapely.Polygon(ring) for _, ring in rings])

    def of(self, label: Label) -> frozenset[str]:
        """The rings that a label is at home in: its own, and those in which its places lie."""
        found = [label.key]
        if self.any and label.spots:
            middles, _ = _laid(label.spots)
            in_ring = Counter(owner for _, owner in self._within(middles))
            found += [
                self._owners[number]
                for number, times in in_ring.items()
                if 2 * times > len(label.spots)
            ]
        return frozenset(found)

    def in_others(self, middles: Shapes, own: frozenset[str]) -> frozenset[int]:
        """The numbers of the middles that lie in a ring that is not among a label's own."""
        if not self.any:
            return frozenset()
        return self._others(self._within(middles), own)

    def over_others(self, boxes: Shapes, own: frozenset[str]) -> frozenset[int]:
        """The numbers of the boxes that cover any of such a ring."""
        if not self.any:
            return frozenset()
        pairs = self._tree.query(boxes, predicate="intersects").T.tolist()
        return self._others(pairs, own)

    def _within(self, middles: Shapes) -> list[list[int]]:
        pairs: list[list[int]] = self._tree.query(middles, predicate="within").T.tolist()
        return pairs

    def _others(self, pairs: Sequence[Sequence[int]], own: frozenset[str]) -> frozenset[int]:
        return frozenset(at for at, owner in pairs if self._owners[owner] not in own)


class _Wires:
    """The wire on paper, prepared so that the first piece of it in a box is enough.

    A park on one sheet has more pieces in a box the more it has in all.
    """

    def __init__(self, wires: Sequence[Chain]) -> None:
        lines = [shapely.linestrings(line) for line in wires if len(line) > 1]
        self.any = bool(lines)
        self._lines = shapely.MultiLineString(lines)
        shapely.prepare(self._lines)

    def under(self, boxes: Shapes) -> frozenset[int]:
        """The numbers of the boxes that cover any of it."""
        if not self.any:
            return frozenset()
        return frozenset(np.flatnonzero(shapely.intersects(self._lines, boxes)).tolist())


def _laid(spots: Sequence[Spot]) -> tuple[Shapes, Shapes]:
    """The middles of places, and their text with half the width of the wire about it."""
    x, y, hw, hh, c, s = np.array([spot.box[:6] for spot in spots]).T
    middles: Shapes = shapely.points(x, y)
    boxes: Shapes
    if s.any() or (c != 1.0).any():
        boxes = shapely.polygons([spot.box.grown(WIDE_MM / 2).corners() for spot in spots])
    else:
        hw, hh = hw + WIDE_MM / 2, hh + WIDE_MM / 2
        boxes = shapely.box(x - hw, y - hh, x + hw, y + hh)
    return middles, boxes
