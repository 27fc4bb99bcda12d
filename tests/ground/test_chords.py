"""The faces that chords part some ground into, wherever the points of its rings are listed from."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
import shapely

from renderer.ground.chords import Chords, faces_between

CORNERS = 40
LAWN = np.array([[-6.1, -5.3], [5.9, -6.2], [6.3, 5.7], [-5.7, 6.4]])


@pytest.mark.parametrize("number", range(6))
def test_two_chords_to_an_island_part_its_ground_in_two_wherever_its_ring_begins(
    number: int,
) -> None:
    random = Random(number)
    middle = np.array([random.uniform(-1, 1), random.uniform(-1, 1)])
    turn = random.uniform(0, 1) + np.arange(CORNERS) * 2 * np.pi / CORNERS
    island = middle + random.uniform(0.5, 2) * np.column_stack((np.cos(turn), np.sin(turn)))
    for corner in range(CORNERS):
        other = (corner + random.randrange(10, CORNERS - 10)) % CORNERS
        lines = [_outwards(island[k], turn[k] + random.uniform(-1.3, 1.3)) for k in (corner, other)]
        if shapely.crosses(*shapely.linestrings(lines)):
            continue
        begun = np.roll(island, -random.choice((corner, other)), axis=0)
        ground = shapely.Polygon(LAWN, [begun[:: random.choice((1, -1))]])
        ends = np.round(lines, 9)  # as fine as chords are found
        faces = faces_between(ground, Chords(ends, ends[:, 1] - ends[:, 0], ends.mean(axis=1)))
        assert len(faces) == 2
        assert sum(face.area for face in faces) == pytest.approx(ground.area)
        assert not any(face.interiors for face in faces)


def _outwards(corner: np.ndarray, angle: float) -> np.ndarray:
    """A line from a corner of the island to the side of the lawn."""
    sight = shapely.LineString([corner, corner + 20 * np.array([np.cos(angle), np.sin(angle)])])
    return np.stack(
        (corner, shapely.get_coordinates(sight.intersection(shapely.LinearRing(LAWN)))[0])
    )
