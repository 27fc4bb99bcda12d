"""Two jobs beside each other: what of the wire, its pegs, splices and findings has changed."""

from renderer.compare.difference import Difference, compare

__all__ = ["Difference", "compare"]
