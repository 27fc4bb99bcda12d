"""Pegs worked out: fixed ones, those between them stretch by stretch, both passes and the first."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from renderer.teaching.arithmetic import Number, Step, number
from renderer.teaching.ground import Ground
from renderer.teaching.reckoner import Reckoner, counted, whole

if TYPE_CHECKING:
    from renderer.ground.lay import Leg, LoopLay, Peg
    from renderer.ground.pieces import Piece

SAME_M = 0.002
CURVE_DECIMALS = 3


@dataclass(frozen=True, slots=True)
class Stretch:
    """Wire between two fixed pegs: printed length, radius where it bends, pegs laid in between."""

    length: Number
    radius: Number | None
    pegs: int
    first: int


@dataclass(frozen=True, slots=True)
class PegWork:
    """The steps to all pegs of a loop and to those of the first pass."""

    fixed: Step
    both: tuple[Step, ...]
    total: Step
    first: tuple[Step, ...]
    first_total: Step


def peg_work(ground: Ground, loop: LoopLay) -> PegWork:
    """How many pegs a loop takes, on both passes together and on the first."""
    stretches = [each for leg in loop.legs for each in _stretches(ground, loop, leg)]
    sizes = Counter(each for each in stretches if each.pegs)
    fixed = _fixed(loop, sum(each.pegs for each in stretches))
    both = tuple(_both(ground, each, times) for each, times in sizes.items())
    first = tuple(_first(ground, each, times) for each, times in sizes.items() if each.first)
    firsts = sum(peg.round == 1 for peg in loop.pegs)
    return PegWork(
        fixed,
        both,
        _total("pegs.total", fixed, both, len(loop.pegs)),
        first,
        _total("pegs.first-total", fixed, first, firsts),
    )


def _fixed(loop: LoopLay, between: int) -> Step:
    """The start, two for each pair or crossing, each corner, bend's end and hold of a splice."""
    laid = len(loop.pegs) - between
    leads = len(loop.leads)
    put_in = {"l": whole(leads), "c": whole(laid - 1 - 2 * leads)}
    return counted("pegs.fixed", "1 + 2 × {l} + {c}", put_in, laid)


def _total(key: str, fixed: Step, parts: tuple[Step, ...], laid: int) -> Step:
    terms = [fixed.result, *(part.result for part in parts)]
    put_in = {f"a{index}": each for index, each in enumerate(terms)}
    formula = " + ".join(f"{{{name}}}" for name in put_in)
    return Step(key, formula, put_in, laid, 0, "", 0.0, {}, False)


def _stretches(ground: Ground, loop: LoopLay, leg: Leg) -> Iterator[Stretch]:
    """The stretches of one leg between pegs that have to stand where they are."""
    from renderer.geometry.lines import stretch
    from renderer.ground.pieces import pieces

    if leg.kind == "tail" or leg.back or leg.length_m <= SAME_M:
        return
    points, at = stretch(loop.path, loop.at_m, leg.from_m, leg.to_m)
    held = [p.at_m for p in loop.pegs if p.reason == "splice" and leg.from_m < p.at_m < leg.to_m]
    for piece in pieces(points, at, ground.plan.machine.peg_sag):
        inner = [place for place in held if piece.from_m + SAME_M < place < piece.to_m - SAME_M]
        for from_m, to_m in pairwise([piece.from_m, *inner, piece.to_m]):
            yield _stretch(ground.reckon, loop.pegs, piece, from_m, to_m)


def _stretch(
    reckon: Reckoner, pegs: tuple[Peg, ...], piece: Piece, from_m: float, to_m: float
) -> Stretch:
    from renderer.ground.pieces import arcs

    between = [peg for peg in pegs if from_m + SAME_M < peg.at_m < to_m - SAME_M]
    found = () if piece.straight else arcs(piece.points)
    radius = number(found[0].radius_m / reckon.metres, 2) if len(found) == 1 else None
    if not piece.straight and radius is None:
        radius = number(0.0, 2)
    first = sum(peg.round == 1 for peg in between)
    return Stretch(reckon.length(to_m - from_m), radius, len(between), first)


def _chord(ground: Ground, radius: Number) -> Number:
    """The longest chord that the sag allows on an arc, by c = sqrt(8 R h)."""
    sag = ground.plan.machine.peg_sag / ground.reckon.metres
    return number(math.sqrt(8.0 * radius.value * sag), CURVE_DECIMALS)


def _both(ground: Ground, each: Stretch, times: int) -> Step:
    """Pegs between the two ends of a number of equal stretches, both passes."""
    put_in = {"L": each.length, "s": ground.reckon.length(ground.plan.machine.peg_spacing.final)}
    if each.radius is None:
        steps = [_counted("pegs.straight", "up({L} ÷ {s}) − 1", put_in, each.pegs, times)]
    else:
        sag = {"R": each.radius, "h": ground.reckon.length(ground.plan.machine.peg_sag)}
        bend = {"L": each.length, **sag}
        steps = [
            _counted("pegs.curve", "up({L} ÷ √(8 × {R} × {h})) − 1", bend, each.pegs, times),
            _counted("pegs.straight", "up({L} ÷ {s}) − 1", put_in, each.pegs, times),
        ]
        short = _chord(ground, each.radius).value < put_in["s"].value
        steps = (steps if short else steps[::-1]) if each.radius.value else []
    read = _counted("pegs.read", "", {}, each.pegs, times, each.length)
    return ground.reckon.first_right(*steps, read)


def _first(ground: Ground, each: Stretch, times: int) -> Step:
    """Pegs of the first pass among those: as many intervals to a group as its spacing allows."""
    put_in = {
        "n": whole(each.pegs + 1),
        "f": ground.reckon.length(ground.plan.machine.peg_spacing.first),
        "L": each.length,
    }
    form = "up({n} ÷ down({f} × {n} ÷ {L})) − 1"
    steps = [_counted("pegs.group", form, put_in, each.first, times)]
    if each.radius is not None:
        put_in = put_in | {"f": _chord(ground, each.radius)}
        curve = _counted("pegs.group-curve", form, put_in, each.first, times)
        one = _counted("pegs.all", "{n} − 1", {"n": put_in["n"]}, each.first, times, each.length)
        large = each.radius.value and put_in["f"].value * put_in["n"].value >= each.length.value
        steps = [one, curve, *steps] if large else [one]
    read = _counted("pegs.read", "", {}, each.first, times, each.length)
    return ground.reckon.first_right(*steps, read)


def _counted(
    key: str,
    formula: str,
    put_in: dict[str, Number],
    laid: int,
    times: int,
    length: Number | None = None,
) -> Step:
    """The count of pegs on a number of equal stretches."""
    each = f"{times} × ({formula})" if times > 1 and formula else formula
    facts = {"length": (length or put_in["L"]).text, "times": str(times)}
    return counted(key, each, put_in, laid * times, facts)
