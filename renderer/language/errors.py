"""What can be wrong with a language or its catalogue, in one clear line."""

from __future__ import annotations


class WordError(Exception):
    """A text that cannot be printed: which word or language, what is wrong, what to do about it."""

    def __init__(self, what: str, problem: str, cure: str = "") -> None:
        self.what = what
        self.problem = problem
        self.cure = cure
        super().__init__(f"{what}: {problem}" + (f"; {cure}" if cure else ""))
