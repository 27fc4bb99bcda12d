"""What editors need to complete and check a plan file: its schema beside it, and a line in it."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from renderer.output.files import OutputError, write_whole

if TYPE_CHECKING:
    import os

SCHEMA_FILE = "pegline-plan.schema.json"
# The comment by which editors with a YAML language server find the schema of a file.
LINE = f"# yaml-language-server: $schema={SCHEMA_FILE}"


def schema_text() -> str:
    """The JSON Schema of the plan file as text."""
    from renderer.plan import schema

    return json.dumps(schema(), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def keep_schema_beside(plan: str | os.PathLike[str]) -> None:
    """Writes the schema into the folder of a plan, where an older one of ours is replaced.

    Another file of that name stays as it is. A schema that cannot be written is no matter: the plan
    can be used without one.
    """
    path = Path(plan).resolve().parent / SCHEMA_FILE
    text = schema_text()
    with suppress(OutputError, OSError, ValueError):
        if path.exists() and not _is_ours(path.read_text("utf-8")):
            return
        write_whole(path, text.encode())


def _is_ours(text: str) -> bool:
    from renderer.plan.descriptions import TITLE

    held = json.loads(text)
    return isinstance(held, dict) and held.get("title") == TITLE
