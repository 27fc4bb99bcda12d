"""Makes the README's picture of a sheet: the leaf to lay from of the old smithy's work order.

Run from the checkout, with pegline installed: python3 demo/make_pictures.py
"""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

from PIL import Image

import renderer
from renderer.output.png import write_png
from renderer.sheets import compose, load_layout

DEMO = Path(__file__).resolve().parent
TARGET = DEMO / "pictures" / "work-order-plan.png"
DPI = 110
GREYS = 16  # enough for the edges of black lines, and a third of the bytes


def main(target: Path = TARGET) -> None:
    job = renderer.prepare(renderer.load(DEMO / "old-smithy.plan.yaml"))
    document = compose([job], load_layout(renderer.DEFAULT_LAYOUT))
    page = document.pages[0]
    (png,) = write_png(replace(document, pages=(page,)), dpi=DPI)
    picture = Image.open(io.BytesIO(png)).convert("L").quantize(GREYS)
    target.parent.mkdir(exist_ok=True)
    picture.save(target, optimize=True)
    print(target)


if __name__ == "__main__":
    main()
