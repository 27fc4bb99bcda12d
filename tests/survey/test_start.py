"""Where points start from: the side of a line is told, found, or asked for."""

from __future__ import annotations

import math

import pytest

from renderer.survey import start
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


def many_tapes(count: int) -> tuple[XY, Network]:
    """A point taped from many fixed points round it, every fourth tape misread by a metre."""
    at = (2.0, 1.0)
    fixed = {
        f"F{i}": (round(20 * math.cos(7 * i), 2), round(30 * math.sin(3 * i), 2))
        for i in range(count)
    }
    slips = (1.0, 0.0, 0.0, 0.0)
    rows = tuple(
        Reading("tape", (name, "p"), round(math.dist(place, at), 2) + slips[i % 4], 0.03)
        for i, (name, place) in enumerate(fixed.items())
    )
    return at, Network(fixed, rows, {}, Sight(("F0", "F1"), "left"))


@pytest.mark.parametrize("count", [8, 40, 120])
def test_a_point_measured_hundreds_of_times_starts_from_few(
    count: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    settled: list[XY] = []
    settle = start._settled

    def counted(name: str, at: XY, found: dict[str, XY], readings: list[Reading]) -> XY:
        settled.append(at)
        return settle(name, at, found, readings)

    monkeypatch.setattr(start, "_settled", counted)
    at, network = many_tapes(count)
    assert start_places(network)["p"] == pytest.approx(at, abs=0.05)
    assert len(settled) <= 132  # two places for each pair of twelve tapes


def test_a_reading_written_over_and_over_counts_once_for_where_points_start(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    settled: list[XY] = []
    monkeypatch.setattr(start, "_settled", lambda name, at, *_: settled.append(at) or at)
    once = taped({"p": (3.0, 6.0)}, "A-p", "B-p", "C-p")
    start_places(once)
    expected = list(settled)
    settled.clear()
    start_places(Network(HOUSE, once.readings * 60, {}, None))
    assert settled == expected
