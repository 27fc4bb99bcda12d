"""A splice found from the house with two tapes, by the printed wiring map and school geometry.

The printed lengths are read out of the finished PDF by MuPDF; the circles about the two
reference points are met by the formula of the radical axis, in complex numbers: with d the way from
the first centre to the second and a, b the lengths, the meeting point is
c1 + d (a^2 - b^2 + |d|^2) / 2|d|^2 +- i d sqrt(4 |d|^2 a^2 - (a^2 - b^2 + |d|^2)^2) / 2|d|^2.
"""

from __future__ import annotations

import cmath
import math
import re
from functools import cache
from pathlib import Path
from typing import Literal

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

import renderer
from renderer.ground.tapes import tapes_of
from renderer.ground.ties import Tie, references
from renderer.language import load_words
from renderer.sheets.measure import Measure
from renderer.units import MM_PER_INCH, MM_PER_M
from tests.pdf_pages import read_pages
from tests.plans import demo_plans
from tests.shared import lay_plan, print_sheets

LENGTH = r"(?:\d+\.\d\d|(?:\d+' ?)?\d*[¼½¾]?\")"
ROW = re.compile(rf"^(S\d+) .* (\w+) ({LENGTH}) (\w+) ({LENGTH}) ([LR])!? ")
WITHIN_M = 0.05
QUARTERS = {"¼": 0.25, "½": 0.5, "¾": 0.75}


def metres(text: str) -> float:
    """A printed length: metres, or feet and inches to a quarter."""
    if '"' not in text:
        return float(text)
    feet, _, rest = text.rpartition("'")
    inches = sum(QUARTERS.get(sign, 0.0) for sign in rest)
    inches += float("".join(sign for sign in rest if sign.isdigit()) or 0)
    return (12 * int(feet or 0) + inches) * MM_PER_INCH / MM_PER_M


def met(first: complex, second: complex, a: float, b: float, hand: str) -> complex:
    """Where tapes of lengths a and b meet, left or right of the way from first to second."""
    d = second - first
    square = abs(d) ** 2
    along = a * a - b * b + square
    across = max(0.0, 4 * square * a * a - along * along) ** 0.5
    return first + d * (along + (1j if hand == "L" else -1j) * across) / (2 * square)


def with_lengths(pdf: bytes) -> list[int]:
    """The pages that name a splice and bear two lengths: no other can hold a row of the table."""
    texts = [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf)]
    lengths = re.compile(r'\d\.\d\d|"')
    return [
        number
        for number, text in enumerate(texts)
        if re.search(r"S\d", text) and len(lengths.findall(text)) >= 2
    ]


@cache
def printed_ties(path: Path, paper: str) -> dict[str, tuple[str, float, str, float, str]]:
    """Two points, two lengths and the hand of each splice in the table of the printed map."""
    pdf = print_sheets([renderer.load(path)], layout="wiring-map", paper=paper)
    pages = read_pages(pdf)
    text = "\n".join(pages[number].text for number in with_lengths(pdf))
    rows = [match for line in text.splitlines() if (match := ROW.match(line))]
    return {m[1]: (m[2], metres(m[3]), m[4], metres(m[5]), m[6]) for m in rows}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_two_printed_tapes_find_each_splice(any_plan: Path, paper: str) -> None:
    plan = renderer.load(any_plan)
    laid = lay_plan(plan)
    fixed = {point.name: complex(*point.at) for point in references(plan, laid.lawns)}
    splices = {s.id: complex(s.x, s.y) for loop in laid.loops for s in loop.splices}
    ties = printed_ties(any_plan, paper)
    places = np.array([(place.real, place.imag) for place in splices.values()]).reshape(-1, 2)
    ways = tapes_of(plan, laid.lawns).found(places)
    taped = {name for name, way in zip(splices, ways, strict=True) if isinstance(way, Tie)}
    linked = {name for name, (a, _, b, _, _) in ties.items() if not {a, b} <= set(fixed)}
    assert set(ties) - linked == taped  # the others lie beyond the reach of two tapes from points
    for name, (a, a_m, b, b_m, hand) in ties.items():
        if name in linked:  # taped from places of the map that are found before
            continue
        found = met(fixed[a], fixed[b], a_m, b_m, hand)
        assert abs(found - splices[name]) < WITHIN_M, (name, a, a_m, b, b_m, hand)


def test_demo_maps_tape_from_points_that_the_map_names() -> None:
    counted = 0
    for path in demo_plans():
        plan = renderer.load(path)
        named = {point.name for point in references(plan, lay_plan(plan).lawns)}
        assert {point.name for point in plan.survey.points} <= named
        for a, _, b, _, _ in printed_ties(path, "A4").values():
            places = {name for name in (a, b) if re.fullmatch(r"START|[STP]\d+", name)}
            assert {a, b} <= named | places
            counted += not places
    assert counted >= 2


def test_a_tape_off_by_half_a_metre_is_noticed() -> None:
    right = met(0, 10, 6.0, 8.0, "L")
    assert right == pytest.approx(complex(3.6, 4.8))  # the 6, 8, 10 triangle
    assert abs(met(0, 10, 6.5, 8.0, "L") - right) > 5 * WITHIN_M
    assert met(0, 10, 6.0, 8.0, "R") == pytest.approx(complex(3.6, -4.8))


@given(
    st.floats(0.4, 20.0), st.floats(0.4, 20.0), st.floats(30.0, 150.0), st.sampled_from(["m", "ft"])
)
def test_rounding_for_the_tape_moves_a_place_by_no_more_than_an_inch(
    a_m: float, b_m: float, crossing_deg: float, units: Literal["m", "ft"]
) -> None:
    # half of the two inches that the steps allow a peg
    place, second = 0j, cmath.rect(b_m, math.radians(crossing_deg))
    tie = Tie("A", "B", a_m, b_m, "left", crossing_deg, 0.0)
    measure = Measure(units, load_words())
    printed = [
        metres(measure.tape(length, tie.inch_parts).replace("\u00a0", " ")) for length in (a_m, b_m)
    ]
    found = [met(complex(a_m), second, *printed, hand) for hand in "LR"]
    assert min(abs(each - place) for each in found) <= 0.0254 + 1e-3


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("12.30", 12.3),
        ("2' 6\"", 0.762),
        ('4½"', 0.1143),
        ("10' 0¼\"", 3.05435),
        ("3' ½\"", 0.9271),
    ],
)
def test_printed_lengths(text: str, length: float) -> None:
    assert re.fullmatch(LENGTH, text)
    assert metres(text) == pytest.approx(length)
