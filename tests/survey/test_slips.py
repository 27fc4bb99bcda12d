"""Slips are named, sound readings are not; what cannot be told apart is told as such.

The gardens are those of ``python -m benchmarks --only survey``, which counts over 200 of them.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from benchmarks.slips import garden
from renderer.survey import slips
from renderer.survey.adjust import Adjusted, adjust
from renderer.survey.network import XY, Network, Reading, Sight
from renderer.survey.solve import solve

HOUSE: dict[str, XY] = {"A": (0.0, 0.0), "B": (8.0, 0.0), "C": (12.0, 9.0)}


def corner(*, slip: str = "", by: float = 1.0, at: XY = (3.0, 7.0)) -> Network:
    """One point taped from three house corners, one tape wrong."""
    rows = []
    for house, place in HOUSE.items():
        reads = round(math.dist(place, at), 2) + (by if house == slip else 0.0)
        rows.append(Reading("tape", (house, "p"), reads, 0.03))
    return Network(HOUSE, tuple(rows), {}, Sight(("A", "B"), "left"))


def adjusted(network: Network, at: XY) -> tuple[Network, Adjusted]:
    return network, adjust(network, network.fixed | {"p": at})


@pytest.mark.parametrize("slip", ["a whole metre", "digits at the point"])
@pytest.mark.parametrize(("ties", "seed"), [(3, 1), (3, 2), (3, 3), (4, 1), (4, 2)])
def test_two_slips_in_a_garden_are_named(ties: int, seed: int, slip: str) -> None:
    made = garden(seed, ties, True, slip)
    solved = solve(made.network, advise=False)
    named = {each.of for suspect in solved.suspects for each in suspect.readings}
    assert made.slipped.keys() <= named
    for point in solved.points:
        if point.state == "controlled":
            # four deviations of the longer half axis hold all but one point in 3,000
            away = math.dist(point.at, made.true[point.name])
            assert away < 4.0 * point.ellipse.major


def test_with_one_reading_too_many_the_misreading_tells_which() -> None:
    """A metre fits one tape only; all three have the same w (Ghilani 2010, example 14.5)."""
    solved = solve(corner(slip="B"))
    off = [abs(each.w) for each in solved.readings]
    assert max(off) == pytest.approx(min(off), rel=0.2)
    (suspect,) = solved.suspects
    assert suspect.one_of[0].reading.of == ("B", "p") and suspect.one_of[0].slip == "whole"
    assert suspect.one_of[0].likely == pytest.approx(math.dist(HOUSE["B"], (3.0, 7.0)), abs=0.01)


def test_what_no_usual_slip_explains_is_put_to_all_readings_of_the_point() -> None:
    solved = solve(corner(slip="B", by=0.44))
    (suspect,) = solved.suspects
    assert len(suspect.readings) > 1
    assert not solved.set_aside
    assert [point.state for point in solved.points] == ["in question"]


def test_sound_readings_are_not_suspected() -> None:
    solved = solve(corner())
    assert not solved.suspects and solved.points[0].state == "controlled"


def test_two_slips_at_one_point_are_both_named() -> None:
    """Seed 12 puts both on p4, where each hides the other from one look at a time."""
    made = garden(12, 4, True, "a whole metre")
    assert {of[1] for of in made.slipped} == {"p4"}
    solved = solve(made.network, advise=False)
    assert {each.of for suspect in solved.suspects for each in suspect.readings} == {*made.slipped}


def test_a_point_with_two_tapes_is_not_controlled_and_the_next_tape_is_named() -> None:
    network = corner()
    solved = solve(network.only(network.readings[:2]))
    (point,) = solved.points
    assert point.state == "uncontrolled" and point.unseen_m is None
    advice = solved.advice
    assert advice is not None and advice.of == ("C", "p")
    assert advice.length_m == pytest.approx(math.dist(HOUSE["C"], (3.0, 7.0)), abs=0.05)
    # the gain that was foretold is what the tape then brings
    third = solve(network).points[0].unseen_m
    assert advice.unseen_then_m == pytest.approx(third, rel=0.02)


def test_among_hundreds_of_misread_tapes_of_a_point_the_worst_are_judged(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One by one each would take an adjustment; what is far off is still told."""
    at = (2.0, 1.0)
    fixed = {f"F{i}": (20 * math.cos(7 * i), 30 * math.sin(3 * i)) for i in range(120)}
    rows = [
        Reading("tape", (name, "p"), round(math.dist(place, at), 2) + 0.2 * (i % 3 == 0), 0.03)
        for i, (name, place) in enumerate(fixed.items())
    ]
    rows[7] = replace(rows[7], reads=rows[7].reads + 1.0)
    judged: list[Reading] = []
    candidates = slips._candidates

    def counted(now: Adjusted, reading: Reading) -> list[slips.Candidate]:
        judged.append(reading)
        return candidates(now, reading)

    monkeypatch.setattr(slips, "_candidates", counted)
    (first, *_) = slips.find_slips(*adjusted(Network(fixed, tuple(rows), {}, None), at))
    assert rows[7] in first.readings
    assert len(judged) <= 14 * 48  # of each of twelve suspects, found once and settled three times
