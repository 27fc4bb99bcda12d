"""What the desk and its two processes say to each other; every value can be pickled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from renderer.options import PrintOptions

Stage = Literal["read", "drawn", "composed"]
Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Order:
    """Work out the job in a file; ``number`` counts the changes. ``language`` is the window's."""

    number: int
    path: str
    options: PrintOptions
    language: str


@dataclass(frozen=True, slots=True)
class Question:
    """Give a page (from 1) of the document that was composed last, or the whole file for 0."""

    number: int
    page: int


@dataclass(frozen=True, slots=True)
class Read:
    """The files that were read so far, with digests; ``more`` are to be watched beside them."""

    number: int
    files: dict[str, str]
    more: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """What the plan is called, its text, and the findings with their lines in it."""

    number: int
    job: Json
    findings: tuple[Json, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Drawn:
    """The garden as a drawing with the things on it, ready for the window."""

    number: int
    garden: Json


@dataclass(frozen=True, slots=True)
class Composed:
    """The document is ready; ``is_draft`` where findings stop it."""

    number: int
    pages: int
    title: str
    is_draft: bool


@dataclass(frozen=True, slots=True)
class Broken:
    """What went wrong, and how far the work had come."""

    number: int
    after: Stage | None
    mistakes: tuple[Json, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to a question: SVG, PDF, or why there is none."""

    number: int
    data: bytes
    problem: str = ""


Message = Read | Told | Drawn | Composed | Broken | Answer
