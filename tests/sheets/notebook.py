"""Three gardens as a crew wrote them down, as measured and moved, and what their sheets say.

The gardens lie in ``plans/``: a small one in feet, two lawns with a strip between them, and one
with twenty-five crooked corners. A sheet is read as a crew reads it, from the finished PDF.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

import yaml

import renderer
from renderer.ground.lay import Lay
from renderer.plan.lengths import metres
from renderer.plan.model import Plan
from tests.pdf_pages import PageRead, Word, read_pages
from tests.plans import ROOT, moved
from tests.shared import lay_plan, print_sheets

HERE = Path(__file__).parent / "plans"
NAMES = ("tanner", "strip", "mess")
Variant = Literal["as measured", "other unit", "turned", "mirrored", "on a grid"]
VARIANTS: tuple[Variant, ...] = ("as measured", "other unit", "turned", "mirrored", "on a grid")
MOVED: dict[str, tuple[float, bool, tuple[float, float]]] = {
    "turned": (math.radians(23.0), False, (0.0, 0.0)),
    "mirrored": (0.0, True, (0.0, 0.0)),
    "on a grid": (0.0, False, (649_000.0, 5_412_000.0)),  # as surveyors of a country have it
}
LISTS = str(HERE / "lists.yaml")
HEADS = {"Do", "Tool", "Limit", "Who"}
FOOT_PT = 58  # the title block and the margin below it
PLACED = ("survey", "lawns", "obstacles", "features", "loops")
FOOT_M = 0.3048
LENGTH = r"(?:\d+\.\d\d|(?:\d+' ?)?\d*[¼½¾]?\")"
QUARTERS = {"¼": 0.25, "½": 0.5, "¾": 0.75}


def in_metres(text: str) -> float:
    """A printed length: metres, or feet and inches to a quarter."""
    if '"' not in text:
        return float(text)
    feet, _, rest = text.rpartition("'")
    inches = sum(QUARTERS.get(sign, 0.0) for sign in rest)
    inches += float("".join(sign for sign in rest if sign.isdigit()) or 0)
    return (12 * int(feet or 0) + inches) * FOOT_M / 12


def plan_of(name: str, variant: Variant) -> Plan:
    """A garden of the notebook, as it was measured or moved about."""
    data: dict[str, Any] = yaml.safe_load((HERE / f"{name}.plan.yaml").read_text("utf-8"))
    machine: dict[str, Any] = yaml.safe_load((ROOT / "demo/machine.yaml").read_text("utf-8"))
    unit = FOOT_M if data.get("units") == "ft" else 1.0
    bare = _numbers({key: data[key] for key in PLACED if key in data}, unit)
    turn, mirror, (x, y) = MOVED.get(variant, (0.0, False, (0.0, 0.0)))
    data |= moved(bare, turn, mirror, (x / unit, y / unit))
    if mirror:
        machine["lay_direction"] = "clockwise"
    with TemporaryDirectory() as folder:
        data["machine"] = "machine.yaml"
        (Path(folder) / "machine.yaml").write_text(yaml.safe_dump(machine), "utf-8")
        path = Path(folder) / f"{name}.plan.json"
        path.write_text(json.dumps(data, default=str), "utf-8")
        plan = renderer.load(path)
    if variant != "other unit":
        return plan
    return plan.model_copy(update={"units": "m" if plan.units == "ft" else "ft"})


def _numbers(value: Any, unit: float) -> Any:
    """The same with lengths of the plan's points as numbers: a point is two of them."""
    if isinstance(value, dict):
        return {key: _numbers(each, unit) for key, each in value.items()}
    if isinstance(value, list):
        return [
            metres(each) / unit if isinstance(each, str) and re.match(r"\d", each) else each
            for each in (_numbers(each, unit) for each in value)
        ]
    return value


@cache
def laid(name: str, variant: Variant) -> tuple[Plan, Lay]:
    """A garden and its lay."""
    plan = plan_of(name, variant)
    return plan, lay_plan(plan)


@cache
def pages(name: str, variant: Variant, layout: str) -> tuple[PageRead, ...]:
    """The pages of a document."""
    return read_pages(print_sheets([laid(name, variant)[0]], layout=layout))


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def lists(name: str, variant: Variant) -> str:
    """The lists and steps of the work order, without its drawings."""
    return "\n".join(page.text for page in pages(name, variant, LISTS))


