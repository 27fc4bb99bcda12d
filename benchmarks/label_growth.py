"""How label placing grows: places random crowds of peg numbers and prints seconds and exponents.

    python -m benchmarks.label_growth

The paper grows with the number of labels, so that the crowd stays as dense as on a full
plan. Each figure is the least of three runs on one core.
"""

from __future__ import annotations

import math
import random
import time

from renderer.drawing.boxes import PEG, Occupied, disc
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, place, text_size
from renderer.drawing.pegs import FAR, SWING_CONTROL
from renderer.drawing.pens import PEG_TEXT
from renderer.drawing.spots import about
from renderer.geometry.rects import Rect

KINDS = sorted(LabelKind, key=lambda kind: kind.rank)[:5]

COUNTS = (100, 300, 1000, 3000)
PAPER_MM2 = 60.0  # paper for each label, about as on a plan at the least readable scale
RUNS = 3


def crowd(count: int) -> tuple[list[Label], list[Occupied], Rect]:
    """Pegs at random places and their numbers, from a fixed seed."""
    rng = random.Random(count)
    side = math.sqrt(count * PAPER_MM2)
    places = [(rng.uniform(5, side - 5), rng.uniform(5, side - 5)) for _ in range(count)]
    labels = []
    for i, at in enumerate(places):
        size = text_size((str(i),), PEG_TEXT)
        spots, led = about(disc(at, 0.8), size, (1.0, 0.0), swing=SWING_CONTROL, far=FAR)
        label = Label(str(i), (str(i),), PEG_TEXT, KINDS[i % 5], spots, listed=False, led=led)
        labels.append(label)
    return labels, [Occupied(disc(at, 0.8), PEG, 8.0) for at in places], Rect(0, 0, side, side)


def seconds(count: int) -> tuple[float, float, int]:
    """Least seconds to make the candidates and to place them, and how many found a place."""
    making, placing, placed = [], [], 0
    for _ in range(RUNS):
        start = time.process_time()
        labels, obstacles, paper = crowd(count)
        middle = time.process_time()
        placed = len(place(labels, obstacles, paper).placed)
        making.append(middle - start)
        placing.append(time.process_time() - middle)
    return min(making), min(placing), placed


def main() -> None:
    print(f"{'labels':>7} {'placed':>7} {'make, s':>9} {'place, s':>9} {'exponent':>9}")
    before: tuple[int, float] | None = None
    for count in COUNTS:
        making, placing, placed = seconds(count)
        total = making + placing
        grown = ""
        if before:
            grown = f"{math.log(total / before[1]) / math.log(count / before[0]):.2f}"
        print(f"{count:7d} {placed:7d} {making:9.3f} {placing:9.3f} {grown:>9}")
        before = count, total


if __name__ == "__main__":
    main()
