"""What drawing refuses, and why."""

from __future__ import annotations


class DrawError(Exception):
    """A drawing that cannot be made as asked; the text says why and what would work."""


class LeftOutError(DrawError):
    """A drawing that would leave out what a reader looks for."""
