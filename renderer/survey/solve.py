"""The whole survey: start, adjust, look for slips, say what is controlled and what to measure."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from renderer.survey.adjust import Adjusted, NotDetermined, adjust
from renderer.survey.closure import Closure, closures
from renderer.survey.control import Advice, advice, smallest_slips, uncontrolled, unseen
from renderer.survey.ellipse import Ellipse, ellipse_of
from renderer.survey.network import XY, Network, Reading, SurveyError, Trouble
from renderer.survey.slips import Suspect, find_slips
from renderer.survey.start import start_places

State = Literal["controlled", "uncontrolled", "in question"]

_MOVED = 1.0  # deviations by which a suspect may move a point that still counts as sure


@dataclass(frozen=True, slots=True)
class Placed:
    """A point that was found: metres, one standard deviation each, and what it is worth.

    ``unseen_m`` is how far one slip that does not show could have moved it; nothing: any distance.
    """

    name: str
    at: XY
    sigma_x: float
    sigma_y: float
    ellipse: Ellipse
    state: State
    unseen_m: float | None


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading after the adjustment; metres or degrees.

    ``residual`` is what it should read less what it reads, ``redundancy`` the share of a slip that
    shows in it, ``w`` the residual in its own deviations, ``smallest_slip`` the least that shows.
    """

    reading: Reading
    residual: float
    redundancy: float
    w: float
    smallest_slip: float | None


@dataclass(frozen=True, slots=True)
class Solution:
    """What the readings came to.

    ``readings``, ``sigma0`` and ``degrees_of_freedom`` are of all readings together. ``points`` are
    without those in ``set_aside``: readings under suspicion alone, until they are measured again.
    """

    points: tuple[Placed, ...]
    readings: tuple[Judged, ...]
    degrees_of_freedom: int
    sigma0: float
    suspects: tuple[Suspect, ...]
    set_aside: tuple[Reading, ...]
    closures: tuple[Closure, ...]
    advice: Advice | None


def solve(network: Network, *, advise: bool = True) -> Solution:
    """Points, readings, suspects and advice. Raises SurveyError where that gives no points.

    Without ``advise`` no further tape is looked for.
    """
    whole = _adjusted(network)
    suspects = find_slips(network, whole)
    aside = tuple(each.readings[0] for each in suspects if len(each.readings) == 1)
    used = _used(network, whole, aside)
    doubted = _doubted(network, used, suspects, aside)
    loose = uncontrolled(used)
    far = unseen(used)
    points = []
    for name in used.names:
        spread = used.of_point(name)
        state: State = "controlled"
        if name in doubted:
            state = "in question"
        elif name in loose:
            state = "uncontrolled"
        points.append(
            Placed(
                name,
                used.at[name],
                math.sqrt(spread[0, 0]),
                math.sqrt(spread[1, 1]),
                ellipse_of(spread),
                state,
                far[name] if far[name] < 1e3 else None,
            )
        )
    judged = zip(
        network.readings,
        whole.residual.tolist(),
        whole.redundancy.tolist(),
        whole.w.tolist(),
        smallest_slips(whole),
        strict=True,
    )
    return Solution(
        tuple(points),
        tuple(Judged(*each) for each in judged),
        whole.degrees_of_freedom,
        whole.sigma0,
        suspects,
        aside,
        closures(network),
        advice(used) if advise else None,
    )


def _adjusted(network: Network) -> Adjusted:
    start = start_places(network)
    try:
        return adjust(network, start)
    except NotDetermined as error:
        raise SurveyError(_loose(network, error.names)) from None


def _loose(network: Network, names: tuple[str, ...]) -> list[Trouble]:
    found = []
    for name in names:
        where = next(reading.where for reading in network.readings if name in reading.of)
        problem = f"the readings leave {name} free to move"
        found.append(Trouble(where, problem, "measure it from one more point, off to the side"))
    return found


def _used(network: Network, whole: Adjusted, aside: tuple[Reading, ...]) -> Adjusted:
    """The adjustment that the points are taken from."""
    if not aside:
        return whole
    kept = [each for each in network.readings if each not in aside]
    try:
        return adjust(network.only(kept), whole.at)
    except NotDetermined:
        return whole


def _doubted(
    network: Network, used: Adjusted, suspects: tuple[Suspect, ...], aside: tuple[Reading, ...]
) -> frozenset[str]:
    """Points of suspected readings, and points that the choice between suspects would move."""
    found = {
        name
        for suspect in suspects
        for reading in suspect.readings
        for name in reading.of
        if name not in network.fixed
    }
    for suspect in suspects:
        for reading in suspect.readings if len(suspect.readings) > 1 else ():
            out = {*aside, reading}
            kept = [each for each in network.readings if each not in out]
            try:
                other = adjust(network.only(kept), used.at)
            except NotDetermined:
                continue
            for name in used.names:
                wide = ellipse_of(used.of_point(name)).major
                if name in other.at and math.dist(other.at[name], used.at[name]) > _MOVED * wide:
                    found.add(name)
    return frozenset(found)
