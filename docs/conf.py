"""How sphinx builds these pages: python -m sphinx -W --keep-going -b html docs OUT."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "renderer/alias")]  # the code, and its name pegline

import renderer  # noqa: E402  found by the line above

project = "pegline"
author = "pegline contributors"
version = release = renderer.__version__
language = "en"

extensions = ["myst_parser", "sphinx.ext.autodoc", "docs.press"]
autodoc_typehints = "signature"
exclude_patterns = ["files", "press", "_templates"]
templates_path = ["_templates"]
myst_heading_anchors = 3
nitpicky = True
nitpick_ignore_regex = [("py:.*", ".*")]  # names of types in signatures lead nowhere

html_theme = "furo"
html_title = "pegline"
html_copy_source = False
html_show_sourcelink = False
html_show_sphinx = False
html_show_copyright = False
html_static_path = ["_static"]
html_css_files = ["pegline.css"]
