"""The adjustment of a plan's survey as values for JSON, and as text that a person reads."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from renderer.units import M_PER_FOOT

if TYPE_CHECKING:
    from renderer.survey.control import Advice
    from renderer.survey.network import Reading, Unit
    from renderer.survey.slips import Candidate, Suspect
    from renderer.survey.solve import Judged, Placed, Solution

# What a slip is called, in JSON and on the terminal; the sheets have their own words.
MISREADINGS = {
    "digits": "digits exchanged",
    "whole": "a whole metre, foot or degree out",
    "ten": "ten out",
    "hook": "read past the hook",
    "six-nine": "6 for 9",
    "one-seven": "1 for 7",
    "wrong-end": "read from the wrong end",
    "wrong-point": "held on the wrong point",
    "back": "read from the wrong end of the needle",
    "other-way": "turned the other way",
    "minute": "one minute out",
}
_KINDS = {"along": "offset", "off": "offset"}
_DECIMALS = 6


def survey_json(solution: Solution) -> dict[str, Any]:
    """The adjustment in metres and degrees, deviations as stated by the readings."""
    return {
        "degrees_of_freedom": solution.degrees_of_freedom,
        "sigma0": _round(solution.sigma0),
        "points": [_point_json(point) for point in solution.points],
        "readings": [_reading_json(each, solution) for each in solution.readings],
        "suspects": [{"one_of": [_candidate_json(c) for c in s.one_of]} for s in solution.suspects],
        "closures": [
            {
                "of": list(each.points),
                "length_m": _round(each.length_m),
                "dx": _round(each.dx_m),
                "dy": _round(each.dy_m),
                "one_in": None if each.one_in is None else round(each.one_in),
            }
            for each in solution.closures
        ],
        "advice": _advice_json(solution.advice),
    }


def _round(value: float) -> float:
    return round(value, _DECIMALS) + 0.0


def _point_json(point: Placed) -> dict[str, Any]:
    ellipse = point.ellipse
    return {
        "name": point.name,
        "x": _round(point.at[0]),
        "y": _round(point.at[1]),
        "sigma_x": _round(point.sigma_x),
        "sigma_y": _round(point.sigma_y),
        "ellipse": {
            "major": _round(ellipse.major),
            "minor": _round(ellipse.minor),
            "azimuth_deg": round(ellipse.azimuth_deg, 3),
        },
        "state": point.state,
    }


def _reading_json(judged: Judged, solution: Solution) -> dict[str, Any]:
    reading = judged.reading
    made = {
        "kind": _KINDS.get(reading.kind, reading.kind),
        "of": list(reading.of),
        "reads": _round(reading.reads),
        "residual": _round(judged.residual),
        "redundancy": _round(judged.redundancy),
        "w": _round(judged.w),
        "smallest_slip": None if judged.smallest_slip is None else _round(judged.smallest_slip),
    }
    if reading.kind in _KINDS:
        made["part"] = reading.kind
    if reading.taken_as is not None:
        made["taken_as"] = _round(reading.taken_as)
    if reading in solution.set_aside:
        made["set_aside"] = True
    return made


def _candidate_json(candidate: Candidate) -> dict[str, Any]:
    return {
        "of": list(candidate.reading.of),
        "reads": _round(candidate.reading.reads),
        "likely": _round(candidate.likely),
        "misreading": MISREADINGS[candidate.slip] if candidate.slip else None,
    } | ({"held_on": candidate.instead} if candidate.instead else {})


def _advice_json(advice: Advice | None) -> dict[str, Any] | None:
    if advice is None:
        return None
    return {
        "of": list(advice.of),
        "length_m": round(advice.length_m, 2),
        "point": advice.point,
        "unseen_m": None if advice.unseen_m is None else round(advice.unseen_m, 3),
        "unseen_then_m": None if advice.unseen_then_m is None else round(advice.unseen_then_m, 3),
        "uncontrolled": list(advice.uncontrolled),
    }


class _Show:
    """Figures in the unit that the plan is shown in."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self.factor = 1.0 if unit == "m" else M_PER_FOOT

    def length(self, metres: float) -> str:
        return f"{metres / self.factor:.2f} {self.unit}"

    def bare(self, metres: float) -> str:
        return f"{metres / self.factor:.2f}"

    def small(self, metres: float) -> str:
        if self.unit == "ft" or abs(metres) >= 1.0:
            return self.length(metres)
        return f"{metres * 100:z.1f} cm"

    def value(self, reading: Reading, value: float) -> str:
        return self.length(value) if reading.is_length else f"{value:z.2f} degrees"

    def gap(self, reading: Reading, value: float) -> str:
        return self.small(value) if reading.is_length else f"{value:z.2f} deg"


