"""What a block gets to build its pieces from."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Hashable
from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar, cast

from renderer.frozen import dataclass
from renderer.job import Job
from renderer.job.practice import Figures
from renderer.language import Words
from renderer.language.feet import with_signs
from renderer.sheets.errors import no_job
from renderer.sheets.kit import heading, small_heading
from renderer.sheets.measure import Measure
from renderer.sheets.piece import Piece

if TYPE_CHECKING:
    from renderer.compare import Difference
    from renderer.fault import Asked
    from renderer.findings_text import FindingText
    from renderer.ground.gauges import Gauge
    from renderer.ground.tapes import Tapes
    from renderer.ground.ties import Reference
    from renderer.job.pack import PackData
    from renderer.sheets.layout import Layout
    from renderer.sheets.use import BlockUse

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """A job on paper: its data, the words, the size of the content in mm, the layout.

    ``known`` is nothing on a form that is printed before there is a plan; blocks about a plan ask
    for ``job``, which then raises SheetError. ``scale`` is the N of 1:N that the user asked for,
    ``field`` is the prefix that keeps the names of form fields of several jobs apart. ``pack`` is
    there on the pages of a pack that stand before its jobs, whose ``job`` is the first. ``changes``
    is there where the layout tells what has changed: from another job to this one; ``asked`` where
    somebody looks for a fault. ``page_mm`` is the width of the page where the content is one of
    several columns on it.
    """

    known: Job | None
    words: Words
    measure: Measure
    layout: Layout
    width_mm: float
    height_mm: float
    inch_paper: bool
    scale: float | None = None
    field: str = ""
    pack: PackData | None = None
    changes: Difference | None = None
    page_mm: float = 0.0
    asked: Asked | None = None
    _once: dict[Hashable, Any] = dataclasses.field(default_factory=dict, init=False, repr=False)

    def once(self, name: Hashable, make: Callable[[], Made]) -> Made:
        """What several blocks of this sheet ask for, made when the first of them does."""
        if name not in self._once:
            self._once[name] = make()
        return cast("Made", self._once[name])

    def forget(self) -> None:
        """Lets go of that, so that a pack holds it of one job at a time."""
        self._once.clear()

    @property
    def job(self) -> Job:
        """The job; raises SheetError where there is none."""
        if self.known is None:
            raise no_job(self.layout.document)
        return self.known

    @property
    def difference(self) -> Difference:
        """What has changed; raises SheetError where the document has no such thing to tell."""
        if self.changes is None:
            raise no_job(self.layout.document)
        return self.changes

    @property
    def findings(self) -> tuple[FindingText, ...]:
        """The job's findings in the sheet's language, lengths as all others on paper."""
        found = self.job.findings_in(self.words.language)
        return tuple(replace(each, message=with_signs(each.message)) for each in found)

    @property
    def gauges(self) -> tuple[Gauge, ...]:
        """Boards cut to length and numbered, as all jobs of the day share them."""
        return self.job.setting.gauges

    @property
    def references(self) -> tuple[Reference, ...]:
        """The fixed points from which pegs are taped."""
        return self.job.setting.references

    @property
    def tapes(self) -> Tapes:
        """What places of the wire are taped from, and what is in the way of the tapes."""
        return self.job.setting.tapes

    @property
    def figures(self) -> Figures:
        """The job's figures where practice differs, in the unit of the sheet."""
        return Figures(self.job.plan.machine, self.measure.units)

    def has(self, block: str) -> bool:
        """Whether the document has a block of this name."""
        return any(use.block == block for use in self.layout.uses)

    def column(self, width_mm: float) -> Sheet:
        """The sheet of a column of this width on the page."""
        own = replace(self, width_mm=width_mm, page_mm=self.whole.width_mm)
        own._once["whole"] = self.whole  # so that a column asks for what the page knows
        return own

    @property
    def whole(self) -> Sheet:
        """The sheet as wide as its page."""
        if not self.page_mm:
            return self
        return self.once("whole", lambda: replace(self, width_mm=self.page_mm, page_mm=0.0))

    def heading(self, use: BlockUse, aside: str = "") -> Piece:
        """The block's heading, by layout or catalogue, and a remark.

        A smaller one in a column, and in a document that begins with the leaf to lay from.
        """
        title = use.title or self.words(f"heading.{use.block}")
        shape = small_heading if self.page_mm or self.has("carry") else heading
        return shape(title, self.width_mm, self.anchor(use.block), aside)

    def anchor(self, name: str) -> str:
        """A name for a place in this job that links can lead to."""
        return f"{self.field}.{name}"

    def field_name(self, *parts: object) -> str:
        """The name of a form field, unlike any other in the document."""
        return ".".join((self.field, *(str(part) for part in parts)))
