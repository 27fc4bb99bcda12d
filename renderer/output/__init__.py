"""Output: a backend each for PDF, SVG and PNG, and a recorder that tests read.

A backend knows primitives and no plan. Each stands in a module of its own, which is
imported where it is used, because the libraries behind them are slow to start.
"""

from renderer.output.shapes import drawing_page

__all__ = ["drawing_page"]
