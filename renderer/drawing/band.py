"""The ground along the wire that nobody digs in, tinted under everything else."""

from __future__ import annotations

import numpy as np
import shapely

from renderer.drawing.pens import BAND_GREY
from renderer.drawing.scene import FILL, Part, Scene
from renderer.geometry.lines import as_points
from renderer.job.practice import Figures
from renderer.primitives import Area

SEGMENTS = 6  # of a quarter turn, so that the chords of a band lie within a tenth of a millimetre
FINE_MM = 0.02


def keep_off(scene: Scene) -> Part:
    """The band within the machine's or the common distance of every wire in the frame."""
    view = scene.view
    wide = view.mm(Figures(scene.plan.machine, scene.plan.units)["keep_off"])
    wires = [shapely.linestrings(view.chain(loop.path)) for loop in scene.lay.loops]
    frame = shapely.box(*view.frame)
    band = shapely.simplify(
        shapely.buffer(shapely.union_all(wires), wide, quad_segs=SEGMENTS), FINE_MM
    )
    seen = shapely.get_parts(shapely.intersection(band, frame))
    rings = [
        as_points(np.asarray(ring.coords)[:-1])
        for part in seen
        if part.geom_type == "Polygon"
        for ring in (part.exterior, *part.interiors)
    ]
    if not rings:
        return Part()
    area = Area(tuple(rings), None, BAND_GREY, role="keep-off")
    return Part(((FILL, area),), used=frozenset({"keep-off"}))