# A step runs on from what to do, in plain type, to its limit, in bold, and its tool, in italics.
# The reader cuts names of faces short.
FACES = {"Limit": re.compile("Bol"), "Tool": re.compile("Italic"), "Do": re.compile("")}


def steps(name: str, variant: Variant, part: Literal["Do", "Limit", "Tool"]) -> str:
    """The words of a part of the steps, told by its face, line by line."""
    told = []
    for page in pages(name, variant, LISTS):
        head = {word["text"]: word for word in page.words[::-1] if word["text"] in HEADS}
        if len(head) < len(HEADS) or head["Do"]["top"] != head["Who"]["top"]:
            continue
        left, right = head["Do"]["x0"] - 1, head["Who"]["x0"] - 1
        told += [
            word["text"]
            for word in page.words
            if left <= word["x0"] < right
            and _part_of(word) == part
            and head["Do"]["bottom"] < word["top"]
            and word["bottom"] < page.height - FOOT_PT
        ]
    return plain(" ".join(told))


def _part_of(word: Word) -> str:
    return next(part for part, face in FACES.items() if face.search(word["font"]))


def load_rows(words: tuple[Word, ...]) -> Iterator[tuple[str, str]]:
    """Items and quantities of the load lists on a page, by the places of the words.

    Lists stand beside each other and an item takes several lines, so each word of an item goes to
    the quantity at its right that is nearest in height. Quantities stand under their head, or
    without one before the column of what came back.
    """
    heads = sorted((w for w in words if w["text"] in ("Quantity", "Back")), key=lambda w: w["x0"])
    tops = sorted({round(head["top"]) for head in heads})
    for top, low in pairwise([*tops, 10_000]):
        row = [w for w in words if abs(w["top"] - top) < 1.5]
        below = [w for w in words if top + 4 < w["top"] < low - 2]
        for left in sorted(w["x0"] for w in row if w["text"] in ("Item", "What")):
            end = min((w for w in row if w in heads and w["x0"] > left), key=lambda w: w["x0"])
            headed = end["text"] == "Quantity"
            right = end["x1"] + 2 if headed else end["x0"] - 2
            starts = end["x0"] if headed else end["x0"] - 14
            inside = [w for w in below if left - 1 <= w["x0"] and w["x1"] <= right]
            amounts = [w for w in inside if w["x0"] >= starts - 12]
            lines: dict[int, list[Word]] = {}
            for word in amounts:
                lines.setdefault(round(word["top"] / 3), []).append(word)
            names: dict[int, list[str]] = {key: [] for key in lines}
            for word in inside:
                if word["x0"] < starts - 12 and lines:
                    near = min(lines, key=lambda k: abs(lines[k][0]["top"] - word["top"]))
                    names[near].append(word["text"])
            for key, found in lines.items():
                yield " ".join(names[key]), plain(" ".join(w["text"] for w in found))


def loaded(name: str, variant: Variant) -> dict[str, str]:
    """The load list of a job: what is loaded, and how much or how many of it."""
    return {
        item: amount
        for page in pages(name, variant, LISTS)
        if "Load list" in page.text
        for item, amount in load_rows(page.words)
    }


@dataclass(frozen=True)
class PegRow:
    """A control peg as the list prints it; lengths in metres."""

    peg: str
    first: str
    first_m: float
    second: str
    second_m: float
    hand: str
    poor: bool
    line: str


HELD = r"([A-Z]|peg \d+)"
PEG = re.compile(rf"^(\d+) .* {HELD} ({LENGTH}) {HELD} ({LENGTH}) ([LR])(!?)$", re.MULTILINE)


def peg_rows(text: str) -> Iterator[PegRow]:
    """The control pegs that are set out by two tapes."""
    for found in PEG.finditer(text.partition("\nControl pegs\n")[2].partition("\nTake-off\n")[0]):
        peg, first, a, second, b, hand, poor = found.groups()
        names = (first.removeprefix("peg "), second.removeprefix("peg "))
        a_m, b_m = in_metres(a), in_metres(b)
        yield PegRow(peg, names[0], a_m, names[1], b_m, hand, bool(poor), found[0])
