"""A small plan in words, and ways to write it with one thing changed."""

from __future__ import annotations

import pytest

from renderer.plan import PlanError, loads

GARDEN = """\
plan: 1
units: m
job:
  number: FH-0007
  title: Back lawn
  planned_for: 2026-05-04
  site: [1 Example Row, Nowhere]
machine:
  label: Example machine
  lay_direction: anticlockwise
  setback: {flush: 0.10, wall: 0.30, fence: 0.30, bed: 0.30, water: 1.0, tree: 0.30}
  corner_radius: 0
  passage_min: 1.0
  loop_max: 400
  tail: 0.30
  peg_spacing: {first: 3.0, final: 0.75}
  peg_sag: 0.02
lawns:
  - name: Back
    outline: [[0, 0, wall], [20, 0, bed], [20, 10, flush], [0, 10, wall]]
obstacles:
  - {name: Pond, kind: water, circle: {at: [12, 5], radius: 1.5}}
  - {name: Herbs, kind: bed, polygon: [[3, 3], [5, 3], [5, 4]]}
features:
  - {name: Bank, kind: slope, polygon: [[0, 8], [6, 8], [6, 10], [0, 10]], percent: 25}
loops:
  - name: main
    dock: {at: [6, 0.3]}
    supply: {at: [6, -1.5], lead: 4.0}
wire: {conductor_mm2: 0.75, conductor: copper, spools: [100, 100], slack_percent: 5}
"""


def changed(*changes: tuple[str, str]) -> str:
    """The garden with each first text put in place of the second's."""
    text = GARDEN
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def refused(text: str, name: str = "g.yaml", folder: str | None = None) -> PlanError:
    """The error that reading ``text`` must give."""
    with pytest.raises(PlanError) as caught:
        loads(text, name, folder)
    return caught.value
