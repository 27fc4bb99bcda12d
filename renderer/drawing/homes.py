"""Names stand in the thing that they name or on open ground, not in another thing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

import shapely
from shapely import STRtree

from renderer.drawing.kinds import ANYWHERE

if TYPE_CHECKING:
    from renderer.drawing.labels import Label, Spot
    from renderer.geometry.lines import Chain

STRANGER = 5.0  # what a name pays to stand in a thing that it does not name


def at_home(labels: Sequence[Label], areas: Sequence[tuple[str, Chain]]) -> tuple[Label, ...]:
    """The labels, with places in other things made dearer; a label that can be spared loses them.

    ``areas`` are the key of a thing's own label and its ring on paper.
    """
    rings = [(key, ring) for key, ring in areas if len(ring) > 2]
    if not rings:
        return tuple(labels)
    owners = [key for key, _ in rings]
    tree = STRtree([shapely.Polygon(ring) for _, ring in rings])

    def priced(label: Label, spots: Sequence[Spot]) -> tuple[Spot, ...]:
        if not spots:
            return ()
        where = shapely.points([(spot.box.x, spot.box.y) for spot in spots])
        pairs = tree.query(where, predicate="within").T.tolist()
        strange = {at for at, owner in pairs if owners[owner] != label.key}
        return tuple(
            spot._replace(cost=spot.cost + STRANGER) if number in strange else spot
            for number, spot in enumerate(spots)
            if label.listed or number not in strange
        )

    def later(label: Label, make: Callable[[], Sequence[Spot]]) -> Callable[[], Sequence[Spot]]:
        return lambda: priced(label, make())

    return tuple(
        label
        if label.kind in ANYWHERE
        else replace(
            label,
            spots=priced(label, label.spots),
            brief=later(label, label.brief),
            more=later(label, label.more),
            led=tuple(each.then(partial(priced, label)) for each in label.led),
        )
        for label in labels
    )
