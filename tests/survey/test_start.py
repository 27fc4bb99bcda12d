"""Where points start from: the side of a line is told, found, or asked for."""

from __future__ import annotations

import math

import pytest

from renderer.survey.network import XY, Network, Reading, Side, Sight, SurveyError
from renderer.survey.solve import solve
from renderer.survey.start import start_places

HOUSE = {"A": (0.0, 0.0), "B": (8.0, 0.0), "C": (12.0, 9.0)}


def tape(start: str, end: str, place: dict[str, XY]) -> Reading:
    return Reading("tape", (start, end), round(math.dist(place[start], place[end]), 3), 0.03)


def taped(place: dict[str, XY], *pairs: str, side: Side | None = None) -> Network:
    rows = tuple(tape(*pair.split("-"), place | HOUSE) for pair in pairs)
    return Network(HOUSE, rows, {}, Sight(("A", "B"), side) if side else None)


@pytest.mark.parametrize("side", ["left", "right"])
def test_two_tapes_and_the_side(side: Side) -> None:
    at = (3.0, 6.0 if side == "left" else -6.0)
    found = start_places(taped({"p": at}, "A-p", "B-p", side=side))
    assert found["p"] == pytest.approx(at, abs=0.01)


def test_two_tapes_without_a_side_ask_for_it() -> None:
    with pytest.raises(SurveyError) as caught:
        start_places(taped({"p": (3.0, 6.0)}, "A-p", "B-p"))
    (trouble,) = caught.value.troubles
    assert "p" in trouble.problem and "A to B" in trouble.problem and "side" in trouble.cure


def test_a_third_tape_tells_the_side_against_the_one_that_holds_for_all() -> None:
    at = (3.0, -6.0)
    found = start_places(taped({"p": at}, "A-p", "B-p", "C-p", side="left"))
    assert found["p"] == pytest.approx(at, abs=0.01)


def test_a_side_between_two_points_tells_the_second_from_the_first() -> None:
    place = {"p": (3.0, 6.0), "q": (4.0, -5.0)}
    network = taped(place, "A-p", "B-p", "C-p", "A-q", "B-q", "p-q")
    assert start_places(network)["q"] == pytest.approx(place["q"], abs=0.01)


def test_a_point_with_one_tape_is_asked_about() -> None:
    with pytest.raises(SurveyError, match="p cannot be placed"):
        start_places(taped({"p": (3.0, 6.0)}, "A-p"))


def test_tapes_along_one_line_leave_a_point_free() -> None:
    fixed = {"A": (0.0, 0.0), "B": (8.0, 0.0)}
    place = fixed | {"p": (12.0, 0.0)}
    rows = (tape("A", "p", place), tape("B", "p", place))
    with pytest.raises(SurveyError, match="p free to move"):
        solve(Network(fixed, rows, {}, Sight(("A", "B"), "left")))


def test_tapes_that_just_fail_to_meet_still_place_the_point() -> None:
    rows = (Reading("tape", ("A", "p"), 4.0, 0.03), Reading("tape", ("B", "p"), 3.96, 0.03))
    rows += (Reading("tape", ("C", "p"), 12.03, 0.03),)
    found = start_places(Network(HOUSE, rows, {}))
    assert found["p"] == pytest.approx((4.0, 0.0), abs=0.5)
