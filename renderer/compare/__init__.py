"""Two jobs beside each other: what of the wire, its pegs, splices and findings has changed."""

from renderer.compare.difference import Difference, compare
from renderer.compare.together import before_last, together
from renderer.compare.work import Work, work

__all__ = ["Difference", "Work", "before_last", "compare", "together", "work"]
