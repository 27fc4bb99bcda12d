"""The commands and their help, as ``--help`` tells it."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING, ClassVar
from unittest import mock

from docutils import nodes
from sphinx.util.docutils import SphinxDirective

from renderer.cli import _parser

if TYPE_CHECKING:
    from sphinx.util.typing import OptionSpec


class Commands(SphinxDirective):
    """Each command under a heading of its own with its help."""

    option_spec: ClassVar[OptionSpec] = {}

    def run(self) -> list[nodes.Node]:
        told = [
            f"(command-{name})=\n## {name}\n\n```text\n{text}```" for name, text in helps().items()
        ]
        return self.parse_text_to_nodes("\n\n".join(told), allow_section_headings=True)


def helps() -> dict[str, str]:
    """The help of each command, 80 characters wide."""
    parser = _parser()
    (commands,) = (
        each.choices for each in parser._actions if isinstance(each, argparse._SubParsersAction)
    )
    with mock.patch.dict(os.environ, {"COLUMNS": "80"}):
        return {name: command.format_help() for name, command in commands.items()}