def survey_text(path: str, number: str, solution: Solution, unit: Unit) -> str:
    """The adjustment as a person reads it: suspects first, then points, readings and advice."""
    show = _Show(unit)
    counts = len(solution.readings), len(solution.points), solution.degrees_of_freedom
    lines = [
        f"{path}: {number}",
        "  {} readings, {} points, {} readings beyond those needed".format(*counts),
        f"  sigma0 {solution.sigma0:.2f} (about 1 where readings are as good as stated)",
        "",
        *_suspects(solution, show),
        "  points: x, y, one standard deviation of each, ellipse (half axes, degrees from y)",
        *(_point(point, show) for point in solution.points),
        "",
        "  readings: what it reads, residual, w (suspect from 3.29 on), smallest slip that shows",
        *(_reading(each, solution, show) for each in solution.readings),
        *_closures(solution, show),
        "",
        *_advice(solution, show),
    ]
    return "\n".join(lines) + "\n"


def _name(reading: Reading) -> str:
    return "-".join(reading.of)


def _suspects(solution: Solution, show: _Show) -> Iterator[str]:
    if not solution.suspects:
        yield "  no reading is suspect"
        yield ""
        return
    for suspect in solution.suspects:
        yield from _suspect(suspect, show)
    for reading in solution.set_aside:
        yield f"  {_name(reading)} is set aside until it is measured again"
    yield "  write taken_as and because beside a reading that you decide on, and run this again"
    yield ""


def _suspect(suspect: Suspect, show: _Show) -> Iterator[str]:
    if len(suspect.readings) > 1:
        names = ", ".join(_name(each) for each in suspect.readings)
        yield f"  suspect: one of {names}"
    for each in suspect.one_of:
        reads = show.value(each.reading, each.reading.reads)
        head = "  suspect:" if len(suspect.readings) == 1 else "   "
        told = f"{head} {each.reading.kind} {_name(each.reading)} reads {reads};"
        if each.instead:
            told += f" it fits from {each.instead}, so the tape may have been held there"
        elif each.slip:
            fit = show.gap(each.reading, abs(each.likely * each.reading.level - each.foretold))
            likely = show.value(each.reading, each.likely)
            told += f" {likely} would fit within {fit} ({MISREADINGS[each.slip]})"
        else:
            likely = show.value(each.reading, each.likely)
            told += f" the others point to {likely}; no common slip explains it"
        yield told
    again = " and ".join(_name(each) for each in suspect.readings)
    yield f"    measure {again} again"


def _point(point: Placed, show: _Show) -> str:
    x, y = (show.bare(value) for value in point.at)
    sigma = f"{show.small(point.sigma_x)}, {show.small(point.sigma_y)}"
    ellipse = point.ellipse
    axes = f"{show.small(ellipse.major)} x {show.small(ellipse.minor)} at {ellipse.azimuth_deg:.0f}"
    mark = "" if point.state == "controlled" else f"  {point.state.upper()}"
    return f"    {point.name:<8} {x:>12} {y:>12}  {sigma:>18}  {axes}{mark}"


def _reading(judged: Judged, solution: Solution, show: _Show) -> str:
    reading = judged.reading
    unit = "" if reading.is_length else " deg"
    reads = show.bare(reading.reads) if reading.is_length else f"{reading.reads:.2f}"
    slip = judged.smallest_slip
    least = "no slip shows" if slip is None else show.gap(reading, slip)
    taken = reading.taken_as
    notes = [f"taken as {show.value(reading, taken)}"] if taken is not None else []
    notes += ["set aside"] if reading in solution.set_aside else []
    tail = f"  ({', '.join(notes)})" if notes else ""
    return (
        f"    {reading.kind:<8}{_name(reading):<14} {reads:>9}{unit}"
        f"  {show.gap(reading, judged.residual):>9}  w {judged.w:z5.2f}  {least}{tail}"
    )


def _closures(solution: Solution, show: _Show) -> Iterator[str]:
    for each in solution.closures:
        one_in = f", 1 in {each.one_in:,.0f}" if each.one_in else ""
        yield ""
        yield (
            f"  run {'-'.join(each.points)}: {show.length(each.length_m)} long,"
            f" misses its end by {show.small(each.apart_m)}{one_in}"
        )


def _advice(solution: Solution, show: _Show) -> Iterator[str]:
    loose = [point.name for point in solution.points if point.state == "uncontrolled"]
    if loose:
        yield f"  nothing checks {', '.join(loose)}: a slip of half a metre would not show there"
    advice = solution.advice
    if advice is None:
        return
    of, length = "-".join(advice.of), show.length(advice.length_m)
    now = "any distance" if advice.unseen_m is None else show.small(advice.unseen_m)
    then = "any distance" if advice.unseen_then_m is None else show.small(advice.unseen_then_m)
    yield f"  one more tape would help most: {of}, about {length}"
    yield f"    {advice.point} could be out by {now} unnoticed now, by {then} with it"
