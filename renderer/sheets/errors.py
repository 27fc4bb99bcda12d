"""What can be wrong with a sheet, in one clear line."""

from __future__ import annotations

SURVEY_TABLE = "table of the survey form"  # what a layout file's reader calls the choice


class SheetError(Exception):
    """A sheet that cannot be made: which block or word, what is wrong, what to do about it."""

    def __init__(self, what: str, problem: str, cure: str = "") -> None:
        super().__init__(what, problem, cure)
        self.what = what
        self.problem = problem
        self.cure = cure

    def __str__(self) -> str:
        return f"{self.what}: {self.problem}" + (f"; {self.cure}" if self.cure else "")


def no_job(document: str) -> SheetError:
    """The error of a layout that needs a job and was given none."""
    return SheetError(f"layout {document}", "it needs a job", "name a plan file")


def no_pack(what: str) -> SheetError:
    """The error of a block or layout that needs the jobs of a pack and has none."""
    return SheetError(what, "there is no day pack here", "use a layout with 'front' and 'each'")


def no_changes(document: str) -> SheetError:
    """The error of a layout that tells of no changes where two plans are compared."""
    cure = "use changes or change-order, or print this layout from one plan"
    return SheetError(f"layout {document}", "it does not tell what has changed", cure)


def no_wire(document: str) -> SheetError:
    """The error of an exercise on a garden in which nothing can be laid."""
    cure = "use a plan that can be laid; pegline check reports what is in the way"
    return SheetError(f"layout {document}", "no wire can be laid in this garden", cure)


def no_room(document: str) -> SheetError:
    """The error of a legend that takes all of a page."""
    problem = "the legend leaves no room for the plan"
    return SheetError(f"layout {document}", problem, "use larger paper")


def no_readings(document: str) -> SheetError:
    """The error of a survey report on a plan whose points were entered as coordinates."""
    problem = "this plan's survey holds no readings"
    return SheetError(f"layout {document}", problem, "add ties, sides, offsets or a traverse")
