"""Teaching from a plan: exercises without names, keys worked line by line, mistakes to find."""

from renderer.teaching.errors import LessonError

__all__ = ["LessonError"]
