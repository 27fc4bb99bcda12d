"""What a print is asked for: one value, handed on whole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypedDict

Inks = Literal["grey", "colour"]


@dataclass(frozen=True, slots=True)
class PrintOptions:
    """What is printed and how; what is left out is as the layout says.

    ``layout`` is the name of a layout or the path of one's own: when left out, the crew work order
    for one plan, the day pack for several or for a day, the exercise for a class. ``paper`` is a
    paper's name: when left out the layout's own, else A4, or Letter for a plan in feet. ``scale``
    is the N of 1:N, the largest usual one that fits when left out. ``language`` is that of the
    words; names and notes of the plan stay as they are. ``draft`` prints what a finding stops, with
    a mark on every page. ``fields`` makes boxes fillable, ``two_sided`` lets each job of a pack
    begin on a new leaf. ``ink`` is ``grey`` or ``colour``, which shows wire, services and water in
    inks of their own besides. ``as_planned`` leaves out what is recorded of the wire as it was
    built. ``full`` prints the whole work order of each job of a pack.
    """

    layout: str | None = None
    paper: str | None = None
    scale: float | None = None
    language: str | None = None
    draft: bool = False
    fields: bool | None = None
    two_sided: bool | None = None
    ink: Inks = "grey"
    as_planned: bool = False
    full: bool = False


class PrintKeywords(TypedDict, total=False):
    """The same, as the keywords of a call."""

    layout: str | None
    paper: str | None
    scale: float | None
    language: str | None
    draft: bool
    fields: bool | None
    two_sided: bool | None
    ink: Inks
    as_planned: bool
    full: bool
