"""What can be wrong with a lesson, in one clear line."""

from __future__ import annotations


class LessonError(Exception):
    """An exercise that cannot be made: which one, what is wrong, what to do about it."""

    def __init__(self, what: str, problem: str, cure: str) -> None:
        super().__init__(what, problem, cure)
        self.what = what
        self.problem = problem
        self.cure = cure

    def __str__(self) -> str:
        return f"{self.what}: {self.problem}; {self.cure}"
