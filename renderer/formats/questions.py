"""A first plan file by ten questions: one lawn with four sides, and round things in it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from renderer.formats.draft import OBSTACLE_KINDS, Draft
from renderer.formats.found import Shape
from renderer.plan.errors import did_you_mean, shown
from renderer.plan.kinds import SIDE_KINDS
from renderer.plan.lengths import UNITS, LengthError, metres

Answer = TypeVar("Answer")
Ask = Callable[[str], str | None]  # from a question to its answer; None once the answers have ended
Tell = Callable[[str], None]

COUNT = 10
SIDES = 4
TRIES = 5  # at one question
SIDES_EXAMPLE = "for example: flush, fence, hedge, wall"


class NoAnswer(Exception):
    """The answers ended; the text says at which question."""


class _Wrong(Exception):
    """An answer that is not valid, with what would be."""


class _Asked:
    """The questions one by one; a wrong answer is explained and asked for again."""

    def __init__(self, ask: Ask, tell: Tell) -> None:
        self._ask, self._tell = ask, tell
        self._number = 0

    def __call__(
        self,
        question: str,
        read: Callable[[str], Answer],
        usual: str = "",
        hints: tuple[str, ...] = (),
    ) -> Answer:
        self._number += 1
        lines = [question + (f" [{usual}]" if usual else ""), *hints]
        asked = f"{self._number}/{COUNT} " + "\n     ".join(lines) + ": "
        for _ in range(TRIES):
            text = self._ask(asked)
            if text is None:
                break
            try:
                return read(text.strip() or usual)
            except (_Wrong, LengthError) as error:
                self._tell(str(error))
        raise NoAnswer(
            f"no answer to question {self._number} of {COUNT} ({question}); nothing was written"
        )


def asked(ask: Ask, tell: Tell) -> Draft:
    """The draft of a plan from at most ten answers. Raises NoAnswer where they end too soon."""
    put = _Asked(ask, tell)
    title = put("What is the job called", str, "Garden")
    number = put("Its number", str, "G-1")
    units = put("Unit of your tape, m or ft", _units, "m")

    def length(text: str) -> float:
        found = metres(text, units) / UNITS[units]
        if found <= 0:
            raise _Wrong("write a length above zero, such as 12.4")
        return found

    wide = put("How long is the lawn along its front edge", length)
    deep = put("How deep is it from there to the back", length)
    kinds = put(
        "What is along the front, right, back and left",
        _sides,
        hints=(f"flush (paving level with the lawn), {', '.join(SIDE_KINDS[1:])}", SIDES_EXAMPLE),
    )
    islands = put(
        "Round things on it, each with its distances from the left and from the front and its "
        "radius; leave empty for none",
        lambda text: _islands(text, units),
        hints=(
            f"{', '.join(OBSTACLE_KINDS)} (firm: the machine may bump into it, no wire)",
            "for example: tree, 2, 3.5, 0.4; bed, 4, 1.5, 0.8",
        ),
    )
    dock = put("How far along the front edge from the left is the dock", length, f"{wide / 2:g}")
    usual = "100" if units == "m" else "300"
    spools = put(
        "Lengths of the spools in the van, separated by ','",
        lambda text: tuple(length(each) for each in text.split(",")),
        usual,
    )
    services = put("Who was asked about buried cables, and the answer; leave empty if nobody", str)
    return Draft(
        title=title,
        number=number,
        units=units,
        lawns=(Shape("Lawn", "", ((0, 0), (wide, 0), (wide, deep), (0, deep)), kinds),),
        islands=islands,
        dock=(dock, 0.0),
        told=(
            "Started by pegline new. The lawn is a rectangle with its front left corner at 0, 0:",
            "enter the corners that you measured. To see the garden as you write:",
            "pegline preview --open FILE; to have it checked: pegline check FILE",
        ),
        services=services,
        spools=spools,
    )


def _units(text: str) -> str:
    if text.lower() not in UNITS:
        raise _Wrong("write m or ft")
    return text.lower()


def _kind(text: str, known: tuple[str, ...]) -> str:
    kind = text.strip().lower()
    if kind not in known:
        cure = did_you_mean(kind, known) or f"write one of {', '.join(known)}"
        raise _Wrong(f"{shown(text.strip())} is not a known kind; {cure}")
    return kind


def _sides(text: str) -> tuple[str, ...]:
    kinds = tuple(_kind(each, SIDE_KINDS) for each in text.replace(",", " ").split() or [""])
    if len(kinds) == 1:
        return kinds * SIDES
    if len(kinds) != SIDES:
        raise _Wrong(f"write four kinds, {SIDES_EXAMPLE}; or one for all four sides")
    return kinds


def _islands(text: str, units: str) -> tuple[Shape, ...]:
    found = []
    for index, each in enumerate(filter(None, map(str.strip, text.split(";"))), 1):
        parts = each.split(",")
        if len(parts) != 4:
            raise _Wrong(f"write kind, from left, from front, radius, not {shown(each)}")
        kind = _kind(parts[0], OBSTACLE_KINDS)
        x, y, radius = (metres(part.strip(), units) / UNITS[units] for part in parts[1:])
        if radius <= 0:
            raise _Wrong("a radius must be above zero")
        found.append(Shape(f"{kind.capitalize()} {index}", "", ((x, y),), (kind,), 0, True, radius))
    return tuple(found)
