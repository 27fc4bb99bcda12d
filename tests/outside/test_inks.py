"""The inks of a print in colour as readers see them who are blind to red, green or blue.

Simulation: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, A Physiologically-based Model for
Simulation of Color Vision Deficiency, IEEE TVCG 15 (2009), table 1, severity 1.0, on linear RGB.
Colours are compared in CIELAB (ISO/CIE 11664-4) under D65, and with paper by the contrast ratio of
WCAG 2.2, which asks 3:1 of lines that have to be seen.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from renderer.inks import COLOURS
from renderer.primitives import BLACK

PAPER = "#ffffff"
SEEN_BY = {
    "all colours": np.eye(3),
    "no red": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "no green": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "no blue": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
# Linear sRGB to CIE XYZ, IEC 61966-2-1.
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = TO_XYZ @ np.ones(3)
# A step of 2.3 is just seen side by side; these are told apart as thin lines and from memory.
APART = 40.0
LEAST_CONTRAST = 4.0


def linear(colour: str) -> np.ndarray:
    share = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255.0
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def lab(rgb: np.ndarray) -> np.ndarray:
    ratio = TO_XYZ @ np.clip(rgb, 0.0, 1.0) / WHITE
    low = ratio * (29 / 6) ** 2 / 3 + 4 / 29
    x, y, z = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), low)
    return np.array([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)])


def distance(one: str, other: str, seen: np.ndarray) -> float:
    return float(np.linalg.norm(lab(seen @ linear(one)) - lab(seen @ linear(other))))


def test_the_measure_itself() -> None:
    # CIELAB of the primaries of sRGB under D65, as tabled by B. Lindbloom: red 53.24, 80.09, 67.20
    assert lab(linear("#ff0000")) == pytest.approx([53.24, 80.09, 67.20], abs=0.05)
    for seen in SEEN_BY.values():  # greys stay grey
        assert seen @ np.ones(3) == pytest.approx(np.ones(3), abs=1e-5)
    assert distance("#c00000", "#a06000", SEEN_BY["no green"]) < 10.0  # a pair that fails


@pytest.mark.parametrize("reader", SEEN_BY)
def test_inks_are_told_apart_from_each_other_from_black_and_from_paper(reader: str) -> None:
    inks = [*COLOURS.values(), BLACK, PAPER]
    near = {
        (one, other): distance(one, other, SEEN_BY[reader]) for one, other in combinations(inks, 2)
    }
    assert min(near.values()) > APART, near


@pytest.mark.parametrize("ink", COLOURS)
def test_each_ink_is_dark_enough_for_a_thin_line(ink: str) -> None:
    light = float(TO_XYZ[1] @ linear(COLOURS[ink]))
    assert 1.05 / (light + 0.05) >= LEAST_CONTRAST
