"""What drawing refuses, and why."""

from __future__ import annotations


class DrawError(Exception):
    """A drawing that cannot be made as asked; the text says why and what would work."""
