"""Every word of the window's catalogue is shown somewhere, and every word shown is in it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

from renderer import preview, resources
from renderer.checks.finding import LEVELS
from renderer.ground.lay import LegKind, PegReason
from renderer.language.words import read_table

HERE = Path(preview.__file__).parent
CODE = "".join(path.read_text("utf-8") for path in sorted(HERE.glob("*.py")))
PAGE = "".join(path.read_text("utf-8") for path in sorted((HERE / "page").iterdir()))


def named() -> set[str]:
    """Keys as they stand in the page and its script, and those put together in the code."""
    found = set(re.findall(r"\{\{([a-z.-]+)\}\}", PAGE)) | set(re.findall(r'"(say\.[\w-]+)"', PAGE))
    found |= {f"level.{level}" for level in LEVELS}
    found |= {f"fact.{key}" for key in re.findall(r'_say\(\s*"([\w-]+)"', CODE)}
    found |= {f"fact.peg-{reason}" for reason in get_args(PegReason)}
    found |= {"fact.pass-1", "fact.pass-2", "unit.square-ft", "thing.splice", "thing.start"}
    found |= {f"thing.{key}" for key in re.findall(r'_name\("([\w-]+)"', CODE)}
    legs = set(get_args(LegKind)) - {"tail", "island"}
    found |= {f"thing.{leg}" for leg in legs} | {f"thing.{leg}-back" for leg in legs - {"outer"}}
    return found


def test_the_catalogue_is_what_the_window_says() -> None:
    assert named() == set(read_table(resources.layouts() / "words" / "en.preview.yaml"))
