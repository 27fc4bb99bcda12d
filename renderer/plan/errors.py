"""What is wrong in a plan file, in one clear line."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from typing import NamedTuple, NoReturn

Loc = tuple[str | int, ...]

_KEY_MAX = 200  # letters of a key in a message; the names of a table's rows stand in some
_SHOWN_MAX = 60
PATH_MAX = 300  # of a path, which is seldom known by how it begins


class PlanError(Exception):
    """A mistake in a plan file, with its place and what would be right.

    ``path`` is the file as the user named it, ``line`` is 1-based (0 where no line applies),
    ``key`` is the way to the value, such as ``lawns[0].outline[2]`` (list positions from 0).
    ``str()`` is one line: ``path:line: key: problem; cure``.
    """

    def __init__(
        self,
        path: str,
        line: int,
        key: str,
        problem: str,
        cure: str = "",
        others: tuple[PlanError, ...] = (),
    ) -> None:
        super().__init__(path, line, key, problem, cure, others)
        self.path = path
        self.line = line
        self.key = key
        self.problem = problem
        self.cure = cure
        self.others = others

    @classmethod
    def of(cls, errors: Sequence[PlanError]) -> PlanError:
        """The first of several errors, with the others behind it."""
        first, *rest = errors
        return cls(first.path, first.line, first.key, first.problem, first.cure, tuple(rest))

    @property
    def all(self) -> tuple[PlanError, ...]:
        """This error and all others found in the same reading, in the order of the lines."""
        return (self, *self.others)

    def __str__(self) -> str:
        place = f"{self.path}:{self.line}" if self.line else self.path
        told = f"{self.problem}; {self.cure}" if self.cure else self.problem
        key = self.key if len(self.key) <= _KEY_MAX else f"{self.key[:_KEY_MAX]}…"
        return one_line(": ".join(part for part in (place, key, told) if part))


class Problem(NamedTuple):
    """A mistake at a place relative to the value that was looked at."""

    loc: Loc
    problem: str
    cure: str = ""


class Problems(ValueError):
    """One or several mistakes found while a value was looked at."""

    def __init__(self, items: Iterable[Problem]) -> None:
        self.items = tuple(items)
        super().__init__("; ".join(item.problem for item in self.items))

    @classmethod
    def of(cls, problem: str, cure: str = "", loc: Loc = ()) -> Problems:
        """One mistake."""
        return cls([Problem(loc, problem, cure)])


def refuse(problem: str, cure: str = "", loc: Loc = ()) -> NoReturn:
    """Raise one problem at ``loc``, relative to the value that is being looked at."""
    raise Problems.of(problem, cure, loc)


# What people write for a word that the plan file spells differently.
MEANT = {
    "shed": ("wall", "firm", "building"),
    "house": ("wall", "firm", "building"),
    "garage": ("wall", "firm", "building"),
    "diameter": ("radius",),
    "width": ("radius",),
    "pond": ("water",),
    "pool": ("water",),
    "path": ("flush", "paving"),
    "patio": ("flush", "paving"),
    "trampoline": ("soft", "play"),
    "mesh": ("metal",),
    "edging": ("metal",),
}


NOT_A_SLIP = frozenset({"cm", "mm", "km"})  # other units, whatever they look like
DOUBLED = frozenset({"diameter", "width"})  # a radius is half of these


def meant_by(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """The known words that may be meant by ``word``, or the one most like it, likeliest first."""
    by_lower = {name.lower(): name for name in known}
    meant = [each for each in MEANT.get(word.lower(), ()) if each in by_lower]
    alike = () if word.lower() in NOT_A_SLIP else by_lower
    found = meant or difflib.get_close_matches(word[:80].lower(), alike, n=1, cutoff=0.6)
    return tuple(by_lower[each] for each in found)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that is meant by ``word``, or most like it; ``None`` where none is close."""
    return next(iter(meant_by(word, known)), None)


def did_you_mean(word: object, known: Iterable[str]) -> str:
    """The cure for a misspelt word: the known ones it may stand for; nothing where none is near."""
    meant = meant_by(word, known) if isinstance(word, str) else ()
    if not meant:
        return ""
    if meant[0] == "radius" and str(word).lower() in DOUBLED:
        return f"write 'radius', which is half the {str(word).lower()}"
    return f"did you mean {' or '.join(map(repr, meant))}?"


def one_line(text: str) -> str:
    """``text`` with everything that would break or garble a line written as an escape."""
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else _escaped(char) for char in text)


def shown(value: object, most: int = _SHOWN_MAX) -> str:
    """A value of the file as it is quoted in a message: in quotes, short, on one line."""
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list | tuple):
        return "a list"
    if value is None:
        return "an empty value"
    text = str(value)
    return f"'{one_line(text[:most])}{'…' if len(text) > most else ''}'"


def key_path(loc: Iterable[str | int]) -> str:
    """The way to a value as it is written in a message: ``loops[0].dock.at``."""
    text = ""
    for part in loc:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += f".{part[:_SHOWN_MAX]}" if text else part[:_SHOWN_MAX]
    return text


def _escaped(char: str) -> str:
    return char.encode("unicode_escape", "backslashreplace").decode("ascii")
